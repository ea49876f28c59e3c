"""A hand's changes carried out: gains in linear light, a curve with room for what is brighter, a picture turned.

Warmth is along the black body's locus (Robertson 1968, see ground.temperature), from the display's white on; green to
magenta by density in green alone, as filters for colour compensation are named (CC10M: density 0.10 in green light);
neither changes the luminance of a grey.
"""

from typing import Any

import cv2
import numpy as np
from numpy.typing import NDArray

from plateside.finish.hand import Hand
from plateside.finish.tone import LARGEST_WHITE, Curve
from plateside.finish.white_balance import Gains, of_array
from plateside.ground.srgb import FROM_XYZ, mired_shift
from plateside.ground.temperature import planckian_xy

Pixels = NDArray[np.float32] | NDArray[np.uint8]
WHITE_MIRED = 1e6 / 6504
"""Of D65, the display's white (CIE 15)."""


def gains_of(hand: Hand) -> Gains:
    """What linear light is multiplied by."""
    warm, along = np.ones(3), hand.warmer_mired
    for _ in range(3 if along else 0):  # the display's white lies a little off that locus
        warm = _grey_at(WHITE_MIRED + along) / _grey_at(WHITE_MIRED)
        along *= hand.warmer_mired / mired_shift(warm)
    tint = np.array([1.0, 10.0 ** (-hand.magenta_cc / 100), 1.0])
    return of_array(of_array(warm * tint).balance.array * 2.0**hand.brighter_stops)


def _grey_at(mired: float) -> NDArray[np.float64]:
    x, y = planckian_xy(1e6 / mired)
    return np.asarray(FROM_XYZ @ np.array([x / y, 1.0, (1 - x - y) / y]))


def curve_of(curve: Curve, hand: Hand) -> Curve:
    """The series' curve, its white as much higher as the picture was made brighter: it clips no more than before."""
    white = curve.white * 2.0**hand.brighter_stops
    return Curve(curve.contrast, min(max(white, 1.0), LARGEST_WHITE))


def straightened_size(width: int, height: int, degrees: float) -> tuple[int, int]:
    """Of the largest part of the same shape that holds no corner from outside: plane geometry."""
    turn = np.radians(abs(degrees))
    share = 1 / (np.cos(turn) + max(width / height, height / width) * np.sin(turn))
    return max(int(width * share), 1), max(int(height * share), 1)


def straightened(linear: NDArray[np.float32], degrees: float) -> NDArray[np.float32]:
    """A picture (h, w, 3) turned clockwise about its middle [degrees], cut to its own shape, in one resampling."""
    if not degrees:
        return linear
    return np.asarray(np.maximum(_turned(linear, degrees, cv2.INTER_CUBIC), 0), np.float32)


def straightened_to_look_at(picture: NDArray[np.uint8], degrees: float) -> NDArray[np.uint8]:
    """The same of a picture that is only looked at while the hand turns."""
    return np.asarray(_turned(picture, degrees, cv2.INTER_LINEAR), np.uint8) if degrees else picture


def straightening(size: tuple[int, int], wanted: tuple[int, int], degrees: float) -> NDArray[np.float64]:
    """3 x 3 from a picture's pixels to the straightened one's; both sizes are width and height [px]."""
    (width, height), (wide, high) = size, wanted
    to_new = np.asarray(cv2.getRotationMatrix2D(((width - 1) / 2, (height - 1) / 2), -degrees, 1.0), float)
    to_new[:, 2] += np.array([(wide - width) / 2, (high - height) / 2])
    return np.vstack([to_new, [0.0, 0.0, 1.0]])


def _turned(picture: Pixels, degrees: float, how: int) -> NDArray[Any]:
    height, width = picture.shape[:2]
    wanted = straightened_size(width, height, degrees)
    to_new = straightening((width, height), wanted, degrees)[:2]
    turned = cv2.warpAffine(picture, to_new, wanted, flags=how, borderMode=cv2.BORDER_REPLICATE)
    return np.asarray(turned, picture.dtype)
