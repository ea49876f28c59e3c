"""What is in one frame of a shot and in none of the others: a hand, a crumb knocked over, a plate pushed aside.

Frames of one shot are laid over each other and the median of each place is taken as what the shot looks like; a place
is odd in a frame where it is darker, brighter or of another colour than anything near it in that median. Exposure and
the light's colour are taken off first, and blur is forgiven (it never leaves what lies around): both are measured
elsewhere. The limits are ours, set on made frames.
"""

import contextlib
from collections import Counter
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from functools import partial

import cv2
import numpy as np
from numpy.typing import NDArray

from plateside.frames.colour import cast_of
from plateside.frames.facts import Box
from plateside.frames.register import register, shift_between
from plateside.frames.same_shape import cut_to, sized
from plateside.ground.srgb import LUMINANCE_32, byte_table

SMALL_PX = 240
FEWEST = 3
"""With fewer frames there is no telling which of them is odd."""
_STOPS, _CHROMA_STOPS = 0.45, 0.35
_NEAR_PX = 5
_FURTHEST_PX, _LEAST_SURE = 12.0, 0.1
_LEAST_SHARED = 0.25
"""Of the frame: less in common is no ground for laying one over the other."""
_LIKE = 0.04
"""Stops by which two frames of one set-up differ when they are laid over each other rightly: grain."""
_MOST_PIVOTS = 12
_MOST_SCALED = 0.4
"""Stops of scale beyond which two pictures that seem to fit do so by chance."""
_DARK, _LIT = 0.004, 0.05
_FEWEST_LIT = 200
_SAME_GAIN = (0.06, 0.04, 0.04)
_SAME_TURN_DEG = 0.25
"""Within these frames of one shot are alike: light, red and blue [stops], and how they are turned."""

Array = NDArray[np.float32]
Found = tuple[Sequence[float], float]
"""A shift [px] and how sure it is."""


@dataclass(frozen=True)
class Beside:
    """One frame beside the others of its shot."""

    odd_share: float
    """what it shows alone, as a share of the dish's place; 1 when it cannot be laid over the most"""
    stops: float
    """how much brighter it is than they are"""
    cast_mired: float
    """how much warmer"""
    turn_deg: float = 0.0
    """how far it is turned against the middle one of them, beyond how far they differ anyway"""


