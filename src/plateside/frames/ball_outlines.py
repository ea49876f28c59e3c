"""Where a ball or an egg might lie: circles by their edges' votes, then drawn onto the outline itself.

Circles: a Hough transform of gradients (Yuen and others, Image and Vision Computing 8, 1990), in both of
OpenCV's forms. On a
patterned cloth most of them are of the cloth, so those that are not smooth within go first; what is left is looked at
along rays: the strongest step on each ray, a circle through these by least squares that forgets rays whose
step lies elsewhere (the side in shade may have none), and an ellipse where that holds more of them (an egg).
"""

from dataclasses import dataclass

import cv2
import numpy as np
from numpy.typing import NDArray

Array = NDArray[np.float32]
Floats = NDArray[np.float64]

SMALLEST_PX = 7
"""Radius below which shading cannot be read."""
LARGEST_SHARE = 0.3
"""Radius over the picture's height."""
VOTED = 30
"""Circles of each kind that are looked at."""
ROUGH = 0.06
"""What a quadratic leaves over within, against the mean (square roots of luminance)."""
CALM_PX = 7
EDGE = 50
"""Of 255, by Sobel's operator: edges that vote."""
VOTES, ROUND = 15.0, 0.5
"""How many edges must vote (the older form), how much of a circle (the newer)."""
STEP = 0.015
"""Square roots of luminance: the least step that counts as the outline."""
NEAR = 0.06
"""Shares of the radius: how near a ray's step lies to the outline that it counts for."""
ROUNDS = 3
_RAYS = 64
_TURN = np.arange(_RAYS) * 2 * np.pi / _RAYS
_ACROSS, _DOWN = np.cos(_TURN), np.sin(_TURN)
_REACH = np.linspace(0.6, 1.4, 41)
_STEPS_AT = _REACH[1:-1]


def _quadratic() -> tuple[Floats, Floats, Floats]:
    """Places within the unit circle, and what takes a quadratic out of values there."""
    line = np.linspace(-0.7, 0.7, 9)
    x, y = (v.ravel() for v in np.meshgrid(line, line))
    inside = np.hypot(x, y) <= 0.72
    x, y = x[inside], y[inside]
    design = np.column_stack([np.ones_like(x), x, y, x * x, x * y, y * y])
    return x, y, np.eye(len(x)) - design @ np.linalg.pinv(design)


_X, _Y, _LEFT_OVER = _quadratic()


@dataclass(frozen=True)
class Outline:
    """An ellipse in pixels, nearly a circle."""

    x: float
    y: float
    a: float
    b: float
    turn: float
    """Of the half axis a [rad], from right to down."""
    visible: float
    """Share of the rays on which a step stands where the outline is."""


def sampled(plane: Array, x: Floats, y: Floats) -> NDArray[np.float64]:
    """Values between pixels (height x width, or with channels) at places of any shape; the edge goes on outside."""
    shape = x.shape
    flat = cv2.remap(
        plane, x.reshape(1, -1).astype(np.float32), y.reshape(1, -1).astype(np.float32), cv2.INTER_LINEAR,
        borderMode=cv2.BORDER_REPLICATE,
    )  # fmt: skip
    return np.asarray(flat, np.float64).reshape(*shape, *plane.shape[2:])


def outlines(root: Array) -> list[Outline]:
    """Outlines of round smooth things, best seen first, no two of the same thing.

    root  square roots of luminance, height x width, 0 to 1
    """
    soft = np.asarray(cv2.GaussianBlur(root, (0, 0), 1.2), np.float32)
    found: list[Outline] = []
    for x, y, r in _voted((soft * 255).astype(np.uint8)):
        if any(np.hypot(x - o.x, y - o.y) < 0.25 * o.a and 0.8 < r / o.a < 1.25 for o in found):
            continue
        inside = sampled(soft, x + _X * r, y + _Y * r)
        if float((_LEFT_OVER @ inside).std()) > ROUGH * max(float(inside.mean()), 1e-3):
            continue
        outline = _drawn(soft, x, y, r)
        if outline is not None:
            found.append(outline)
    apart: list[Outline] = []
    for one in sorted(found, key=lambda o: -o.visible):
        if all(np.hypot(one.x - o.x, one.y - o.y) > 0.3 * max(one.a, o.a) for o in apart):
            apart.append(one)
    return apart


