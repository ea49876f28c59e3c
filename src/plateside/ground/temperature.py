"""Colour temperature: the black body's locus, and the temperature of a colour near it.

`planckian_uv`   CIE 1960 u, v of a black body, from the isotemperature lines of A. R. Robertson, J. Opt. Soc. Am. 58
                 (1968) 1528-1535 (infinity to 1,667 K), with the slip at 325 mired put right (u 0.24792), and between
                 them by a cubic spline: within 5e-6 of Planck's law through the CIE 1931 observer
`mccamy_cct_k`   C. S. McCamy, Color Research and Application 17 (1992) 142-144; for near-greys of 2,800 to 12,500 K
"""

from functools import cache

import numpy as np
from numpy.typing import NDArray

Array = NDArray[np.float64]

MOST_MIRED = 600.0
"""The table's end: 1,667 K."""

_MIRED = np.array([*range(0, 101, 10), *range(125, 601, 25)], dtype=np.float64)
_U = np.array([
    0.18006, 0.18066, 0.18133, 0.18208, 0.18293, 0.18388, 0.18494, 0.18611, 0.18740, 0.18880, 0.19032,
    0.19462, 0.19962, 0.20525, 0.21142, 0.21807, 0.22511, 0.23247, 0.24010, 0.24792, 0.25591, 0.26400,
    0.27218, 0.28039, 0.28863, 0.29685, 0.30505, 0.31320, 0.32129, 0.32931, 0.33724,
])  # fmt: skip
_V = np.array([
    0.26352, 0.26589, 0.26846, 0.27119, 0.27407, 0.27709, 0.28021, 0.28342, 0.28668, 0.28997, 0.29326,
    0.30141, 0.30921, 0.31647, 0.32312, 0.32909, 0.33439, 0.33904, 0.34308, 0.34655, 0.34951, 0.35200,
    0.35407, 0.35577, 0.35714, 0.35823, 0.35907, 0.35968, 0.36011, 0.36038, 0.36051,
])  # fmt: skip


@cache
def _slopes() -> Array:
    """Slopes of (u, v) at the table's places [1/mired], for a cubic spline whose third derivative does not jump at the
    last place but one at either end (C. de Boor, A Practical Guide to Splines, 1978, chapter IV: not-a-knot). Solved
    here, because the library that has it takes longer to load than everything else that a moment's light needs."""
    x, y = _MIRED, np.stack([_U, _V], axis=1)
    h, rise = np.diff(x), np.diff(y, axis=0) / np.diff(x)[:, None]
    system, right = np.zeros((x.size, x.size)), np.zeros_like(y)
    for k in range(1, x.size - 1):
        system[k, k - 1 : k + 2] = h[k], 2 * (h[k - 1] + h[k]), h[k - 1]
        right[k] = 3 * (h[k] * rise[k - 1] + h[k - 1] * rise[k])
    first, last = h[0] + h[1], h[-1] + h[-2]
    system[0, :2] = h[1], first
    right[0] = ((h[0] + 2 * first) * h[1] * rise[0] + h[0] ** 2 * rise[1]) / first
    system[-1, -2:] = last, h[-2]
    right[-1] = ((h[-1] + 2 * last) * h[-2] * rise[-1] + h[-1] ** 2 * rise[-2]) / last
    return np.asarray(np.linalg.solve(system, right))


def _locus(mired: Array) -> Array:
    """u, v (..., 2) at places from 0 to MOST_MIRED."""
    k = np.clip(np.searchsorted(_MIRED, mired, side="right") - 1, 0, _MIRED.size - 2)
    h = (_MIRED[k + 1] - _MIRED[k])[..., None]
    t = (mired - _MIRED[k])[..., None] / h
    y, slopes = np.stack([_U, _V], axis=1), _slopes()
    bent = (1 + 2 * t) * (1 - t) ** 2 * y[k] + t**2 * (3 - 2 * t) * y[k + 1]
    return np.asarray(bent + h * t * (1 - t) * ((1 - t) * slopes[k] - t * slopes[k + 1]))


def planckian_uv(cct_k: Array | float) -> tuple[Array, Array]:
    """CIE 1960 u, v of a black body at `cct_k` [K], 1,667 K and above; nearer to the table's end below."""
    at = np.clip(1e6 / np.asarray(cct_k, dtype=np.float64), 0.0, MOST_MIRED)
    found = _locus(at)
    return found[..., 0], found[..., 1]


def planckian_xy(cct_k: Array | float) -> tuple[Array, Array]:
    """CIE 1931 x, y of a black body at `cct_k` [K]."""
    u, v = planckian_uv(cct_k)
    below = 2 * u - 8 * v + 4
    return 3 * u / below, 2 * v / below


def mccamy_cct_k(x: float, y: float) -> float:
    """Correlated colour temperature [K] of a chromaticity near the daylight locus."""
    n = (x - 0.3320) / (0.1858 - y)
    return ((449 * n + 3525) * n + 6823.3) * n + 5520.33
