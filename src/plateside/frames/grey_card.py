"""A grey card that lies in the frame, found by itself: flat, neutral, four-sided, and much darker than what is white.

An 18 % card stands at 12 to 32 % of the brightest matt thing (a white plate, cloth or paper has 65 to 90 %). Slate,
steel and dull napkins may look like one: what is found carries a confidence, and only a sure one is used.
"""

from dataclasses import dataclass
from typing import Any

import cv2
import numpy as np
from numpy.typing import NDArray

from plateside.frames.exposure import LUMINANCE, brightest_matt
from plateside.frames.facts import Box

Array = NDArray[np.float32]

SEARCH_PX = 375
LEAST_SHARE, MOST_SHARE = 0.004, 0.12
"""Of the frame."""
DARKEST, BRIGHTEST = 0.12, 0.34
"""Of the brightest matt part."""
LARGEST_TINT = 0.16
LARGEST_WARMTH = 0.9
SURE = 0.7
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
    luminance = np.ascontiguousarray(small @ LUMINANCE)
    white = brightest_matt(luminance)
    logs = np.log2(np.maximum(small, 1e-4))
    tint = logs[..., 1] - (logs[..., 0] + logs[..., 2]) / 2
    warm = logs[..., 0] - logs[..., 2]
    grey = (luminance > DARKEST * white) & (luminance < BRIGHTEST * white)
    grey &= (np.abs(tint) < LARGEST_TINT) & (np.abs(warm) < LARGEST_WARMTH)
    light = np.log2(np.maximum(luminance, 1e-4))
    mean = cv2.blur(light, (5, 5))
    even = cv2.blur(light * light, (5, 5)) - mean * mean < 0.09**2
    mask = cv2.morphologyEx((grey & even).astype(np.uint8), cv2.MORPH_OPEN, np.ones((5, 5), np.uint8))
    count, labels, stats, _ = cv2.connectedComponentsWithStats(mask, connectivity=4)
    best: FoundCard | None = None
    for i in range(1, count):
        area = int(stats[i, cv2.CC_STAT_AREA])
        if LEAST_SHARE * mask.size <= area <= MOST_SHARE * mask.size:
            found = _judged(labels == i, stats[i], light, tint, warm)
            if found is not None and (best is None or found.confidence > best.confidence):
                best = found
    return best


def looks_grey(linear: Array, box: Box) -> bool:
    """Whether what lies in the box is even, near neutral and as much darker than white as a card is."""
    height, width = linear.shape[:2]
    x0, y0, x1, y1 = box
    part = linear[int(y0 * height) : int(y1 * height) + 1, int(x0 * width) : int(x1 * width) + 1]
    if part.size == 0:
        return False
    logs = np.log2(np.maximum(cv2.blur(part, (3, 3)), 1e-4)).reshape(-1, 3)
    tint, warm = logs[:, 1] - (logs[:, 0] + logs[:, 2]) / 2, logs[:, 0] - logs[:, 2]
    share = float(2 ** np.median(logs @ LUMINANCE)) / max(brightest_matt(linear @ LUMINANCE), 1e-4)
    # in a shadow, or where nothing else is white, a card stands further from 18 % than one found by itself may
    return bool(
        logs.std(axis=0).max() < EVEN_STOPS
        and abs(float(np.median(tint))) < LARGEST_TINT
        and abs(float(np.median(warm))) < LARGEST_WARMTH
        and 0.5 * DARKEST < share < 1.5 * BRIGHTEST
    )


def _judged(
    part: NDArray[np.bool_],
    stats: NDArray[np.int32],
    light: NDArray[Any],
    tint: NDArray[Any],
    warm: NDArray[Any],
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
    if len(corners) != 4 or filled < 0.86:
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
    moments = cv2.moments(part.astype(np.uint8), True)
    cx, cy = moments["m10"] / moments["m00"], moments["m01"] / moments["m00"]
    # a box about the middle that lies within the card however it is turned
    half = 0.33 * min(long, short)
    box = ((cx - half) / width, (cy - half) / height, (cx + half) / width, (cy + half) / height)
    return FoundCard(box, round(float(np.clip(confidence, 0.0, 0.95)), 2))
