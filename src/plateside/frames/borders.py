"""What of a picture file is no photograph: a white border about it, and white bars between the pictures of a collage.

They are no highlight, and no white plate to meter by. Only whole rows and columns count, white from edge to edge. A
backdrop as white as that is left out as well: it is meant to be. A black border changes no measure of light parts.
"""

import numpy as np
from numpy.typing import NDArray

WHITE = 0.9
"""Linear, of the lowest channel: code value 243 of sRGB; as far down as compression takes white beside an edge."""
BESIDE_PX = 2
"""Where the border ends its row holds some of the picture, and compression has rung."""
LEAST_LEFT = 0.15
"""Of the rows, and of the columns: with less left the picture itself is white."""


def photographed(linear: NDArray[np.float32]) -> tuple[NDArray[np.bool_], NDArray[np.bool_]]:
    """Rows and columns of a small linear picture (height x width x 3) that belong to a photograph."""
    lowest = linear.min(axis=2)
    rows, columns = (~_grown(np.asarray(lowest.min(axis=axis) >= WHITE)) for axis in (1, 0))
    if min(rows.mean(), columns.mean()) < LEAST_LEFT:
        return np.ones(rows.size, bool), np.ones(columns.size, bool)
    return rows, columns


def _grown(plain: NDArray[np.bool_]) -> NDArray[np.bool_]:
    return np.asarray(np.convolve(plain, np.ones(2 * BESIDE_PX + 1), "same") > 0)
