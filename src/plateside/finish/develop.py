"""From the sensor's numbers to a picture in linear sRGB light, with what the sensor kept of the highlights."""

import cv2
import numpy as np
from numpy.typing import NDArray

from plateside.model.channels import highest
from plateside.model.pixels import LinearPicture

STANDARD_LIFT = 0.18 / (10 / 78)
"""ISO 12232: the metered level lies at 10/78 of saturation and is shown as middle grey, 118 of 255."""
_FADE_FROM = 0.92
"""Share of saturation from which a colour is no longer trusted whole."""


def develop(
    picture: LinearPicture, white_balance: tuple[float, float, float] | None = None
) -> NDArray[np.float32]:
    """Linear sRGB, float32 (h, w, 3): middle grey as metered is 0.18, the first channel saturates at 1.4.

    white_balance  multipliers to use in place of the as-shot ones (the reference's, so that one set has one)

    A camera JPEG comes back unchanged: its colours are already made. In a raw, channels saturate one after the other,
    and what is left would turn pink; near saturation the colour is faded to a grey of the mean of what the channels
    still say, which lies above 1 and leaves the tone curve something to bring back.
    """
    if not picture.is_raw:
        return picture.rgb
    saturation = np.asarray(picture.saturation, np.float32)
    multipliers = np.asarray(white_balance or picture.white_balance, np.float32)
    multipliers = multipliers / multipliers.min() * np.float32(STANDARD_LIFT)
    matrix = np.asarray(picture.to_srgb, np.float32)
    result = np.empty_like(picture.rgb, dtype=np.float32)
    for top in range(0, picture.rgb.shape[0], 256):
        level = np.maximum(picture.rgb[top : top + 256] / saturation, 0)
        balanced = level * multipliers
        fade = np.clip((highest(level)[..., None] - _FADE_FROM) / (1 - _FADE_FROM), 0, 1)
        fade = fade * fade * (3 - 2 * fade)
        grey = (balanced[..., :1] + balanced[..., 1:2] + balanced[..., 2:]) / np.float32(3)
        result[top : top + 256] = (balanced + fade * (grey - balanced)) @ matrix.T
    return result


def reduced(linear: NDArray[np.float32], longest_px: int) -> NDArray[np.float32]:
    """The picture by area average, its longer side at most `longest_px`: what matching looks at."""
    height, width = linear.shape[:2]
    scale = longest_px / max(height, width)
    if scale >= 1:
        return linear
    size = (max(round(width * scale), 1), max(round(height * scale), 1))
    return np.asarray(cv2.resize(linear, size, interpolation=cv2.INTER_AREA), np.float32)