def beside(pictures: Sequence[Array], box: Box) -> list[Beside]:
    """Each frame of a shot beside the others, in their order.

    pictures  as `small` makes them
    box       the dish's place
    With fewer than three of about one shape there is nothing that most of them show: all alike.
    """
    shaped = _of_one_shape(pictures)
    differences = [Beside(0.0, 0.0, 0.0)] * len(pictures)
    if len(shaped) < FEWEST:
        return differences
    found = iter(_beside(list(shaped.values()), box))
    # held otherwise than most of them are: composed anew
    other = Beside(1.0 if len(shaped) > len(pictures) // 2 else 0.0, 0.0, 0.0)
    return [next(found) if at in shaped else other for at in range(len(pictures))]


def _of_one_shape(pictures: Sequence[Array]) -> dict[int, Array]:
    """Those that can be brought to the shape that most have: a raw's preview is often some pixels larger."""
    if not pictures:
        return {}
    (high, wide), _ = Counter(p.shape[:2] for p in pictures).most_common(1)[0]
    cut = {at: cut_to(picture, wide, high) for at, picture in enumerate(pictures)}
    return {at: np.asarray(sized(c, wide, high), np.float32) for at, c in cut.items() if c is not None}


def _beside(pictures: Sequence[Array], box: Box) -> list[Beside]:
    """Three frames or more of one shape."""
    smalls = [_logarithms(one) for one in pictures]
    moves, near = _moves(smalls, pictures)
    laid = np.stack([_laid_over(one, move) for one, move in zip(smalls, moves, strict=True)])
    shown = np.array([move is not None for move in moves])
    gains = _gains(laid, shown)
    laid = laid - gains[:, None, None, :].astype(np.float32)
    usual, enough = _most_show(laid[shown])
    high, wide = usual.shape[:2]
    dish = max((box[2] - box[0]) * (box[3] - box[1]) * high * wide, 1.0)
    kernel = np.ones((_NEAR_PX, _NEAR_PX), np.uint8)
    low, top = cv2.erode(usual, kernel), cv2.dilate(usual, kernel)
    limits = np.array([_STOPS, _CHROMA_STOPS, _CHROMA_STOPS], np.float32)
    # of frames that are all composed differently none is the odd one
    composed = sum(near) > len(near) // 2
    differences = []
    for one, fit, (light, red, blue), turn in zip(laid, near, gains, _turns(moves), strict=True):
        with np.errstate(invalid="ignore"):
            own = (one < low - limits) | (one > top + limits)
        odd = (own.any(axis=2) & np.isfinite(one).all(axis=2) & enough).astype(np.uint8)
        # single pixels are noise and the edges of things laid over each other a little aside
        odd = cv2.morphologyEx(odd, cv2.MORPH_OPEN, np.ones((2, 2), np.uint8))
        share = float(odd.sum() / dish) if fit else 1.0 if composed else 0.0
        cast, _ = cast_of((2.0**red, 1.0, 2.0**blue))
        differences.append(Beside(share, float(light), cast, turn))
    return differences


def usual_of(values: NDArray[np.floating], same: float) -> float:
    """What most of the values are: the middle of the one densest cluster `same` wide, else of all that are known.

    A plain median of four of which two are off would lie between those that are not and those that are.
    """
    known = np.sort(values[np.isfinite(values)])
    if not known.size:
        return 0.0
    counts = np.array([np.count_nonzero((known >= v) & (known <= v + same)) for v in known])
    starts = np.flatnonzero(counts == counts.max())
    first, last = known[starts[0]], known[starts[-1]]
    # two clusters as large as each other have no majority between them
    if counts.max() < 2 or last - first > same:
        return float(np.median(known))
    return float(np.median(known[(known >= first) & (known <= last + same)]))


def _gains(laid: Array, shown: NDArray[np.bool_]) -> NDArray[np.float64]:
    """Light, red and blue of each frame against what most of those `shown` are, frames x 3 [stops]."""
    counts = np.isfinite(laid[..., 0]).sum(axis=(1, 2)) * shown
    ruler = laid[int(np.argmax(counts))]
    lit = ruler[..., 0] > np.log2(_LIT)
    against = []
    for one in laid:
        both = np.isfinite(one[..., 0]) & np.isfinite(ruler[..., 0])
        where = both & lit if np.count_nonzero(both & lit) >= _FEWEST_LIT else both
        against.append(np.median(one[where] - ruler[where], axis=0) if where.any() else np.full(3, np.nan))
    found = np.array(against, np.float64)
    usual = [usual_of(found[shown, c], same) for c, same in enumerate(_SAME_GAIN)]
    return np.nan_to_num(found - usual)


def _most_show(laid: Array) -> tuple[Array, NDArray[np.bool_]]:
    """The median of each place, and where enough frames show it for that to mean anything.

    Of an even number, the one of both middle values that has the other beside it: where two of four show something
    else, its mean would be in none of them.
    """
    ranked = np.sort(laid, axis=0)  # what is not shown is not a number and comes last
    count = np.isfinite(ranked).sum(axis=0)

    def at(k: NDArray[np.int64]) -> Array:
        taken = np.take_along_axis(ranked, np.clip(k, 0, len(ranked) - 1)[None], axis=0)[0]
        return np.asarray(taken, np.float32)

    low, high = at((count - 1) // 2), at(count // 2)
    below, above = at((count - 1) // 2 - 1), at(np.minimum(count // 2 + 1, count - 1))
    with np.errstate(invalid="ignore"):
        usual = np.where(low - below <= above - high, low, high)
    return np.nan_to_num(usual).astype(np.float32), (count >= FEWEST).all(axis=2)


def _moves(smalls: Sequence[Array], pictures: Sequence[Array]) -> tuple[list[Array | None], list[bool]]:
    """How each frame lies against the one that has most in common with all (2 x 3), and whether it is composed like it.

    None: it cannot be laid over it. What was framed anew shows the same table, and has its say of what lies there.
    """
    greys = [np.ascontiguousarray(one[..., 0]) for one in smalls]
    pivots = range(min(len(greys), _MOST_PIVOTS))
    tried = {p: [shift_between(greys[p], one) for one in greys] for p in pivots}
    pivot = max(
        tried, key=lambda p: sum(_fits(*found) for found in tried[p]) + sum(f[1] for f in tried[p]) / 1e3
    )
    moves = [
        _move(greys[pivot], grey, found, partial(_from_afar, pictures[pivot], picture))
        for grey, picture, found in zip(greys, pictures, tried[pivot], strict=True)
    ]
    middle = np.array([greys[0].shape[1] / 2, greys[0].shape[0] / 2, 1.0])
    near = [m is not None and np.hypot(*(m @ middle - middle[:2])) <= _FURTHEST_PX for m in moves]
    return moves, near


def _from_afar(pivot: Array, other: Array) -> Array | None:
    """A shift beyond what a hand does, with turn and scale; None where the two do not show the same table."""
    shown = [np.asarray((p @ LUMINANCE_32) ** np.float32(1 / 2.2), np.float32) for p in (pivot, other)]
    fit = register(*shown)
    if not fit.fits or abs(np.log2(fit.scale)) > _MOST_SCALED:
        return None
    return np.asarray(fit.matrix, np.float32)


def _move(pivot: Array, grey: Array, found: Found, afar: Callable[[], Array | None]) -> Array | None:
    """The shift and turn at which most of the frame looks like the pivot: as it stands, shifted, or refined from there.

    Refined by the enhanced correlation (G. Evangelidis and E. Psarakis, 2008). A dish that was pushed aside draws both
    the shift and the refining after it, so each is held against leaving the frame where it is, and, where none of them
    is like the pivot, against what is found from afar.
    """
    at, sure = found
    stays = np.array([[1, 0, 0], [0, 1, 0]], np.float32)
    shifted = np.array([[1, 0, at[0]], [0, 1, at[1]]], np.float32)
    until = (cv2.TERM_CRITERIA_COUNT | cv2.TERM_CRITERIA_EPS, 30, 1e-4)
    ground = np.ones(pivot.shape, np.uint8)
    tried = [stays, shifted] if sure >= _LEAST_SURE else []
    for start in (shifted, stays) if np.hypot(at[0], at[1]) > 1 else (shifted,):
        with contextlib.suppress(cv2.error):  # too little in common for a better one
            if tried:
                _, m = cv2.findTransformECC(pivot, grey, start.copy(), cv2.MOTION_EUCLIDEAN, until, ground, 5)
                if np.hypot(*(m[:, 2] - start[:, 2])) < _FURTHEST_PX:
                    tried.append(np.asarray(m, np.float32))
    costs = [_unlike(pivot, grey, move) for move in tried]
    if min(costs, default=np.inf) > _LIKE and (other := afar()) is not None:
        tried.append(other)
        costs.append(_unlike(pivot, grey, other))
    return tried[int(np.argmin(costs))] if tried else None


def _unlike(pivot: Array, grey: Array, move: Array) -> float:
    """How much the two differ when laid over each other, whatever differs wholly counting no more than `_STOPS`."""
    off = _moved_on(grey, move) - pivot
    off = off[np.isfinite(off)]
    if off.size < _LEAST_SHARED * pivot.size:
        return np.inf
    return float(np.minimum(np.abs(off - np.median(off)), _STOPS).mean())


def _turns(moves: Sequence[Array | None]) -> list[float]:
    turns = np.array([np.nan if m is None else np.degrees(np.arctan2(m[1, 0], m[0, 0])) for m in moves])
    off = turns - usual_of(turns, _SAME_TURN_DEG)
    # by hand every frame is turned a little
    sizes = np.sort(np.abs(off[np.isfinite(off)]))
    usual = 2 * float(sizes[(len(sizes) - 1) // 2])
    return [0.0 if np.isnan(v) else float(np.sign(v) * max(abs(v) - usual, 0.0)) for v in off]


def _fits(at: Sequence[float], sure: float) -> bool:
    return bool(np.hypot(at[0], at[1]) <= _FURTHEST_PX and sure >= _LEAST_SURE)


def small(picture: NDArray[np.uint8]) -> Array:
    """A display picture in linear light, its longer side 240 px: all that `beside` looks at."""
    scale = SMALL_PX / max(picture.shape[:2])
    size = (max(round(picture.shape[1] * scale), 1), max(round(picture.shape[0] * scale), 1))
    return np.asarray(cv2.resize(byte_table()[picture], size, interpolation=cv2.INTER_AREA), np.float32)


def _logarithms(linear: Array) -> Array:
    """Light, red against green and blue against green [stops]."""
    r, g, b = (np.log2(linear[..., c] + _DARK) for c in range(3))
    return np.stack([(r + 2 * g + b) / 4, r - g, b - g], axis=-1).astype(np.float32)


def _laid_over(one: Array, move: Array | None) -> Array:
    """The frame moved on the others; what it does not show is not a number."""
    return one if move is None else _moved_on(one, move)


def _moved_on(one: Array, move: Array) -> Array:
    size, flags = one.shape[1::-1], cv2.INTER_LINEAR | cv2.WARP_INVERSE_MAP
    moved = cv2.warpAffine(one, move, size, flags=flags, borderMode=cv2.BORDER_REPLICATE)
    there = cv2.warpAffine(np.ones(one.shape[:2], np.float32), move, size, flags=flags)
    moved[there <= 0.99] = np.nan
    return np.asarray(moved, np.float32)
