"""A grey card that lies in the frame, found by itself or where she touches it: flat, neutral, much darker than white.

An 18 % card stands at 12 to 32 % of the brightest matt thing (a white plate, cloth or paper has 65 to 90 %). Slate,
steel and dull napkins may look like one: what is found carries a confidence, and only a sure one is used.
"""

from dataclasses import dataclass, replace
from typing import Any

import cv2
import numpy as np
from numpy.typing import NDArray

from plateside.frames.exposure import brightest_matt
from plateside.frames.facts import Box
from plateside.ground.srgb import LUMINANCE_32
from plateside.model.channels import highest

Array = NDArray[np.float32]

SEARCH_PX = 375
LEAST_SHARE, MOST_SHARE = 0.004, 0.12
"""Of the frame."""
DARKEST, BRIGHTEST = 0.12, 0.34
"""Of the brightest matt part."""
LARGEST_TINT = 0.16
LARGEST_WARMTH = 0.9
SURE = 0.7
BESIDE_PX = 6
SIDE_LIGHTER, SIDE_ALONE, SIDE_OTHER, SIDE_TINT = 0.6, 0.4, 0.35, 0.2
"""What counts as its own lit face beside it: lighter than itself and than what lies along its other edges [stops], or
pale for so much more of an edge than of another; and how far from its own tint [stops]."""
LIKE_ONE = 0.3
MAYBE_A_SIDE = 0.65
"""Leaves it below SURE: it is shown, and used when she says that it is a card."""
CLIPPED = 0.97
STRAIGHT, ROUND = 0.86, 1.08
"""Of the figure of four corners that its outline comes to, with half a pixel about it: less, and its sides are dented;
more, and they bulge: four points on an ellipse hold 2/pi of it, so a bowl or a coaster fills 1.3 and more."""
COLOURLESS_STOPS = 0.012
"""Nothing but one in a hundred places farther from one tone: the picture is black and white, and everything in it is as
grey as a card. The same of colour pictures of grey things is twice as much by their noise alone."""
TONES, TONED_WARM, TONED_TINT = 24, 0.08, 0.03
"""Levels of light; and how far 99 of 100 places of one level keep together, in roots of light: JPEGs of toned pictures
have up to 0.078 and 0.024, of pictures with any colour 0.13 and 0.04 or more."""
LEAST_TONE = 0.015
"""In roots of light: a sepia has more at half of its levels; white and grey things in a balanced light have less."""
EVEN_STOPS = 0.15
"""A card in sloping light keeps within this over its middle; food, crumbs and weave do not."""


@dataclass(frozen=True)
class FoundCard:
    """Where it may be, and how sure that is."""

    box: Box
    """Inside the card, shares of the picture."""
    confidence: float


def find_grey_card(linear: Array) -> FoundCard | None:
    """The likeliest grey card in a small linear picture, or None."""
    scale = min(SEARCH_PX / max(linear.shape[:2]), 1.0)
    size = (round(linear.shape[1] * scale), round(linear.shape[0] * scale))
    small = np.asarray(cv2.resize(linear, size, interpolation=cv2.INTER_AREA), np.float32)
    luminance = np.ascontiguousarray(small @ LUMINANCE_32)
    white = brightest_matt(luminance)
    logs = np.log2(np.maximum(small, 1e-4))
    tint = logs[..., 1] - (logs[..., 0] + logs[..., 2]) / 2
    warm = logs[..., 0] - logs[..., 2]
    if is_colourless(tint, warm):
        return None
    grey = (luminance > DARKEST * white) & (luminance < BRIGHTEST * white)
    grey &= (np.abs(tint) < LARGEST_TINT) & (np.abs(warm) < LARGEST_WARMTH)
    light = np.log2(np.maximum(luminance, 1e-4))
    mean = cv2.blur(light, (5, 5))
    even = cv2.blur(light * light, (5, 5)) - mean * mean < 0.09**2
    mask = cv2.morphologyEx((grey & even).astype(np.uint8), cv2.MORPH_OPEN, np.ones((5, 5), np.uint8))
    count, labels, stats, _ = cv2.connectedComponentsWithStats(mask, connectivity=4)
    found: list[FoundCard] = []
    for i in range(1, count):
        area = int(stats[i, cv2.CC_STAT_AREA])
        if LEAST_SHARE * mask.size <= area <= MOST_SHARE * mask.size:
            one = _judged(labels == i, stats[i], light, tint, warm, white)
            found += [] if one is None else [one]
    if not found:
        return None
    toned = is_toned(small)
    best = max(found, key=lambda card: card.confidence)
    # bricks, tiles, slices of chocolate: a card lies there once
    alone = (
        sum(card.confidence >= LIKE_ONE for card in found) < 3
        and sum(c.confidence >= SURE for c in found) < 2
    )
    return best if alone and not toned else replace(best, confidence=round(best.confidence * MAYBE_A_SIDE, 2))