def _voted(shown: NDArray[np.uint8]) -> list[tuple[float, float, float]]:
    # gravel or crumbs outvote a ball: again with what is small wiped away
    calm = cv2.medianBlur(cv2.medianBlur(shown, CALM_PX), CALM_PX)
    largest = round(shown.shape[0] * LARGEST_SHARE)
    asked = [
        (grade, form, finer, votes)
        for grade in (shown, calm)
        for form, finer, votes in ((cv2.HOUGH_GRADIENT, 2.0, VOTES), (cv2.HOUGH_GRADIENT_ALT, 1.5, ROUND))
    ]
    out = []
    for grade, form, finer, votes in asked:
        circles = cv2.HoughCircles(
            grade, form, finer, 8, param1=EDGE, param2=votes, minRadius=SMALLEST_PX, maxRadius=largest
        )
        if circles is not None:
            rows = np.asarray(circles, float).reshape(-1, circles.shape[-1])[:VOTED, :3]
            out += [(float(x), float(y), float(r)) for x, y, r in rows if r >= SMALLEST_PX]
    return out


def _drawn(soft: Array, x: float, y: float, r: float) -> Outline | None:
    """The outline near a circle; None when the rays lead elsewhere."""
    for turn in range(ROUNDS):
        along = sampled(soft, x + np.outer(_ACROSS, _REACH) * r, y + np.outer(_DOWN, _REACH) * r)
        step = np.abs(along[:, 2:] - along[:, :-2])
        likely = np.exp(-(((_STEPS_AT - 1) / (0.25 if turn == 0 else 0.12)) ** 2))
        best = np.argmax(step * likely, axis=1)
        size = step[np.arange(_RAYS), best]
        far = _STEPS_AT[best] * r
        at_x, at_y = x + _ACROSS * far, y + _DOWN * far
        cx, cy, radius, off = _circle(at_x, at_y, np.minimum(size / STEP, 4.0))
        if np.hypot(cx - x, cy - y) > 0.5 * r or not 0.6 < radius / r < 1.5:
            return None
        x_cast, y_cast, r_cast = x, y, r
        x, y, r = cx, cy, radius
    strong = size > 2 * STEP
    circle = Outline(x, y, r, r, 0.0, float(np.mean((np.abs(off) < NEAR * r) & strong)))
    if r < SMALLEST_PX:
        return None
    best = np.argmax(step, axis=1)
    strong = step[np.arange(_RAYS), best] > 2 * STEP
    far = _STEPS_AT[best] * r_cast
    egg = _ellipse((x_cast + _ACROSS * far)[strong], (y_cast + _DOWN * far)[strong], circle)
    return circle if egg is None or egg.visible < circle.visible + 0.15 else egg


def _circle(x: Floats, y: Floats, weight: Floats) -> tuple[float, float, float, Floats]:
    """Middle, radius and how far each place is off, by weighted least squares (Kasa) that forgets what lies far off."""
    design, right = np.column_stack([2 * x, 2 * y, np.ones(len(x))]), x * x + y * y
    counts = weight
    for _ in range(4):
        normal = design.T @ (design * (counts * counts)[:, None])
        cx, cy, rest = np.linalg.solve(normal + 1e-9 * np.eye(3), design.T @ (right * counts * counts))
        radius = float(np.sqrt(max(rest + cx * cx + cy * cy, 1.0)))
        off = np.hypot(x - cx, y - cy) - radius
        counts = weight / (1 + (off / (0.04 * radius)) ** 2)
    return float(cx), float(cy), radius, off


def _ellipse(x: Floats, y: Floats, circle: Outline) -> Outline | None:
    """An egg's outline near a circle's, from the strongest steps on its rays; what lies off it is left out in turn."""
    near = np.ones(len(x), bool)
    for _ in range(3):
        if np.count_nonzero(near) < _RAYS // 3:
            return None
        (cx, cy), (w, h), degrees = cv2.fitEllipseDirect(
            np.column_stack([x[near], y[near]]).astype(np.float32)
        )
        if not (0.6 < w / max(h, 1e-3) < 1.67 and min(w, h) / 2 >= SMALLEST_PX):
            return None
        a, b, turn = w / 2, h / 2, float(np.radians(degrees))
        u = ((x - cx) * np.cos(turn) + (y - cy) * np.sin(turn)) / a
        v = (-(x - cx) * np.sin(turn) + (y - cy) * np.cos(turn)) / b
        off = np.abs(np.hypot(u, v) - 1)
        near = off < 2 * NEAR
    if np.hypot(cx - circle.x, cy - circle.y) > 0.4 * circle.a or not 0.7 < np.sqrt(a * b) / circle.a < 1.4:
        return None
    return Outline(float(cx), float(cy), a, b, turn, float(np.count_nonzero(off < NEAR) / _RAYS))
