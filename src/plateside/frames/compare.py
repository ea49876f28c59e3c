"""A frame against the accepted reference of its set-up: camera moved, exposure, light, colour, sharpness.

On a tripod the reference is the best ruler there is: what was soft, dark or warm in it was accepted.
Exposure and colour are compared pixel by pixel where both frames are well exposed, and the median is taken, so that
a prop that came or went does not count.
"""

from dataclasses import dataclass, replace
from typing import Any

import cv2
import numpy as np
from numpy.typing import NDArray

from plateside.frames.colour import cast_of
from plateside.frames.edges import Edges, grey, smoothed
from plateside.frames.exposure import small_linear
from plateside.frames.facts import Box
from plateside.frames.fill import FillRead, KnownFill, fill_since
from plateside.frames.kinds import BlurKind, kind_against
from plateside.frames.part_blur import part_blur
from plateside.frames.register import Registration, only_scaled, register
from plateside.frames.same_shape import cut_to, sized
from plateside.frames.second_light import settled
from plateside.frames.sharpness import at_work_size
from plateside.frames.softer import Softening, reference_edges, softening, with_part
from plateside.frames.streaked_around import with_around
from plateside.ground.srgb import LUMINANCE_32
from plateside.model.channels import highest, lowest
from plateside.model.frame import Settings

Array = NDArray[np.float32]

COMPARE_VERSION = "13"
"""Raised when a comparison changes, so that cached ones are made anew."""

LAMP_SHARE = 0.12
"""Less than this of the light somewhere is not called a lamp: window light itself changes colour a little."""
LAMP_SHARE_A_STOP = 0.15
"""More is asked of a brighter frame: a camera's tone curve bends bright colours."""
LAMP_LEAST_MIRED = 30.0
"""A white board that was moved, or a cloud, also adds light in one place, but the window's own, which a camera's tone
curve tints a little: a lamp is so much warmer (the coolest lamps sold as daylight lie 40 from the window)."""


@dataclass(frozen=True, eq=False)
class Reference:
    """What is kept of a reference frame to judge later ones."""

    frame: str
    grey: Array
    edges: Edges
    small: Array
    """Small linear picture in display levels."""
    shown: Array
    """The same from its display picture: a JPEG is compared with this, for it has a tone curve and a raw has none."""
    is_raw: bool
    settings: Settings
    subject_box: Box
    fill: KnownFill | None = None
    """Its own key against fill, when a ball or the plan tells it."""


@dataclass(frozen=True)
class Comparison:
    """What changed since the reference. JSON-able."""

    reference: str
    fits: bool
    correlation: float
    moved_px: float
    """Of the middle of the frame, in pixels of the picture that was measured."""
    moved_share: float
    """The same over the frame's width."""
    turn_deg: float
    scale: float
    stops: float
    """How much brighter the frame is than the reference."""
    light_stops: float | None
    """How much of that is the light itself, once changed settings are taken off; None when settings are not known."""
    cast_mired: float
    """Warmer positive, against the reference."""
    tint_stops: float
    lamp: bool
    """A second, warmer light came on since the reference."""
    lamp_share: float
    """Of the light where it is strongest."""
    lamp_warmer_mired: float
    lamp_at: tuple[float, float]
    softening: Softening
    kind: str
    kind_confidence: float
    fill: FillRead | None = None
    """Key against fill by the reference; None when its own is not known, or too little can be compared."""


def comparison_from_json(value: dict[str, Any]) -> Comparison:
    """The inverse of `tasks.report.as_json` for a Comparison. Raises TypeError when fields do not fit."""
    soft = value["softening"]
    soft = Softening(**{**soft, "part_at": tuple(soft["part_at"])})
    parts: dict[str, Any] = {"softening": soft, "lamp_at": tuple(value["lamp_at"])}
    if value.get("fill"):
        parts["fill"] = FillRead(**value["fill"])
    return Comparison(**{**value, **parts})


def reference_of(
    frame: str,
    picture: NDArray[np.uint8],
    small: Array,
    settings: Settings,
    subject_box: Box,
    *,
    is_raw: bool = False,
    fill: KnownFill | None = None,
) -> Reference:
    """Prepare a reference from its display picture and its small linear picture; `fill`: its own, where known."""
    work = at_work_size(picture)
    edges, shown = reference_edges(smoothed(work)), small_linear(picture)
    return Reference(frame, grey(work), edges, small, shown, is_raw, settings, subject_box, fill)


