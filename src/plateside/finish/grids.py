"""Bilateral grids: sums scattered over places and bins become values everywhere, each with how far it is trusted.

A grid is (rows, columns, bins, n + 1): n sums of weighted values and the weight; filled, n values and their trust.
"""

import numpy as np
from numba import njit, prange
from numpy.typing import NDArray

Floats = NDArray[np.float32]

_FEW = 1.0
"""Weight of sources at which they count as much as all that lies further off: about a bright pixel."""


def flowed(sums: Floats, lost: NDArray[np.bool_]) -> Floats:
    """Weighted sums (rows, columns, levels, values and weight) as values and trust, carried on through `lost` cells.

    A ring of cells around is filled as well, for reading between them.
    """
    weight = sums[..., -1:]
    known = weight[..., 0] >= _FEW
    values = np.where(known[..., None], sums[..., :-1] / np.maximum(weight, _FEW), 0).astype(np.float32)
    for _ in range(sum(sums.shape[:3])):
        taken = _ring(values, known, lost & ~known)
        if not taken.any():
            break
        known = known | taken
    taken = _ring(values, known, ~known)
    return np.concatenate([values, (known | taken)[..., None]], axis=-1).astype(np.float32)


def _ring(values: Floats, known: NDArray[np.bool_], wanted: NDArray[np.bool_]) -> NDArray[np.bool_]:
    """Give each wanted cell that touches known ones their mean, in place; which those are."""
    taken = np.zeros_like(known)
    means = values.copy()
    for i, j, k in np.argwhere(wanted & _touched(known)):
        near = np.s_[max(i - 1, 0) : i + 2, max(j - 1, 0) : j + 2, max(k - 1, 0) : k + 2]
        means[i, j, k] = values[near][known[near]].mean(axis=0)
        taken[i, j, k] = True
    values[...] = means
    return taken


def _touched(known: NDArray[np.bool_]) -> NDArray[np.bool_]:
    for axis in range(3):
        wide = np.pad(known, [(int(n == axis), int(n == axis)) for n in range(3)])
        wide = np.moveaxis(wide, axis, 0)
        known = np.moveaxis(wide[:-2] | wide[1:-1] | wide[2:], 0, axis)
    return known


def filled(sums: Floats) -> Floats:
    """Weighted sums (rows, columns, bins, values and weight) as values and trust, gaps filled from coarser places."""
    levels = [sums]
    while max(levels[-1].shape[:2]) > 1:
        levels.append(_pulled(levels[-1]))
    result = np.zeros_like(levels[-1])
    for level in reversed(levels):
        result = _pushed(level, result)
    return result


def _pulled(fine: Floats) -> Floats:
    rows, columns = fine.shape[:2]
    even = np.pad(fine, ((0, rows % 2), (0, columns % 2), (0, 0), (0, 0)))
    even = even[::2] + even[1::2]
    return np.ascontiguousarray(even[:, ::2] + even[:, 1::2])


@njit(cache=True, parallel=True)
def _pushed(fine: Floats, coarse: Floats) -> Floats:
    out = np.empty_like(fine)
    rows, columns, bins, last = fine.shape
    last -= 1
    ry = 2.0 if coarse.shape[0] < rows else 1.0
    rx = 2.0 if coarse.shape[1] < columns else 1.0
    for i in prange(rows):
        for j in range(columns):
            for k in range(bins):
                weight = fine[i, j, k, last]
                own = weight / (weight + _FEW)
                y, x = (i + 0.5) / ry - 0.5, (j + 0.5) / rx - 0.5
                trust = read(coarse, y, x, k, last, False)
                whole = own + (1 - own) * trust
                for n in range(last):
                    mine = fine[i, j, k, n] / weight if weight > 0 else 0.0
                    theirs = read(coarse, y, x, k, n, True)
                    out[i, j, k, n] = (own * mine + (1 - own) * theirs) / whole if whole > 0 else 0.0
                out[i, j, k, last] = whole
    return out


@njit(cache=True)
def read(grid: Floats, y: float, x: float, k: float, n: int, trusted: bool) -> float:
    """The n-th number at a place between cells; `trusted`: times the trust there."""
    rows, columns, bins, last = grid.shape
    last -= 1
    y, x, k = min(max(y, 0.0), rows - 1.0), min(max(x, 0.0), columns - 1.0), min(max(k, 0.0), bins - 1.0)
    i, j, m = int(y), int(x), int(k)
    total = 0.0
    for di in range(2):
        wi = y - i if di else 1 - y + i
        if wi == 0:
            continue
        for dj in range(2):
            wj = x - j if dj else 1 - x + j
            if wj == 0:
                continue
            for dm in range(2):
                wm = k - m if dm else 1 - k + m
                if wm == 0:
                    continue
                value = grid[i + di, j + dj, m + dm, n]
                if trusted:
                    value *= grid[i + di, j + dj, m + dm, last]
                total += wi * wj * wm * value
    return total
