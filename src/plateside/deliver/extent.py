"""How far the food really reaches in a picture, told by its colours, whatever the shot list says of its size.

The colours within the expected dish are weighed against those along the frame's border, bin by bin, and thrown back
on the picture (ratio histogram and backprojection: M. Swain & D. Ballard, "Color Indexing", Int. J. Computer Vision
7(1), 1991). What holds together with the dish and has its colours is food. Where dish and surroundings share their
colours nothing is claimed: a wrong remark on every white bowl would be worse than none.
"""

from dataclasses import dataclass

import cv2
import numpy as np
from numpy.typing import NDArray

from plateside.deliver.rectangles import PixelRectangle

_STEP = 5.0
"""Width of a colour bin, in Lab units."""
_BINS = (20, 24, 24)
_REACH = 4
_SOFT = np.exp(-0.5 * np.arange(-_REACH, _REACH + 1.0) ** 2)
_SOFT /= _SOFT.sum()
"""Weights of a bin and its neighbours: a Gaussian of one bin."""
_BORDER = 0.07
"""Width of the ring that stands for the surroundings, as share of the short side."""
_CLEAR = 0.74
"""Share of the picture that must be clearly one or the other, else nothing is said."""
_TOUCHING = 0.2
"""The food runs out of the frame where it meets at least so much of the dish's side at the frame's edge."""


@dataclass(frozen=True)
class Extent:
    """Where the food's colours are, in pixels of the picture looked at."""

    box: PixelRectangle
    runs_out: tuple[str, ...]
    """sides of the frame at which the food does not end: left, right, top, bottom"""


def food_extent(lab: NDArray[np.float32], core: PixelRectangle) -> Extent | None:
    """How far what looks like the food in `core` reaches.

    lab   (rows, columns, 3), CIE Lab as OpenCV gives it for float pictures, a few hundred pixels wide
    core  where the dish is expected, from the shot list's sizes
    Returns None where food and surroundings cannot be told apart by colour.
    """
    likely = _likeness(lab, core)
    if float(((likely < 0.3) | (likely > 0.7)).mean()) < _CLEAR:
        return None
    likely_food = np.asarray(likely > 0.5, np.uint8)
    mask = cv2.morphologyEx(likely_food, cv2.MORPH_OPEN, cv2.getStructuringElement(cv2.MORPH_ELLIPSE, (5, 5)))
    count, labels = cv2.connectedComponents(mask)
    within = labels[core.y : core.bottom, core.x : core.right]
    # crumbs and leaves lie about: a thing belongs to the dish when a good part of it lies where the dish is expected
    sizes, inside = np.bincount(labels.ravel(), minlength=count), np.bincount(within.ravel(), minlength=count)
    belongs = (inside >= 0.02 * core.pixels) & (inside >= 0.1 * sizes)
    belongs[0] = False
    food = belongs[labels]
    if food[core.y : core.bottom, core.x : core.right].mean() < 0.3:
        return None
    left, right = _span(food.sum(axis=0))
    top, bottom = _span(food.sum(axis=1))
    edges = {
        "left": (food[:, :2].any(axis=1).sum(), core.height),
        "right": (food[:, -2:].any(axis=1).sum(), core.height),
        "top": (food[:2].any(axis=0).sum(), core.width),
        "bottom": (food[-2:].any(axis=0).sum(), core.width),
    }
    return Extent(
        PixelRectangle(left, top, right - left, bottom - top),
        tuple(side for side, (met, of) in edges.items() if met >= _TOUCHING * of),
    )


def _likeness(lab: NDArray[np.float32], core: PixelRectangle) -> NDArray[np.float64]:
    """For each pixel 0 (a colour of the border) to 1 (a colour of the dish)."""
    rows, columns = lab.shape[:2]
    bins = [
        np.clip((lab[..., c] + (0 if c == 0 else 60)) / _STEP, 0, _BINS[c] - 1).astype(np.intp)
        for c in range(3)
    ]
    index = np.ravel_multi_index((bins[0], bins[1], bins[2]), _BINS)
    y, x = np.mgrid[0:rows, 0:columns]
    across = (x - core.x - core.width / 2) / (core.width / 2)
    down = (y - core.y - core.height / 2) / (core.height / 2)
    ring = max(2, round(_BORDER * min(rows, columns)))
    inner = np.zeros((rows, columns), np.bool_)
    inner[ring:-ring, ring:-ring] = True
    dish, border = (_histogram(index[where]) for where in ((across**2 + down**2 < 0.85**2), ~inner))
    return np.asarray((dish / (dish + border + 1e-6)).ravel()[index])


def _histogram(index: NDArray[np.intp]) -> NDArray[np.float64]:
    counts = np.bincount(index, minlength=int(np.prod(_BINS))).reshape(_BINS).astype(np.float64)
    shares = counts / max(counts.sum(), 1.0)
    for axis in range(shares.ndim):
        reach = [(_REACH, _REACH) if a == axis else (0, 0) for a in range(shares.ndim)]
        mirrored = np.pad(shares, reach, mode="symmetric")
        shares = np.sum(
            [w * np.take(mirrored, range(k, k + shares.shape[axis]), axis) for k, w in enumerate(_SOFT)],
            axis=0,
        )
    return np.asarray(shares)


def _span(profile: NDArray[np.integer]) -> tuple[int, int]:
    """First and last place that holds more than a thin thread of it."""
    there = np.flatnonzero(profile >= max(0.08 * float(profile.max()), 1.0))
    return int(there[0]), int(there[-1]) + 1
