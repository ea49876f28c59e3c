"""A sensor's mosaic as numbers: counted and binned in one pass each (numba; 24 megapixels in tens of ms).

`count_levels`  histogram of the raw counts per colour
`bin_cells`     each 2 x 2 photosites become one linear pixel, the mean of each colour

A mosaic repeats every 2 x 2 photosites (Bayer) or every 6 x 6 (X-Trans, US patent 8,531,563).
"""

from itertools import product

import numpy as np
from numba import njit, prange
from numpy.typing import NDArray

COUNTS = 65536


@njit(cache=True, parallel=True)
def _count(mosaic: NDArray[np.uint16], pattern: NDArray[np.int64], parts: int) -> NDArray[np.int64]:
    (height, width), (rows, columns) = mosaic.shape, pattern.shape
    table = np.zeros((parts, 4, COUNTS), np.int64)
    for part in prange(parts):
        for y in range(part * height // parts, (part + 1) * height // parts):
            for first in range(columns):
                colour = pattern[y % rows, first]
                for x in range(first, width, columns):
                    table[part, colour, mosaic[y, x]] += 1
    return table


def count_levels(mosaic: NDArray[np.uint16], pattern: NDArray[np.int64]) -> NDArray[np.int64]:
    """Histogram of a mosaic, 4 x 65536: how often each count occurs in each of the four colours.

    `pattern` is 2 x 2 or 6 x 6: the colour indices (0 R, 1 G, 2 B, 3 second G) from the mosaic's upper left corner on.
    """
    counts: NDArray[np.int64] = _count(mosaic, pattern.astype(np.int64), 4).sum(axis=0)
    return counts


@njit(cache=True, parallel=True)
def _bin(
    mosaic: NDArray[np.uint16],
    pattern: NDArray[np.int64],
    black: NDArray[np.float32],
    share: NDArray[np.float32],
    out: NDArray[np.float32],
) -> None:
    rows, columns = pattern.shape
    for i in prange(out.shape[0]):
        top, left = 2 * i % rows, 0
        for j in range(out.shape[1]):
            r = g = b = np.float32(0.0)
            for dy in range(2):
                for dx in range(2):
                    c = pattern[top + dy, left + dx]
                    v = (np.float32(mosaic[2 * i + dy, 2 * j + dx]) - black[c]) * share[top + dy, left + dx]
                    if c == 0:
                        r += v
                    elif c == 2:
                        b += v
                    else:
                        g += v
            out[i, j, 0] = r
            out[i, j, 1] = g
            out[i, j, 2] = b
            left = left + 2 if left + 2 < columns else 0


def bin_cells(
    mosaic: NDArray[np.uint16],
    pattern: NDArray[np.int64],
    black: tuple[float, ...],
    white: tuple[float, ...],
) -> NDArray[np.float32]:
    """Half-size linear picture of a mosaic: black becomes 0, white becomes 1, each colour by its own levels.

    `black` and `white` are counts for the four colour indices. Nothing is clipped: noise below black stays
    negative, so that means stay true. Where 2 x 2 photosites of a mosaic of 6 x 6 lack a colour, it is the mean of the
    pixels on the left and on the right.
    """
    out = np.empty((mosaic.shape[0] // 2, mosaic.shape[1] // 2, 3), np.float32)
    low = np.asarray(black, np.float32)
    span = np.maximum(np.asarray(white, np.float32) - low, 1.0)
    # what each photosite adds to the mean of its colour
    share, lacking = np.empty(pattern.shape, np.float32), []
    for y, x in product(*(range(0, side, 2) for side in pattern.shape)):
        cell = pattern[y : y + 2, x : x + 2]
        channels = np.where(cell == 3, 1, cell)
        in_mean = (channels[..., None, None] == channels).sum(axis=(2, 3))
        share[y : y + 2, x : x + 2] = 1 / (in_mean * span[cell])
        lacking += [(y // 2, x // 2, c) for c in (0, 2) if c not in channels]
    _bin(mosaic, pattern.astype(np.int64), low, share, out)
    for y, x, c in lacking:
        rows = out[y :: pattern.shape[0] // 2, :, c]
        at = np.arange(x, rows.shape[1], pattern.shape[1] // 2)
        left, right = np.where(at > 0, at - 1, at + 1), np.where(at + 1 < rows.shape[1], at + 1, at - 1)
        rows[:, at] = (rows[:, left] + rows[:, right]) / 2
    return out
