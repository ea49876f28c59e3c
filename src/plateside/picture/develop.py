"""The made camera's own JPEG: white balance, demosaic, matrix, tone curve.

The curve is ours. It passes through ISO 12232's standard output point (a raw share of 10/78 of saturation stands at
118 of 255), rolls highlights off up to saturation and holds the deepest shadows down a little.
"""

from functools import cache

import cv2
import numpy as np
from numpy.typing import NDArray

from plateside.ground.iso12232 import SATURATION, STANDARD_OUTPUT
from plateside.ground.srgb import to_display
from plateside.picture.sensor import BLACK_LEVEL, SRGB_TO_CAMERA, WHITE_LEVEL

Float = NDArray[np.float32]

STANDARD_SHARE = STANDARD_OUTPUT / SATURATION


def srgb_encoded(linear: NDArray[np.floating]) -> NDArray[np.float64]:
    """IEC 61966-2-1: linear 0..1 to encoded 0..1."""
    x = np.clip(np.asarray(linear, dtype=np.float64), 0.0, 1.0)
    return np.asarray(to_display(x), dtype=np.float64)


_IN = srgb_encoded(np.array([0.0, 0.004, 0.02, STANDARD_SHARE, 0.35, 0.70, 1.0]))
_OUT = np.array([0.0, 0.038, 0.158, 118.0 / 255.0, 0.745, 0.935, 1.0])


def _slopes(x: NDArray[np.float64], y: NDArray[np.float64]) -> NDArray[np.float64]:
    """At points of a rising curve, such that the cubics between them rise as well; at its ends by three points.

    F. N. Fritsch, J. Butland, "A method for constructing local monotone piecewise cubic interpolants", SIAM J. Sci.
    Stat. Comput. 5 (1984), 300-304. scipy's own is slow to load, for each process that draws its first picture.
    """
    step, rise = np.diff(x), np.diff(y) / np.diff(x)
    before, after = step[:-1], step[1:]
    inner = 3 * (before + after) / ((2 * after + before) / rise[:-1] + (after + 2 * before) / rise[1:])
    ends = [
        ((2 * step[n] + step[m]) * rise[n] - step[n] * rise[m]) / (step[n] + step[m])
        for n, m in ((0, 1), (-1, -2))
    ]
    return np.maximum([ends[0], *inner, ends[1]], 0)


_SLOPE = _slopes(_IN, _OUT)


def tone(shares: NDArray[np.floating]) -> NDArray[np.float64]:
    """Share of saturation (linear, white-balanced) to the picture's encoded value 0..1."""
    x = srgb_encoded(shares)
    n = np.clip(np.searchsorted(_IN, x, "right") - 1, 0, len(_IN) - 2)
    wide = _IN[n + 1] - _IN[n]
    t = (x - _IN[n]) / wide
    # Hermite's cubic
    from_left = (1 + 2 * t) * _OUT[n] + t * wide * _SLOPE[n]
    from_right = (3 - 2 * t) * _OUT[n + 1] - (1 - t) * wide * _SLOPE[n + 1]
    return np.asarray((1 - t) ** 2 * from_left + t**2 * from_right, dtype=np.float64)


@cache
def _table() -> NDArray[np.uint8]:
    """The curve as a table, even in the square root of the share, where the eye's steps are about even."""
    return np.rint(255.0 * tone(np.linspace(0.0, 1.0, 4096) ** 2)).astype(np.uint8)


def toned(shares: Float) -> NDArray[np.uint8]:
    """Shares of saturation to 8-bit values through the camera's curve."""
    index = np.rint(np.sqrt(np.clip(shares, 0.0, 1.0)) * 4095.0).astype(np.uint16)
    return np.asarray(_table()[index], dtype=np.uint8)


def camera_to_srgb() -> NDArray[np.float64]:
    """White-balanced camera values to linear sRGB; (1, 1, 1) stays (1, 1, 1)."""
    rows = SRGB_TO_CAMERA / SRGB_TO_CAMERA.sum(axis=1, keepdims=True)
    return np.asarray(np.linalg.inv(rows))


def developed(mosaic: NDArray[np.uint16], neutral: tuple[float, float, float]) -> NDArray[np.uint8]:
    """An RGGB mosaic as the camera's own sRGB picture, 8 bits."""
    gains = np.array([[1 / neutral[0], 1 / neutral[1]], [1 / neutral[1], 1 / neutral[2]]], dtype=np.float32)
    scale = 65535.0 / (WHITE_LEVEL - BLACK_LEVEL)
    balanced = np.empty(mosaic.shape, dtype=np.uint16)
    for top in (0, 1):
        for left in (0, 1):
            values = (mosaic[top::2, left::2].astype(np.float32) - BLACK_LEVEL) * (gains[top, left] * scale)
            balanced[top::2, left::2] = np.clip(values, 0, 65535).astype(np.uint16)
    linear = cv2.demosaicing(balanced, cv2.COLOR_BayerRGGB2RGB_EA).astype(np.float32) / 65535.0
    colour = cv2.transform(linear, camera_to_srgb().astype(np.float32))
    return toned(np.asarray(colour, dtype=np.float32))
