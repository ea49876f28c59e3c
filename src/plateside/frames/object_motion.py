"""How far a moving thing goes between the frames of a burst, all pairs of frames taken together.

For each pair, how much better every shift explains what differs between the two than standing still does (in colour
and in the gradient, which a plain thing has on its edges only; a pixel that fits nowhere counts little). The ways of
all frames are then those for which these gains, summed over the pairs, are greatest: grown from each frame in turn,
then one frame after the other put where the rest want it (coordinate ascent, Besag's iterated conditional modes 1986).
"""

from collections.abc import Mapping

import cv2
import numpy as np
from numba import njit, prange
from numpy.typing import NDArray

Array = NDArray[np.float32]

STEP_PX = 2
STEPS = 14
"""How far a hand goes between two frames of a burst: 28 px of a picture 750 px wide."""
DIFFERS = 0.04
"""Of the encoded range, plus what half a pixel of misfit does to an edge."""
MISFIT_PX = 0.5
FEWEST = 60
"""Pixels that differ, below which two frames show the thing in the same place."""
AT_MOST = 0.08
GRADIENT = 3.0
"""A gradient counts like a difference seen three pixels off."""
SAMPLE = 1200
ROUNDS = 6
NEAR = 5
"""Steps of one pixel about the first ways, then."""


Displacement = tuple[int, int]


