"""Key against fill without a ball in the frame: from a reference of which it is known.

Light adds, so a place of reflectance r shows r (K + F) in the reference and r (k K + f F) in a later frame, K and F
being what key and fill give there, k and f how much stronger each became. The quotient of the two frames holds no
reflectance: k + (f - k) s, with s = F / (K + F) from about 2^-R where the key falls full (R the reference's own ratio
in stops) to 1 in its shadow. So lit and shaded places part by log2 of (k/f), less where both are mixed; the lit side of
a ball stands over its shaded one by as much more, or less, than before.

Which of the two is the shaded one is told by three signs, each fallible: at the edges of shadows level and quotient
step together or against each other; towards the key the quotient rises or falls (things are lit on that side, a board
stands across from it); and a board alone leaves the key as it was, so that, settings taken off, the lit side is the one
whose light stayed. When they do not agree nothing more is said than that the balance changed.
"""

from dataclasses import dataclass

import cv2
import numpy as np
from numpy.typing import NDArray

from plateside.frames.facts import Box
from plateside.frames.register import Registration
from plateside.ground.srgb import LUMINANCE_32
from plateside.model.channels import highest, lowest

Array = NDArray[np.float32]

WORK_PX = 250
DARKEST, BRIGHTEST = 0.006, 0.85
FEWEST = 3000
"""Places that can be compared."""
LEAST_KNOWN_STOPS = 0.3
"""A reference so flat has no shaded side to compare with."""
GRADUAL = 0.25
"""Edges steeper than this (relative, a pixel) are left out: a pixel's misfit would count as light."""
TINTED = 0.2
"""Stops of colour by which a place differs from the frame's own change: another thing lies there."""
ROUGH = 0.22
"""Stops by which a place's change differs from that of its neighbours: a glint, an edge, another thing."""
LOW_HIGH = (3.0, 97.0)
"""Percentiles of the change over the frame: glints, noise and a prop that moved lie outside."""
OF_THE_SPREAD = 0.68
"""A ball's change over that spread: deep shadow and places that face board or window part more than a ball's two
sides do (median of 208 made pairs of 26 traced tables: tests/synthetic/key_and_fill.py, TRAIN)."""
STILL_STOPS = 0.2
"""A smaller spread is no change: with the light as it was it stayed under 0.1 on those tables."""
LEVELS = 24
BY_LEVEL = 0.5
"""Where level alone leaves less than this of the spread, and the camera was set anew, a tone curve made it."""
LEAST_FOR_A_WORD = 0.25
SURE_STILL, SURE_CHANGED, BY_PLAN = 0.9, 0.75, 0.7
"""Confidence in either finding; times the last when the reference's own ratio is the plan's."""
UNTOLD = 0.3


@dataclass(frozen=True)
class KnownFill:
    """What is known of the reference's own light."""

    ratio_stops: float
    """log2((key + fill) / fill)."""
    by: str
    """the ball, or the plan"""
    from_right: float
    from_above: float
    """Towards the key as the camera sees it; part of a unit vector."""
    ball_box: Box | None = None
    """Where the ball stood in the reference: it may be gone since."""


@dataclass(frozen=True)
class FillRead:
    """Key against fill in a later frame."""

    ratio_stops: float | None
    """log2((key + fill) / fill): how far the shadow side is down; None when the side of a change cannot be told."""
    change_stops: float
    """How far lit and shaded places parted since the reference, without its side when that cannot be told; 0 when
    nothing changed."""
    by: str
    """What the reference's own ratio is known by: the ball, or the plan."""
    confidence: float


@dataclass(frozen=True)
class Parted:
    """What two frames show of a change between lit and shaded places."""

    low: float
    high: float
    """Of the change of the light over the frame [stops], settings taken off where they are known."""
    edges: float
    """At the edges of shadows: towards 1 when lit places gained, towards -1 when shaded ones did."""
    towards: float
    """How much more the side towards the key gained than the other [stops over a frame's width]."""
    by_level: float
    """Share of the spread that is left when what goes with the level alone is taken off."""


def fill_since(
    reference: Array,
    frame: Array,
    fit: Registration,
    picture_width: int,
    known: KnownFill,
    settings_stops: float | None,
    *,
    is_raw: bool = False,
) -> FillRead | None:
    """The balance of light in a later frame; None when too little of it can be compared, or nothing was shaded.

    reference, frame  small linear pictures of one size; fit  from `register(reference, frame)` at `picture_width`
    settings_stops    how much more exposure the frame's settings give; None when that is not known
    is_raw            both come from raw numbers: no tone curve lies between light and level
    """
    if known.ratio_stops < LEAST_KNOWN_STOPS:
        return None
    lit_sides = parted(reference, frame, fit, picture_width, known, settings_stops)
    if lit_sides is None:
        return None
    doubt = BY_PLAN if known.by == "the plan" else 1.0
    spread = lit_sides.high - lit_sides.low
    set_anew = settings_stops is None or abs(settings_stops) > 1 / 6
    curved = not is_raw and set_anew and lit_sides.by_level < BY_LEVEL and spread < 3 * STILL_STOPS
    if spread < STILL_STOPS or curved:
        return FillRead(
            known.ratio_stops, 0.0, known.by, round(SURE_STILL * doubt * (0.7 if curved else 1), 2)
        )
    change = OF_THE_SPREAD * spread
    side = lit_gained(lit_sides, settings_known=settings_stops is not None)
    if abs(side) < LEAST_FOR_A_WORD:
        return FillRead(None, round(change, 3), known.by, UNTOLD)
    # the shadow side cannot be lighter than the lit one
    ratio = max(known.ratio_stops + (change if side > 0 else -change), 0.0)
    sure = SURE_CHANGED * doubt * (0.7 + 0.3 * min(abs(side), 1.0))
    return FillRead(round(ratio, 3), round(ratio - known.ratio_stops, 3), known.by, round(sure, 2))


