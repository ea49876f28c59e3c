"""Changes of light between frames: clouds, another colour of daylight, a lamp left on."""

from typing import Any

import numpy as np
from numpy.typing import NDArray

from plateside.demo.camera.take import Exposure
from plateside.ground.srgb import FROM_XYZ, LUMINANCE
from plateside.ground.temperature import planckian_xy
from plateside.picture.scene import Colour

Float = NDArray[np.float32]


def planckian_rgb(temperature_k: float) -> NDArray[np.float32]:
    """Linear sRGB of a black body, luminance 1."""
    x, y = planckian_xy(temperature_k)
    rgb = FROM_XYZ @ np.array([x / y, 1.0, (1.0 - x - y) / y])
    rgb = np.maximum(rgb, 0.0)
    return np.asarray(rgb / float(LUMINANCE @ rgb), dtype=np.float32)


def daylight_change(take: Exposure, base_k: float = 6500.0) -> NDArray[np.float32]:
    """Factor on linear sRGB by the take's change of strength and colour of the window's light."""
    factor = np.full(3, 2.0**take.light_stops, dtype=np.float32)
    if take.light_mired_shift:
        shifted = 1e6 / (1e6 / base_k + take.light_mired_shift)
        change = planckian_rgb(shifted) / planckian_rgb(base_k)
        factor *= change / float(LUMINANCE @ change)
    return factor


def lamp_factor(take: Exposure, size_px: tuple[int, int], white: Colour) -> Float | None:
    """What a lamp adds at each pixel, as a factor on linear sRGB (None without one).

    The lamp hangs beside the frame; its light falls with the square of the distance and the cosine on the table.
    At the middle of the frame its illuminance is `lamp_share` of the window's.
    """
    if take.lamp_share <= 0.0:
        return None
    width, height = size_px
    x, y = np.meshgrid(
        np.arange(width, dtype=np.float32) / width, np.arange(height, dtype=np.float32) / width
    )
    h = take.lamp_height

    def strength(px: NDArray[Any] | float, py: NDArray[Any] | float) -> Float:
        r2 = (px - take.lamp_from[0]) ** 2 + (py - take.lamp_from[1]) ** 2 + h * h
        return np.asarray(h / r2**1.5, dtype=np.float32)

    fall = strength(x, y) / strength(0.5, 0.5 * height / width)
    window = np.asarray(white, dtype=np.float32)
    window_of_one = window / float(LUMINANCE @ window)
    colour = planckian_rgb(take.lamp_temperature_k) / np.maximum(window_of_one, 1e-3)
    return np.asarray(take.lamp_share * fall[..., None] * colour, dtype=np.float32)