def is_colourless(tint: NDArray[Any], warm: NDArray[Any]) -> bool:
    """Whether a picture is black and white (tint, warm: of every place, stops)."""
    return all(float(np.percentile(np.abs(c - np.median(c)), 99)) < COLOURLESS_STOPS for c in (tint, warm))


def is_toned(linear: Array) -> bool:
    """Whether a picture's colour goes by its light alone: sepia, or toned in two colours. Nothing in it is neutral
    beside anything, so nothing tells a card from a dark napkin."""
    shown = np.sqrt(np.clip(linear, 0, 1))
    order = np.argsort((linear @ LUMINANCE_32).ravel(), kind="stable")
    warm, tint = shown[..., 0] - shown[..., 2], shown[..., 1] - (shown[..., 0] + shown[..., 2]) / 2
    tone = 0.0
    for colour, most in ((warm, TONED_WARM), (tint, TONED_TINT)):
        parts = np.array_split(colour.ravel()[order], TONES)
        middles = [float(np.median(part)) for part in parts]
        tone = max(tone, float(np.median(np.abs(middles))))
        off = np.concatenate([np.abs(part - m) for part, m in zip(parts, middles, strict=True)])
        if float(np.percentile(off, 99)) > most:
            return False
    # a set of white and grey things has no tone
    return tone > LEAST_TONE


def looks_grey(linear: Array, box: Box) -> bool:
    """Whether what lies in the box is even, near neutral and as much darker than white as a card is."""
    height, width = linear.shape[:2]
    x0, y0, x1, y1 = box
    part = linear[int(y0 * height) : int(y1 * height) + 1, int(x0 * width) : int(x1 * width) + 1]
    return part.size > 0 and not _not_grey(part, brightest_matt(linear @ LUMINANCE_32))


TOUCH_SHARE = 0.04
"""Side of the square that is read about a touch when no even part is found there, of the frame's width and height."""
LIKE_STOPS = 0.25
"""What lies about the touch belongs to the card while its light differs by no more than this."""
LARGEST_CARD = 0.25
"""Of the frame: an even part that is larger is the table, or the wall."""


@dataclass(frozen=True)
class TouchedCard:
    """What lies where she touched the frame."""

    box: Box
    """Inside the even part about the touch, shares of the picture; else a small square about it."""
    why_not: str
    """Why it is no grey card, as the end of a sentence; empty: it may be one."""


def card_at(linear: Array, across: float, down: float) -> TouchedCard:
    """The card about a touch (shares of the picture) in a small linear picture."""
    height, width = linear.shape[:2]
    x = min(max(int(across * width), 0), width - 1)
    y = min(max(int(down * height), 0), height - 1)
    logs = np.log2(np.maximum(cv2.GaussianBlur(linear, (0, 0), 1.2), 1e-4))
    there = np.median(logs[max(y - 2, 0) : y + 3, max(x - 2, 0) : x + 3].reshape(-1, 3), axis=0)
    like = (np.abs(logs - there) < LIKE_STOPS).all(axis=2)
    _, labels = cv2.connectedComponents(like.astype(np.uint8), connectivity=4)
    part = (labels == labels[y, x]) & like
    box = _square_about(across, down)
    if like[y, x] and np.count_nonzero(part) < LARGEST_CARD * part.size:
        box = _within(part) or box
    x0, y0, x1, y1 = box
    patch = linear[int(y0 * height) : int(y1 * height) + 1, int(x0 * width) : int(x1 * width) + 1]
    return TouchedCard(box, _not_grey(patch, brightest_matt(linear @ LUMINANCE_32)))


