"""Whether a frame, as it is shown, is one of the chart of 24 patches: by a lattice of quadrangles and by its colours.

A camera's own rendering bends tones and colours, so nothing is measured by what is found here (`chart.profile_of` does
that, from a raw): the six greys tell the rendering's curve, and by it the other patches must come out in their colours.
"""

from collections.abc import Iterator

import cv2
import numpy as np
from numpy.typing import NDArray

from plateside.finish.chart import GREYS, wanted_colours
from plateside.finish.chart_found import SEARCH_PX, groups_of_one_size, quads_in
from plateside.finish.ciede2000 import delta_e
from plateside.ground.srgb import to_display, to_lab, to_linear
from plateside.model.channels import highest

Array = NDArray[np.float64]
CHART_VERSION = "1"
"""Raised when it sees more, or less, so that frames are looked at anew."""
MOST_MEAN = 9.0
"""CIEDE2000 of the coloured patches, each by a fit to the others, in the mean (trials: docs/measured.md)."""
_DAYLIGHT_MIRED = 200.0
_COLUMNS, _ROWS = 6, 4
_FEWEST = 10
"""Patches that must be seen as quadrangles."""
_LEAST_SHARE = 0.00005
"""A patch's area, of the frame's: a chart of an eighth of its width is well above."""
_EDGES_PX = 3.0
"""Of a quadrangle's side is lost to the edges about it, as they are looked for."""
_STEP, _NEAR = 1.15, 0.45
"""From patch to patch, and how far off the next one may be, in sides of a patch."""
_READ = np.linspace(-0.2, 0.2, 5)
"""Where a patch is read, in steps from its middle."""
_LEAST_GREY_STEP = 1.12
"""Of a grey to the next darker one, linear; of the chart's own the smallest is 1.5."""


def chart_seen(picture: NDArray[np.uint8]) -> bool:
    """Whether a frame (height x width x 3, sRGB, upright) shows the chart."""
    return chart_apart(picture) < MOST_MEAN


