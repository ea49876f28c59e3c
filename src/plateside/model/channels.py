"""The highest and the lowest channel of each pixel: many times faster than a reduction over the short last axis."""

from typing import Any

import numpy as np
from numpy.typing import NDArray


def highest(picture: NDArray[Any]) -> NDArray[Any]:
    """... x 3 to ...."""
    red_green = np.maximum(picture[..., 0], picture[..., 1])
    return np.asarray(np.maximum(red_green, picture[..., 2]))


def lowest(picture: NDArray[Any]) -> NDArray[Any]:
    """... x 3 to ...."""
    red_green = np.minimum(picture[..., 0], picture[..., 1])
    return np.asarray(np.minimum(red_green, picture[..., 2]))
