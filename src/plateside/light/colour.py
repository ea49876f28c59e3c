"""The colour of light: from correlated colour temperature to three bands and back.

The bands are linear-light red, green and blue of sRGB (IEC 61966-2-1), scaled so that light of luminance 1 has
0.2126 R + 0.7152 G + 0.0722 B = 1. Light of 6504 K on the daylight locus is (1, 1, 1).

daylight_xy      CIE daylight locus, 4000-25000 K (CIE 15:2018, 4.1.2); below 4000 K the Planckian locus
rgb_of_cct       bands of such light
cct_duv          correlated colour temperature and distance from the Planckian locus (CIE 1960 uv) of bands
tints_of         which tints a cast has
"""

import numpy as np

from plateside.ground.srgb import FROM_XYZ, LUMINANCE, TO_XYZ
from plateside.ground.temperature import planckian_uv, planckian_xy
from plateside.model.light_answers import Array

LEAST_CCT_K, MOST_CCT_K = 1800.0, 25000.0

_MIRED = np.arange(33.0, 600.0, 0.5)


def daylight_xy(cct_k: Array | float) -> tuple[Array, Array]:
    """CIE 1931 x, y of daylight of this colour temperature; of a black body below 4000 K."""
    t = np.clip(np.asarray(cct_k, dtype=np.float64), LEAST_CCT_K, MOST_CCT_K)
    low = -4.6070e9 / t**3 + 2.9678e6 / t**2 + 0.09911e3 / t + 0.244063
    high = -2.0064e9 / t**3 + 1.9018e6 / t**2 + 0.24748e3 / t + 0.237040
    x = np.where(t <= 7000, low, high)
    y = -3.000 * x**2 + 2.870 * x - 0.275
    black_x, black_y = planckian_xy(t)
    # From 4000 K down the daylight locus hands over to the black body over 500 K, so that nothing jumps.
    share = np.clip((t - 3500) / 500, 0, 1)
    rest = 1 - share
    return share * x + rest * black_x, share * y + rest * black_y


def rgb_of_cct(cct_k: Array | float) -> Array:
    """Bands of light of this colour temperature, luminance 1; shape (..., 3)."""
    x, y = daylight_xy(cct_k)
    xyz = np.stack([x / y, np.ones_like(x), (1 - x - y) / y], axis=-1)
    rgb = np.maximum(xyz @ FROM_XYZ.T, 0.0)
    return np.asarray(rgb / (rgb @ LUMINANCE)[..., None])


def cct_duv(rgb: Array) -> tuple[float, float]:
    """Correlated colour temperature [K] and Duv (positive: greener) of bands (3,); (0, 0) for no light."""
    x, y, z = TO_XYZ @ np.asarray(rgb, dtype=np.float64)
    if x + y + z <= 0:
        return 0.0, 0.0
    u, v = 4 * x / (x + 15 * y + 3 * z), 6 * y / (x + 15 * y + 3 * z)
    pu, pv = planckian_uv(1e6 / _MIRED)
    away = (u - pu) ** 2 + (v - pv) ** 2
    k = int(np.clip(np.argmin(away), 1, _MIRED.size - 2))
    a, b, c = away[k - 1 : k + 2]
    bend = a - 2 * b + c
    mired = _MIRED[k] + (0.25 * (a - c) / bend if bend > 0 else 0.0)
    pu, pv = planckian_uv(1e6 / mired)
    return float(1e6 / mired), float(np.hypot(u - pu, v - pv) * (1 if v >= pv else -1))


SLIGHT_MIRED, STRONG_MIRED = 6.0, 25.0
SLIGHT_DUV, STRONG_DUV = 0.003, 0.009


def tints_of(mired: float, duv: float) -> tuple[str, ...]:
    """Warm or cool, green or magenta, each perhaps 'slightly'; below 6 mired and 0.003 in Duv none (common practice,
    no source)."""
    parts = []
    for amount, slight, strong, plus, minus in (
        (mired, SLIGHT_MIRED, STRONG_MIRED, "warm", "cool"),
        (duv, SLIGHT_DUV, STRONG_DUV, "green", "magenta"),
    ):
        if abs(amount) < slight:
            continue
        word = plus if amount > 0 else minus
        parts.append(word if abs(amount) >= strong else f"slightly {word}")
    return tuple(parts)
