"""How different two colours look: CIEDE2000.

CIE 142-2001 and ISO/CIE 11664-6; written after G. Sharma, W. Wu and E. N. Dalal, "The CIEDE2000 Color-Difference
Formula: Implementation Notes, Supplementary Test Data, and Mathematical Observations", Color Research and
Application 30 (2005), 21-30. About 1 is the smallest difference seen side by side.
"""

import numpy as np
from numpy.typing import NDArray

from plateside.ground.srgb import Floats

_25_TO_7 = 25.0**7
# Hues exactly opposite must count as within 180 degrees; arctangents miss it by a last digit.
_OPPOSITE_DEG = 180.0 + 1e-9


def delta_e(lab_1: Floats, lab_2: Floats) -> NDArray[np.float64]:
    """CIEDE2000 between arrays of L*a*b* (..., 3), shapes broadcast; kL = kC = kH = 1."""
    one, two = np.asarray(lab_1, dtype=np.float64), np.asarray(lab_2, dtype=np.float64)
    mean_c7 = ((np.hypot(one[..., 1], one[..., 2]) + np.hypot(two[..., 1], two[..., 2])) / 2) ** 7
    g = 0.5 * (1 - np.sqrt(mean_c7 / (mean_c7 + _25_TO_7)))
    a1, a2 = (1 + g) * one[..., 1], (1 + g) * two[..., 1]
    c1, c2 = np.hypot(a1, one[..., 2]), np.hypot(a2, two[..., 2])
    h1 = np.degrees(np.arctan2(one[..., 2], a1)) % 360
    h2 = np.degrees(np.arctan2(two[..., 2], a2)) % 360

    grey = c1 * c2 == 0
    apart = h2 - h1
    near = np.abs(apart) <= _OPPOSITE_DEG
    d_hue = np.where(grey, 0.0, np.where(near, apart, np.where(apart > 0, apart - 360, apart + 360)))
    around = np.where(h1 + h2 < 360, h1 + h2 + 360, h1 + h2 - 360) / 2
    mean_h = np.where(grey, h1 + h2, np.where(near, (h1 + h2) / 2, around))

    d_l, d_c = two[..., 0] - one[..., 0], c2 - c1
    d_h = 2 * np.sqrt(c1 * c2) * np.sin(np.radians(d_hue / 2))
    mean_l, mean_c = (one[..., 0] + two[..., 0]) / 2, (c1 + c2) / 2

    t = (
        1
        - 0.17 * np.cos(np.radians(mean_h - 30))
        + 0.24 * np.cos(np.radians(2 * mean_h))
        + 0.32 * np.cos(np.radians(3 * mean_h + 6))
        - 0.20 * np.cos(np.radians(4 * mean_h - 63))
    )
    squared = (mean_l - 50) ** 2
    s_l = 1 + 0.015 * squared / np.sqrt(20 + squared)
    s_c = 1 + 0.045 * mean_c
    s_h = 1 + 0.015 * mean_c * t
    turn = 30 * np.exp(-(((mean_h - 275) / 25) ** 2))
    r_c = 2 * np.sqrt(mean_c**7 / (mean_c**7 + _25_TO_7))
    r_t = -r_c * np.sin(np.radians(2 * turn))
    total = (d_l / s_l) ** 2 + (d_c / s_c) ** 2 + (d_h / s_h) ** 2 + r_t * (d_c / s_c) * (d_h / s_h)
    return np.asarray(np.sqrt(np.maximum(total, 0.0)), dtype=np.float64)