def lit_gained(lit_sides: Parted, *, settings_known: bool) -> float:
    """Whether the lit places gained (positive) or the shaded ones, by the signs there are; near 0 when they differ."""
    spread = max(lit_sides.high - lit_sides.low, 1e-3)
    towards = float(np.clip(lit_sides.towards / spread, -0.5, 0.5))
    edges = float(np.clip(lit_sides.edges, -0.5, 0.5))
    # a board alone leaves the lit side as it was: the end of the change that lies nearer to none
    stayed = (
        float(np.clip((abs(lit_sides.low) - abs(lit_sides.high)) / spread, -1, 1)) if settings_known else 0.0
    )
    return 1.2 * towards + 0.8 * edges + 0.35 * stayed


def parted(
    reference: Array,
    frame: Array,
    fit: Registration,
    picture_width: int,
    known: KnownFill,
    settings_stops: float | None,
) -> Parted | None:
    """Measure how the light changed over the frame; None when fewer than FEWEST places can be compared."""
    height, width = reference.shape[:2]
    scale = min(WORK_PX / max(width, height), 1.0)
    size = (round(width * scale), round(height * scale))
    a, b = (
        np.asarray(cv2.resize(p, size, interpolation=cv2.INTER_AREA), np.float32) for p in (reference, frame)
    )
    matrix = fit.matrix.copy()
    matrix[:, 2] *= size[0] / picture_width
    flags = cv2.INTER_LINEAR | cv2.WARP_INVERSE_MAP
    b = np.asarray(cv2.warpAffine(b, matrix, size, flags=flags, borderValue=(-1.0, -1.0, -1.0)), np.float32)
    a, b = (np.asarray(cv2.GaussianBlur(p, (0, 0), 1.0), np.float32) for p in (a, b))
    la, lb = a @ LUMINANCE_32, b @ LUMINANCE_32
    usable = _comparable(a, b, la)
    if known.ball_box is not None:
        x0, y0, x1, y1 = known.ball_box
        rows = slice(max(int(y0 * size[1]), 0), int(y1 * size[1]) + 1)
        usable[rows, max(int(x0 * size[0]), 0) : int(x1 * size[0]) + 1] = False
    if np.count_nonzero(usable) < FEWEST:
        return None
    each = np.log2(np.maximum(b, 1e-5) / np.maximum(a, 1e-5))
    for channel in (0, 2):
        colour = each[..., channel] - each[..., 1]
        usable &= np.abs(colour - np.median(colour[usable])) < TINTED
    light = np.log2(np.maximum(la, 1e-5)).astype(np.float32)
    gain = (np.log2(np.maximum(lb, 1e-5)) - light - (settings_stops or 0.0)).astype(np.float32)
    usable &= np.abs(gain - _mean_of(gain, usable, 2.5)) < ROUGH
    if np.count_nonzero(usable) < FEWEST:
        return None
    near = _mean_of(gain, usable, 1.5)
    low, high = (float(v) for v in np.percentile(near[usable], LOW_HIGH))
    step_light = (_mean_of(light, usable, 1.5) - _mean_of(light, usable, 8.0))[usable]
    step_gain = (near - _mean_of(gain, usable, 8.0))[usable]
    both = float(np.sqrt((step_gain**2).sum() * (step_light**2).sum()))
    edges = float((step_gain * step_light).sum()) / max(both, 1e-9)
    towards = _slope(near, usable) @ np.array([known.from_right, known.from_above])
    rest = _off_level(near[usable], light[usable])
    left = float(np.subtract(*np.percentile(rest, LOW_HIGH[::-1]))) / max(high - low, 1e-6)
    return Parted(low, high, edges, float(towards), left)


def _comparable(a: Array, b: Array, level: Array) -> NDArray[np.bool_]:
    """Places neither dark nor clipped in either picture, and not at an edge."""
    slope = np.hypot(cv2.Sobel(level, cv2.CV_32F, 1, 0), cv2.Sobel(level, cv2.CV_32F, 0, 1)) / 8
    usable = (lowest(a) > DARKEST) & (lowest(b) > DARKEST) & (slope < GRADUAL * level)
    return np.asarray(usable & (highest(a) < BRIGHTEST) & (highest(b) < BRIGHTEST))


def _slope(values: Array, usable: NDArray[np.bool_]) -> NDArray[np.float64]:
    """Rise of a plane through them to the right and upwards, over a frame's width."""
    height, width = values.shape
    v, u = np.mgrid[0:height, 0:width]
    design = np.column_stack([np.ones(np.count_nonzero(usable)), u[usable] / width, -v[usable] / width])
    found = np.linalg.lstsq(design, values[usable].astype(np.float64), rcond=None)[0]
    return np.asarray(found[1:])


def _off_level(values: Array, level: Array) -> Array:
    """Without what goes with the level: less the median of those of like level."""
    cuts = np.quantile(level, np.linspace(0, 1, LEVELS + 1)[1:-1])
    bins = np.searchsorted(cuts, level)
    typical = np.array([np.median(values[bins == i]) if np.any(bins == i) else 0.0 for i in range(LEVELS)])
    return np.asarray(values - typical[bins], np.float32)


def _mean_of(values: Array, usable: NDArray[np.bool_], sigma: float) -> Array:
    """Smoothed over what is usable alone."""
    weight = cv2.GaussianBlur(usable.astype(np.float32), (0, 0), sigma)
    total = cv2.GaussianBlur(np.where(usable, values, 0).astype(np.float32), (0, 0), sigma)
    return np.asarray(total / np.maximum(weight, 1e-3), np.float32)
