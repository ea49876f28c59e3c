"""Changes of light between frames: clouds, another colour of daylight, a lamp left on.

Colour of a black body: Planck's law sampled through the CIE 1931 observer by the fit of Kim et al. (2002) to the
Planckian locus, x from T and y from x, valid from 1667 K to 25 000 K.
"""

from typing import Any

import numpy as np
from numpy.typing import NDArray

from plateside.demo.camera.take import Take
from plateside.picture.scene import LUMINANCE, Colour
from plateside.picture.sensor import SRGB_TO_XYZ

Float = NDArray[np.float32]


def planckian_xy(temperature_k: float) -> tuple[float, float]:
    """CIE 1931 chromaticity of a black body (Kim et al. 2002, US patent 7 024 034)."""
    t = min(max(temperature_k, 1667.0), 25000.0)
    if t <= 4000.0:
        x = -0.2661239e9 / t**3 - 0.2343589e6 / t**2 + 0.8776956e3 / t + 0.179910
    else:
        x = -3.0258469e9 / t**3 + 2.1070379e6 / t**2 + 0.2226347e3 / t + 0.240390
    if t <= 2222.0:
        y = -1.1063814 * x**3 - 1.34811020 * x**2 + 2.18555832 * x - 0.20219683
    elif t <= 4000.0:
        y = -0.9549476 * x**3 - 1.37418593 * x**2 + 2.09137015 * x - 0.16748867
    else:
        y = 3.0817580 * x**3 - 5.87338670 * x**2 + 3.75112997 * x - 0.37001483
    return x, y


def planckian_rgb(temperature_k: float) -> NDArray[np.float32]:
    """Linear sRGB of a black body, luminance 1."""
    x, y = planckian_xy(temperature_k)
    rgb = np.linalg.solve(SRGB_TO_XYZ, np.array([x / y, 1.0, (1.0 - x - y) / y]))
    rgb = np.maximum(rgb, 0.0)
    return np.asarray(rgb / float(LUMINANCE @ rgb), dtype=np.float32)


def daylight_change(take: Take, base_k: float = 6500.0) -> NDArray[np.float32]:
    """Factor on linear sRGB by the take's change of strength and colour of the window's light."""
    factor = np.full(3, 2.0**take.light_stops, dtype=np.float32)
    if take.light_mired_shift:
        shifted = 1e6 / (1e6 / base_k + take.light_mired_shift)
        change = planckian_rgb(shifted) / planckian_rgb(base_k)
        factor *= change / float(LUMINANCE @ change)
    return factor


def lamp_factor(take: Take, size_px: tuple[int, int], white: Colour) -> Float | None:
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
