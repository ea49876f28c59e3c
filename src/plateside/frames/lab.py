"""CIE L*a*b* and LCh of linear sRGB (CIE 15:2018; D65, IEC 61966-2-1 primaries)."""

import numpy as np
from numpy.typing import NDArray

Array = NDArray[np.float32]

_XYZ_OF_SRGB = np.array(
    [[0.4124564, 0.3575761, 0.1804375], [0.2126729, 0.7151522, 0.0721750], [0.0193339, 0.1191920, 0.9503041]]
)
_WHITE = _XYZ_OF_SRGB.sum(axis=1)


def lab_of(linear: NDArray[np.floating]) -> Array:
    """L*, a*, b* of linear sRGB values in the last axis (1 = display white)."""
    t = np.maximum(np.asarray(linear, np.float32) @ _XYZ_OF_SRGB.T.astype(np.float32), 0) / _WHITE.astype(
        np.float32
    )
    f = np.where(t > (6 / 29) ** 3, np.cbrt(t), t / (3 * (6 / 29) ** 2) + 4 / 29)
    return np.stack(
        [116 * f[..., 1] - 16, 500 * (f[..., 0] - f[..., 1]), 200 * (f[..., 1] - f[..., 2])], axis=-1
    ).astype(np.float32)


def lch_of(lab: NDArray[np.floating]) -> Array:
    """L*, C*, h [deg, 0..360) of L*a*b*."""
    lab = np.asarray(lab, np.float32)
    chroma = np.hypot(lab[..., 1], lab[..., 2])
    hue = np.degrees(np.arctan2(lab[..., 2], lab[..., 1])) % 360
    return np.stack([lab[..., 0], chroma, hue], axis=-1).astype(np.float32)