def _square_about(across: float, down: float) -> Box:
    x, y = (min(max(v - TOUCH_SHARE / 2, 0.0), 1.0 - TOUCH_SHARE) for v in (across, down))
    return x, y, x + TOUCH_SHARE, y + TOUCH_SHARE


def _within(part: NDArray[np.bool_]) -> Box | None:
    """A square that lies within the part with room to its edges; None when that is smaller than can be read."""
    height, width = part.shape
    # beyond the frame there is no card
    far = cv2.distanceTransform(np.pad(part, 1).astype(np.uint8), cv2.DIST_L2, 5)[1:-1, 1:-1]
    y, x = np.unravel_index(int(np.argmax(far)), far.shape)
    half = 0.62 * float(far[y, x])
    smallest = 0.01 * max(width, height)
    if half < smallest:
        return None
    return (
        (float(x) + 0.5 - half) / width, (float(y) + 0.5 - half) / height,
        (float(x) + 0.5 + half) / width, (float(y) + 0.5 + half) / height,
    )  # fmt: skip


def _not_grey(part: Array, white: float) -> str:
    """Why a part of the picture is no grey card, a code; empty when it may be one.

    In a shadow, or where nothing else is white, a card stands further from 18 % than one found by itself may.
    """
    if float(np.median(highest(part))) > CLIPPED:
        return "clipped"
    logs = np.log2(np.maximum(cv2.blur(part, (3, 3)), 1e-4)).reshape(-1, 3)
    tint, warm = (
        float(np.median(v)) for v in (logs[:, 1] - (logs[:, 0] + logs[:, 2]) / 2, logs[:, 0] - logs[:, 2])
    )
    if abs(tint) >= LARGEST_TINT or abs(warm) >= LARGEST_WARMTH:
        if abs(tint) / LARGEST_TINT > abs(warm) / LARGEST_WARMTH:
            return "green" if tint > 0 else "pink"
        return "brown or yellow" if warm > 0 else "blue"
    if float(logs.std(axis=0).max()) >= EVEN_STOPS:
        return "uneven"
    share = float(2 ** np.median(logs @ LUMINANCE_32)) / max(white, 1e-4)
    if share <= 0.5 * DARKEST:
        return "too dark"
    if share >= 1.5 * BRIGHTEST:
        return "white"
    return ""


