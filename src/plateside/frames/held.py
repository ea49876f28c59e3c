"""What a hand holds in a burst (a jug, a spoon), followed from frame to frame: where its own sharpness is measured.

A box round all that moves holds mostly things that stand still, and those are as sharp in every frame: they hide what
the hand does. So the moving thing is laid over itself. Between two frames its way is the shift that explains best what
differs between them; pixels that agree better when the frames are laid over each other by that way than when the
table is laid over the table belong to it (layered motion: Wang and Adelson, IEEE Trans. Image Processing 3, 1994). What
counts is the thing's own edges: the gradient of its median picture, in which all that stands behind it has run out.
A stream, splashes and steam follow no one's way and drop out by themselves.
"""

from collections.abc import Sequence
from dataclasses import dataclass

import cv2
import numpy as np
from numpy.typing import NDArray

from plateside.frames.bursts import Detail
from plateside.frames.moving import laid_by
from plateside.frames.stream import Streams

Array = NDArray[np.float32]
Shift = tuple[float, float]

FAR_PX = 24
"""How far a hand goes between two frames of a burst [px of a picture 750 px wide]."""
STEP_PX = 3
REACH_PX = 4
DIFFERS = 0.04
"""Of the encoded range, plus what half a pixel of misfit does to an edge."""
MISFIT_PX = 0.5
FEWEST = 60
"""Pixels that differ, below which two frames show the thing in the same place."""
AT_MOST = 0.15
"""A pixel that fits nowhere counts no more than this."""
BETTER = 0.8
OWN_WAY = 0.6
"""Of the difference that is left by the table's way."""
LEAST_MOVES = 0.01
LEAST_AREA = 100
TOGETHER_PX = 31
GROWN_PX = 9
"""Edges of a blurred frame are wider than those of the median."""
STRONGEST = 90
"""Percentile of the edges' strength above which all count alike: one glint is not the hand."""
SAMPLE = 4000
ROUNDS = 2


@dataclass(frozen=True, eq=False)
class Held:
    """The thing in the pixels of the middle frame's small picture, and its way from there into each frame's."""

    weight: Array
    """Height x width, 0 to 1: its edges."""
    matrices: tuple[NDArray[np.float64], ...]
    """2 x 3 for each frame."""


def held_in(greys: Sequence[Array], streams: Streams | None = None) -> Held | None:
    """What moves as one thing through a burst; None when nothing does or it moved too little to be told.

    greys    three or more small grey pictures (some 750 px wide, encoded 0..1, the same size) of one burst
    streams  of a pour: where its stream falls, which is left out
    """
    if len(greys) < 3:
        return None
    laid = laid_by(greys)
    if laid is None:
        return None
    plain, seen, fits = laid
    stack = np.stack([cv2.GaussianBlur(one, (0, 0), 1.5) for one in plain])
    still = _middle(stack)
    keep = _without(seen, streams)
    ways = _first_ways(stack, still, keep)
    mask = _own(stack, ways, still, keep)
    for _ in range(ROUNDS):
        if int(mask.sum()) < LEAST_AREA:
            return None
        template = _middle(np.stack([_shifted(o, w) for o, w in zip(stack, ways, strict=True)]))
        where = cv2.dilate(mask.astype(np.uint8), np.ones((5, 5), np.uint8)) > 0
        ways = [
            _least(template, o, where, (round(w[0]), round(w[1])), REACH_PX, 1)[0]
            for o, w in zip(stack, ways, strict=True)
        ]
        mask = _own(stack, ways, still, keep)
    if int(mask.sum()) < LEAST_AREA:
        return None
    matrices = tuple(
        fit @ np.array([[1.0, 0, way[0]], [0, 1.0, way[1]], [0, 0, 1.0]])
        for fit, way in zip(fits, ways, strict=True)
    )
    return Held(_edges(plain, ways, mask), matrices)


