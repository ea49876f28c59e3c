"""A second light of another colour (a lamp left on): settled by a frame with it off.

Two frames of one set-up laid over each other differ by the lamp's light alone, save for a change of the daylight or of
the white balance, which is the same everywhere; and save for things that were put down or moved. Light multiplies what
it falls on and does so smoothly, across the edges of plate and cloth and whatever their colour: a thing replaces what
was there, and the quotient of the two frames steps at its outline. So the light is read only in those parts of the
quotient that no step cuts off, and that show the same detail in both frames.
"""

from dataclasses import dataclass

import cv2
import numpy as np
from numpy.typing import NDArray

from plateside.frames.colour import cast_of
from plateside.frames.facts import Box
from plateside.frames.register import Registration
from plateside.ground.srgb import LUMINANCE_32
from plateside.model.channels import highest, lowest

Array = NDArray[np.float32]

SETTLED_SHARE = 0.05
STEP_STOPS = 0.045
"""Steeper than this a pixel (of some 250 across) the quotient has a step: a lamp as strong as the window that falls off
within a fifth of the frame's width reaches 0.02."""
GAP_PX = 2
"""A gap in an outline that is not wider than twice this is closed."""
LEAST_PART = 0.004
LEAST_READ = 0.08
"""Of the frame: on less than this nothing is said of light."""
SAME_DETAIL, SAME_DETAIL_LARGEST = 0.6, 0.3
"""Correlation of the fine detail in both frames: what lies there is what lay there."""
DETAIL_PX = 3.0


@dataclass(frozen=True)
class Settled:
    """What a frame with the lamp off proves."""

    lamp: bool
    share: float
    """Of the light at the place where the lamp is strongest, 0 to 1."""
    warmer_mired: float
    """The lamp's colour against the daylight's."""
    at: tuple[float, float]
    daylight_stops: float = 0.0
    """How much brighter the frame is where the lamp does not reach."""


