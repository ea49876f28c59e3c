"""Highest and lowest channel of a pixel, and its length: far faster than a reduction over the short last axis."""

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


def length(vectors: NDArray[Any]) -> NDArray[Any]:
    """... x n to ...: the root of the sum of squares."""
    first, *others = (vectors[..., n] ** 2 for n in range(vectors.shape[-1]))
    return np.asarray(np.sqrt(sum(others, first)))