def displacements_of(stack: Array, still: Array, keep: NDArray[np.bool_]) -> list[Displacement]:
    """The thing's shift [px] from the middle frame into each, to a pixel; all zero when nothing moves.

    stack  frames x height x width x colours, laid over the table, softened
    still  its median, height x width x colours
    keep   height x width: where to look
    """
    slope = np.hypot(cv2.Sobel(still, cv2.CV_32F, 1, 0), cv2.Sobel(still, cv2.CV_32F, 0, 1)) / 8
    slope = slope.reshape(still.shape).max(axis=2)
    looks = [_looks(one) for one in stack]
    pairs = {(i, j): _where(stack[i], stack[j], slope, keep) for j in range(len(stack)) for i in range(j)}
    at_rest = [(0, 0)] * len(stack)
    far = {pair: _gains(looks, pair, where, (0, 0), STEPS, STEP_PX) for pair, where in pairs.items()}
    ways = _best(far, at_rest, STEP_PX)
    near = {
        (i, j): _gains(looks, (i, j), where, (ways[j][0] - ways[i][0], ways[j][1] - ways[i][1]), NEAR, 1)
        for (i, j), where in pairs.items()
    }
    ways = _best(near, ways, 1)
    middle = ways[len(ways) // 2]
    return [(x - middle[0], y - middle[1]) for x, y in ways]


def _best(gains: "Gains", start: list[Displacement], step: int) -> list[Displacement]:
    """The start, and the steps of each frame from there that gain most over all pairs."""
    found: tuple[float, list[Displacement]] | None = None
    for root in range(len(start)):
        steps = _settled(gains, _grown(gains, root, len(start)))
        total = _total(gains, steps)
        if found is None or total > found[0]:
            found = total, steps
    assert found is not None  # noqa: S101 - there is a frame
    return [(x + step * a, y + step * b) for (x, y), (a, b) in zip(start, found[1], strict=True)]


def _looks(one: Array) -> Array:
    """Colours and their gradients, height x width x 3 colours."""
    across, down = (
        cv2.Sobel(one, cv2.CV_32F, *of).reshape(one.shape) * (GRADIENT / 8) for of in ((1, 0), (0, 1))
    )
    return np.ascontiguousarray(np.concatenate([one, across, down], axis=2), np.float32)


def _where(
    one: Array, other: Array, slope: Array, keep: NDArray[np.bool_]
) -> tuple[NDArray[np.int64], NDArray[np.int64], int]:
    """Rows and columns of a sample of the pixels that differ, and how many those are."""
    differs = np.abs(one - other).max(axis=2) > DIFFERS + MISFIT_PX * slope
    opened = cv2.morphologyEx((differs & keep).astype(np.uint8), cv2.MORPH_OPEN, np.ones((2, 2), np.uint8))
    y, x = np.nonzero((cv2.dilate(opened, np.ones((5, 5), np.uint8)) > 0) & keep)
    found = int(y.size)
    if found > SAMPLE:
        some = np.random.default_rng(0).permutation(found)[:SAMPLE]
        y, x = y[some], x[some]
    return y, x, found


def _gains(
    looks: list[Array],
    pair: tuple[int, int],
    where: tuple[NDArray[np.int64], NDArray[np.int64], int],
    about: Displacement,
    steps: int,
    step: int,
) -> NDArray[np.float64]:
    """What each shift about one, from the first frame into the second, explains beyond that; rows are steps down."""
    side = 2 * steps + 1
    y, x, found = where
    if found < FEWEST:
        return np.zeros((side, side))
    a, b = looks[pair[0]], looks[pair[1]]
    colours = a.shape[2] // 3
    there, back = (np.empty((side, side)) for _ in range(2))
    _costs(a, b, y, x, about[0], about[1], step, AT_MOST * colours, there)
    _costs(b, a, y, x, -about[0], -about[1], step, AT_MOST * colours, back)
    cost = (there + back[::-1, ::-1]) / (2 * colours)
    return np.asarray((cost[steps, steps] - cost) * np.sqrt(found))


@njit(cache=True, fastmath=True, parallel=True)
def _costs(
    a: Array,
    b: Array,
    y: NDArray[np.int64],
    x: NDArray[np.int64],
    about_x: int,
    about_y: int,
    step: int,
    most: float,
    out: NDArray[np.float64],
) -> None:
    height, width, planes = b.shape
    side = out.shape[0]
    middle = side // 2
    for p in prange(side):
        for q in range(side):
            total = 0.0
            for m in range(y.size):
                v = min(max(y[m] + about_y + (p - middle) * step, 0), height - 1)
                u = min(max(x[m] + about_x + (q - middle) * step, 0), width - 1)
                off = 0.0
                for c in range(planes):
                    off += abs(b[v, u, c] - a[y[m], x[m], c])
                total += min(off, most)
            out[p, q] = total / y.size


Gains = Mapping[tuple[int, int], NDArray[np.float64]]


def _wants(gains: Gains, i: int, k: int, way: Displacement) -> NDArray[np.float64]:
    """What frame i, which went `way`, says of each way of frame k."""
    gain = gains[i, k] if i < k else gains[k, i][::-1, ::-1]
    side = len(gain)
    out = np.full((side, side), gain.min())
    x, y = way
    rows, columns = (slice(max(d, 0), min(side + d, side)) for d in (y, x))
    if rows.stop > rows.start and columns.stop > columns.start:
        out[rows, columns] = gain[
            rows.start - y : rows.stop - y,
            columns.start - x : columns.stop - x,
        ]
    return out


def _peak(of: NDArray[np.float64]) -> Displacement:
    row, column = divmod(int(of.argmax()), len(of))
    return column - len(of) // 2, row - len(of) // 2


def _grown(gains: Gains, root: int, count: int) -> list[Displacement]:
    """Ways with the root at rest: at each step the frame that those placed are surest of."""
    known = {root: (0, 0)}
    wants = {k: np.zeros_like(next(iter(gains.values()))) for k in range(count) if k != root}
    last = root
    while wants:
        for k in wants:
            wants[k] = wants[k] + _wants(gains, last, k, known[last])
        last = max(wants, key=lambda k: float(wants[k].max()))
        known[last] = _peak(wants.pop(last))
    return [known[k] for k in range(count)]


def _settled(gains: Gains, ways: list[Displacement]) -> list[Displacement]:
    out = list(ways)
    for _ in range(ROUNDS):
        before = list(out)
        for k in range(len(out)):
            said = [_wants(gains, i, k, way) for i, way in enumerate(out) if i != k]
            out[k] = _peak(np.sum(said, axis=0))
        if out == before:
            break
    return out


def _total(gains: Gains, ways: list[Displacement]) -> float:
    total = 0.0
    for (i, j), gain in gains.items():
        middle = len(gain) // 2
        x, y = ways[j][0] - ways[i][0] + middle, ways[j][1] - ways[i][1] + middle
        total += float(gain[y, x] if 0 <= x < len(gain) and 0 <= y < len(gain) else gain.min())
    return total
