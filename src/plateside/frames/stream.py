"""The stream of a pour in the frames of a burst: where it falls, whether it is unbroken, how wide, how it lands.

A stream is a narrow ribbon that falls down the picture, lighter or darker than both its sides, and never stands still:
it is looked for where the frames of a burst differ. The ribbon's contrast to both sides (a ridge) is taken at several
widths, and the path down the rows that gathers most of it is found by dynamic programming (as a seam: Avidan and Shamir
2007, with free ends). Then each frame is read along that path: rows without the ribbon are a break, a mean level
halfway between ribbon and sides marks its edges, and what differs from the burst's median round the landing is splash.
"""

from collections.abc import Sequence
from dataclasses import dataclass

import cv2
import numpy as np
from numpy.typing import NDArray

from plateside.frames.facts import Box
from plateside.frames.moving import laid_over
from plateside.model.channels import highest

Array = NDArray[np.float32]

HALF_WIDTHS = (2, 3, 5, 8, 12)
"""Of the ribbon that is looked for [px of a picture 750 px wide]."""
LEAST_RIDGE = 0.05
"""Contrast to both sides, of the encoded range."""
CHANGES = 0.05
"""A place where frames differ by this is not standing still."""
MISFIT_PX = 0.7
SHORTEST_SHARE = 0.1
"""Of the picture's height."""
SHAKES_PX = 6
"""How far a stream wanders sideways from frame to frame."""
PRESENT = 0.4
"""Of the ridge that this row shows in other frames."""
SHORTEST_BREAK_WIDTHS = 0.8
SPLASH_SHARE = 0.1
"""Radius round the landing, of the picture's width."""
SPLASH_DIFFERS = 0.1
LEAST_DROP_PX = 4
HAND_BELOW = 0.03
LEAST_HAND = 0.05
"""Of the picture's height."""


@dataclass(frozen=True)
class Stream:
    """The stream in one frame of a burst."""

    breaks: int
    """Gaps at least nearly as long as the stream is wide."""
    whole_share: float
    """Of its fall that is there, 0 to 1."""
    width: float
    """Median width, share of the picture's width; 0 when there is no stream."""
    unevenness: float
    """Standard deviation of its width down the fall over the median."""
    drops: int
    """Separate spots round the landing that the burst's median does not show."""
    splash_share: float
    """What they cover, share of the picture."""

    @property
    def is_there(self) -> bool:
        return self.whole_share >= 0.3


@dataclass(frozen=True)
class Streams:
    """The stream through a burst."""

    box: Box
    """Round its fall, shares of the frame the others were laid over."""
    frames: tuple[Stream, ...]
    """One for each picture, in their order."""


def streams_of(greys: Sequence[Array]) -> Streams | None:
    """The stream in the frames of one burst; None when none falls there.

    greys  three or more small grey pictures (some 750 px wide, encoded 0..1, the same size) of one burst
    """
    if len(greys) < 3:
        return None
    laid = laid_over(greys)
    if laid is None:
        return None
    stack, overlap = laid
    stack = np.stack([cv2.GaussianBlur(one, (0, 0), 1.0) for one in stack])
    soft = np.stack([cv2.GaussianBlur(one, (0, 0), 1.5) for one in stack])
    # a pixel's misfit makes still edges differ too
    middle = np.median(soft, axis=0)
    slope = np.hypot(cv2.Sobel(middle, cv2.CV_32F, 1, 0), cv2.Sobel(middle, cv2.CV_32F, 0, 1)) / 8
    changes = ((soft.max(axis=0) - soft.min(axis=0)) > CHANGES + MISFIT_PX * slope) & overlap
    moves = cv2.dilate(changes.astype(np.uint8), np.ones((25, 7), np.uint8)) > 0
    found: tuple[float, NDArray[np.int64], int, int, float] | None = None
    for sign in (1.0, -1.0):
        for half in HALF_WIDTHS:
            ridges = np.stack([_ridge(one * np.float32(sign), half) for one in stack])
            path = _path(np.where(moves & _stands_apart(changes, half), ridges.max(axis=0), 0.0), half)
            if path is None or path[2] - path[1] < max(SHORTEST_SHARE * stack.shape[1], 5 * half):
                continue
            rows = np.arange(path[1], path[2])
            # a ribbon that stands still (a fork, the edge of a glass) is no stream
            alive = cv2.dilate(changes.astype(np.uint8), np.ones((3, 2 * half + 3), np.uint8))
            if float(alive[rows, path[3]].mean()) < 0.35:
                continue
            if found is None or path[0] > found[0]:
                found = path[0], path[3], path[1], half, sign
    if found is None:
        return None
    _, across, top, half, sign = found
    return _read(stack * np.float32(sign), across, top, half)


def pouring_hand_box(moving: Box | None, streams: Streams | None) -> Box | None:
    """Round the hand that pours, in shares of the frame: what moves above the stream's beginning.

    moving  round all that moves (`moving_box`); it is given back whole where nothing of it lies above
    """
    if moving is None or streams is None:
        return moving
    low = min(moving[3], streams.box[1] + HAND_BELOW)
    return (moving[0], moving[1], moving[2], low) if low - moving[1] >= LEAST_HAND else moving


def _ridge(grey: Array, half: int) -> Array:
    """How much lighter a ribbon of this half width is than both its sides, by rows smoothed a little."""
    size, beside = 2 * half + 1, half + 1
    level = cv2.blur(grey, (size, 5))
    side = cv2.blur(grey, (beside, 5))
    shift = half + 2 + beside // 2
    left, right = np.roll(side, shift, axis=1), np.roll(side, -shift, axis=1)
    ridge = np.minimum(level - left, level - right)
    ridge[:, : shift + half] = 0
    ridge[:, -shift - half :] = 0
    return np.asarray(np.maximum(ridge, 0), np.float32)