def detail_held(picture: NDArray[np.uint8], held: Held, frame: int) -> Detail | None:
    """Fine contrast of the thing's edges in one frame (height x width, or x 3, uint8): as `bursts.detail_in`.

    frame  which of the burst's frames the picture is, at any size
    """
    high, wide = picture.shape[:2]
    scale = wide / held.weight.shape[1]
    matrix = held.matrices[frame] * scale
    rows, columns = np.nonzero(held.weight > 0)
    corners = np.array(
        [[x, y, 1.0] for x in (columns.min(), columns.max()) for y in (rows.min(), rows.max())]
    )
    placed = corners @ matrix.T
    x0, y0 = (max(int(v), 0) for v in placed.min(axis=0) - 2)
    x1, y1 = min(int(placed[:, 0].max()) + 3, wide), min(int(placed[:, 1].max()) + 3, high)
    if x1 - x0 < 8 or y1 - y0 < 8:
        return None
    part = picture[y0:y1, x0:x1]
    light = part if part.ndim == 2 else cv2.cvtColor(part, cv2.COLOR_RGB2GRAY)
    level = cv2.GaussianBlur(light.astype(np.float32), (0, 0), 1.0)
    matrix = matrix - np.array([[0, 0, x0], [0, 0, y0]])
    weight = cv2.warpAffine(held.weight, matrix, (x1 - x0, y1 - y0), flags=cv2.INTER_LINEAR)
    total = float(weight.sum())
    mean = float((level * weight).sum()) / total if total > 0 else 0.0
    if mean < 2:
        return None
    across, down = cv2.Sobel(level, cv2.CV_32F, 1, 0), cv2.Sobel(level, cv2.CV_32F, 0, 1)
    xx, xy, yy = (
        float((weight * a * b).sum()) / total / mean**2
        for a, b in ((across, across), (across, down), (down, down))
    )
    return xx, xy, yy


