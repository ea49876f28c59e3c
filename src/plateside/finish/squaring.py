"""A flat rectangle seen at a slant made square again: by its four corners, and the shape they tell.

A plane is seen through a 3 x 3 matrix (Hartley and Zisserman 2004, ch. 8). Of a rectangle whose shape nobody knows, the
corners tell it once the focal length is known; where neither pair of its sides is parallel in the picture they tell
that too (Zhang and He 2007, *Whiteboard scanning and image enhancement*, section 4). Both are put together, each as
far as it is sure.
"""

import itertools
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

Doubles = NDArray[np.float64]
CORNER_SPREAD = 0.0004
"""Of a corner that a hand put there, as a share of the picture's diagonal."""
LEAST_AREA, LEAST_LEFT = 0.002, 0.3
"""Of the rectangle, as a share of the picture's area; of the picture's width that must be left."""
_MOST_ENLARGED = 2.5
_NORMAL_FOCAL, _ANY_FOCAL = 1.2, 0.5
"""Over the picture's diagonal, where nothing tells; and its spread, in natural logarithms."""


class NotSquareError(ValueError):
    """Corners that no rectangle has, or too steep a view; `reason` is a code."""

    def __init__(self, reason: str) -> None:
        super().__init__(reason)
        self.reason = reason


@dataclass(frozen=True)
class Focal:
    """What is known of a focal length beside the corners."""

    px: float
    """the lens's distance from the sensor [px]"""
    spread: float = 0.04
    """natural logarithm"""


def in_order(corners: Doubles) -> Doubles:
    """Four corners (4, 2) as upper left, upper right, lower right, lower left. Raises NotSquareError: no rectangle."""
    middle = corners.mean(axis=0)
    turned = np.arctan2(corners[:, 1] - middle[1], corners[:, 0] - middle[0])
    round_it = corners[np.argsort(turned)]
    sides = np.roll(round_it, -1, axis=0) - round_it
    after = np.roll(sides, -1, axis=0)
    if np.any(sides[:, 0] * after[:, 1] - sides[:, 1] * after[:, 0] <= 0):
        raise NotSquareError("crossed")
    # the upper side is the one that runs most to the right
    first = int(np.argmax(sides[:, 0] / np.maximum(np.hypot(sides[:, 0], sides[:, 1]), 1e-12)))
    return np.roll(round_it, -first, axis=0)


def plane_matrix(corners: Doubles, shape: float = 1.0) -> Doubles:
    """3 x 3 from a rectangle `shape` wide and 1 high (its upper left corner 0, 0) to its corners (4, 2)."""
    flat = np.array([(0, 0), (shape, 0), (shape, 1), (0, 1)], float)
    rows, wanted = [], []
    for (u, v), (x, y) in zip(flat, corners, strict=True):
        rows += [[u, v, 1, 0, 0, 0, -u * x, -v * x], [0, 0, 0, u, v, 1, -u * y, -v * y]]
        wanted += [x, y]
    try:
        found = np.linalg.solve(np.array(rows), np.array(wanted))
    except np.linalg.LinAlgError as error:
        raise NotSquareError("crossed") from error
    return np.append(found, 1.0).reshape(3, 3)


def shape_of(corners: Doubles, size: tuple[int, int], focal: Focal | None = None) -> float:
    """Width over height of the flat rectangle that is seen with these corners [px], in order, in that picture."""
    diagonal = float(np.hypot(*size))
    middle = (np.array(size, float) - 1) / 2
    at = (corners - middle) / diagonal
    known = Focal(_NORMAL_FOCAL, _ANY_FOCAL) if focal is None else Focal(focal.px / diagonal, focal.spread)
    weight, log = 1 / known.spread**2, np.log(known.px)
    own = _own_focal(at)
    if own is not None:
        changes = []
        for corner, axis in itertools.product(range(4), range(2)):
            moved = at.copy()
            moved[corner, axis] += CORNER_SPREAD
            there = _own_focal(moved)
            changes.append(np.log(there / own) if there is not None else 1.0)
        mine = 1 / max(float(np.sum(np.square(changes))), 1e-8)
        log = (weight * log + mine * np.log(own)) / (weight + mine)
    squared = np.exp(2 * log)
    h = plane_matrix(at)
    wide, high = ((h[0, n] ** 2 + h[1, n] ** 2) / squared + h[2, n] ** 2 for n in (0, 1))
    return float(np.sqrt(wide / high))


