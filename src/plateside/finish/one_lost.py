"""One lost channel from the two that remain: what the frame's whole colours tell of it, and how it is read.

Two ratios make a colour. The ratio of the two whole channels still tells which surface it is, so the lost one follows
from places with the same ratio at which it is whole: a bilateral grid (J. Chen, S. Paris, F. Durand, "Real-time
edge-aware image processing with the bilateral grid", 2007) over place and that ratio, its gaps filled from coarser
grids (push and pull: S. Gortler et al., "The lumigraph", 1996), so that near places speak before far ones. A third
side bounds it from below: a grey plate, which has less red than was counted, cannot tell of a tomato whose green and
blue are as alike as grey's. Before all this comes what is carried on along the lost thing itself, cell by cell at its
own ratio, from where it is whole beside where it is lost; its sheen is its colour mixed with the light's.
"""

import numpy as np
from numba import njit, prange
from numpy.typing import NDArray

from plateside.finish.grids import Floats, filled, flowed, read

Counts = NDArray[np.uint16] | Floats
Learnt = tuple[Floats, Floats]
"""Log of a lost channel over the sum of the others, and trust: from anywhere (3, rows, columns, ratio, bound, 2); along
the lost thing (3, rows, columns, ratio, 2)"""
WHOLE_TO = 0.97
"""Share of saturation below which a channel is trusted; photon noise lies above."""
FURTHEST = 16.0
"""A channel is rebuilt to no more than this many times its saturation."""
_RATIO_BINS, _RATIO_STEP = 120, 0.06
"""Of the natural logarithm of a ratio, about zero."""
_BOUNDS, BOUND_STEP, _LOWEST_BOUND = 10, 0.35, -1.5
"""Of the logarithm of a lost channel over the sum of the others: a source counts for all bounds below its own."""
_SLACK = 0.05
"""By so much a texture may have less of a channel than its lost places beside have at the least."""
DARKEST = 0.004
_BESIDE_PX, _STEP, _STEP_DARK = 2, 0.3, 0.03
_OF_AN_EDGE = 0.001
"""How far to either side interpolation mixes; by what share of its light, and by what light besides, the two sides may
differ within one surface; and what a place counts where they do: without anything else, many are heard."""
ENOUGH = 0.05
"""Share of a cell that must be one surface: the soft edge between two is less, and no bridge from one to the other."""


