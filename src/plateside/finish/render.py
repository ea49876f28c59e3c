"""From linear light to the finished picture: gains, the set's curve, sRGB, 16 bits; worked in bands to spare memory."""

import numpy as np
from numpy.typing import NDArray

from plateside.finish.tone import Curve, apply_curve
from plateside.finish.white_balance import Gains
from plateside.ground.srgb import Floats, to_display
from plateside.model.channels import highest
from plateside.model.progress import Progress, silent

_BAND_ROWS = 256
DISPLAY_16 = np.rint(to_display((np.arange(65536) / 65535.0) ** 2) * 65535).astype(np.uint16)
"""sRGB by the square root of linear light: even steps where the eye has them."""


def render(linear: Floats, gains: Gains, curve: Curve, progress: Progress = silent) -> NDArray[np.uint16]:
    """The finished picture (h, w, 3), sRGB, 16 bits. `progress` counts rows and may raise Cancelled."""
    height = linear.shape[0]
    result = np.empty(linear.shape, np.uint16)
    factor = gains.array.astype(np.float32)
    for top in range(0, height, _BAND_ROWS):
        progress(top, height)
        band = apply_curve(linear[top : top + _BAND_ROWS] * factor, curve)
        place = np.sqrt(np.clip(band, 0, 1), dtype=np.float32) * np.float32(65535) + np.float32(0.5)
        result[top : top + _BAND_ROWS] = DISPLAY_16[place.astype(np.uint16)]
    progress(height, height)
    return result


def highlight(linear: Floats, gains: Gains) -> float:
    """The value that only the brightest 0.1 % of a picture exceed in their strongest channel, after the gains."""
    return float(np.percentile(highest(linear * gains.array.astype(linear.dtype)), 99.9))


def to_8_bits(picture: NDArray[np.uint8] | NDArray[np.uint16]) -> NDArray[np.uint8]:
    """Rounded to 8 bits; 8 bits come back as they are."""
    if picture.dtype == np.uint8:
        return np.asarray(picture, np.uint8)
    return ((picture.astype(np.uint32) * 255 + 32767) // 65535).astype(np.uint8)
