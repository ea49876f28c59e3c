"""Light that changes across a picture against the one it is matched to: a window nearer one side, a lamp at the edge.

Fitted in stops, for each of red, green and blue, to places that both pictures show: a smooth surface of cubic B-splines
with a penalty on its bending (P. H. C. Eilers and B. D. Marx, Statistical Science 11 (1996), 89), by least squares
re-weighted with Tukey's biweight (P. J. Huber, Robust Statistics, 1981), so that what was moved between the two draws
nothing along. It is smooth by its making: the shadow of a hand or a plate is not followed, and stays.
"""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from plateside.finish.cells import Cells
from plateside.ground.srgb import LUMINANCE, Floats

NODES = (6, 5)
"""Coefficients across and down."""
LARGEST_STOPS = 1.5
"""Either way: more is another light, not an uneven one."""
_STIFF = 0.005
"""Weight of bending against the cells' own."""
_NEAR_STOPS = (0.6, 0.2)
"""So far off the surface a cell still counts: one surely of the same things, one without anything in it."""
_WORTH_STOPS = 0.06
"""An uneven light is evened from this size on, root mean square ..."""
_EXPLAINED = 0.6
"""... when what was apart is down to this share of it."""
_FEWEST_ABOUT = 0.3
"""Of what counts: with less about the dish, it tells of the light too."""
_BAND_ROWS = 256


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
    # a dish in another colour, with sauce or ripe, is no light: what is about it must be explained by itself
    about = weight * ~cells.dish
    told = weight if about.sum() < _FEWEST_ABOUT * weight.sum() else about
    # squares: a lamp at the edge is far off in a few places
    before = _mean(np.abs(wanted).max(axis=1) ** 2, told) ** 0.5
    after = _mean(np.abs(wanted - fitted).max(axis=1) ** 2, told) ** 0.5
    too_far = float(np.abs(fitted).max()) > LARGEST_STOPS
    if before < _WORTH_STOPS or after > _EXPLAINED * before or too_far:
        return None
    return Across(tuple((float(r), float(g), float(b)) for r, g, b in coefficients))


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
