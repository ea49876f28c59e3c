"""Turning a stored picture upright: EXIF orientation (tag 274, Exif 2.32) and LibRaw's flip."""

from typing import Any

import numpy as np
from numpy.typing import NDArray

_OF_FLIP = {0: 1, 1: 2, 2: 4, 3: 3, 4: 5, 5: 8, 6: 6, 7: 7}
"""LibRaw mirrors left and right by 1, top and bottom by 2, after it has changed rows for columns by 4."""


def orientation_of_flip(flip: int) -> int:
    """EXIF orientation for LibRaw's flip (0 none, 3 half turn, 5 a quarter left, 6 a quarter right; others mirror)."""
    return _OF_FLIP.get(flip, 1)


def upright(picture: NDArray[Any], orientation: int) -> NDArray[Any]:
    """The picture as it should be seen. 6: the stored top row is the right side; 8: the left; 3: the bottom."""
    if orientation in (2, 3):
        picture = picture[:, ::-1]
    if orientation in (3, 4):
        picture = picture[::-1]
    if orientation in (5, 6, 7, 8):
        picture = np.swapaxes(picture, 0, 1)
        if orientation in (6, 7):
            picture = picture[:, ::-1]
        if orientation in (7, 8):
            picture = picture[::-1]
    return np.ascontiguousarray(picture)
