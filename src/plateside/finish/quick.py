"""A finished picture in 8 bits at once, to look at while a hand turns: `render` in one pass, by tables."""

from typing import Any

import numpy as np
from numba import njit, prange
from numpy.typing import NDArray

from plateside.finish.tone import Curve
from plateside.finish.white_balance import Gains
from plateside.ground.srgb import LUMINANCE_32, to_display

_POINTS = 4096
_DISPLAY = np.rint(255 * to_display((np.arange(_POINTS) / (_POINTS - 1)) ** 2)).astype(np.uint8)
"""Codes by the square root of linear light."""


def quick_render(linear: NDArray[np.float32], gains: Gains, curve: Curve) -> NDArray[np.uint8]:
    """As `to_8_bits(render(linear, gains, curve))`, within a code or two of 255."""
    out = np.empty(linear.shape, np.uint8)
    factor, scale = gains.array.astype(np.float32), scales_of(curve, _POINTS)
    _render(linear, factor, scale, np.float32(curve.white), LUMINANCE_32, _DISPLAY, out)
    return out


def scales_of(curve: Curve, points: int) -> NDArray[np.float32]:
    """By what a curve multiplies, at even steps of the square root of light from 0 to its white."""
    at = (np.arange(points) / (points - 1)) ** 2 * curve.white
    scale = np.ones(points)
    scale[1:] = curve(at[1:]) / at[1:]
    scale[0] = scale[1]
    return scale.astype(np.float32)


@njit(cache=True, parallel=True, fastmath=True)
def _render(
    linear: NDArray[np.float32],
    factor: NDArray[np.float32],
    scale: NDArray[np.float32],
    white: np.float32,
    luminance: NDArray[np.float32],
    display: NDArray[np.uint8],
    out: NDArray[np.uint8],
) -> None:
    zero, one, last = np.float32(0), np.float32(1), np.float32(len(display) - 1)
    half = np.float32(0.5)
    for y in prange(linear.shape[0]):
        for x in range(linear.shape[1]):
            red = max(linear[y, x, 0] * factor[0], zero)
            green = max(linear[y, x, 1] * factor[1], zero)
            blue = max(linear[y, x, 2] * factor[2], zero)
            r, g, b = displayed(red, green, blue, scale, white, luminance)
            out[y, x, 0] = display[int(np.sqrt(min(max(r, zero), one)) * last + half)]
            out[y, x, 1] = display[int(np.sqrt(min(max(g, zero), one)) * last + half)]
            out[y, x, 2] = display[int(np.sqrt(min(max(b, zero), one)) * last + half)]


@njit(cache=True, nogil=True, fastmath=True, inline="always")
def displayed(
    r: Any, g: Any, b: Any, scale: NDArray[np.float32], white: np.float32, luminance: NDArray[np.float32]
) -> tuple[Any, Any, Any]:
    """One pixel's linear light, none of it negative, by a curve (`scales_of`), drawn to grey where it does not fit."""
    zero, one, last = np.float32(0), np.float32(1), np.float32(len(scale) - 1)
    squares = r * r + g * g + b * b
    if squares <= zero:
        return zero, zero, zero
    norm = (r * r * r + g * g * g + b * b * b) / squares
    if norm >= white:
        s = one / norm
    else:
        place = np.sqrt(norm / white) * last
        k = min(int(place), len(scale) - 2)
        t = place - np.float32(k)
        s = scale[k] * (one - t) + scale[k + 1] * t
    r, g, b = r * s, g * s, b * s
    top = max(r, max(g, b))
    if top > one:
        light = min(luminance[0] * r + luminance[1] * g + luminance[2] * b, one)
        keep = min((one - light) / max(top - light, np.float32(1e-12)), one)
        r = light + (r - light) * keep
        g = light + (g - light) * keep
        b = light + (b - light) * keep
    return r, g, b