def _own_focal(at: Doubles) -> float | None:
    """The focal length at which opposite sides meet at a right angle; None where they are too parallel to tell."""
    h = plane_matrix(at)
    across = h[2, 0] * h[2, 1]
    if abs(across) < 1e-9:
        return None
    squared = -(h[0, 0] * h[0, 1] + h[1, 0] * h[1, 1]) / across
    return float(np.sqrt(squared)) if 0.04 < squared < 400 else None


def squared(corners: Doubles, shape: float, size: tuple[int, int]) -> tuple[Doubles, tuple[int, int]]:
    """Where the squared picture's pixels come from, 3 x 3, and its width and height [px].

    corners  (4, 2) [px], in order
    shape    width over height of the rectangle
    size     of the picture, whose own shape is kept; as large as in the rectangle's middle
    Raises NotSquareError.
    """
    width, height = size
    shoelace = corners[:, 0] * np.roll(corners[:, 1], -1) - corners[:, 1] * np.roll(corners[:, 0], -1)
    if abs(float(np.sum(shoelace))) / 2 < LEAST_AREA * width * height:
        raise NotSquareError("small")
    plane = plane_matrix(corners, shape)
    at = plane @ np.array([shape / 2, 0.5, 1.0])
    jacobian = (plane[:2, :2] - np.outer(at[:2] / at[2], plane[2, :2])) / at[2]
    scale = float(np.sqrt(abs(np.linalg.det(jacobian))))
    # places of the squared picture, from the rectangle's middle on [px]
    back = plane @ np.array([[1 / scale, 0, shape / 2], [0, 1 / scale, 0.5], [0, 0, 1]])
    back /= back[2, 2]
    edges = np.array([[1, 0, 0.5], [-1, 0, width - 0.5], [0, 1, 0.5], [0, -1, height - 0.5]], float)
    # inside the frame, and not so near the horizon that it would be enlarged beyond measure
    limits = np.vstack([edges @ back, back[2] - np.array([0, 0, 1 / _MOST_ENLARGED])])
    middle_x, middle_y, share = _largest(limits, width, height)
    if share < LEAST_LEFT:
        raise NotSquareError("steep")
    wide, high = max(int(width * share), 1), max(int(height * share), 1)
    shift = np.array([[1, 0, middle_x - (wide - 1) / 2], [0, 1, middle_y - (high - 1) / 2], [0, 0, 1]])
    return back @ shift, (wide, high)


def _largest(limits: Doubles, width: int, height: int) -> tuple[float, float, float]:
    """Middle and share of the largest rectangle of that shape within all half planes a x + b y + c >= 0."""
    reach = np.abs(limits[:, 0]) * width / 2 + np.abs(limits[:, 1]) * height / 2
    system = np.column_stack([limits[:, :2], -reach])
    best = (0.0, 0.0, 0.0)
    # the largest is held by three of the sides
    for rows in itertools.combinations(range(len(limits)), 3):
        chosen = system[list(rows)]
        if abs(np.linalg.det(chosen)) < 1e-12 * np.prod(np.maximum(np.linalg.norm(chosen, axis=1), 1e-12)):
            continue
        x, y, share = np.linalg.solve(chosen, -limits[list(rows), 2])
        slack = system @ np.array([x, y, share]) + limits[:, 2]
        if share > best[2] and np.all(slack >= -1e-6 * np.maximum(np.abs(limits).max(axis=1), 1)):
            best = (float(x), float(y), float(share))
    return best
