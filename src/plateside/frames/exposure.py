"""How bright a frame is against the aim, what is clipped, and whether that is a glint or a loss.

The default aim, when neither grey card nor reference says more, is stated: the brightest matt part of the frame
(a plate, cloth or cream) stands between 30 and 86 % of display white (sRGB 149 to 238). A white plate, metered
rightly, stands at 85 %, pale linen or soup at 35 to 60 %; what lies in between cannot be told without knowing the
thing. A raw is first brought to display levels by half a stop, because white of a metered scene lies half a stop
below saturation (ISO 12232 saturation speed: 78/10 x 18 % = 1.41).

A glint is a clipped spot that is small against the frame: the mirror image of the window on sauce or glass. It
carries no detail, and nobody misses any there.
"""

from dataclasses import replace

import cv2
import numpy as np
from numpy.typing import NDArray

from plateside.frames.borders import photographed
from plateside.frames.facts import Box, ExposureFacts
from plateside.ground.srgb import LUMINANCE_32, byte_table
from plateside.model.pixels import LinearPicture, RawLevels

Array = NDArray[np.float32]

DARKEST_AIM, BRIGHTEST_AIM = 0.30, 0.86
DISPLAY_OVER_SATURATION = float(78 / 10 * 0.18)
GLINT_SHARE = 0.0012
"""A connected clipped area below this share of the frame, or thinner than THIN of its width, is a glint."""
THIN = 0.006
WHITE_FROM = 244
"""sRGB, of the lowest channel: warm window light leaves white that is gone about so far from neutral."""
_WORK_PX = 750
OPENED_PX = 7
"""Across the spots that are taken off, of a small picture of the whole working size."""
_TABLE = byte_table()


def small_linear(picture: NDArray[np.uint8], longest_px: int = _WORK_PX) -> Array:
    """A small linear sRGB copy of a display picture (area average)."""
    return np.asarray(_TABLE[_shrunk(picture, longest_px)], np.float32)


def display_linear(picture: LinearPicture, longest_px: int = _WORK_PX) -> Array:
    """A small copy in display levels: white-balanced linear sRGB, 1 = display white of a metered scene."""
    small = _shrunk(picture.rgb, longest_px)
    if not picture.is_raw:
        return np.asarray(small, np.float32)
    balanced = small * np.asarray(picture.white_balance, np.float32)
    srgb = balanced @ np.asarray(picture.to_srgb, np.float32).T
    return np.asarray(np.maximum(srgb, 0) * np.float32(DISPLAY_OVER_SATURATION), np.float32)


def clipped_display(picture: NDArray[np.uint8], longest_px: int = _WORK_PX) -> Array:
    """Share of clipped pixels in each cell of the small picture: white, with a channel at 254 or more and all near it.

    One full channel alone is a saturated colour at the edge of sRGB (a tomato, an egg yolk), not an exposure.
    """
    white = cv2.inRange(picture, (WHITE_FROM,) * 3, (255, 255, 255)) > 0
    white &= cv2.inRange(picture, (0, 0, 0), (253, 253, 253)) == 0
    return _shrunk(white.astype(np.float32), longest_px)


def clipped_raw(picture: LinearPicture, longest_px: int = _WORK_PX) -> Array:
    """Share of saturated photosites in each cell of the small picture."""
    below = [float(np.nextafter(np.float32(0.99 * s), np.float32(0))) for s in picture.saturation]
    within = cv2.inRange(picture.rgb, np.full(3, -np.inf), np.array(below))
    return _shrunk((within == 0).astype(np.float32), longest_px)


def _shrunk(picture: NDArray, longest_px: int) -> NDArray:
    height, width = picture.shape[:2]
    scale = longest_px / max(height, width)
    if scale >= 1:
        return picture
    size = (max(round(width * scale), 1), max(round(height * scale), 1))
    return np.asarray(cv2.resize(picture, size, interpolation=cv2.INTER_AREA))


