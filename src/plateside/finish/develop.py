"""From the sensor's numbers to a picture in linear sRGB light, with what the sensor kept of the highlights."""

from dataclasses import dataclass

import cv2
import numpy as np
from numpy.typing import NDArray

from plateside.finish.chart import ColourProfile
from plateside.finish.highlights import known_colours, rebuilt
from plateside.finish.noise import evened
from plateside.ground.srgb import LUMINANCE
from plateside.model.counted import CountedPicture
from plateside.model.pixels import LinearPicture

STANDARD_LIFT = 0.18 / (10 / 78)
"""ISO 12232: the metered level lies at 10/78 of saturation and is shown as middle grey, 118 of 255."""


def develop(
    picture: LinearPicture,
    white_balance: tuple[float, float, float] | None = None,
    profile: ColourProfile | None = None,
) -> NDArray[np.float32]:
    """Linear sRGB, float32 (h, w, 3): middle grey as metered is 0.18, the first channel saturates at 1.4.

    white_balance  multipliers to use in place of the as-shot ones (the reference's, so that one set has one)
    profile        by a chart, in place of the camera's matrix

    A camera JPEG comes back unchanged: its colours are already made. In a raw, channels saturate one after the other,
    and what is left would turn pink; a lost channel is rebuilt from those that remain (see `highlights`), and lies
    above 1, which leaves the tone curve something to bring back. White is only where all three are gone.
    """
    if not picture.is_raw:
        return picture.rgb
    by = balanced(picture, white_balance)
    rgb = np.ascontiguousarray(picture.rgb, np.float32)
    known = known_colours(rgb, by.gain, by.top, by.luminance)
    matrix = by.matrix if profile is None else np.eye(3, dtype=np.float32)
    linear = rebuilt(rgb, by.gain, by.top, by.luminance, matrix, known)
    if profile is not None:
        linear = profile(linear)
    # binned by two the noise is half, and only looked at
    return evened(linear, picture, by.gain, by.matrix) if picture.scale == 1 else linear


@dataclass(frozen=True, eq=False)
class Balanced:
    """How a raw's numbers become linear sRGB."""

    gain: NDArray[np.float32]
    """(3,) what they are multiplied by, so that grey is grey and as bright as metered"""
    top: NDArray[np.float32]
    """(3,) balanced level at which each channel is clipped"""
    luminance: NDArray[np.float32]
    """(3,) weights of the balanced channels in luminance"""
    matrix: NDArray[np.float32]
    """(3, 3) balanced to linear sRGB"""


def balanced(
    picture: LinearPicture | CountedPicture, white_balance: tuple[float, float, float] | None = None
) -> Balanced:
    """For a raw's numbers as they are: of a LinearPicture its `rgb`, of a CountedPicture its counts."""
    saturation = np.asarray(picture.saturation, np.float32)
    top = np.asarray(white_balance or picture.white_balance, np.float32)
    top = top / top.min() * np.float32(STANDARD_LIFT)
    matrix = np.asarray(picture.to_srgb, np.float32)
    per_count = np.asarray(picture.per_count if isinstance(picture, CountedPicture) else 1, np.float32)
    return Balanced(top / saturation * per_count, top, (LUMINANCE @ matrix).astype(np.float32), matrix)


def reduced(linear: NDArray[np.float32], longest_px: int) -> NDArray[np.float32]:
    """The picture by area average, its longer side at most `longest_px`: what matching looks at."""
    height, width = linear.shape[:2]
    scale = longest_px / max(height, width)
    if scale >= 1:
        return linear
    size = (max(round(width * scale), 1), max(round(height * scale), 1))
    return np.asarray(cv2.resize(linear, size, interpolation=cv2.INTER_AREA), np.float32)
