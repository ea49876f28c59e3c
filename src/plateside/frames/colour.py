"""The colour of the light, in mired and tint, from a grey card, a reference, or (less surely) the picture itself.

Mired: 10^6 over the correlated colour temperature, McCamy, "Correlated color temperature as an explicit function of
chromaticity coordinates", Color Res. Appl. 17 (1992). A cast is told as the mired distance of what should be grey
from D65; warm is positive. Below 15 mired (about 600 K at 6500 K) few see it: common practice, no source.
"""

import numpy as np
from numpy.typing import NDArray

from plateside.frames.facts import ColourFacts
from plateside.ground.srgb import LUMINANCE_32, TO_XYZ
from plateside.ground.temperature import mccamy_cct_k
from plateside.model.channels import highest, lowest

Array = NDArray[np.float32]


def mired_of(rgb: tuple[float, float, float] | NDArray[np.floating]) -> float:
    """Mired of the light that a grey thing of these linear sRGB values would show."""
    xyz = TO_XYZ @ np.maximum(np.asarray(rgb, float), 1e-6)
    x, y = xyz[:2] / xyz.sum()
    return float(1e6 / np.clip(mccamy_cct_k(float(x), float(y)), 1000.0, 60000.0))


NEUTRAL_MIRED = mired_of((1.0, 1.0, 1.0))


def cast_of(rgb: tuple[float, float, float] | NDArray[np.floating]) -> tuple[float, float]:
    """Cast [mired, warm positive] and tint [stops, green positive] of what should be grey."""
    r, g, b = (max(float(v), 1e-6) for v in rgb)
    return mired_of((r, g, b)) - NEUTRAL_MIRED, float(np.log2(g / np.sqrt(r * b)))


def cast_of_card(
    linear: Array, box: tuple[float, float, float, float], confidence: float = 1.0
) -> ColourFacts:
    """From the grey card in `box` (shares of the picture): the median of its middle half."""
    height, width = linear.shape[:2]
    x0, y0, x1, y1 = box
    dx, dy = (x1 - x0) / 4, (y1 - y0) / 4
    part = linear[
        int((y0 + dy) * height) : max(int((y1 - dy) * height), int((y0 + dy) * height) + 1),
        int((x0 + dx) * width) : max(int((x1 - dx) * width), int((x0 + dx) * width) + 1),
    ]
    middle = np.median(part.reshape(-1, 3), axis=0).astype(np.float64)
    cast, tint = cast_of(middle)
    return ColourFacts(cast, tint, "grey card", box, confidence, float(middle @ LUMINANCE_32))


def cast_of_world(linear: Array) -> ColourFacts:
    """From the picture itself: the mean of its pale, unclipped parts, brighter ones counting more.

    A kitchen set has much that is near neutral (plates, linen, stone); still, a set of one colour fools this.
    """
    pixels = linear[::2, ::2].reshape(-1, 3)
    luminance = pixels @ LUMINANCE_32
    top = highest(pixels)
    usable = (luminance > 0.03) & (top < 0.95)
    if np.count_nonzero(usable) < 100:
        return ColourFacts(0.0, 0.0, "grey world")
    used = pixels[usable].astype(np.float64)
    most = highest(used)
    chroma = (most - lowest(used)) / most
    pale = chroma <= np.percentile(chroma, 30)
    weights = luminance[usable][pale].astype(np.float64)
    mean = (used[pale] * weights[:, None]).sum(axis=0) / weights.sum()
    cast, tint = cast_of(mean)
    return ColourFacts(cast, tint, "grey world")