def exposure_of(
    linear: Array,
    clipped: Array,
    subject_box: Box,
    headroom_stops: tuple[float, float, float],
    *,
    from_raw: bool,
) -> ExposureFacts:
    """Exposure facts of a small linear picture in display levels and its map of clipped shares."""
    if not from_raw:
        rows, columns = photographed(linear)
        clipped = clipped * (rows[:, None] & columns[None, :])
        linear = np.ascontiguousarray(linear[rows][:, columns])
    luminance = linear @ LUMINANCE_32
    # in a small file a plate is a few pixels wide
    opened_px = round(OPENED_PX * min(max(clipped.shape) / _WORK_PX, 1.0))
    bright = brightest_matt(luminance, max(opened_px, 1))
    glints, lost = glints_and_losses(clipped)
    height, width = clipped.shape
    x0, y0, x1, y1 = subject_box
    inside = lost[int(y0 * height) : max(int(y1 * height), 1), int(x0 * width) : max(int(x1 * width), 1)]
    return ExposureFacts(
        stops=stops_from_aim(bright),
        bright_level=bright,
        middle_level=float(np.median(luminance)),
        clipped_share=float(clipped.mean()),
        glint_share=float((clipped * glints).mean()),
        lost_share=float((clipped * lost).mean()),
        lost_on_subject_share=float(inside.mean()) if inside.size else 0.0,
        lost_box=_largest_box(lost),
        headroom_stops=headroom_stops,
        from_raw=from_raw,
    )


def stops_from_aim(level: float) -> float:
    """How far a level lies outside the default aim [stops], bright positive; 0 inside."""
    if level > BRIGHTEST_AIM:
        return float(np.log2(level / BRIGHTEST_AIM))
    return float(min(np.log2(max(level, 1e-4) / DARKEST_AIM), 0.0))


CARD_AIM = 0.18
"""Display level of a metered 18 % card: 1/7.8 of a raw's saturation (ISO 12232: 10/S against 78/S)."""


def by_card(facts: ExposureFacts, card_level: float) -> ExposureFacts:
    """The same exposure held against the grey card in the frame."""
    return replace(facts, stops=float(np.log2(max(card_level, 1e-4) / CARD_AIM)), aim="grey card")


def by_reference(facts: ExposureFacts, stops: float) -> ExposureFacts:
    """The same exposure held against the reference, than which it is so much brighter; a grey card stays the aim."""
    return facts if facts.aim == "grey card" else replace(facts, stops=stops, aim="test frame")


def brightest_matt(luminance: Array, opened_px: int = OPENED_PX) -> float:
    """Level that the brightest 1.5 % of the frame reach once spots smaller than a glint are taken off."""
    opened = cv2.morphologyEx(luminance, cv2.MORPH_OPEN, np.ones((opened_px, opened_px), np.uint8))
    return float(np.percentile(opened, 98.5))


def glints_and_losses(clipped: Array) -> tuple[NDArray[np.bool_], NDArray[np.bool_]]:
    """The clipped cells parted into glints and lost areas, both height x width."""
    mask = (clipped > 0.25).astype(np.uint8)
    count, labels, stats, _ = cv2.connectedComponentsWithStats(mask, connectivity=8)
    depth = cv2.distanceTransform(mask, cv2.DIST_L2, 3)
    cells, width = mask.size, mask.shape[1]
    large = np.zeros(count, bool)
    for i in range(1, count):
        if stats[i, cv2.CC_STAT_AREA] < GLINT_SHARE * cells:
            continue
        x, y, w, h = stats[i, :4]
        part = depth[y : y + h, x : x + w]
        thick = float(part[labels[y : y + h, x : x + w] == i].max())
        large[i] = 2 * thick >= THIN * width
    lost = large[labels]
    return (clipped > 0) & ~lost, lost


def _largest_box(mask: NDArray[np.bool_]) -> Box | None:
    count, _, stats, _ = cv2.connectedComponentsWithStats(mask.astype(np.uint8), connectivity=8)
    if count < 2:
        return None
    best = 1 + int(np.argmax(stats[1:, cv2.CC_STAT_AREA]))
    x, y, w, h = (float(v) for v in stats[best, :4])
    height, width = mask.shape
    return x / width, y / height, (x + w) / width, (y + h) / height


def headroom_of_display(picture: NDArray[np.uint8]) -> tuple[float, float, float]:
    """Headroom per channel of a display picture [stops]; a camera's tone curve makes it a guess."""
    stops = []
    for c in range(3):
        counts = np.bincount(picture[::3, ::3, c].ravel(), minlength=256)
        above = np.cumsum(counts[::-1])[::-1]
        top = int(np.flatnonzero(above >= max(0.0005 * above[0], 1))[-1])
        stops.append(0.0 if top >= 254 else float(np.log2(1 / max(float(_TABLE[top]), 1e-4))))
    return stops[0], stops[1], stops[2]


def headroom_of(levels: RawLevels) -> tuple[float, float, float]:
    """Headroom per channel of the raw [stops]."""
    return levels.headroom_stops
