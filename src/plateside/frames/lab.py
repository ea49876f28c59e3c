"""CIE L*a*b* and LCh of linear sRGB (CIE 15:2018; D65, IEC 61966-2-1 primaries)."""

import numpy as np
from numpy.typing import NDArray

from plateside.ground.srgb import to_lab

Array = NDArray[np.float32]


def lab_of(linear: NDArray[np.floating]) -> Array:
    """L*, a*, b* of linear sRGB values in the last axis (1 = display white)."""
    return to_lab(np.asarray(linear, np.float32)).astype(np.float32)


def lch_of(lab: NDArray[np.floating]) -> Array:
    """L*, C*, h [deg, 0..360) of L*a*b*."""
    lab = np.asarray(lab, np.float32)
    chroma = np.hypot(lab[..., 1], lab[..., 2])
    hue = np.degrees(np.arctan2(lab[..., 2], lab[..., 1])) % 360
    return np.stack([lab[..., 0], chroma, hue], axis=-1).astype(np.float32)