def _stands_apart(changes: NDArray[np.bool_], half: int) -> NDArray[np.bool_]:
    """Where nothing moves beside a ribbon of this half width: what is on a moved jug has its like beside it."""
    shift = 3 * half + SHAKES_PX + 2
    beside = cv2.dilate(changes.astype(np.uint8), np.ones((9, 5), np.uint8)) > 0
    return ~(np.roll(beside, shift, axis=1) | np.roll(beside, -shift, axis=1))


def _path(ridge: Array, half: int) -> tuple[float, int, int, NDArray[np.int64]] | None:
    """(gathered, first row, last row + 1, column in each row) of the ribbon that gathers most ridge above the limit."""
    height, width = ridge.shape
    # a glint is bright, not long: every row counts for at most six limits
    gain = np.minimum(ridge, 6 * LEAST_RIDGE) - LEAST_RIDGE
    best = np.zeros((height, width), np.float32)
    came = np.zeros((height, width), np.int8)
    best[0] = gain[0]
    for y in range(1, height):
        before = best[y - 1]
        three = np.stack([np.r_[-1e9, before[:-1]], before, np.r_[before[1:], -1e9]])
        three[0] -= 0.01
        three[2] -= 0.01
        step = three.argmax(axis=0)
        above = three.max(axis=0)
        came[y] = np.where(above > 0, step - 1, 2)
        best[y] = np.maximum(above, 0) + gain[y]
    end = int(best.argmax())
    y, x = divmod(end, width)
    gathered = float(best[y, x])
    if gathered <= 0:
        return None
    last, columns = y + 1, []
    while True:
        columns.append(x)
        if y == 0 or came[y, x] == 2:
            break
        x, y = x + int(came[y, x]), y - 1
    return gathered, y, last, np.asarray(columns[::-1], np.int64)


def _read(stack: Array, across: NDArray[np.int64], top: int, half: int) -> Streams:
    """Each frame along the path; the stack's ribbon is lighter than its sides."""
    frames, height, width = stack.shape
    rows = np.arange(top, top + len(across))
    steps = np.arange(-SHAKES_PX, SHAKES_PX + 1)
    columns = np.clip(across[:, None] + steps[None], 0, width - 1)
    here = np.stack([_ridge(one, half)[rows[:, None], columns] for one in stack])
    strength = highest(here)
    usual = np.median(strength, axis=0)
    # rows in which half of the frames show no ribbon (before a like ground, at the jug, past the landing) tell nothing
    known = usual >= LEAST_RIDGE
    there = (strength > PRESENT * usual[None]) | ~known
    middle = np.median(stack, axis=0)
    landing = float(across[-1]), float(rows[-1])
    out = []
    for k in range(frames):
        at = columns[np.arange(len(rows)), here[k].argmax(axis=1)]
        clear = there[k] & known
        widths = _widths(stack[k], rows[clear], at[clear], half)
        typical = float(np.median(widths)) if widths.size else 0.0
        least = max(SHORTEST_BREAK_WIDTHS * max(typical, 2.0), 4.0)
        drops, share = _splash(stack[k], middle, landing, half)
        uneven = float(widths.std() / typical) if typical else 0.0
        out.append(
            Stream(
                _gaps(there[k], least),
                float(there[k].mean()),
                typical / width,
                round(uneven, 3),
                drops,
                share,
            )
        )
    x0, x1 = float(across.min() - 2 * half) / width, float(across.max() + 2 * half) / width
    return Streams((x0, top / height, x1, float(rows[-1] + 1) / height), tuple(out))


def _gaps(there: NDArray[np.bool_], least: float) -> int:
    """Runs of rows without the ribbon that are long enough, between its first row and its last."""
    known = np.flatnonzero(there)
    if known.size == 0:
        return 0
    between = np.diff(known) - 1
    return int(np.count_nonzero(between >= least))


def _widths(grey: Array, rows: NDArray[np.int64], at: NDArray[np.int64], half: int) -> NDArray[np.float64]:
    """Width of the ribbon in each row at half its height over its sides [px]."""
    reach = 3 * half + 3
    steps = np.arange(-reach, reach + 1)
    columns = np.clip(at[:, None] + steps[None], 0, grey.shape[1] - 1)
    profiles = grey[rows[:, None], columns].astype(np.float64)
    sides = np.maximum(profiles[:, :half].mean(axis=1), profiles[:, -half:].mean(axis=1))
    peak = profiles[:, reach - half : reach + half + 1].max(axis=1)
    above = profiles > ((sides + peak) / 2)[:, None]
    left = np.argmin(above[:, reach::-1], axis=1)
    right = np.argmin(above[:, reach:], axis=1)
    return np.asarray(np.maximum(left + right - 1, 1), np.float64)


def _splash(grey: Array, middle: Array, landing: tuple[float, float], half: int) -> tuple[int, float]:
    """Spots round the landing that the burst's median does not show: how many, and their share of the picture."""
    height, width = grey.shape
    v, u = np.mgrid[0:height, 0:width]
    radius = SPLASH_SHARE * width
    near = np.hypot(u - landing[0], v - landing[1]) < radius
    near &= ~((np.abs(u - landing[0]) < 2 * half + SHAKES_PX) & (v < landing[1] + half))
    spots = ((np.abs(grey - middle) > SPLASH_DIFFERS) & near).astype(np.uint8)
    count, _, stats, _ = cv2.connectedComponentsWithStats(spots, connectivity=8)
    areas = stats[1:count, cv2.CC_STAT_AREA]
    areas = areas[areas >= LEAST_DROP_PX]
    return int(areas.size), float(areas.sum() / grey.size)