def chart_apart(picture: NDArray[np.uint8]) -> float:
    """How far the best lattice of 24 patches is from the chart's colours [CIEDE2000]; inf where there is none."""
    # by a whole number: four times faster
    step = max(max(picture.shape[:2]) // SEARCH_PX, 1)
    size = (max(picture.shape[1] // step, 1), max(picture.shape[0] // step, 1))
    whole = picture[: size[1] * step, : size[0] * step]
    shown = np.asarray(cv2.resize(whole, size, interpolation=cv2.INTER_AREA), np.uint8)
    # every patch is lighter than the frame about it, in one colour at least
    lightest = highest(shown)
    count = np.cumsum(np.bincount(lightest.ravel(), minlength=256))
    linear = np.asarray(to_linear(np.arange(256) / 255))
    level = max(float(linear[np.searchsorted(count, 0.995 * count[-1])]), 1e-3)
    # a dim frame's edges count as a bright one's do
    brightened = np.asarray(to_display(np.clip(linear / level, 0, 1)) * 255, np.uint8)
    quads = [_grown(quad) for quad in quads_in(brightened[lightest][..., None], _LEAST_SHARE)]
    found = float("inf")
    for group in groups_of_one_size(quads):
        for patches in _lattices([quads[n] for n in group], shown):
            found = min(found, _apart(patches))
    return found


def _grown(quad: Array) -> Array:
    """With what the width of its edges took of it."""
    middle = quad.mean(axis=0)
    side = float(np.sqrt(cv2.contourArea(quad.astype(np.float32))))
    return np.asarray(middle + (quad - middle) * (1 + _EDGES_PX / side))


def _lattices(quads: list[Array], shown: NDArray[np.uint8]) -> Iterator[Array]:
    """Colours (24, 3) of each way in which the quadrangles can be patches of a chart."""
    cells = _numbered(quads)
    if len(cells) < _FEWEST:
        return
    middles = np.array([quads[n].mean(axis=0) for n in cells])
    at: Array = np.array(list(cells.values()), float)
    side = float(np.sqrt(np.median([cv2.contourArea(quads[n].astype(np.float32)) for n in cells])))
    to_picture, fits = cv2.findHomography(at, middles, cv2.RANSAC, 0.25 * side)
    if to_picture is None or int(fits.sum()) < _FEWEST:
        return
    at = at[fits.ravel() > 0]
    low, high = at.min(axis=0), at.max(axis=0)
    for turn in range(4):
        wide, tall = (_COLUMNS, _ROWS) if turn % 2 == 0 else (_ROWS, _COLUMNS)
        for x in np.arange(high[0] - wide + 1, low[0] + 1):
            for y in np.arange(high[1] - tall + 1, low[1] + 1):
                grid = np.stack(np.meshgrid(np.arange(wide) + x, np.arange(tall) + y), axis=-1)
                patches = _read(shown, np.rot90(grid, turn).reshape(24, 2), np.asarray(to_picture, float))
                if patches is not None:
                    yield patches


def _numbered(quads: list[Array]) -> dict[int, tuple[int, int]]:
    """Quadrangle -> its column and row, from neighbour to neighbour, beginning at the one nearest the middle of all."""
    middles = np.array([q.mean(axis=0) for q in quads])
    first = int(np.argmin(np.linalg.norm(middles - np.median(middles, axis=0), axis=1)))
    cells = {first: (0, 0)}
    axes = {first: _axes(quads[first], np.array([1.0, 0.0]))}
    todo = [first]
    while todo:
        n = todo.pop(0)
        for way, (dx, dy) in zip((*axes[n], *-axes[n]), ((1, 0), (0, 1), (-1, 0), (0, -1)), strict=True):
            apart = np.linalg.norm(middles - middles[n] - _STEP * way, axis=1)
            m = int(np.argmin(apart))
            cell = cells[n][0] + dx, cells[n][1] + dy
            if m not in cells and apart[m] < _NEAR * np.linalg.norm(way) and cell not in cells.values():
                cells[m] = cell
                axes[m] = _axes(quads[m], axes[n][0])
                todo.append(m)
    return cells


def _axes(quad: Array, along: Array) -> Array:
    """Its sides (2, 2): the one nearest in direction to `along`, and the one a quarter turn to the right of that."""
    sides = np.roll(quad, -1, axis=0) - quad
    if sides[0, 0] * sides[1, 1] < sides[0, 1] * sides[1, 0]:
        sides = -sides[::-1]
    n = int(np.argmax(sides @ along / np.maximum(np.linalg.norm(sides, axis=1), 1e-6)))
    return np.stack([(sides[n] - sides[n - 2]) / 2, (sides[(n + 1) % 4] - sides[n - 1]) / 2])


def _read(shown: NDArray[np.uint8], cells: Array, to_picture: Array) -> Array | None:
    """The median of each patch's middle; None where one is outside the picture."""
    x, y = np.meshgrid(_READ, _READ)
    points = (cells[:, None] + np.stack([x.ravel(), y.ravel()], axis=1)).reshape(1, -1, 2)
    places = np.rint(cv2.perspectiveTransform(points, to_picture)).astype(int).reshape(24, -1, 2)
    height, width = shown.shape[:2]
    if places.min() < 0 or places[..., 0].max() >= width or places[..., 1].max() >= height:
        return None
    return np.asarray(np.median(to_linear(shown[places[..., 1], places[..., 0]] / 255), axis=1))


def _apart(patches: Array) -> float:
    """CIEDE2000 of the coloured patches, each by a fit to the others, once the greys are as they should be."""
    greys = np.maximum(patches[GREYS], 1e-5)
    if (greys[:-1] < _LEAST_GREY_STEP * greys[1:]).any():
        return float("inf")
    wanted = wanted_colours(_DAYLIGHT_MIRED)
    curve = np.log(wanted[GREYS].mean(axis=1)[::-1])
    seen = np.stack([_by_curve(np.log(greys[::-1, c]), curve, patches[:, c]) for c in range(3)], axis=1)
    weight = 1 / np.maximum(wanted.mean(axis=1), 0.02) ** 0.67
    a, b = seen * weight[:, None], wanted * weight[:, None]
    inverse = np.linalg.pinv(a.T @ a)
    fitted = a @ inverse @ a.T @ b
    leverage = np.einsum("ij,jk,ik->i", a, inverse, a)[:, None]
    # of each by the fit to the others
    unseen = (fitted - leverage * b) / np.maximum(1 - leverage, 1e-3) / weight[:, None]
    coloured = slice(0, GREYS.start)
    return float(delta_e(to_lab(unseen[coloured]), to_lab(wanted[coloured])).mean())


def _by_curve(seen: Array, wanted: Array, values: Array) -> Array:
    """Levels as they should be, by those of the greys (both logarithms, rising); beyond them the ends' slope."""
    logs = np.log(np.maximum(values, 1e-5))
    made = np.interp(logs, seen, wanted)
    for end, other, beyond in ((0, 1, logs < seen[0]), (-1, -2, logs > seen[-1])):
        slope = (wanted[end] - wanted[other]) / (seen[end] - seen[other])
        made[beyond] = wanted[end] + slope * (logs[beyond] - seen[end])
    return np.exp(made)
