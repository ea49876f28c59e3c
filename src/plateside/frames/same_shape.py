"""A frame brought to its reference's shape: a raw is often some pixels larger than its JPEG, or shows another preview.

Both have the same middle (the camera cuts its JPEG from the middle of the sensor), so the wider of the two is cut at
both sides alike and brought to one size, the smaller of the two: enlarging would look like blur. What is then still a
little off, `register` finds.
"""

import cv2
import numpy as np
from numpy.typing import NDArray

MOST_CUT = 0.15
"""Of one side: 4:3 is cut by 11 % to 3:2; 16:9 by 16 % to 3:2, and what is cut off so far was framed otherwise."""


def cut_to(picture: NDArray, width: int, height: int) -> NDArray | None:
    """The middle of a picture in the shape width : height, at its own scale; None when too much would be cut."""
    high, wide = picture.shape[:2]
    across, down = min(wide, round(high * width / height)), min(high, round(wide * height / width))
    if across < (1 - MOST_CUT) * wide or down < (1 - MOST_CUT) * high:
        return None
    left, top = (wide - across) // 2, (high - down) // 2
    return picture[top : top + down, left : left + across]


def sized(picture: NDArray, width: int, height: int) -> NDArray:
    """Brought to exactly this size."""
    if picture.shape[:2] == (height, width):
        return picture
    shrinks = width <= picture.shape[1]
    way = cv2.INTER_AREA if shrinks else cv2.INTER_LINEAR
    return np.asarray(cv2.resize(picture, (width, height), interpolation=way), picture.dtype)
