"""Exposure after ISO 12232: from scene luminance to the sensor's share of saturation and back.

    H = q L t / N_eff^2          focal-plane exposure [lx s], q = 0.65 (ISO 12232: lens transmittance 0.9,
                                 vignetting 0.98, cos^4 of 10 degrees)
    H_sat = 78 / S               exposure at which the raw values clip (saturation speed)
    H_sos = 10 / S               exposure that stands at 118 of 255 in an sRGB picture (standard output)
    N_eff = N (1 + m)            close-focus loss ("bellows factor"), pupil magnification 1

Reference: ISO 12232:2019, clauses 6 and 7. Incident metering after ISO 2720:1974, N^2/t = E S / C, C = 250 lx s.
"""

from plateside.ground.exposure import INCIDENT_C

Q = 0.65
SATURATION = 78.0
STANDARD_OUTPUT = 10.0


def focal_plane_exposure(
    luminance_cd_m2: float, exposure_s: float, f_number: float, magnification: float = 0.0
) -> float:
    """Exposure H at the sensor [lx s] from a surface of this luminance [cd/m2]."""
    return Q * luminance_cd_m2 * exposure_s / (f_number * (1.0 + magnification)) ** 2


def saturation_share_per_cd_m2(
    exposure_s: float, f_number: float, iso: float, magnification: float = 0.0
) -> float:
    """Share of raw saturation that 1 cd/m2 gives (1.0 clips)."""
    return focal_plane_exposure(1.0, exposure_s, f_number, magnification) * iso / SATURATION


def metered_exposure_s(
    illuminance_lx: float, f_number: float, iso: float, magnification: float = 0.0
) -> float:
    """Shutter time [s] that an incident meter and the close-focus loss ask for."""
    return (f_number * (1.0 + magnification)) ** 2 * INCIDENT_C / (illuminance_lx * iso)
