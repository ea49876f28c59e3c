"""Fine contrast of the dish in all frames of a shot, rendered alike first: as large, as bright, as far clipped.

A frame that is exposed less keeps glints that are clipped in the others, and a raw's preview may have fewer pixels
than a JPEG: neither is sharpness.
"""

from collections.abc import Sequence

import cv2
import numpy as np
from numpy.typing import NDArray

from plateside.frames.bursts import Detail, detail_in
from plateside.frames.facts import Box
from plateside.frames.same_shape import sized
from plateside.ground.srgb import byte_table, to_display

FARTHEST_STOPS = 3.0
"""Beyond this an exposure leaves nothing to compare."""
_WHOLE: Box = (0.0, 0.0, 1.0, 1.0)


def dish_of(picture: NDArray[np.uint8], box: Box) -> NDArray[np.uint8]:
    """The dish's place of a display picture in grey: all that `details_alike` looks at."""
    high, wide = picture.shape[:2]
    x0, y0, x1, y1 = (round(v * n) for v, n in zip(box, (wide, high, wide, high), strict=True))
    part = np.ascontiguousarray(picture[max(y0, 0) : max(y1, 1), max(x0, 0) : max(x1, 1)])
    return np.asarray(cv2.cvtColor(part, cv2.COLOR_RGB2GRAY), np.uint8)


def details_alike(dishes: Sequence[NDArray[np.uint8]], stops: Sequence[float]) -> list[Detail | None]:
    """Fine contrast (`bursts.detail_in`) of each dish at one size and one exposure.

    dishes  as `dish_of` gives them
    stops   how much brighter each frame is than the others
    """
    if not dishes:
        return []
    high, wide = min((d.shape for d in dishes), key=lambda shape: shape[0] * shape[1])[:2]
    off = np.clip(np.asarray(stops, float), -FARTHEST_STOPS, FARTHEST_STOPS)
    # what the brightest frame has clipped is clipped in all
    ceiling = 2.0 ** -max(float(off.max()), 0.0)
    found = []
    for dish, brighter in zip(dishes, off, strict=True):
        levels = 255 * to_display(np.minimum(byte_table() * 2.0**-brighter, ceiling))
        found.append(detail_in(levels.astype(np.float32)[sized(dish, wide, high)], _WHOLE))
    return found
