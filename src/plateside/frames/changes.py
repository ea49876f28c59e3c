"""What was added, taken away or moved between two frames of one set-up.

The later frame is laid over the earlier (see `register`), brought to its exposure and colour, and freed of slow
changes of light: the ratio of the two, smoothed widely with the changed parts left out, is divided off. What then
still differs in lightness or colour beyond grain and beyond what a small misfit of edges explains is a change.
"""

from dataclasses import dataclass, replace

import cv2
import numpy as np
from numpy.typing import NDArray

from plateside.frames.facts import Box
from plateside.frames.lab import lab_of
from plateside.frames.register import Registration
from plateside.ground.srgb import LUMINANCE_32
from plateside.model.channels import highest, lowest

Array = NDArray[np.float32]

DIFFERENCE = 7.0
"""In CIELAB units (delta E 1976): clearly seen side by side; common practice, no source."""
SMALLEST_SHARE = 0.0006
MISFIT_PX = 2
CAME_OR_WENT = 1.35
"""An outline that is so many times more drawn in one frame than in the other is a thing that stands only there."""
_OUTLINE_PX = 1.0

Outline = tuple[tuple[float, float], ...]


@dataclass(frozen=True)
class Part:
    """One changed part of the frame. JSON-able; places are shares of the later frame."""

    kind: str
    """added, taken away, or changed (moved a little, or put in another's place)"""
    box: Box
    outline: Outline
    """A closed polygon."""
    share: float
    """Of the frame."""


@dataclass(frozen=True, eq=False)
class Changes:
    """The changed parts, in the earlier frame's place."""

    mask: NDArray[np.bool_]
    """Height x width of the small picture."""
    boxes: tuple[Box, ...]
    """One for each changed part, largest first."""
    share: float
    """Of the frame."""
    parts: tuple[Part, ...] = ()
    """The same parts, in the later frame's place, told apart."""


def changes(before: Array, after: Array, fit: Registration, picture_width: int) -> Changes:
    """Changed parts between two small linear pictures of the same size.

    fit, picture_width  from `register` on the measured pictures, and their width [px]
    """
    height, width = before.shape[:2]
    matrix = fit.matrix.copy()
    matrix[:, 2] *= width / picture_width
    flags = cv2.INTER_LINEAR | cv2.WARP_INVERSE_MAP
    laid = np.asarray(cv2.warpAffine(after, matrix, (width, height), flags=flags), np.float32)
    overlap = (
        cv2.warpAffine(np.ones((height, width), np.float32), matrix, (width, height), flags=flags) > 0.99
    )
    a = np.asarray(cv2.GaussianBlur(before, (0, 0), 1.0), np.float32)
    b = np.asarray(cv2.GaussianBlur(laid, (0, 0), 1.0), np.float32)
    unchanged = overlap.astype(np.float32)
    mask = np.zeros((height, width), bool)
    matched = b
    for _ in range(4):
        matched = b * _slow_ratio(a, b, unchanged)
        mask = _differs(a, matched) & overlap
        grown = cv2.dilate(mask.astype(np.uint8), np.ones((9, 9), np.uint8)) > 0
        unchanged = (overlap & ~grown).astype(np.float32)
    found = _parts(mask)
    return replace(found, parts=_told_apart(found.mask, a, matched, matrix))


def _told_apart(mask: NDArray[np.bool_], a: Array, b: Array, matrix: NDArray[np.float64]) -> tuple[Part, ...]:
    """Each part with its outline in the later frame, and whether it came, went or changed."""
    edges = [_edges(picture) for picture in (a, b)]
    height, width = mask.shape
    contours, _ = cv2.findContours(mask.astype(np.uint8), cv2.RETR_EXTERNAL, cv2.CHAIN_APPROX_SIMPLE)
    parts = []
    for contour in contours:
        band = np.zeros((height, width), np.uint8)
        cv2.drawContours(band, [contour], -1, 1, 5)
        before, after = (float(e[band > 0].mean()) + 1e-3 for e in edges)
        kind = (
            "added"
            if after > CAME_OR_WENT * before
            else "taken away"
            if before > CAME_OR_WENT * after
            else "changed"
        )
        points = cv2.approxPolyDP(contour, _OUTLINE_PX, True).reshape(-1, 2).astype(np.float64) + 0.5
        moved = points @ matrix[:, :2].T + matrix[:, 2]
        moved = np.clip(moved / (width, height), 0.0, 1.0)
        (x0, y0), (x1, y1) = moved.min(axis=0), moved.max(axis=0)
        outline = tuple((round(float(x), 4), round(float(y), 4)) for x, y in moved)
        share = float(cv2.contourArea(contour)) / mask.size
        parts.append(Part(kind, (float(x0), float(y0), float(x1), float(y1)), outline, share))
    return tuple(sorted(parts, key=lambda part: -part.share))