def _middle(stack: Array) -> Array:
    """Median over the frames; three times as quick as numpy's."""
    ranked = np.sort(stack, axis=0)
    return np.asarray((ranked[(len(ranked) - 1) // 2] + ranked[len(ranked) // 2]) / 2, np.float32)


def _without(seen: NDArray[np.bool_], streams: Streams | None) -> NDArray[np.bool_]:
    keep = seen.copy()
    if streams is not None:
        high, wide = seen.shape
        x0, y0, x1, y1 = streams.box
        keep[
            int(y0 * high) : int((y1 + 0.03) * high),
            max(int((x0 - 0.01) * wide), 0) : int((x1 + 0.01) * wide),
        ] = False
    return keep


def _first_ways(stack: Array, still: Array, keep: NDArray[np.bool_]) -> list[Shift]:
    """The thing's shift from the middle frame into each, from what differs between the two."""
    middle = len(stack) // 2
    slope = np.hypot(cv2.Sobel(still, cv2.CV_32F, 1, 0), cv2.Sobel(still, cv2.CV_32F, 0, 1)) / 8
    ways: list[Shift] = []
    for k, one in enumerate(stack):
        way: Shift = (0.0, 0.0)
        if k != middle:
            differs = (np.abs(one - stack[middle]) > DIFFERS + MISFIT_PX * slope) & keep
            opened = cv2.morphologyEx(differs.astype(np.uint8), cv2.MORPH_OPEN, np.ones((2, 2), np.uint8))
            where = (cv2.dilate(opened, np.ones((5, 5), np.uint8)) > 0) & keep
            if int(where.sum()) >= FEWEST:
                found, cost, at_rest = _least(stack[middle], one, where, (0, 0), FAR_PX, STEP_PX)
                way = found if cost < BETTER * at_rest else way
        ways.append(way)
    return ways


def _least(
    template: Array, one: Array, where: NDArray[np.bool_], start: tuple[int, int], reach: int, step: int
) -> tuple[Shift, float, float]:
    """(shift, what is left by it, what is left by the start) that lays `one` best over the template's pixels."""
    high, wide = one.shape
    y, x = np.nonzero(where)
    if y.size > SAMPLE:
        some = np.random.default_rng(0).permutation(y.size)[:SAMPLE]
        y, x = y[some], x[some]
    wanted = template[y, x]
    known: dict[tuple[int, int], float] = {}

    def cost(dx: int, dy: int) -> float:
        if (dx, dy) not in known:
            there = one[np.clip(y + dy, 0, high - 1), np.clip(x + dx, 0, wide - 1)]
            known[dx, dy] = float(np.minimum(np.abs(there - wanted), AT_MOST).mean())
        return known[dx, dy]

    grid = [
        (start[0] + dx, start[1] + dy)
        for dx in range(-reach, reach + 1, step)
        for dy in range(-reach, reach + 1, step)
    ]
    best = min(grid, key=lambda at: cost(*at))
    while step > 1:
        step -= 1
        around = [(best[0] + i * step, best[1] + j * step) for i in (-1, 0, 1) for j in (-1, 0, 1)]
        best = min(around, key=lambda at: cost(*at))
    here = cost(*best)

    def between(before: float, after: float) -> float:
        bend = before - 2 * here + after
        return float(np.clip(0.5 * (before - after) / bend, -0.5, 0.5)) if bend > 1e-6 else 0.0

    a, b = best
    way = (a + between(cost(a - 1, b), cost(a + 1, b)), b + between(cost(a, b - 1), cost(a, b + 1)))
    return way, here, cost(*start)


def _shifted(one: Array, way: Shift) -> Array:
    """The frame with the thing where the middle frame has it."""
    high, wide = one.shape
    matrix = np.array([[1, 0, way[0]], [0, 1, way[1]]], np.float64)
    flags = cv2.INTER_LINEAR | cv2.WARP_INVERSE_MAP
    return np.asarray(
        cv2.warpAffine(one, matrix, (wide, high), flags=flags, borderMode=cv2.BORDER_REPLICATE), np.float32
    )


def _own(stack: Array, ways: Sequence[Shift], still: Array, keep: NDArray[np.bool_]) -> NDArray[np.bool_]:
    """Where the frames agree by the thing's way, not the table's; of several such places the one that moves most."""
    own = np.stack([_shifted(o, w) for o, w in zip(stack, ways, strict=True)])
    left = cv2.blur(np.abs(own - _middle(own)).mean(axis=0), (5, 5))
    moves = cv2.blur(np.abs(stack - still).mean(axis=0), (5, 5))
    mask = ((left < OWN_WAY * moves) & (moves > LEAST_MOVES) & keep).astype(np.uint8)
    mask = np.asarray(cv2.morphologyEx(mask, cv2.MORPH_OPEN, np.ones((2, 2), np.uint8)), np.uint8)
    near = cv2.dilate(mask, np.ones((TOGETHER_PX, TOGETHER_PX), np.uint8))
    count, labels = cv2.connectedComponents(near)
    if count > 2:
        weight = np.bincount(labels.ravel(), (moves * mask).ravel(), count)
        mask = mask * (labels == 1 + int(np.argmax(weight[1:]))).astype(np.uint8)
    return np.asarray(mask > 0)


def _edges(plain: Array, ways: Sequence[Shift], mask: NDArray[np.bool_]) -> Array:
    """How strong the thing's own edges are, grown so far that a blurred frame's lie inside."""
    median = _middle(
        np.stack([_shifted(cv2.GaussianBlur(o, (0, 0), 1.0), w) for o, w in zip(plain, ways, strict=True)])
    )
    strong = cv2.Sobel(median, cv2.CV_32F, 1, 0) ** 2 + cv2.Sobel(median, cv2.CV_32F, 0, 1) ** 2
    grown = cv2.dilate(mask.astype(np.uint8), np.ones((5, 5), np.uint8)) > 0
    strong = np.where(grown, strong, np.float32(0))
    most = max(float(np.percentile(strong[grown], STRONGEST)), 1e-12)
    round_px = cv2.getStructuringElement(cv2.MORPH_ELLIPSE, (GROWN_PX, GROWN_PX))
    return np.asarray(cv2.dilate(np.minimum(strong / most, 1.0).astype(np.float32), round_px), np.float32)