def settled(on: Array, off: Array, fit: Registration, picture_width: int, box: Box | None = None) -> Settled:
    """Compare a frame with the suspected lamp `on` to one with it `off` (small linear pictures, same exposure).

    fit  from `register(off, on)`; box  where it matters (the hero), else the whole frame
    """
    height, width = off.shape[:2]
    matrix = fit.matrix.copy()
    matrix[:, 2] *= width / picture_width
    flags = cv2.INTER_LINEAR | cv2.WARP_INVERSE_MAP
    laid = np.asarray(
        cv2.warpAffine(on, matrix, (width, height), flags=flags, borderValue=(-1.0, -1.0, -1.0)), np.float32
    )
    # a lamp's light is smooth: a small copy holds all of it
    half = (max(width // 3, 16), max(height // 3, 16))
    off = np.asarray(cv2.resize(off, half, interpolation=cv2.INTER_AREA), np.float32)
    laid = np.asarray(cv2.resize(laid, half, interpolation=cv2.INTER_AREA), np.float32)
    width, height = half
    usable = (lowest(off) > 0.004) & (lowest(laid) > 0.004) & (highest(off) < 0.9) & (highest(laid) < 0.9)
    unchanged = _same_things(off, laid, usable)
    usable = unchanged
    if box is not None:
        v, u = np.mgrid[0:height, 0:width]
        inside = (u >= box[0] * width) & (u < box[2] * width) & (v >= box[1] * height) & (v < box[3] * height)
        if np.count_nonzero(usable & inside) > 100:
            usable = usable & inside
    if np.count_nonzero(usable) < 100 or np.count_nonzero(unchanged) < LEAST_READ * unchanged.size:
        return Settled(False, 0.0, 0.0, (0.5, 0.5))
    # what was replaced says nothing, not even to its neighbours
    sigma, weight = width / 60, unchanged.astype(np.float32)
    total = np.maximum(cv2.GaussianBlur(weight, (0, 0), sigma), 1e-3)[..., None]
    a, b = (
        np.asarray(cv2.GaussianBlur(p * weight[..., None], (0, 0), sigma) / total, np.float32)
        for p in (off, laid)
    )
    ratio = b / np.maximum(a, 1e-4)
    # where red grew least against blue the lamp does not reach: there the daylight (and the camera's white
    # balance) alone changed, and the same everywhere
    warmer_here = ratio[..., 0] / np.maximum(ratio[..., 2], 1e-4)
    free = usable & (warmer_here <= np.percentile(warmer_here[usable], 15))
    daylight = np.array([float(np.median(ratio[..., c][free])) for c in range(3)], np.float32)
    extra = np.maximum(b - daylight * a, 0)
    share = (extra @ LUMINANCE_32) / np.maximum(b @ LUMINANCE_32, 1e-4)
    share = np.where(usable, share, 0)
    level = float(np.percentile(share[usable], 98))
    row, column = np.unravel_index(
        int(np.argmax(cv2.GaussianBlur(share.astype(np.float32), (0, 0), 3))), share.shape
    )
    top = usable & (share >= np.percentile(share[usable], 90))
    # lamp over daylight on the same things: their colours cancel
    colour = np.array(
        [float(np.median((extra[..., c] / np.maximum(a[..., c], 1e-4))[top])) for c in range(3)]
    )
    warmer, _ = cast_of(np.maximum(colour, 1e-4))
    at = (column + 0.5) / width, (row + 0.5) / height
    brighter = float(np.log2(max(float(daylight @ LUMINANCE_32), 1e-4)))
    return Settled(level >= SETTLED_SHARE and warmer > 10, level, warmer, at, brighter)


def _same_things(off: Array, on: Array, usable: NDArray[np.bool_]) -> NDArray[np.bool_]:
    """Where both frames show the same things, so that their quotient is light."""
    logs = np.log2(np.maximum(off, 1e-4)), np.log2(np.maximum(on, 1e-4))
    steps = np.zeros(usable.shape, np.float32)
    for c in range(3):
        # edges that lie a pixel off leave thin lines in the quotient, which a median takes out
        quotient = cv2.medianBlur(np.ascontiguousarray(logs[1][..., c] - logs[0][..., c], np.float32), 5)
        quotient = cv2.GaussianBlur(quotient, (0, 0), 1.2)
        across, down = (cv2.Sobel(quotient, cv2.CV_32F, *of, scale=1 / 8) for of in ((1, 0), (0, 1)))
        steps = np.maximum(steps, cv2.magnitude(across, down))
    free = (usable & (steps < STEP_STOPS)).astype(np.uint8)
    round_px = cv2.getStructuringElement(cv2.MORPH_ELLIPSE, (2 * GAP_PX + 1, 2 * GAP_PX + 1))
    # beyond the frame lies nothing that would join or cut off
    free = np.asarray(cv2.morphologyEx(free, cv2.MORPH_OPEN, round_px, borderValue=0), np.uint8)
    count, labels, stats, _ = cv2.connectedComponentsWithStats(free, connectivity=4)
    detail = [
        light - cv2.GaussianBlur(light, (0, 0), DETAIL_PX)
        for light in (np.asarray(log @ LUMINANCE_32, np.float32) for log in logs)
    ]
    out = np.zeros(usable.shape, bool)
    areas = stats[:, cv2.CC_STAT_AREA].copy()
    areas[0] = 0
    for i in np.argsort(-areas)[: count - 1]:
        if areas[i] < LEAST_PART * usable.size:
            break
        part = labels == i
        if _alike(detail[0][part], detail[1][part]) >= (SAME_DETAIL if out.any() else SAME_DETAIL_LARGEST):
            out |= part
    return out


def _alike(one: Array, other: Array) -> float:
    """Correlation, -1 to 1; of what has no detail at all, 0."""
    a, b = one - one.mean(), other - other.mean()
    size = float(np.sqrt(float(a @ a) * float(b @ b)))
    return float(a @ b) / size if size > 0 else 0.0
