"""Light that changes across a picture against the one it is matched to: a window nearer one side, a lamp at the edge.

Fitted in stops, for each of red, green and blue, to places that both pictures show: a smooth surface of cubic B-splines
with a penalty on its bending (P. H. C. Eilers and B. D. Marx, Statistical Science 11 (1996), 89), by least squares
re-weighted with Tukey's biweight (P. J. Huber, Robust Statistics, 1981), so that what was moved between the two draws
nothing along. It is smooth by its making: the shadow of a hand or a plate is not followed, and stays.
"""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from plateside.finish.ciede2000 import delta_e
from plateside.ground.srgb import LUMINANCE, Floats, to_lab

NODES = (6, 5)
"""Coefficients across and down."""
LARGEST_STOPS = 1.5
"""Either way: more is another light, not an uneven one."""
_CELLS = (30, 20)
_FEWEST_PX = 30
_TEXTURE_STOPS = 0.06
"""A cell with less in it tells by its brightness alone."""
_ALIKE = 0.8
"""Correlation of a cell's light in both pictures from which it surely shows the same things."""
_STIFF = 0.005
"""Weight of bending against the cells' own."""
_NEAR_STOPS = (0.6, 0.2)
"""So far off the surface a cell still counts: one surely of the same things, one without anything in it."""
_WORTH_STOPS = 0.06
"""An uneven light is evened from this size on, root mean square ..."""
_EXPLAINED = 0.6
"""... when what was apart is down to this share of it."""
_BAND_ROWS = 256
_PARTS = (4, 3)
_FEWEST_OF_PART = 0.01
"""Of all that is compared: fewer tell nothing of a part."""
_MOST_GONE = 0.4
_COMPARED = 20_000
"""Places over which a colour difference is taken."""


@dataclass(frozen=True)
class Across:
    """By how much a picture is to be brighter at each place [stops], red, green and blue."""

    stops: tuple[tuple[float, float, float], ...]
    """coefficients, row by row from the top left: NODES[0] * NODES[1] of them"""

    def at(self, x: Floats, y: Floats) -> NDArray[np.float64]:
        """Stops (n, 3) at places given as shares of the picture's width and height, (n,) each."""
        across, down = _basis(x, NODES[0]), _basis(y, NODES[1])
        return np.asarray(np.einsum("na,nb,bac->nc", across, down, self._table))

    def factors(
        self, top: int, bottom: int, size: tuple[int, int], left: int = 0, right: int | None = None
    ) -> NDArray[np.float32]:
        """What a part of a picture of `size` (height, width) is multiplied by, (h, w, 3).

        top, bottom, left, right  its rows and columns; right: to the end
        """
        height, width = size
        down = _basis((np.arange(top, bottom) + 0.5) / height, NODES[1])
        across = _basis((np.arange(left, width if right is None else right) + 0.5) / width, NODES[0])
        return np.asarray(
            2.0 ** np.einsum("hb,bac,wa->hwc", down, self._table, across, optimize=True), np.float32
        )

    def evened(self, linear: NDArray[np.float32]) -> NDArray[np.float32]:
        """A picture (h, w, 3) with its light evened."""
        out = np.empty_like(linear)
        for top in range(0, linear.shape[0], _BAND_ROWS):
            rows = slice(top, min(top + _BAND_ROWS, linear.shape[0]))
            out[rows] = linear[rows] * self.factors(rows.start, rows.stop, linear.shape[:2])
        return out

    @property
    def reach_stops(self) -> float:
        """From the place that is darkened most to the one that is brightened most, in luminance [stops]."""
        y, x = np.mgrid[0:1:9j, 0:1:9j].reshape(2, -1)
        return float(np.ptp(np.log2((2.0 ** self.at(x, y)) @ LUMINANCE)))

    @property
    def _table(self) -> NDArray[np.float64]:
        return np.asarray(self.stops, np.float64).reshape(NODES[1], NODES[0], 3)


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


def light_across(cells: Cells, gains: Floats) -> Across | None:
    """What evens the light besides `gains` (3,); None: it is even, or nothing smooth explains how it is not."""
    if len(cells.x) < NODES[0] * NODES[1]:
        return None
    wanted = cells.steps - np.log2(gains)
    basis = _both(cells.x, cells.y)
    stiff = _bending()
    near = np.where(cells.sure, *_NEAR_STOPS)
    weight = cells.weight.copy()
    # from a plane, which nothing small draws along, to all that bends
    plane = np.stack([np.ones_like(cells.x), cells.x - 0.5, cells.y - 0.5], axis=1)
    fitted = np.zeros_like(wanted)
    for step in range(10):
        away = np.abs(wanted - fitted).max(axis=1)
        weight = cells.weight * np.clip(1 - (away / near) ** 2, 0, 1) ** 2
        if weight.sum() < 0.25 * cells.weight.sum():
            return None
        if step < 4:
            coefficients = _solved(plane, wanted, weight, np.eye(3) * 1e-6)
            fitted = plane @ coefficients
        else:
            coefficients = _solved(basis, wanted, weight, stiff * weight.sum())
            fitted = basis @ coefficients
    # squares: a lamp at the edge is far off in a few places
    before = _mean(np.abs(wanted).max(axis=1) ** 2, weight) ** 0.5
    after = _mean(np.abs(wanted - fitted).max(axis=1) ** 2, weight) ** 0.5
    too_far = float(np.abs(fitted).max()) > LARGEST_STOPS
    if before < _WORTH_STOPS or after > _EXPLAINED * before or too_far:
        return None
    return Across(tuple((float(r), float(g), float(b)) for r, g, b in coefficients))


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


def _solved(basis: Floats, wanted: Floats, weight: Floats, stiff: Floats) -> NDArray[np.float64]:
    weighted = basis * weight[:, None]
    return np.asarray(np.linalg.solve(weighted.T @ basis + stiff, weighted.T @ wanted))


def _mean(values: Floats, weight: Floats) -> float:
    return float((values * weight).sum() / max(float(weight.sum()), 1e-9))


def _both(x: Floats, y: Floats) -> NDArray[np.float64]:
    across, down = _basis(x, NODES[0]), _basis(y, NODES[1])
    return np.asarray(np.einsum("na,nb->nba", across, down).reshape(len(x), -1))


def _bending() -> NDArray[np.float64]:
    """The penalty on second differences, across and down."""
    across, down = (np.diff(np.eye(n), 2, axis=0) for n in NODES)
    one = np.kron(np.eye(NODES[1]), across.T @ across) + np.kron(down.T @ down, np.eye(NODES[0]))
    return np.asarray(_STIFF * one / len(one) + 1e-6 * np.eye(len(one)))


def _basis(share: Floats, nodes: int) -> NDArray[np.float64]:
    """Uniform cubic B-splines (n, nodes) over 0 to 1; beyond, as at the border."""
    place = np.clip(np.asarray(share, np.float64), 0, 1) * (nodes - 3)
    first = np.minimum(place.astype(int), nodes - 4)
    t = place - first
    parts = (
        np.stack([(1 - t) ** 3, 3 * t**3 - 6 * t**2 + 4, -3 * t**3 + 3 * t**2 + 3 * t + 1, t**3], axis=1) / 6
    )
    out = np.zeros((len(place), nodes))
    for k in range(4):
        out[np.arange(len(place)), first + k] = parts[:, k]
    return out
