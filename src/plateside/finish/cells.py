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
_SURE, _PLAIN, _GONE = range(3)
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
    order = np.argsort(index, kind="stable")
    found, starts = np.unique(index[order], return_index=True)
    steps = np.log2(theirs / mine)
    light, other = np.log2(mine @ LUMINANCE), np.log2(theirs @ LUMINANCE)
    rows_of, kinds, members = list[tuple[float, ...]](), list[int](), list[NDArray[np.int64]]()
    for places in np.split(order, starts[1:]) if len(found) else []:
        if len(places) < _FEWEST_PX:
            continue
        middle = np.median(steps[places], axis=0)
        spread = float(np.median(np.abs(steps[places][:, 1] - middle[1])))
        kind = _kind(light[places], other[places])
        weight = (1.0 if kind == _SURE else 0.3) / (1 + (spread / 0.1) ** 2)
        on = 0.0 if dish is None else float(dish[places].mean())
        rows_of.append((x[places].mean(), y[places].mean(), *middle, weight, on))
        kinds.append(kind)
        members.append(places)
    table, kind_of = np.array(rows_of, np.float64).reshape(-1, 7), np.array(kinds, np.int64)
    counts = _with_the_same(table[:, 0] * columns, table[:, 1] * rows, kind_of)
    of = np.full(len(index), UNKNOWN)
    number = np.where(counts, np.cumsum(counts) - 1, np.where(kind_of == _GONE, GONE, UNKNOWN))
    for places, cell in zip(members, number, strict=True):
        of[places] = cell
    kept = table[counts]
    return Cells(
        kept[:, 0], kept[:, 1], kept[:, 2:5], kept[:, 5], kind_of[counts] == _SURE, kept[:, 6] > 0, of
    )


def _part_of(x: Floats, y: Floats, parts: tuple[int, int]) -> NDArray[np.int64]:
    """Number of the part of the picture each place (n,) is in, row by row; parts across and down."""
    columns, rows = parts
    row = np.minimum((np.clip(y, 0, 1) * rows).astype(np.int64), rows - 1)
    return np.asarray(row * columns + np.minimum((np.clip(x, 0, 1) * columns).astype(np.int64), columns - 1))


def taken_by(cells: "Cells", x: Floats, y: Floats) -> NDArray[np.bool_]:
    """Which places (n,) are in cells that count among others."""
    return np.isin(_part_of(x, y, _CELLS), _part_of(cells.x, cells.y, _CELLS))


def _kind(light: Floats, other: Floats) -> int:
    """What a cell shows, by the pattern of its light in both pictures (n,) [stops]."""
    one, two = light - light.mean(), other - other.mean()
    least, most = sorted((float(one.std()), float(two.std())))
    if least <= _TEXTURE_STOPS:
        # a rim, a shadow's edge that is in one of them only
        return _GONE if most > _EDGE_STOPS else _PLAIN
    return _SURE if float((one * two).mean()) >= _ALIKE * least * most else _GONE


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
    return np.asarray(near[0] <= near[1])


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