def compare(
    reference: Reference,
    picture: NDArray[np.uint8],
    small: Array,
    settings: Settings,
    *,
    wants_shallow: bool = False,
    is_raw: bool = False,
) -> Comparison | None:
    """Compare a frame with the reference; None when the two have not nearly the same shape (turned, other camera).

    small, is_raw  the frame's small linear picture, and whether it comes from raw numbers
    """
    before = reference.small
    if is_raw != reference.is_raw:
        before, small = reference.shown, small_linear(picture)
    shaped = _shaped(reference, picture, small, before)
    if shaped is None:
        return None
    reference, picture, small = shaped
    plain = grey(picture)
    fit = register(reference.grey, plain)
    soft = softening(reference.edges, smoothed(picture), fit, reference.subject_box)
    if fit.fits:
        soft = with_part(soft, part_blur(reference.grey, plain, fit, reference.subject_box))
        soft = with_around(soft, reference.grey, plain, fit, reference.subject_box)
    stops, cast, tint = light_change(before, small, fit, picture.shape[1])
    refocused = only_scaled(fit.scale, fit.shift_px / picture.shape[1], fit.turn_deg)
    kind, confidence = BlurKind.UNSURE, 0.3
    if fit.fits:
        kind, confidence = kind_against(soft, wants_shallow, refocused=refocused)
    lamp = settled(small, before, fit, picture.shape[1])
    by_settings = settings_stops(reference.settings, settings)
    fill = None
    if reference.fill is not None and fit.fits:
        fill = fill_since(
            before, small, fit, picture.shape[1], reference.fill, by_settings,
            is_raw=is_raw and reference.is_raw,
        )  # fmt: skip
    # brighter by the lamp itself does not count
    enough = lamp.share >= LAMP_SHARE + LAMP_SHARE_A_STOP * max(min(stops, lamp.daylight_stops), 0.0)
    return Comparison(
        reference=reference.frame,
        fits=fit.fits,
        correlation=round(fit.correlation, 3),
        moved_px=fit.shift_px,
        moved_share=fit.shift_px / picture.shape[1],
        turn_deg=fit.turn_deg,
        scale=fit.scale,
        stops=stops,
        light_stops=None if by_settings is None else stops - by_settings,
        cast_mired=cast,
        tint_stops=tint,
        lamp=lamp.lamp and fit.fits and enough and lamp.warmer_mired >= LAMP_LEAST_MIRED,
        lamp_share=lamp.share,
        lamp_warmer_mired=lamp.warmer_mired,
        lamp_at=lamp.at,
        softening=soft,
        kind=kind.value,
        kind_confidence=confidence,
        fill=fill,
    )


def _shaped(
    reference: Reference, picture: NDArray[np.uint8], small: Array, before: Array
) -> tuple[Reference, NDArray[np.uint8], Array] | None:
    """Reference and frame at one working size, and the frame's small picture at that of `before`."""
    high, wide = reference.grey.shape
    if picture.shape[0] * wide == picture.shape[1] * high and small.shape == before.shape:
        picture = at_work_size(picture)
        if picture.shape[:2] == (high, wide):
            return reference, picture, small
    cut, cut_small = cut_to(picture, wide, high), cut_to(small, before.shape[1], before.shape[0])
    if cut is None or cut_small is None:
        return None
    small = np.asarray(sized(cut_small, before.shape[1], before.shape[0]), np.float32)
    if cut.shape[1] >= wide:
        return reference, np.asarray(sized(cut, wide, high), np.uint8), small
    # the frame is the smaller: the reference is measured anew at its size
    plain = np.asarray(sized(reference.grey, cut.shape[1], cut.shape[0]), np.float32)
    edges = reference_edges(smoothed((plain * 255 + 0.5).astype(np.uint8)))
    return replace(reference, grey=plain, edges=edges), np.ascontiguousarray(cut), small


def settings_stops(before: Settings, after: Settings) -> float | None:
    """How many stops more exposure `after` gives by its settings alone; None when one is not known."""
    known = (before.exposure_s, after.exposure_s, before.f_number, after.f_number, before.iso, after.iso)
    if any(v is None for v in known):
        return None
    t0, t1, n0, n1, s0, s1 = (float(v or 1) for v in known)
    return float(np.log2(t1 / t0) + np.log2(s1 / s0) - 2 * np.log2(n1 / n0))


def light_change(
    reference: Array, frame: Array, fit: Registration, picture_width: int
) -> tuple[float, float, float]:
    """(stops, mired, tint): how much brighter, warmer, greener the frame is, by the median over what both show.

    Brighter on what is grey: a warmer light brightens red things and darkens blue ones, and is no brighter for that.
    """
    matrix = fit.matrix.copy()
    matrix[:, 2] *= frame.shape[1] / picture_width
    size = (frame.shape[1], frame.shape[0])
    flags = cv2.INTER_LINEAR | cv2.WARP_INVERSE_MAP
    a = cv2.blur(reference, (5, 5))
    b = cv2.blur(cv2.warpAffine(frame, matrix, size, flags=flags, borderValue=(-1.0, -1.0, -1.0)), (5, 5))
    # neighbours are blurred alike: every other cell tells as much at a quarter of the time
    a, b = np.ascontiguousarray(a[::2, ::2]), np.ascontiguousarray(b[::2, ::2])
    la, lb = a @ LUMINANCE_32, b @ LUMINANCE_32
    top_a, top_b = highest(a), highest(b)
    usable = (
        (la > 0.01) & (lb > 0.01) & (top_a < 0.85) & (top_b < 0.85) & (lowest(b) > 1e-4) & (lowest(a) > 1e-4)
    )
    if np.count_nonzero(usable) < 200:
        usable = (la > 0.001) & (lb > 0.001) & (lowest(b) > 1e-5) & (lowest(a) > 1e-5)
    if np.count_nonzero(usable) < 50:
        return 0.0, 0.0, 0.0
    ratio = np.log2(b[usable] / a[usable])
    r, g, b_ = (float(np.median(ratio[:, c])) for c in range(3))
    by_grey = float(np.log2(np.array([2.0 ** (r - g), 1.0, 2.0 ** (b_ - g)]) @ LUMINANCE_32))
    stops = g + by_grey
    cast, tint = cast_of((2.0 ** (r - g), 1.0, 2.0 ** (b_ - g)))
    return stops, cast, tint
