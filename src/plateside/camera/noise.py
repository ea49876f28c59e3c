"""Noise from the light gathered: photon statistics and read noise.

It is the light not gathered, rather than the ISO dial, that makes most of the noise. Full well and read noise
come from the studio file; the defaults are illustrative. Mid-tone at 12.7 % of saturation (D. Kerr).
"""

import math

from plateside.camera.setup import Noise

MIDTONE_SHARE = 0.127
"""Metered mean over saturation."""


def snr(electrons: float, read_noise_electrons: float = 0.0) -> float:
    """Signal to noise: n / sqrt(n + sigma²)."""
    return electrons / math.sqrt(electrons + read_noise_electrons**2) if electrons > 0 else 0.0


def midtone_electrons(full_well_electrons: float, iso: float, base_iso: float) -> float:
    """Electrons in a well exposed mid-tone at an ISO; full well is at base ISO."""
    return full_well_electrons * MIDTONE_SHARE * base_iso / iso


def estimate(
    full_well_electrons: float,
    read_noise_electrons: float,
    iso: float,
    base_iso: float,
    under_stops: float = 0.0,
) -> Noise:
    """Noise of the mid-tone at an ISO, against base ISO.

    Per-pixel ISO 12232 calls a ratio of 40 excellent and 10 acceptable; delivered pictures are smaller than the
    frame, so they show less of it.
    """
    # the read noise given is at base ISO: it is reckoned in electrons and kept, which is on the safe side
    base = snr(midtone_electrons(full_well_electrons, base_iso, base_iso), read_noise_electrons)
    light = midtone_electrons(full_well_electrons, iso, base_iso) * 2.0**-under_stops
    here = snr(light, read_noise_electrons)
    stops = math.log2(iso / base_iso) + under_stops
    verdict = "clean" if here >= 40 else "slight" if here >= 20 else "noisy" if here >= 10 else "very noisy"
    return Noise(snr=here, snr_at_base=base, stops_above_base=stops, verdict=verdict, base_iso=base_iso)