def _edges(picture: Array) -> Array:
    """How much is drawn at each place: the gradient of the encoded lightness."""
    plain = np.sqrt(np.maximum(picture @ LUMINANCE_32, 0)).astype(np.float32)
    gx, gy = cv2.Sobel(plain, cv2.CV_32F, 1, 0, scale=1 / 8), cv2.Sobel(plain, cv2.CV_32F, 0, 1, scale=1 / 8)
    return np.asarray(cv2.magnitude(gx, gy), np.float32)


def _slow_ratio(a: Array, b: Array, weight: Array) -> Array:
    """a / b per channel, smoothed over a fifth of the frame where nothing changed."""
    sigma = a.shape[1] / 10
    small = (max(a.shape[1] // 8, 8), max(a.shape[0] // 8, 8))
    fit = weight * (lowest(a) > 0.002) * (lowest(b) > 0.002) * (highest(a) < 0.9) * (highest(b) < 0.9)
    log = np.log(np.maximum(a, 1e-4) / np.maximum(b, 1e-4)) * fit[..., None]
    top = cv2.GaussianBlur(cv2.resize(log, small, interpolation=cv2.INTER_AREA), (0, 0), sigma / 8)
    base = cv2.GaussianBlur(
        cv2.resize(fit.astype(np.float32), small, interpolation=cv2.INTER_AREA), (0, 0), sigma / 8
    )
    overall = log.reshape(-1, 3).sum(axis=0) / max(float(fit.sum()), 1.0)
    # where nearly everything changed, the overall ratio stands in
    smooth = (top + 0.02 * overall) / (base + 0.02)[..., None]
    large = cv2.resize(smooth.astype(np.float32), (a.shape[1], a.shape[0]), interpolation=cv2.INTER_LINEAR)
    return np.asarray(np.exp(large), np.float32)


def _differs(a: Array, b: Array) -> NDArray[np.bool_]:
    la, lb = lab_of(np.minimum(a, 1.0)), lab_of(np.minimum(b, 1.0))
    difference = np.sqrt(((la - lb) ** 2).sum(axis=2))
    # an edge that lies a pixel off differs too: forgive what the neighbourhood of the other picture explains
    kernel = np.ones((2 * MISFIT_PX + 1, 2 * MISFIT_PX + 1), np.uint8)
    outside = np.zeros(a.shape[:2], np.float32)
    for c in range(3):
        high = cv2.dilate(la[..., c], kernel)
        low = cv2.erode(la[..., c], kernel)
        beyond = np.maximum(lb[..., c] - high, low - lb[..., c])
        outside += np.maximum(beyond, 0) ** 2
    back = np.zeros(a.shape[:2], np.float32)
    for c in range(3):
        high = cv2.dilate(lb[..., c], kernel)
        low = cv2.erode(lb[..., c], kernel)
        beyond = np.maximum(la[..., c] - high, low - la[..., c])
        back += np.maximum(beyond, 0) ** 2
    core = np.sqrt(np.maximum(outside, back)) > 0.5 * DIFFERENCE
    wide = (difference > DIFFERENCE).astype(np.uint8)
    wide = cv2.morphologyEx(wide, cv2.MORPH_OPEN, np.ones((3, 3), np.uint8))
    count, labels = cv2.connectedComponents(wide, connectivity=8)
    hit = np.bincount(labels[core], minlength=count) >= 6
    hit[0] = False
    mask = hit[labels].astype(np.uint8)
    return cv2.morphologyEx(mask, cv2.MORPH_CLOSE, np.ones((7, 7), np.uint8)) > 0


def _parts(mask: NDArray[np.bool_]) -> Changes:
    filled = mask.astype(np.uint8)
    contours, _ = cv2.findContours(filled, cv2.RETR_EXTERNAL, cv2.CHAIN_APPROX_SIMPLE)
    height, width = mask.shape
    out = np.zeros_like(filled)
    boxes: list[tuple[float, Box]] = []
    for contour in contours:
        area = cv2.contourArea(contour)
        if area < SMALLEST_SHARE * mask.size:
            continue
        cv2.drawContours(out, [contour], -1, 1, -1)
        x, y, w, h = cv2.boundingRect(contour)
        boxes.append((area, (x / width, y / height, (x + w) / width, (y + h) / height)))
    boxes.sort(key=lambda one: -one[0])
    return Changes(out > 0, tuple(b for _, b in boxes), float(out.mean()))
