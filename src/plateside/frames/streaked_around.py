"""Whether what lies well away from the hero was streaked as the hero was: the camera moved, or the hero did.

A cloth, a board or a wall has few clear edges, but fine detail. The test frame's, swept along the hero's own streak, is
laid beside the frame's: where that fits it better than as it was, and better than swept across, all of it was swept.
Noise of the two frames is not alike, so it takes no part; a sweep across takes away as much of it as one along.
"""

from dataclasses import replace

import cv2
import numpy as np
from numpy.typing import NDArray

from plateside.frames.facts import Box
from plateside.frames.register import Registration
from plateside.frames.sharpness import streak_px
from plateside.frames.softer import Softening, widened
from plateside.frames.subject import on_subject

Array = NDArray[np.float32]

FINE_PX, COARSE_PX = 0.8, 6.0
DARK = 0.05
LEAST_ALIKE = 0.1
"""Correlation of the fine detail below which nothing lies there that both show."""
LEAST_PX2 = 0.6
"""Of the hero's streak [px^2]: less is no streak to look for."""
LEAST_AREA = 0.05
"""Of the frame."""
CLEAR = 0.98


def with_around(soft: Softening, reference: Array, frame: Array, fit: Registration, box: Box) -> Softening:
    """With `around_streaked`, where edges well away from the hero do not tell and the hero is streaked.

    reference, frame  grey, encoded 0..1, one size; fit  from `register(reference, frame)`
    """
    if soft.far_stayed_share >= 0 or soft.subject_along < LEAST_PX2:
        return soft
    told = streaked_around(
        reference, frame, fit, box, soft.subject_direction_deg, max(streak_px(soft.subject_along), 3.0)
    )
    return replace(soft, around_streaked=told)


def streaked_around(
    reference: Array, frame: Array, fit: Registration, box: Box, direction_deg: float, length_px: float
) -> float:
    """How much better the detail around is explained by a streak of this direction and length [correlation]; 0 where
    there is none."""
    height, width = reference.shape
    flags = cv2.INTER_CUBIC | cv2.WARP_INVERSE_MAP
    back = cv2.warpAffine(frame, fit.matrix.copy(), (width, height), flags=flags, borderValue=(-1.0,))
    y, x = np.mgrid[0:height, 0:width]
    used = ~on_subject(x, y, widened(box), width, height)
    used &= cv2.erode((back >= 0).astype(np.uint8), np.ones((25, 25), np.uint8)) > 0
    used &= (reference < CLEAR) & (back < CLEAR)
    if np.count_nonzero(used) < LEAST_AREA * used.size:
        return 0.0
    before, now = _detail(reference), _detail(np.maximum(np.asarray(back, np.float32), 0))
    target = now[used]
    still = _alike(before[used], target)
    along, across = (
        _alike(np.asarray(cv2.filter2D(before, -1, _line(length_px, turn)), np.float32)[used], target)
        for turn in (direction_deg, direction_deg + 90)
    )
    if max(still, along, across) < LEAST_ALIKE:
        return 0.0
    return along - max(still, across)


def _line(length_px: float, direction_deg: float) -> Array:
    """A straight streak, counter-clockwise from horizontal."""
    reach = int(np.ceil(length_px / 2)) + 1
    v, u = np.mgrid[-reach : reach + 1, -reach : reach + 1].astype(np.float32)
    turn = -np.radians(direction_deg)
    along, across = u * np.cos(turn) + v * np.sin(turn), -u * np.sin(turn) + v * np.cos(turn)
    kernel = np.clip(length_px / 2 + 0.5 - np.abs(along), 0, 1) * np.clip(1 - np.abs(across), 0, 1)
    return np.asarray(kernel / kernel.sum(), np.float32)


def _detail(plain: Array) -> Array:
    log = np.log(plain + np.float32(DARK))
    fine = cv2.GaussianBlur(log, (0, 0), FINE_PX)
    return np.asarray(fine - cv2.GaussianBlur(log, (0, 0), COARSE_PX), np.float32)


def _alike(one: Array, other: Array) -> float:
    """Correlation, -1 to 1; of what has no detail at all, 0. Outlines count for no more than what lies between."""
    a, b = (np.clip(v / (3 * float(np.median(np.abs(v))) + 1e-9), -1, 1) for v in (one, other))
    size = float(np.sqrt(float(a @ a) * float(b @ b)))
    return float(a @ b) / size if size > 0 else 0.0
