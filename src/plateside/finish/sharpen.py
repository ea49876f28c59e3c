"""Sharpening for the size delivered: unsharp mask on lightness alone, without bright or dark halos.

Common practice, no source: radius a little under a pixel at the delivered size, after resizing; halos held to the
lightest and darkest neighbour plus a small allowance.
"""

import cv2
import numpy as np
from numpy.typing import NDArray

from plateside.ground.srgb import LUMINANCE


def sharpen(
    display: NDArray[np.uint8] | NDArray[np.uint16], amount: float = 0.45, radius_px: float = 0.7
) -> NDArray[np.uint8] | NDArray[np.uint16]:
    """A display-encoded picture (h, w, 3), sharpened; same type and shape.

    amount     0 changes nothing
    radius_px  standard deviation of the blur that is taken away [px]
    """
    if amount <= 0:
        return display
    top = np.iinfo(display.dtype).max
    light = (display @ LUMINANCE.astype(np.float32)).astype(np.float32)
    blurred = cv2.GaussianBlur(light, (0, 0), radius_px, borderType=cv2.BORDER_REPLICATE)
    wanted = light + amount * (light - blurred)
    square = np.ones((3, 3), np.uint8)
    allowance = 0.02 * top
    lowest = cv2.erode(light, square, borderType=cv2.BORDER_REPLICATE) - allowance
    highest = cv2.dilate(light, square, borderType=cv2.BORDER_REPLICATE) + allowance
    change = np.clip(wanted, lowest, highest) - light
    result = display.astype(np.float32) + change[..., None]
    rounded = np.clip(np.rint(result), 0, top)
    return np.asarray(rounded, np.uint16) if display.dtype == np.uint16 else np.asarray(rounded, np.uint8)
