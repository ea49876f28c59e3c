"""The sky from irradiances: luminous efficacy (Perez 1990) and luminance distribution (Perez 1993).

clearness_brightness   the two parameters by which both models look up their tables
illuminances           diffuse horizontal and direct normal illuminance from irradiances
shape                  coefficients a to e of the luminance distribution

References in light/sky_tables.py. Zenith angle z in radians, W the precipitable water from the dew point,
W = exp(0.07 Td - 0.075) [cm, degC].
"""

import numpy as np

from plateside.light.sky_tables import DIFFUSE_EFFICACY, DIRECT_EFFICACY, PEREZ_CLEARNESS, PEREZ_SHAPE
from plateside.model.light_answers import Array, IntArray

SOLAR_CONSTANT_WM2 = 1361.0
"""Kopp and Lean, Geophysical Research Letters 38 (2011)."""
LEAST_DIFFUSE_WM2 = 1e-6


def extraterrestrial_wm2(day_of_year: Array | float) -> Array:
    """Normal irradiance outside the atmosphere [W/m2] (J. W. Spencer, Search 2, 1971)."""
    b = 2 * np.pi * (np.asarray(day_of_year, dtype=np.float64) - 1) / 365
    return np.asarray(
        SOLAR_CONSTANT_WM2
        * (
            1.00011
            + 0.034221 * np.cos(b)
            + 0.00128 * np.sin(b)
            + 0.000719 * np.cos(2 * b)
            + 7.7e-5 * np.sin(2 * b)
        )
    )


def air_mass(elevation_deg: Array) -> Array:
    """Relative optical air mass (F. Kasten, A. Young, Applied Optics 28, 1989)."""
    h = np.maximum(elevation_deg, 0.0)
    return np.asarray(1 / (np.sin(np.radians(h)) + 0.50572 * (h + 6.07995) ** -1.6364))


def clearness_brightness(
    dni_wm2: Array, dhi_wm2: Array, elevation_deg: Array, day_of_year: Array | float
) -> tuple[IntArray, Array]:
    """Bin of sky clearness (0-7) and sky brightness."""
    z = np.radians(90 - np.maximum(elevation_deg, 0.0))
    diffuse = np.maximum(dhi_wm2, LEAST_DIFFUSE_WM2)
    kappa = 1.041 * z**3
    clearness = ((diffuse + np.maximum(dni_wm2, 0)) / diffuse + kappa) / (1 + kappa)
    brightness = diffuse * air_mass(elevation_deg) / extraterrestrial_wm2(day_of_year)
    return np.searchsorted(PEREZ_CLEARNESS, clearness, side="right"), np.clip(brightness, 0.01, 0.6)


def illuminances(
    dni_wm2: Array,
    dhi_wm2: Array,
    elevation_deg: Array,
    day_of_year: Array | float,
    dew_point_c: Array | float = 10.0,
) -> tuple[Array, Array]:
    """Diffuse horizontal and direct normal illuminance [lx]."""
    which, brightness = clearness_brightness(dni_wm2, dhi_wm2, elevation_deg, day_of_year)
    z = np.radians(90 - np.maximum(elevation_deg, 0.0))
    water = np.exp(0.07 * np.asarray(dew_point_c) - 0.075)
    a, b, c, d = DIFFUSE_EFFICACY[which].T
    diffuse = dhi_wm2 * (a + b * water + c * np.cos(z) + d * np.log(brightness))
    a, b, c, d = DIRECT_EFFICACY[which].T
    direct = dni_wm2 * (a + b * water + c * np.exp(5.73 * z - 5) + d * brightness)
    return np.maximum(diffuse, 0.0), np.maximum(direct, 0.0)


def shape(dni_wm2: Array, dhi_wm2: Array, elevation_deg: Array, day_of_year: Array | float) -> Array:
    """Coefficients a to e (t, 5) of (1 + a exp(b / cos zeta)) (1 + c exp(d gamma) + e cos2 gamma)."""
    which, brightness = clearness_brightness(dni_wm2, dhi_wm2, elevation_deg, day_of_year)
    z = np.radians(90 - np.maximum(elevation_deg, 0.0))
    # From clearness 1.065 to 2.8 the table holds for a brightness of 0.2 and more only.
    bright = np.where((which >= 1) & (which <= 4), np.maximum(brightness, 0.2), brightness)
    x = PEREZ_SHAPE[which]
    out = x[..., 0] + x[..., 1] * z[:, None] + bright[:, None] * (x[..., 2] + x[..., 3] * z[:, None])
    first = which == 0
    if np.any(first):
        c, d = x[first, 2], x[first, 3]
        zz, dd = z[first], bright[first]
        out[first, 2] = np.exp((dd * (c[:, 0] + c[:, 1] * zz)) ** c[:, 2]) - c[:, 3]
        out[first, 3] = -np.exp(dd * (d[:, 0] + d[:, 1] * zz)) + d[:, 2] + dd * d[:, 3]
    # Outside the range that was fitted (a bright low sun) b can come out positive, and luminance would then run off to
    # infinity at the horizon.
    out[:, 1] = np.minimum(out[:, 1], 0.0)
    return np.asarray(out)
