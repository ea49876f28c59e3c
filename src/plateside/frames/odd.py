"""What is in one frame of a shot and in none of the others: a hand, a crumb knocked over, a plate pushed aside.

Frames of one shot are laid over each other and the median of each place is taken as what the shot looks like; a place
is odd in a frame where it is darker, brighter or of another colour than anything near it in that median. Exposure and
the light's colour are taken off first, and blur is forgiven (it never leaves what lies around): both are measured
elsewhere. The limits are ours, set on made frames.
"""

from collections.abc import Sequence
from dataclasses import dataclass

import cv2
import numpy as np
from numpy.typing import NDArray

from plateside.frames.colour import cast_of
from plateside.frames.facts import Box

SMALL_PX = 240
FEWEST = 3
"""With fewer frames there is no telling which of them is odd."""
_STOPS, _CHROMA_STOPS = 0.45, 0.35
_NEAR_PX = 5
_FURTHEST_PX, _LEAST_SURE = 12.0, 0.1
_MOST_PIVOTS = 12
_DARK, _LIT = 0.004, 0.05

Array = NDArray[np.float32]


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
    With fewer than three of one shape there is nothing that most of them show: all alike.
    """
    if len(pictures) < FEWEST or len({p.shape for p in pictures}) > 1:
        return [Beside(0.0, 0.0, 0.0)] * len(pictures)
    smalls = [_logarithms(one) for one in pictures]
    moves = _moves(smalls)
    fits = [move is not None for move in moves]
    laid = np.stack([_laid_over(one, move) for one, move in zip(smalls, moves, strict=True)])
    turns = _turns(moves)
    usual = np.nanmedian(laid[fits], axis=0)
    lit = usual[..., :1] > np.log2(_LIT)
    gain = np.nanmedian(
        np.where(lit if lit.any() else True, laid - usual, np.nan), axis=(1, 2), keepdims=True
    )
    laid = laid - gain
    usual = np.nanmedian(laid[fits], axis=0).astype(np.float32)
    high, wide = usual.shape[:2]
    dish = max((box[2] - box[0]) * (box[3] - box[1]) * high * wide, 1.0)
    kernel = np.ones((_NEAR_PX, _NEAR_PX), np.uint8)
    low, top = cv2.erode(usual, kernel), cv2.dilate(usual, kernel)
    limits = np.array([_STOPS, _CHROMA_STOPS, _CHROMA_STOPS], np.float32)
    differences = []
    # of frames that are all composed differently none is the odd one
    enough = sum(fits) >= max(FEWEST, len(fits) // 2 + 1)
    gains = gain[:, 0, 0].astype(float)
    for one, fit, (light, red, blue), turn in zip(laid, fits, gains, turns, strict=True):
        own = (one < low - limits) | (one > top + limits)
        odd = (own.any(axis=2) & np.isfinite(one).all(axis=2)).astype(np.uint8)
        # single pixels are noise and the edges of things laid over each other a little aside
        odd = cv2.morphologyEx(odd, cv2.MORPH_OPEN, np.ones((2, 2), np.uint8))
        share = (float(odd.sum() / dish) if fit else 1.0) if enough else 0.0
        cast, _ = cast_of((2.0**red, 1.0, 2.0**blue))
        differences.append(Beside(share, float(light), cast, turn))
    return differences


def _moves(smalls: Sequence[Array]) -> list[Array | None]:
    """How each frame lies against the one that has most in common with all (2 x 3); None: it cannot be laid over it."""
    greys = [np.ascontiguousarray(one[..., 0]) for one in smalls]
    window = cv2.createHanningWindow(greys[0].shape[::-1], cv2.CV_32F)
    pivots = range(min(len(greys), _MOST_PIVOTS))
    tried = {p: [cv2.phaseCorrelate(greys[p], one, window) for one in greys] for p in pivots}
    pivot = max(
        tried, key=lambda p: sum(_fits(*found) for found in tried[p]) + sum(f[1] for f in tried[p]) / 1e3
    )
    return [
        _refined(greys[pivot], grey, at) if _fits(at, sure) else None
        for grey, (at, sure) in zip(greys, tried[pivot], strict=True)
    ]


def _refined(pivot: Array, grey: Array, at: Sequence[float]) -> Array:
    """Shift and turn by the enhanced correlation (G. Evangelidis and E. Psarakis, 2008), from a shift."""
    start = np.array([[1, 0, at[0]], [0, 1, at[1]]], np.float32)
    until = (cv2.TERM_CRITERIA_COUNT | cv2.TERM_CRITERIA_EPS, 30, 1e-4)
    ground = np.ones(pivot.shape, np.uint8)
    try:
        _, found = cv2.findTransformECC(pivot, grey, start.copy(), cv2.MOTION_EUCLIDEAN, until, ground, 5)
    except cv2.error:
        return start  # too little in common for a better one
    near = np.hypot(*(found[:, 2] - start[:, 2])) < _FURTHEST_PX
    return np.asarray(found if near else start, np.float32)


def _turns(moves: Sequence[Array | None]) -> list[float]:
    turns = np.array([np.nan if m is None else np.degrees(np.arctan2(m[1, 0], m[0, 0])) for m in moves])
    off = turns - np.nanmedian(turns)
    # by hand every frame is turned a little
    usual = 2 * float(np.nanmedian(np.abs(off)))
    return [0.0 if np.isnan(v) else float(np.sign(v) * max(abs(v) - usual, 0.0)) for v in off]


def _fits(at: Sequence[float], sure: float) -> bool:
    return bool(np.hypot(at[0], at[1]) <= _FURTHEST_PX and sure >= _LEAST_SURE)


def small(picture: NDArray[np.uint8]) -> Array:
    """A display picture in linear light, its longer side 240 px: all that `beside` looks at."""
    scale = SMALL_PX / max(picture.shape[:2])
    size = (max(round(picture.shape[1] * scale), 1), max(round(picture.shape[0] * scale), 1))
    linear = (picture.astype(np.float32) / 255) ** np.float32(2.2)
    return np.asarray(cv2.resize(linear, size, interpolation=cv2.INTER_AREA), np.float32)


def _logarithms(linear: Array) -> Array:
    """Light, red against green and blue against green [stops]."""
    r, g, b = (np.log2(linear[..., c] + _DARK) for c in range(3))
    return np.stack([(r + 2 * g + b) / 4, r - g, b - g], axis=-1).astype(np.float32)


def _laid_over(one: Array, move: Array | None) -> Array:
    """The frame moved on the others; what it does not show is not a number."""
    if move is None:
        return one
    size, flags = one.shape[1::-1], cv2.INTER_LINEAR | cv2.WARP_INVERSE_MAP
    moved = cv2.warpAffine(one, move, size, flags=flags, borderMode=cv2.BORDER_REPLICATE)
    there = cv2.warpAffine(np.ones(one.shape[:2], np.float32), move, size, flags=flags)
    return np.where(there[..., None] > 0.99, moved, np.nan).astype(np.float32)
