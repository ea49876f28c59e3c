"""The highest and the lowest channel of each pixel: many times faster than a reduction over the short last axis."""

from typing import Any

import numpy as np
from numpy.typing import NDArray


def highest(picture: NDArray[Any]) -> NDArray[Any]:
    """... x 3 to ...."""
    return np.asarray(np.maximum(np.maximum(picture[..., 0], picture[..., 1]), picture[..., 2]))


def lowest(picture: NDArray[Any]) -> NDArray[Any]:
    """... x 3 to ...."""
    return np.asarray(np.minimum(np.minimum(picture[..., 0], picture[..., 1]), picture[..., 2]))
