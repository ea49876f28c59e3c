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
_PARTS = (4, 3)
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
    of: NDArray[np.int64]
    """cell of each place that was gathered; -1: of none that counts"""


def gather(x: Floats, y: Floats, theirs: Floats, mine: Floats) -> Cells:
    """Colours (n, 3) at places (n,) of the picture, as shares, gathered in cells."""
    columns, rows = _CELLS
    index = np.minimum((np.clip(y, 0, 1) * rows).astype(int), rows - 1) * columns
    index += np.minimum((np.clip(x, 0, 1) * columns).astype(int), columns - 1)
    order = np.argsort(index, kind="stable")
    found, starts = np.unique(index[order], return_index=True)
    steps = np.log2(theirs / mine)
    light, other = np.log2(mine @ LUMINANCE), np.log2(theirs @ LUMINANCE)
    kept = list[tuple[float, ...]]()
    of = np.full(len(index), -1)
    for places in np.split(order, starts[1:]) if len(found) else []:
        if len(places) < _FEWEST_PX:
            continue
        middle = np.median(steps[places], axis=0)
        spread = float(np.median(np.abs(steps[places][:, 1] - middle[1])))
        one, two = light[places] - light[places].mean(), other[places] - other[places].mean()
        textured = min(float(one.std()), float(two.std())) > _TEXTURE_STOPS
        alike = float((one * two).mean() / max(float(one.std() * two.std()), 1e-9))
        if textured and alike < _ALIKE:
            continue  # something else lies there now
        of[places] = len(kept)
        weight = (1.0 if textured else 0.3) / (1 + (spread / 0.1) ** 2)
        kept.append((x[places].mean(), y[places].mean(), *middle, weight, textured))
    table = np.array(kept, np.float64).reshape(-1, 7)
    return Cells(table[:, 0], table[:, 1], table[:, 2:5], table[:, 5], table[:, 6] > 0, of)


def worst_part(
    x: Floats, y: Floats, theirs: Floats, mine: Floats, cells: Cells
) -> tuple[float | None, float, float]:
    """Where surely the same things differ most: CIEDE2000 in the median there (None: nothing is sure), and where.

    x, y, theirs, mine  places and colours as they were gathered in `cells`, `mine` matched meanwhile
    """
    sure = (cells.of >= 0) & np.append(cells.sure, False)[cells.of]
    places = np.arange(0, len(x), max(len(x) // _COMPARED, 1))
    apart = delta_e(to_lab(np.clip(theirs[places], 0, 1)), to_lab(np.clip(mine[places], 0, 1)))
    columns, rows = _PARTS
    part = np.minimum((np.clip(y[places], 0, 1) * rows).astype(int), rows - 1) * columns
    part += np.minimum((np.clip(x[places], 0, 1) * columns).astype(int), columns - 1)
    worst: tuple[float | None, float, float] = (None, 0.5, 0.5)
    for one in np.unique(part):
        here = part == one
        same = here & sure[places]
        # where much is something else now, what seems the same may be so by chance
        gone = float((cells.of[places][here] < 0).mean())
        if same.sum() < _FEWEST_OF_PART * len(places) or gone > _MOST_GONE:
            continue
        left = float(np.median(apart[same]))
        if worst[0] is None or left > worst[0]:
            worst = left, (one % columns + 0.5) / columns, (one // columns + 0.5) / rows
    return worst
