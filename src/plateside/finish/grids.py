"""Bilateral grids: sums scattered over places and bins become values everywhere, each with how far it is trusted.

A grid is (rows, columns, bins, n + 1): n sums of weighted values and the weight; filled, n values and their trust.
"""

import numpy as np
from numba import njit, prange
from numpy.typing import NDArray

Floats = NDArray[np.float32]

_FEW = 1.0
"""Weight of sources at which they count as much as all that lies further off: about a bright pixel."""


def flowed(sums: Floats, lost: NDArray[np.bool_], least: Floats, across: int) -> Floats:
    """Weighted sums (rows, columns, bins, values and weight) as values and trust, carried on through `lost` cells.

    least  what a lost cell's values must come up to, to be given to it; broadcast to (rows, columns, bins, values)
    across  bins to either side from which a cell is given something

    A ring of cells around is filled as well, for reading between them.
    """
    weight = sums[..., -1:]
    known = weight[..., 0] >= _FEW
    values = np.where(known[..., None], sums[..., :-1] / np.maximum(weight, _FEW), 0).astype(np.float32)
    trust = known.astype(np.float32)
    _carry(values, trust, np.argwhere(lost & ~known), np.broadcast_to(least, values.shape), across)
    return np.concatenate([values, trust[..., None]], axis=-1)


@njit(cache=True)
def _carry(values: Floats, trust: Floats, wanted: NDArray[np.int64], least: Floats, across: int) -> None:
    """Wanted cells (n, 3) that touch known ones are given their mean, in place, ring by ring; then one ring more."""
    while True:
        left, taken = 0, 0
        means = np.empty((len(wanted), values.shape[3]), np.float32)
        for n in range(len(wanted)):
            i, j, k = wanted[n]
            if _mean_about(values, trust, (i, j, k), across, least[i, j, k], means[taken]):
                # those taken first, so that none of this ring is heard in it
                wanted[n], wanted[taken] = wanted[taken].copy(), wanted[n].copy()
                taken += 1
            else:
                left += 1
        for n in range(taken):
            i, j, k = wanted[n]
            values[i, j, k], trust[i, j, k] = means[n], 1
        wanted = wanted[taken:]
        if taken == 0 or left == 0:
            break
    known = trust.copy()
    any_is_enough = np.full(values.shape[3], -np.inf, np.float32)
    for i in range(known.shape[0]):
        for j in range(known.shape[1]):
            for k in range(known.shape[2]):
                if known[i, j, k] == 0 and _mean_about(
                    values, known, (i, j, k), across, any_is_enough, values[i, j, k]
                ):
                    trust[i, j, k] = 1


@njit(cache=True)
def _mean_about(
    values: Floats, trust: Floats, at: tuple[int, int, int], across: int, least: Floats, out: Floats
) -> bool:
    """The mean of the known cells that touch this one and come up to `least`; whether there is any."""
    i, j, k = at
    total, count = np.zeros(len(out), np.float32), 0
    for y in range(max(i - 1, 0), min(i + 2, trust.shape[0])):
        for x in range(max(j - 1, 0), min(j + 2, trust.shape[1])):
            for z in range(max(k - across, 0), min(k + across + 1, trust.shape[2])):
                if trust[y, x, z] > 0 and (values[y, x, z] >= least).all():
                    total += values[y, x, z]
                    count += 1
    if count > 0:
        out[:] = total / np.float32(count)
    return count > 0


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
