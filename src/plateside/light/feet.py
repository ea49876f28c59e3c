"""Where one thing stands on another, and the cells of a net cut there, so that no patch lies on both sides of a foot.

A patch that reached under a board's foot would be lit on one side and shine on the other: up to a third of the light in
a board's shadow was such a leak.

feet       segments on a face along which other things stand on it or pass through it
cut_cells  the cells of a face's net that those segments cross, as convex pieces
quads      a convex piece as four-cornered ones
"""

from collections.abc import Iterable, Sequence
from math import hypot

import numpy as np

from plateside.model.light_answers import Array

TOUCH_M = 0.02
"""An edge nearer to a face than so stands on it."""
SLIVER_M = 1e-3
"""A cell is not cut nearer to its own edge than so."""

Point = tuple[float, float]
Piece = list[Point]
Segment = tuple[Point, Point]


def feet(origin: Array, along: Array, up: Array, normal: Array, things: Iterable[Array]) -> list[Segment]:
    """Segments (u, v) [m] on the plane of a face.

    things  the four corners, in order (4, 3), of each thin rectangle that may stand there
    """
    found: list[Segment] = []
    for corners in things:
        height = (corners - origin) @ normal
        if height.max() < SLIVER_M and height.min() < -SLIVER_M:
            continue  # wholly behind the face
        at = [(float((c - origin) @ along), float((c - origin) @ up)) for c in corners]
        near = np.abs(height) < TOUCH_M
        standing = [(at[k], at[(k + 1) % 4]) for k in range(4) if near[k] and near[(k + 1) % 4]]
        if standing:
            found += standing
        elif height.max() > 0 > height.min():
            crossed = []
            for k in range(4):
                j = (k + 1) % 4
                if (height[k] > 0) != (height[j] > 0):
                    t = float(height[k] / (height[k] - height[j]))
                    crossed.append(
                        (at[k][0] + t * (at[j][0] - at[k][0]), at[k][1] + t * (at[j][1] - at[k][1]))
                    )
            found.append((crossed[0], crossed[1]))
    return [(a, b) for a, b in found if hypot(b[0] - a[0], b[1] - a[1]) > SLIVER_M]


def cut_cells(us: Array, vs: Array, segments: Sequence[Segment]) -> dict[tuple[int, int], list[Piece]]:
    """The cells (i, j) that a segment runs through, each as the convex pieces that the segments' lines leave."""
    found: dict[tuple[int, int], list[Piece]] = {}
    for a, b in segments:
        low, high = np.minimum(a, b), np.maximum(a, b)
        first_i, last_i = np.searchsorted(us, low[0], "right") - 1, np.searchsorted(us, high[0], "left")
        first_j, last_j = np.searchsorted(vs, low[1], "right") - 1, np.searchsorted(vs, high[1], "left")
        for i in range(max(int(first_i), 0), min(int(last_i), len(us) - 1)):
            for j in range(max(int(first_j), 0), min(int(last_j), len(vs) - 1)):
                box = float(us[i]), float(vs[j]), float(us[i + 1]), float(vs[j + 1])
                if _length_within(a, b, box) < SLIVER_M:
                    continue
                whole = [(box[0], box[1]), (box[2], box[1]), (box[2], box[3]), (box[0], box[3])]
                pieces = [half for piece in found.get((i, j), [whole]) for half in _halves(piece, a, b)]
                if len(pieces) > 1:
                    found[i, j] = pieces
    return found


def quads(piece: Piece) -> list[Piece]:
    """A convex piece of three to eight corners as pieces of four; a triangle gets a corner in its longest side."""
    if len(piece) == 3:
        sides = [hypot(piece[k][0] - piece[k - 1][0], piece[k][1] - piece[k - 1][1]) for k in range(3)]
        k = int(np.argmax(sides))
        middle = ((piece[k][0] + piece[k - 1][0]) / 2, (piece[k][1] + piece[k - 1][1]) / 2)
        return [[*piece[:k], middle, *piece[k:]]]
    if len(piece) == 4:
        return [piece]
    return [piece[:4], *quads([piece[0], *piece[3:]])]


def _halves(piece: Piece, a: Point, b: Point) -> list[Piece]:
    """A convex piece cut by the line through a and b; whole when one half would be a sliver."""
    length = hypot(b[0] - a[0], b[1] - a[1])
    away = [((b[0] - a[0]) * (y - a[1]) - (b[1] - a[1]) * (x - a[0])) / length for x, y in piece]
    if max(away) < SLIVER_M or min(away) > -SLIVER_M:
        return [piece]
    sides: tuple[Piece, Piece] = ([], [])
    for k, here in enumerate(piece):
        there, d, e = piece[(k + 1) % len(piece)], away[k], away[(k + 1) % len(piece)]
        if d >= 0:
            sides[0].append(here)
        if d <= 0:
            sides[1].append(here)
        if d * e < 0:
            t = d / (d - e)
            point = (here[0] + t * (there[0] - here[0]), here[1] + t * (there[1] - here[1]))
            sides[0].append(point)
            sides[1].append(point)
    return [side for side in sides if len(side) >= 3]


def _length_within(a: Point, b: Point, box: tuple[float, float, float, float]) -> float:
    """How much of the segment lies inside a box (low u, low v, high u, high v), Liang and Barsky's way."""
    enter, leave = 0.0, 1.0
    for axis in range(2):
        d = b[axis] - a[axis]
        low, high = box[axis] - a[axis], box[axis + 2] - a[axis]
        if abs(d) < 1e-12:
            if low > 0 or high < 0:
                return 0.0
            continue
        t0, t1 = sorted((low / d, high / d))
        enter, leave = max(enter, t0), min(leave, t1)
    return max(0.0, leave - enter) * hypot(b[0] - a[0], b[1] - a[1])
