"""What both pictures show, gathered in cells: which surely show the same things, and where these differ most."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from plateside.finish.ciede2000 import delta_e
from plateside.ground.srgb import LUMINANCE, Floats, to_lab

_CELLS = (30, 20)
_FEWEST_PX = 30
_TEXTURE_STOPS = 0.06
"""A cell with less in it tells by its brightness alone."""
_ALIKE = 0.8
"""Correlation of a cell's light in both pictures from which it surely shows the same things."""
_EDGE_STOPS = 0.12
"""With more in one picture, and nothing in the other, it shows something else."""
_SURE, _PLAIN, _GONE, _FEW = range(4)
UNKNOWN, GONE = -1, -2
"""Of a place: in no cell that counts; in one that surely shows something else."""
_PARTS = (4, 3)
_DISH = -1
_FEWEST_OF_PART = 0.01
"""Of all that is compared: fewer tell nothing of a part."""
_MOST_GONE = 0.4
_COMPARED = 20_000
"""Places over which a colour difference is taken."""


@dataclass(frozen=True, eq=False)
class Cells:
    """Places that both pictures show, gathered."""

    x: NDArray[np.float64]
    """shares of the picture's width (n,)"""
    y: NDArray[np.float64]
    steps: NDArray[np.float64]
    """by how much the other is brighter, red, green and blue (n, 3) [stops]"""
    weight: NDArray[np.float64]
    sure: NDArray[np.bool_]
    """the same things are surely there"""
    dish: NDArray[np.bool_]
    """it is on the dish"""
    of: NDArray[np.int64]
    """cell of each place that was gathered; UNKNOWN, GONE: of none that counts"""


def gather(
    x: Floats, y: Floats, theirs: Floats, mine: Floats, dish: NDArray[np.bool_] | None = None
) -> Cells:
    """Colours (n, 3) at places (n,) of the picture, as shares, gathered in cells.

    dish  which of the places are on the dish (n,); None: not known
    """
    columns, rows = _CELLS
    index = _part_of(x, y, _CELLS)
    order = np.argsort(index.astype(np.int16), kind="stable")
    found, starts, counts = np.unique(index[order], return_index=True, return_counts=True)
    steps = np.log2(theirs / mine)
    light = np.stack([np.log2(mine @ LUMINANCE), np.log2(theirs @ LUMINANCE)], axis=-1)
    table, kind_of = np.full((len(found), 7), np.nan), np.full(len(found), _FEW)
    # cells of about as many places at once
    sizes = np.where(counts < _FEWEST_PX, 0, np.frexp(counts)[1])
    for size in np.unique(sizes[sizes > 0]):
        here = sizes == size
        most = int(counts[here].max())
        there = np.arange(most) < counts[here, None]
        places = order[np.minimum(starts[here, None] + np.arange(most), len(order) - 1)]
        middle = _medians(steps[places], there)
        spread = _medians(np.abs(steps[places, 1] - middle[:, None, 1])[..., None], there)[:, 0]
        kind_of[here] = _kinds(light[places], there)
        weight = np.where(kind_of[here] == _SURE, 1.0, 0.3) / (1 + (spread / 0.1) ** 2)
        on = np.zeros(len(places)) if dish is None else _means(dish[places].astype(float), there)
        table[here] = np.column_stack(
            [_means(x[places], there), _means(y[places], there), middle, weight, on]
        )
    same = _with_the_same(table[:, 0] * columns, table[:, 1] * rows, kind_of)
    number = np.where(same, np.cumsum(same) - 1, np.where(kind_of == _GONE, GONE, UNKNOWN))
    of = np.empty(len(index), np.int64)
    of[order] = np.repeat(number, counts)
    kept = table[same]
    return Cells(kept[:, 0], kept[:, 1], kept[:, 2:5], kept[:, 5], kind_of[same] == _SURE, kept[:, 6] > 0, of)