def _shaded_side(
    part: NDArray[np.bool_],
    corners: NDArray[Any],
    light: NDArray[Any],
    tint: NDArray[Any],
    warm: NDArray[Any],
) -> bool:
    """Whether it may be the side of something white (a cake, a bowl, a box) that turns away from the window.

    Something lighter of the same tint then lies along one of its edges, lighter than what lies along the others; about
    a card lies one surface, whatever that is. A card at the edge of a pale cloth looks so too: it is asked about.
    """
    near = cv2.dilate(part.astype(np.uint8), np.ones((2 * BESIDE_PX + 1,) * 2, np.uint8)) > 0
    ring = near & (cv2.dilate(part.astype(np.uint8), np.ones((5, 5), np.uint8)) == 0)
    y, x = np.nonzero(ring)
    points = np.stack([x, y], axis=1).astype(np.float64)
    ends = np.roll(corners, -1, axis=0).astype(np.float64)
    away = []
    for a, b in zip(corners.astype(np.float64), ends, strict=True):
        along = (b - a) / max(float(np.hypot(*(b - a))), 1e-6)
        t = np.clip((points - a) @ along, 0, float(np.hypot(*(b - a))))
        away.append(np.hypot(*(points - a - t[:, None] * along).T))
    side = np.argmin(np.stack(away), axis=0)
    own = (float(np.median(v[part])) for v in (light, tint, warm))
    own_light, own_tint, own_warm = own
    like = (np.abs(tint[y, x] - own_tint) < SIDE_TINT) & (np.abs(warm[y, x] - own_warm) < 2 * SIDE_TINT)
    here = [side == k for k in range(len(corners))]
    # the brighter part of a side: a round top meets it in its middle only
    lights = [float(np.percentile(light[y, x][k], 80)) if np.any(k) else own_light for k in here]
    pale = like & (light[y, x] > own_light + SIDE_LIGHTER)
    shares = [float(pale[k].mean()) if np.any(k) else 0.0 for k in here]
    for k, level in enumerate(lights):
        others, elsewhere = lights[:k] + lights[k + 1 :], shares[:k] + shares[k + 1 :]
        lighter = level > own_light + SIDE_LIGHTER and level > float(np.median(others)) + SIDE_ALONE
        if (shares[k] > 0.25 and lighter) or (shares[k] > 0.5 and min(elsewhere) < shares[k] - SIDE_OTHER):
            return True
    return False


def _judged(
    part: NDArray[np.bool_],
    stats: NDArray[np.int32],
    light: NDArray[Any],
    tint: NDArray[Any],
    warm: NDArray[Any],
    white: float,
) -> FoundCard | None:
    height, width = part.shape
    x, y, w, h = (int(v) for v in stats[:4])
    if x <= 1 or y <= 1 or x + w >= width - 1 or y + h >= height - 1:
        return None  # cut by the frame's edge: a surface rather than a card
    contours, _ = cv2.findContours(part.astype(np.uint8), cv2.RETR_EXTERNAL, cv2.CHAIN_APPROX_NONE)
    outline = max(contours, key=cv2.contourArea)
    _, (long, short), _ = cv2.minAreaRect(outline)
    if min(long, short) < 8 or max(long, short) > 3.2 * min(long, short):
        return None
    corners = cv2.approxPolyDP(cv2.convexHull(outline), 0.06 * cv2.arcLength(outline, True), True)
    # seen at a slant a card is a four-sided figure, not a rectangle
    figure = abs(float(cv2.contourArea(corners)))
    filled = np.count_nonzero(part) / max(figure + 0.5 * cv2.arcLength(corners, True), 1.0)
    if len(corners) != 4 or not STRAIGHT <= filled <= ROUND:
        return None
    inner = cv2.erode(part.astype(np.uint8), np.ones((5, 5), np.uint8)) > 0
    if np.count_nonzero(inner) < 40:
        return None
    ys, xs = np.nonzero(inner)
    z = light[inner].astype(np.float64)
    design = np.column_stack([np.ones(len(z)), xs, ys])
    rest = z - design @ np.linalg.lstsq(design, z, rcond=None)[0]
    rough, spotted = float(rest.std()), float(warm[inner].std() + tint[inner].std())
    confidence = min(1.0, filled / 0.95) * np.exp(-((rough / 0.08) ** 2)) * np.exp(-((spotted / 0.12) ** 2))
    confidence *= float(np.exp(-((float(np.median(tint[inner])) / 0.15) ** 2)))
    if _shaded_side(part, corners.reshape(-1, 2), light, tint, warm):
        confidence *= MAYBE_A_SIDE
    moments = cv2.moments(part.astype(np.uint8), True)
    cx, cy = moments["m10"] / moments["m00"], moments["m01"] / moments["m00"]
    # a box about the middle that lies within the card however it is turned
    half = 0.33 * min(long, short)
    box = ((cx - half) / width, (cy - half) / height, (cx + half) / width, (cy + half) / height)
    return FoundCard(box, round(float(np.clip(confidence, 0.0, 0.95)), 2))
