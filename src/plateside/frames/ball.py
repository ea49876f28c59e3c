"""Key against fill from a matt ball or an egg in the frame, as set photographers use a grey ball.

Under one distant light and light from all round, a matt sphere's luminance is fill + key x max(n . l, 0) (Lambert's
cosine law; the attached shadow is where it is clipped). Seen from afar the normal n at each place within its outline is
known, so fill, key and the direction l follow by least squares; what does not fit is not a ball. The ratio is told for
the side that faces the key: log2((key + fill) / fill), the trade's (K + F) : F.

A window is broad: its shading wraps a little round the terminator and the key read is a few per cent low.
"""

import cv2
import numpy as np
from numpy.typing import NDArray

from plateside.frames.exposure import LUMINANCE
from plateside.frames.facts import Ball

Array = NDArray[np.float32]

SEARCH_PX = 240
SMALLEST_PX = 7
"""Radius at search size below which shading cannot be read."""
LARGEST_MISFIT = 0.08
"""Root mean square of what the sphere leaves over, against its mean luminance."""
LEAST_EXPLAINED = 0.9
LARGEST_COLOUR = 0.22
"""Spread of log2 red over green over the ball: food, labels and glaze show more."""
TRIES = 8
RIM = 0.88
ROUNDER = 0.6
"""A ball must explain its shading this much better (standard deviation left) than a flat thing in sloping light."""


def find_ball(linear: Array) -> Ball | None:
    """The best matt ball or egg in a small linear picture; None when nothing fits one."""
    scale = min(SEARCH_PX / max(linear.shape[:2]), 1.0)
    size = (round(linear.shape[1] * scale), round(linear.shape[0] * scale))
    small = np.asarray(cv2.resize(linear, size, interpolation=cv2.INTER_AREA), np.float32)
    luminance = np.ascontiguousarray(small @ LUMINANCE)
    shown = (np.sqrt(np.clip(luminance, 0, 1)) * 255).astype(np.uint8)
    best: Ball | None = None
    for outline in _outlines(shown):
        ball = _fitted(small, luminance, outline)
        if ball is not None and (best is None or ball.confidence > best.confidence):
            best = ball
    return best


Outline = tuple[float, float, float, float, float]
"""Middle x, y, half axes a, b [px], turn of a [rad]."""


def _outlines(shown: NDArray[np.uint8]) -> list[Outline]:
    """Round things: circles by their edges' votes, sharpened to the ellipse of the edges near them."""
    height, width = shown.shape
    soft = cv2.GaussianBlur(shown, (0, 0), 1.2)
    circles = cv2.HoughCircles(
        soft, cv2.HOUGH_GRADIENT, 2, height / 12, param1=90, param2=28, minRadius=SMALLEST_PX, maxRadius=height // 5
    )  # fmt: skip
    if circles is None:
        return []
    edges = cv2.Canny(soft, 20, 50)
    ys, xs = np.nonzero(edges)
    out = []
    for x, y, r in np.asarray(circles).reshape(-1, 3)[:TRIES]:
        far = np.hypot(xs - x, ys - y)
        near = (far > 0.72 * r) & (far < 1.3 * r)
        out.append((float(x), float(y), float(r), float(r), 0.0))
        if np.count_nonzero(near) > 30:
            points = np.column_stack([xs[near], ys[near]]).astype(np.float32)
            (cx, cy), (w, h), turn = cv2.fitEllipseDirect(points)
            whole = 0.6 < w / max(h, 1e-3) < 1.67 and 0.7 * r < np.sqrt(w * h) / 2 < 1.4 * r
            if whole and np.hypot(cx - x, cy - y) < 0.4 * r:
                out.append((float(cx), float(cy), w / 2, h / 2, float(np.radians(turn))))
    return [o for o in out if o[0] - max(o[2:4]) > 0 and o[0] + max(o[2:4]) < width - 1]


