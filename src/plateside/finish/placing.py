"""Where each pixel of a finished picture comes from, so that it is taken once: one resampling for all that moves it."""

from dataclasses import dataclass

import cv2
import numpy as np
from numpy.typing import NDArray

from plateside.finish.by_hand import straightened_size, straightening
from plateside.finish.lens import Lens, put_right
from plateside.finish.square import Square
from plateside.finish.squaring import Focal, in_order, shape_of, squared
from plateside.finish.tiles import Part, Placing

Floats = NDArray[np.float32]
Doubles = NDArray[np.float64]
_STEP_PX = 16
"""Between places that are worked out; between them the way is straight, to a hundredth of a pixel."""


@dataclass(frozen=True, eq=False)
class Flat:
    """A plane moved onto a plane: turned, levelled, squared."""

    size: tuple[int, int]
    to_source: NDArray[np.float64]
    """3 x 3, from the finished picture's pixels to the developed one's"""

    def sources(self, part: Part) -> tuple[tuple[Floats, Floats], ...]:
        """See `tiles.Placing`."""
        return (self.source(*grid(part)),)

    def source(self, x: NDArray[np.float64], y: NDArray[np.float64]) -> tuple[Floats, Floats]:
        """Where places of the finished picture come from [px]."""
        from_x, from_y = _moved(self.to_source, x, y)
        return from_x.astype(np.float32), from_y.astype(np.float32)

    def shading(self, part: Part) -> Floats | None:
        """None: light is left as it is."""
        return None


@dataclass(frozen=True, eq=False)
class ThroughLens:
    """The same, of a picture without its lens's faults."""

    size: tuple[int, int]
    to_source: Doubles
    """3 x 3, from the finished picture's pixels to those of the picture without faults"""
    lens: Lens

    def sources(self, part: Part) -> tuple[tuple[Floats, Floats], ...]:
        """See `tiles.Placing`."""
        top, bottom, left, right = part
        xs, ys = _places(left, right), _places(top, bottom)
        found = self.lens.sources(*_moved(self.to_source, xs[None, :], ys[:, None]))
        rows = _between(found, ys, np.arange(top, bottom, dtype=float), 0)
        whole = _between(rows, xs, np.arange(left, right, dtype=float), 1).astype(np.float32)
        return tuple(
            (np.ascontiguousarray(whole[..., n, 0]), np.ascontiguousarray(whole[..., n, 1]))
            for n in range(whole.shape[2])
        )

    def shading(self, part: Part) -> Floats | None:
        """See `tiles.Placing`."""
        return self.lens.shading(part)


def _moved(m: Doubles, x: Doubles, y: Doubles) -> tuple[Doubles, Doubles]:
    below = m[2, 0] * x + m[2, 1] * y + m[2, 2]
    return (m[0, 0] * x + m[0, 1] * y + m[0, 2]) / below, (m[1, 0] * x + m[1, 1] * y + m[1, 2]) / below


def _places(first: int, end: int) -> Doubles:
    """On one lattice for the whole picture, so that a part's numbers do not depend on where it begins."""
    low, high = first // _STEP_PX, (end - 1) // _STEP_PX + 1
    return np.arange(low, high + 1, dtype=float) * _STEP_PX


def _between(table: Doubles, places: Doubles, at: Doubles, axis: int) -> Doubles:
    n = np.minimum(((at - places[0]) // _STEP_PX).astype(int), len(places) - 2)
    shape = [1] * table.ndim
    shape[axis] = len(at)
    share = ((at - places[n]) / _STEP_PX).reshape(shape)
    return np.asarray(np.take(table, n, axis) * (1 - share) + np.take(table, n + 1, axis) * share)


def grid(part: Part) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
    """x (1, w) and y (h, 1) of a part's pixels."""
    y, bottom, x, right = part
    return np.arange(x, right, dtype=float)[None, :], np.arange(y, bottom, dtype=float)[:, None]


def placing_of(
    size: tuple[int, int],
    turned_degrees: float,
    lens: Lens | None = None,
    square: Square | None = None,
    focal: Focal | None = None,
) -> Placing | None:
    """All that moves a picture, in this order: its lens's faults put right, squared, straightened; None: nothing.

    size   width and height of the developed picture
    lens   of a picture of that size
    focal  what is known of the focal length, for a square whose shape is not known
    Raises NotSquareError, DamagedOpcodesError (a lens that leaves too little).
    """
    if lens is None and square is None:
        if not turned_degrees:
            return None
        wanted = straightened_size(*size, turned_degrees)
        return Flat(
            wanted, np.asarray(np.linalg.inv(straightening(size, wanted, turned_degrees)), np.float64)
        )
    left, top, wide, high = (0, 0, *size) if lens is None else lens.kept()
    to_source = np.array([[1, 0, left], [0, 1, top], [0, 0, 1]], float)
    now = (wide, high)
    if square is not None:
        corners, shape = corners_px(square, size, lens, focal)
        matrix, now = squared(corners - (left, top), shape, now)
        to_source = to_source @ matrix
    if turned_degrees:
        wanted = straightened_size(*now, turned_degrees)
        to_source = to_source @ np.linalg.inv(straightening(now, wanted, turned_degrees))
        now = wanted
    return Flat(now, to_source) if lens is None else ThroughLens(now, to_source, lens)


def moved_whole(linear: Floats, placing: Placing, matrix: Floats | None) -> Floats:
    """A small picture as it is placed, to look at. `matrix`: see `lens.put_right`."""
    height, width = linear.shape[:2]
    shading = placing.shading((0, height, 0, width))
    if shading is not None:
        linear = put_right(linear, shading, matrix)
    wide, high = placing.size
    maps = placing.sources((0, high, 0, wide))
    planes = [np.ascontiguousarray(linear[..., n]) for n in range(3)] if len(maps) == 3 else [linear]
    found = [
        cv2.remap(p, x, y, cv2.INTER_LINEAR, borderMode=cv2.BORDER_REPLICATE)
        for p, (x, y) in zip(planes, maps, strict=True)
    ]
    return np.ascontiguousarray(np.dstack(found), np.float32)


def corners_px(
    square: Square, size: tuple[int, int], lens: Lens | None, focal: Focal | None
) -> tuple[Doubles, float]:
    """Where the corners lie in a picture of that size without its lens's faults, in order, and their shape."""
    shares = np.array(square.corners, float).reshape(4, 2)
    at = shares * np.array(size, float) - 0.5
    if lens is not None:
        at = np.column_stack(lens.places(at[:, 0], at[:, 1]))
    at = in_order(at)
    return at, square.shape or shape_of(at, size, focal)
