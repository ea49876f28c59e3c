"""A sensor's mosaic as numbers: counted and binned in one pass each (numba; 24 megapixels in tens of ms).

`count_levels`  histogram of the raw counts per colour
`bin_cells`     each 2 x 2 cell of a Bayer mosaic becomes one linear pixel: R, mean of both G, B
"""

import numpy as np
from numba import njit, prange
from numpy.typing import NDArray

COUNTS = 65536


@njit(cache=True, parallel=True)
def _count(mosaic: NDArray[np.uint16], pattern: NDArray[np.int64], parts: int) -> NDArray[np.int64]:
    height, width = mosaic.shape
    table = np.zeros((parts, 4, COUNTS), np.int64)
    for part in prange(parts):
        for y in range(part * height // parts, (part + 1) * height // parts):
            even, odd = pattern[y & 1, 0], pattern[y & 1, 1]
            for x in range(0, width - 1, 2):
                table[part, even, mosaic[y, x]] += 1
                table[part, odd, mosaic[y, x + 1]] += 1
    return table


def count_levels(mosaic: NDArray[np.uint16], pattern: NDArray[np.int64]) -> NDArray[np.int64]:
    """Histogram of a Bayer mosaic, 4 x 65536: how often each count occurs in each of the four colours.

    `pattern` is 2 x 2: the colour index (0 R, 1 G, 2 B, 3 second G) of the mosaic's upper left cell.
    """
    counts: NDArray[np.int64] = _count(mosaic, pattern.astype(np.int64), 4).sum(axis=0)
    return counts


@njit(cache=True, parallel=True)
def _bin(
    mosaic: NDArray[np.uint16],
    pattern: NDArray[np.int64],
    black: NDArray[np.float32],
    gain: NDArray[np.float32],
    out: NDArray[np.float32],
) -> None:
    rows, columns = out.shape[0], out.shape[1]
    for i in prange(rows):
        for j in range(columns):
            r = np.float32(0.0)
            g = np.float32(0.0)
            b = np.float32(0.0)
            for dy in range(2):
                for dx in range(2):
                    c = pattern[dy, dx]
                    v = (np.float32(mosaic[2 * i + dy, 2 * j + dx]) - black[c]) * gain[c]
                    if c == 0:
                        r += v
                    elif c == 2:
                        b += v
                    else:
                        g += v
            out[i, j, 0] = r
            out[i, j, 1] = g * np.float32(0.5)
            out[i, j, 2] = b


def bin_cells(
    mosaic: NDArray[np.uint16],
    pattern: NDArray[np.int64],
    black: tuple[float, ...],
    white: tuple[float, ...],
) -> NDArray[np.float32]:
    """Half-size linear picture of a Bayer mosaic: black becomes 0, white becomes 1, each colour by its own levels.

    `black` and `white` are counts for the four colour indices. Nothing is clipped: noise below black stays
    negative, so that means stay true.
    """
    out = np.empty((mosaic.shape[0] // 2, mosaic.shape[1] // 2, 3), np.float32)
    low = np.asarray(black, np.float32)
    span = np.maximum(np.asarray(white, np.float32) - low, 1.0)
    _bin(mosaic, pattern.astype(np.int64), low, (1.0 / span).astype(np.float32), out)
    return out