def _fitted(small: Array, luminance: Array, outline: Outline) -> Ball | None:
    cx, cy, a, b, turn = outline
    height, width = luminance.shape
    reach = int(max(a, b)) + 2
    x0, x1, y0, y1 = int(cx) - reach, int(cx) + reach + 1, int(cy) - reach, int(cy) + reach + 1
    if x0 < 0 or y0 < 0 or x1 > width or y1 > height:
        return None
    v, u = np.mgrid[y0:y1, x0:x1].astype(np.float64)
    along = ((u - cx) * np.cos(turn) + (v - cy) * np.sin(turn)) / a
    across = (-(u - cx) * np.sin(turn) + (v - cy) * np.cos(turn)) / b
    inside = along**2 + across**2 < RIM**2
    if np.count_nonzero(inside) < 120:
        return None
    p, q = along[inside], across[inside]
    depth = np.sqrt(1 - p * p - q * q)
    # the normal in the picture's own axes: right, up, towards the camera
    normal = np.stack(
        [p * np.cos(turn) - q * np.sin(turn), -(p * np.sin(turn) + q * np.cos(turn)), depth], axis=1
    )
    seen = luminance[y0:y1, x0:x1][inside].astype(np.float64)
    colours = small[y0:y1, x0:x1][inside]
    if colours.max() > 0.98 or seen.min() < 0.002:
        return None
    hue = np.log2(np.maximum(colours[:, 0], 1e-4) / np.maximum(colours[:, 1], 1e-4))
    if float(hue.std()) > LARGEST_COLOUR:
        return None
    solved = lambert(normal, seen)
    if solved is None:
        return None
    fill, key, rest = solved
    strength = float(np.linalg.norm(key))
    misfit = float(rest.std() / seen.mean())
    explained = float(1 - rest.var() / max(seen.var(), 1e-12))
    if misfit > LARGEST_MISFIT or explained < LEAST_EXPLAINED or strength < 0.25 * fill:
        return None
    to = key / strength
    # a plate in sloping light is shaded evenly from end to end, a ball is not
    flat = np.column_stack([np.ones(len(p)), p, q])
    left = seen - flat @ np.linalg.lstsq(flat, seen, rcond=None)[0]
    if rest.std() > ROUNDER * left.std():
        return None
    confidence = min(1.0, (explained - 0.8) / 0.2) * min(1.0, max(a, b) / 25 + 0.4) * (1 - 3 * misfit)
    return Ball(
        ratio_stops=float(np.log2((strength + fill) / fill)),
        from_right=float(to[0]), from_above=float(to[1]), from_camera=float(to[2]),
        at=((cx + 0.5) / width, (cy + 0.5) / height),
        width=2 * max(a, b) / width,
        confidence=round(float(np.clip(confidence, 0.05, 0.95)), 2),
    )  # fmt: skip


def lambert(
    normal: NDArray[np.float64], seen: NDArray[np.float64]
) -> tuple[float, NDArray[np.float64], NDArray[np.float64]] | None:
    """(fill, key vector, what is left over) of seen = fill + max(n . key, 0); None when it does not settle.

    normal  n x 3 unit vectors; seen  n luminances
    """
    bright = seen > np.median(seen)
    fill, key = 0.0, np.zeros(3)
    for _ in range(12):
        lit = bright if not key.any() else normal @ key > 0
        if np.count_nonzero(lit) < 40:
            return None
        design = np.column_stack([np.ones(len(seen)), np.where(lit[:, None], normal, 0.0)])
        solved, *_ = np.linalg.lstsq(design, seen, rcond=None)
        change = float(np.abs(solved[1:] - key).max())
        fill, key = float(solved[0]), solved[1:]
        if change < 1e-4 * max(float(np.abs(key).max()), 1e-9):
            break
    if fill <= 1e-4 * float(seen.max()):
        return None
    return fill, key, seen - (fill + np.maximum(normal @ key, 0))