def _medians(values: Floats, there: NDArray[np.bool_]) -> NDArray[np.float64]:
    """Of each cell (c, n, k), of the values that are there (c, n)."""
    ordered = np.sort(np.where(there[..., None], values, np.inf), axis=1)
    count, cell = there.sum(axis=1), np.arange(len(there))
    return np.asarray((ordered[cell, (count - 1) // 2] + ordered[cell, count // 2]) / 2)


def _means(values: Floats, there: NDArray[np.bool_]) -> NDArray[np.float64]:
    """Of each cell (c, n), of the values that are there."""
    return np.asarray(np.where(there, values, 0.0).sum(axis=1) / there.sum(axis=1))


def _part_of(x: Floats, y: Floats, parts: tuple[int, int]) -> NDArray[np.int64]:
    """Number of the part of the picture each place (n,) is in, row by row; parts across and down."""
    columns, rows = parts
    row = np.minimum((np.clip(y, 0, 1) * rows).astype(np.int64), rows - 1)
    return np.asarray(row * columns + np.minimum((np.clip(x, 0, 1) * columns).astype(np.int64), columns - 1))


def taken_by(cells: "Cells", x: Floats, y: Floats) -> NDArray[np.bool_]:
    """Which places (n,) are in cells that count among others."""
    return np.isin(_part_of(x, y, _CELLS), _part_of(cells.x, cells.y, _CELLS))


def _kinds(light: Floats, there: NDArray[np.bool_]) -> NDArray[np.int64]:
    """What each cell shows, by the pattern of its light in both pictures (c, n, 2) [stops]."""
    one, two = (light[..., k] - _means(light[..., k], there)[:, None] for k in range(2))
    spreads = np.sqrt(np.stack([_means(one * one, there), _means(two * two, there)]))
    least, most = spreads.min(axis=0), spreads.max(axis=0)
    # a rim, a shadow's edge that is in one of them only
    plain = np.where(most > _EDGE_STOPS, _GONE, _PLAIN)
    patterned = np.where(_means(one * two, there) >= _ALIKE * least * most, _SURE, _GONE)
    return np.where(least <= _TEXTURE_STOPS, plain, patterned)


def _with_the_same(x: Floats, y: Floats, kind: NDArray[np.int64]) -> NDArray[np.bool_]:
    """Which cells show the same things: the sure ones, and the plain ones that are nearer to a sure one than to a gone.

    Without texture a cell tells nothing by itself: the cream in a bowl that was moved belongs to the bowl.
    """
    near = []
    for one in (_SURE, _GONE):
        there = kind == one
        if not there.any():
            near.append(np.full(len(x), np.inf))
            continue
        near.append(np.hypot(x[:, None] - x[there], y[:, None] - y[there]).min(axis=1))
    return np.asarray((near[0] <= near[1]) & (kind != _FEW))


def worst_part(
    x: Floats, y: Floats, theirs: Floats, mine: Floats, cells: Cells, dish: NDArray[np.bool_]
) -> tuple[float | None, float, float]:
    """Where surely the same things differ most: CIEDE2000 in the median there (None: nothing is sure), and where.

    The parts are twelfths of the picture, and the dish: it is what is looked at, and may be small.

    x, y, theirs, mine  places and colours as they were gathered in `cells`, `mine` matched meanwhile
    dish                which of the places are on it (n,)
    """
    sure = (cells.of >= 0) & np.append(cells.sure, False)[cells.of]
    places = np.arange(0, len(x), max(len(x) // _COMPARED, 1))
    x, y, sure, gone, dish = x[places], y[places], sure[places], cells.of[places] == GONE, dish[places]
    apart = delta_e(to_lab(np.clip(theirs[places], 0, 1)), to_lab(np.clip(mine[places], 0, 1)))
    columns, rows = _PARTS
    part = _part_of(x, y, _PARTS)
    worst: tuple[float | None, float, float] = (None, 0.5, 0.5)
    for one in (*np.unique(part), _DISH):
        here = dish if one == _DISH else part == one
        same = here & sure
        # where much is something else now, what seems the same may be so by chance
        if same.sum() < _FEWEST_OF_PART * len(places) or float(gone[here].mean()) > _MOST_GONE:
            continue
        left = float(np.median(apart[same]))
        if worst[0] is None or left > worst[0]:
            at = (one % columns + 0.5) / columns, (one // columns + 0.5) / rows
            worst = left, *(at if one != _DISH else (float(x[here].mean()), float(y[here].mean())))
    return worst