def learnt_of_one(
    rgb: Counts, gain: Floats, top: Floats, channels: list[int], step: int, cell: int
) -> Learnt:
    """What whole pixels, every `step` of them, tell of each of `channels`, in cells of `cell` [px]."""
    rows, columns = -(-rgb.shape[0] // cell), -(-rgb.shape[1] // cell)
    one = np.zeros((3, rows, columns, _RATIO_BINS, _BOUNDS, 2), np.float32)
    same = np.zeros((3, rows, columns, _RATIO_BINS, 2), np.float32)
    for channel in channels:
        lost = np.zeros(same.shape[1:], np.float32)
        _one_sources(rgb, gain, top, channel, step, cell, one[channel], lost)
        same[channel] = _on_the_same(one[channel], lost, (cell / step) ** 2)
        used = _all_above(one[channel]).any(axis=0).ravel()
        bins = one[channel].reshape(rows, columns, -1, 2)
        bins[:, :, used] = filled(bins[:, :, used])
    return one, same


@njit(cache=True, inline="always")
def _ratio(a: float, b: float) -> float:
    """Place of log(a / b) in the grid [bins]; a little is added, so that noise near black does not count."""
    place = np.log((a + 0.002) / (b + 0.002)) / _RATIO_STEP + (_RATIO_BINS - 1) / 2
    return float(min(max(place, 0.0), _RATIO_BINS - 1.001))


@njit(cache=True, inline="always")
def alone(rgb: Counts, gain: Floats, y: int, x: int) -> float:
    """1 within one surface; _OF_AN_EDGE where its two sides differ: a mixture is neither's colour."""
    up, down = max(y - _BESIDE_PX, 0), min(y + _BESIDE_PX, rgb.shape[0] - 1)
    left, right = max(x - _BESIDE_PX, 0), min(x + _BESIDE_PX, rgb.shape[1] - 1)
    for c in range(3):
        for one, two in ((rgb[up, x, c], rgb[down, x, c]), (rgb[y, left, c], rgb[y, right, c])):
            if abs(one * gain[c] - two * gain[c]) > _STEP * 0.5 * (one + two) * gain[c] + _STEP_DARK:
                return _OF_AN_EDGE
    return 1.0


@njit(cache=True, parallel=True)
def _one_sources(
    rgb: Counts, gain: Floats, top: Floats, missing: int, step: int, cell: int,
    grid: Floats, lost: Floats,
) -> None:  # fmt: skip
    height, width = rgb.shape[:2]
    a, b = (missing + 1) % 3, (missing + 2) % 3
    for i in prange(grid.shape[0]):
        for y in range(i * cell, min((i + 1) * cell, height), step):
            for x in range(0, width, step):
                v, va, vb = rgb[y, x, missing] * gain[missing], rgb[y, x, a] * gain[a], rgb[y, x, b] * gain[b]
                if va >= WHOLE_TO * top[a] or vb >= WHOLE_TO * top[b]:
                    continue
                if v < DARKEST or va < 0 or vb < 0 or va + vb < 2 * DARKEST:
                    continue
                if v >= WHOLE_TO * top[missing]:
                    weight = alone(rgb, gain, y, x)
                    k = round(_ratio(va, vb))
                    lost[i, x // cell, k, 0] += weight * np.log(top[missing] / (va + vb))
                    lost[i, x // cell, k, 1] += weight
                    continue
                weight = (v / top[missing]) ** 4 * alone(rgb, gain, y, x)
                log_ratio = np.log(v / (va + vb))
                place = _ratio(va, vb)
                k, m = int(place), int(_bound(log_ratio))
                for n in range(2):
                    share = weight * (place - k if n else 1 - place + k)
                    grid[i, x // cell, k + n, m, 0] += share * log_ratio
                    grid[i, x // cell, k + n, m, 1] += share


def _on_the_same(grid: Floats, lost: Floats, many: float) -> Floats:
    """What is told of a channel along what has lost it (rows, columns, ratio, 2): by whole places of the same thing.

    Those lie in the same cells as some that are lost, and have as much of it as these have at the least.
    """
    there = lost[..., 1] >= ENOUGH * many
    least = np.where(there, lost[..., 0] / np.maximum(lost[..., 1], 1e-9) - _SLACK, 0).astype(np.float32)
    found = flowed(_beside(grid, there, least), there, least[..., None], 0)
    _with_sheen(found, lost[..., 1])
    return found


@njit(cache=True, parallel=True)
def _beside(grid: Floats, there: NDArray[np.bool_], least: Floats) -> Floats:
    """Sums over the bounds of what lies in a cell with something lost, and comes up to it."""
    rows, columns, bins = least.shape
    sums = np.zeros((rows, columns, bins, 2), np.float32)
    for i in prange(rows):
        for j in range(columns):
            for k in range(bins):
                if not there[i, j, k]:
                    continue
                for m in range(_BOUNDS):
                    value, weight = grid[i, j, k, m]
                    if value >= least[i, j, k] * weight:
                        sums[i, j, k, 0] += value
                        sums[i, j, k, 1] += weight
    return sums


@njit(cache=True, parallel=True)
def _with_sheen(found: Floats, lost: Floats) -> None:
    """What is not found, from more vivid things in its cell, in place: a wet thing's sheen adds the light's own colour.

    The dichromatic model: S. A. Shafer, "Using color to separate reflection components", 1985. Grey is grey here.
    """
    middle = (_RATIO_BINS - 1) / 2
    for i in prange(found.shape[0]):
        for j in range(found.shape[1]):
            for at in range(_RATIO_BINS):
                if lost[i, j, at] == 0 or found[i, j, at, 1] > 0 or abs(at - middle) < 1:
                    continue
                away = 1 if at > middle else -1
                mixed = np.exp((at - middle) * _RATIO_STEP)
                total, count = 0.0, 0.0
                k = at + away
                while 0 <= k < _RATIO_BINS:
                    if found[i, j, k, 1] == 1 and lost[i, j, k] > 0:
                        a = np.exp((k - middle) * _RATIO_STEP)
                        white = (a - mixed) / (mixed - 1)
                        told = np.log((np.exp(found[i, j, k, 0]) * (a + 1) + white) / (a + 1 + 2 * white))
                        total += lost[i, j, k] * told
                        count += lost[i, j, k]
                    k += away
                if count > 0:
                    found[i, j, at, 0], found[i, j, at, 1] = total / count, 0.999


@njit(cache=True, parallel=True)
def _all_above(grid: Floats) -> NDArray[np.bool_]:
    """Sums for each bound become sums over all that reach it, in place; at which ratios and bounds there is any."""
    rows, columns = grid.shape[:2]
    used = np.zeros((rows, _RATIO_BINS, _BOUNDS), np.bool_)
    for i in prange(rows):
        for j in range(columns):
            for k in range(_RATIO_BINS):
                for m in range(_BOUNDS - 1, -1, -1):
                    if m < _BOUNDS - 1:
                        grid[i, j, k, m, 0] += grid[i, j, k, m + 1, 0]
                        grid[i, j, k, m, 1] += grid[i, j, k, m + 1, 1]
                    if grid[i, j, k, m, 1] > 0:
                        used[i, k, m] = True
    return used


@njit(cache=True, inline="always")
def _bound(log_ratio: float) -> float:
    """Place of a logarithm of a lost channel over the others in the grid [bins]."""
    return float(min(max((log_ratio - _LOWEST_BOUND) / BOUND_STEP, 0.0), _BOUNDS - 1.001))


@njit(cache=True)
def _told(grid: Floats, y: float, x: float, k: float, m: float) -> tuple[float, float]:
    """What is told of one lost channel at a place, ratio and bound [cells, bins], times its trust; the trust."""
    y, x = min(max(y, 0.0), grid.shape[0] - 1.0), min(max(x, 0.0), grid.shape[1] - 1.0)
    i, j, a, b = int(y), int(x), int(k), int(m)
    value, trust = 0.0, 0.0
    for di in range(2 if y > i else 1):
        wi = y - i if di else 1 - y + i
        for dj in range(2 if x > j else 1):
            wj = wi * (x - j if dj else 1 - x + j)
            for da in range(2):
                wa = wj * (k - a if da else 1 - k + a)
                for db in range(2):
                    w = wa * (m - b if db else 1 - m + b) * grid[i + di, j + dj, a + da, b + db, 1]
                    value += w * grid[i + di, j + dj, a + da, b + db, 0]
                    trust += w
    return value, trust


@njit(cache=True, inline="always")
def usual(lost: int, va: float, vb: float) -> float:
    """Green from the mean of its neighbours in the spectrum, red or blue from green: a = lost + 1, b = lost + 2."""
    return 0.5 * (va + vb) if lost == 1 else va if lost == 0 else vb


@njit(cache=True)
def from_two(
    one: Learnt,
    lost: int,
    v: float,
    v1: float,
    v2: float,
    first: int,
    top: float,
    i: float,
    j: float,
) -> float:
    """A lost channel from the two that are left: `v1` of channel `first`, `v2` of the other."""
    va, vb = (v1, v2) if first == (lost + 1) % 3 else (v2, v1)
    va, vb = max(va, 0.0), max(vb, 0.0)
    both = max(va + vb, 1e-6)
    # a bin lower: what is only just lost is no less than itself
    least = np.log(top / both)
    i, j, k = i / 2 - 0.25, j / 2 - 0.25, _ratio(va, vb)
    value, trust = _told(one[0][lost], i, j, k, _bound(least - BOUND_STEP))
    near = read(one[1][lost], i, j, k, 1, False)
    if near > 0:
        flowed_in = read(one[1][lost], i, j, k, 0, True) / near
        # what is told to be less than was counted is another thing's
        near = min(3 * near, 1.0) * min(max(1 + (flowed_in - least) / BOUND_STEP, 0.0), 1.0)
        value, trust = near * flowed_in + (1 - near) * value, near + (1 - near) * trust
    estimate = both * np.exp(value + (1 - min(trust, 1.0)) * np.log(max(usual(lost, va, vb), 1e-6) / both))
    return float(max(v, min(estimate, FURTHEST * top)))
