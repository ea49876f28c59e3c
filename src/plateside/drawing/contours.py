"""Contour lines of a sampled field by marching squares, joined into polylines and thinned.

Marching squares after Lorensen and Cline 1987 in two dimensions, linear along each cell edge, saddles settled by the
cell's mean. Thinning is Douglas and Peucker 1973.
"""

import numpy as np
from numpy.typing import NDArray

Line = NDArray[np.float64]

# For each of the 16 corner patterns (bit 0 top-left, 1 top-right, 2 bottom-right, 3 bottom-left above the level):
# which cell edges a line joins (0 top, 1 right, 2 bottom, 3 left).
_JOINS: tuple[tuple[tuple[int, int], ...], ...] = (
    (), ((3, 0),), ((0, 1),), ((3, 1),), ((1, 2),), ((3, 0), (1, 2)), ((0, 2),), ((3, 2),),
    ((2, 3),), ((2, 0),), ((0, 1), (2, 3)), ((2, 1),), ((1, 3),), ((1, 0),), ((0, 3),), (),
)  # fmt: skip
# The saddles with the middle above the level: the two corners above are joined, not cut apart.
_SADDLE_ABOVE = {5: ((3, 2), (0, 1)), 10: ((0, 3), (1, 2))}


def contour_lines(field: NDArray[np.float64], level: float) -> list[Line]:
    """Lines where the field crosses the level.

    field   (rows, columns), sampled at whole indices; cells that touch a NaN carry no line
    returns polylines (n, 2) of (row, column) in index coordinates; a closed one ends where it began
    """
    rows, columns = field.shape
    if rows < 2 or columns < 2:
        return []
    above = field >= level
    a, b, c, d = above[:-1, :-1], above[:-1, 1:], above[1:, 1:], above[1:, :-1]
    case = a.astype(np.int8) + 2 * b.astype(np.int8) + 4 * c.astype(np.int8) + 8 * d.astype(np.int8)
    finite = np.isfinite(field)
    whole = finite[:-1, :-1] & finite[:-1, 1:] & finite[1:, 1:] & finite[1:, :-1]
    case[~whole] = 0

    def crossing(r: int, c: int, edge: int) -> tuple[float, float]:
        r1, c1, r2, c2 = {
            0: (r, c, r, c + 1),
            1: (r, c + 1, r + 1, c + 1),
            2: (r + 1, c, r + 1, c + 1),
            3: (r, c, r + 1, c),
        }[edge]
        v1, v2 = float(field[r1, c1]), float(field[r2, c2])
        share = (level - v1) / (v2 - v1)
        return r1 + share * (r2 - r1), c1 + share * (c2 - c1)

    def key(r: int, c: int, edge: int) -> tuple[int, int, int]:
        """One name for an edge that two cells share: (0 horizontal or 1 vertical, row, column)."""
        return ((0, r, c), (1, r, c + 1), (0, r + 1, c), (1, r, c))[edge]

    point: dict[tuple[int, int, int], tuple[float, float]] = {}
    joined: dict[tuple[int, int, int], list[tuple[int, int, int]]] = {}
    for r, c_ in zip(*np.nonzero((case > 0) & (case < 15)), strict=True):
        row, column = int(r), int(c_)
        kind = int(case[row, column])
        joins = _JOINS[kind]
        if kind in _SADDLE_ABOVE and field[row : row + 2, column : column + 2].mean() >= level:
            joins = _SADDLE_ABOVE[kind]
        for e1, e2 in joins:
            k1, k2 = key(row, column, e1), key(row, column, e2)
            for k, e in ((k1, e1), (k2, e2)):
                if k not in point:
                    point[k] = crossing(row, column, e)
            joined.setdefault(k1, []).append(k2)
            joined.setdefault(k2, []).append(k1)
    return [np.array([point[k] for k in chain]) for chain in _chains(joined)]


def _chains(
    joined: dict[tuple[int, int, int], list[tuple[int, int, int]]],
) -> list[list[tuple[int, int, int]]]:
    """Walk open lines from their ends first, then what is left: rings, closed on themselves."""
    walked: set[tuple[int, int, int]] = set()
    chains: list[list[tuple[int, int, int]]] = []
    starts = [k for k, others in joined.items() if len(others) == 1] + list(joined)
    for start in starts:
        if start in walked:
            continue
        chain = [start]
        walked.add(start)
        while True:
            onward = [k for k in joined[chain[-1]] if k not in walked]
            if not onward:
                break
            chain.append(onward[0])
            walked.add(onward[0])
        if len(chain) > 2 and start in joined[chain[-1]] and len(joined[start]) == 2:
            chain.append(start)
        if len(chain) > 1:
            chains.append(chain)
    return chains


def outlines(mask: NDArray[np.bool_]) -> list[Line]:
    """Closed outlines of the true cells of a mask, half a cell outside their middles: (n, 2) of (row, column)."""
    padded = np.pad(mask.astype(float), 1)
    return [ring - 1.0 for ring in contour_lines(padded, 0.5)]


def thin(points: Line, tolerance: float) -> Line:
    """Leave out points that stray less than `tolerance` from the line without them."""
    if len(points) < 3:
        return points
    keep = np.zeros(len(points), bool)
    keep[[0, -1]] = True
    work = [(0, len(points) - 1)]
    while work:
        first, last = work.pop()
        if last - first < 2:
            continue
        start, span = points[first], points[last] - points[first]
        inner = points[first + 1 : last] - start
        length = float(np.hypot(*span))
        if length == 0:
            away = np.hypot(inner[:, 0], inner[:, 1])
        else:
            away = np.abs(inner[:, 0] * span[1] - inner[:, 1] * span[0]) / length
        worst = int(np.argmax(away))
        if away[worst] > tolerance:
            middle = first + 1 + worst
            keep[middle] = True
            work += [(first, middle), (middle, last)]
    return points[keep]


def area(ring: Line) -> float:
    """Area within a closed ring, in square index steps."""
    r, c = ring[:, 0], ring[:, 1]
    return abs(float(np.sum(r[:-1] * c[1:] - r[1:] * c[:-1]))) / 2
