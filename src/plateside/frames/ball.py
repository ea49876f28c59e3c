"""Key against fill from a matt ball or an egg in the frame, as set photographers use a grey ball.

Seen from afar the normal n at each place within a sphere's outline is known, and a matt surface's luminance goes by its
illuminance (Lambert's cosine law). Under one broad key and light from everywhere else that is

    fill + tilt . n + key x lit(n . l)

with lit(c) = max(c, 0), rounded off near the terminator by the key's own width, and a fill that may come more from one
side than from another (its first order: illuminance on a convex body is smooth, Ramamoorthi and Hanrahan, J. Opt. Soc.
Am. A 18, 2001). What does not fit is not a ball. The ratio is told as the plan tells it: the brightest against the
darkest side that the camera sees; under an even fill that is the trade's (K + F) : F.
"""

from dataclasses import dataclass

import cv2
import numpy as np
from numpy.typing import NDArray

from plateside.frames.ball_outlines import Outline, outlines, sampled
from plateside.frames.facts import Ball
from plateside.ground.srgb import LUMINANCE_32

Array = NDArray[np.float32]
Floats = NDArray[np.float64]

SEARCH_PX = 240
RIM = 0.9
LIMB = 0.25
"""Cosine to the camera of the last normals that are read: beyond, a pixel off the outline would count."""
TOO_BRIGHT = 0.94
"""Of display white, in any channel: no measure of the light."""
TOO_DARK = 0.002
LEAST_LEFT = 0.6
"""Share of the ball that is neither."""
LARGEST_MISFIT = 0.05
"""Root mean square of what the sphere leaves over, against its mean luminance."""
ROUNDER = 0.4
"""A ball must explain its shading this much better (standard deviation left) than a flat thing in sloping light."""
LARGEST_COLOUR = 0.22
"""Spread of log2 red over green over the ball: food, labels and glaze show more."""
LEAST_STOPS = 0.4
"""Below this, shading is too faint to tell a ball by."""
LEAST_SEEN, CLEARLY_SEEN = 0.12, 0.3
"""Share of the rays."""
LOOKED_AT = 10
FRONTAL, MAYBE_A_DISC = 0.85, 0.45
"""Lit from the camera, within 32 degrees, a ball has no shadow side: it only darkens towards its outline, as a plate, a
soup or a glow with a soft edge does. Not sure enough to be read."""


ROUGH = 0.12
"""What the second order may leave over, against the mean, in a first quick look: a narrow key leaves that much."""
FAINT_ROUND = 0.15
"""An outline that is hardly seen counts where shading is that much rounder than flat."""


def _places(number: int = 21) -> tuple[Floats, Floats]:
    line = np.linspace(-RIM, RIM, number)
    x, y = (v.ravel() for v in np.meshgrid(line, line))
    inside = np.hypot(x, y) <= RIM
    return x[inside], y[inside]


_X, _Y = _places()
_ONE = np.ones(len(_X))
_NORMAL = np.column_stack([_X, -_Y, np.sqrt(1 - _X * _X - _Y * _Y)])
"""In the picture's own axes: right, up, towards the camera."""
_TOWARDS = _NORMAL[:, 2]
_SECOND = np.column_stack([_ONE, _NORMAL, _X * _X, _Y * _Y, _X * _Y, _X * _TOWARDS, _Y * _TOWARDS])


@dataclass(frozen=True, eq=False)
class Shading:
    """How a sphere is lit, in the luminance that was fitted."""

    bright: float
    """By the fit, where the sphere faces the key, or as near to it as the camera sees."""
    dark: float
    """By the fit, on the darkest side that the camera sees; the last degrees before the outline left out."""
    towards: Floats
    """Unit vector to the key."""
    left: Floats
    """What is left over, where it was fitted."""

    @property
    def ratio_stops(self) -> float:
        return float(np.log2(max(self.bright, 1e-6) / max(self.dark, 1e-6)))


def find_ball(linear: Array) -> Ball | None:
    """The best matt ball or egg in a small linear picture; None when nothing fits one."""
    scale = min(SEARCH_PX / max(linear.shape[:2]), 1.0)
    size = (round(linear.shape[1] * scale), round(linear.shape[0] * scale))
    small = np.asarray(cv2.resize(linear, size, interpolation=cv2.INTER_AREA), np.float32)
    luminance = np.ascontiguousarray(small @ LUMINANCE_32)
    root = np.sqrt(np.clip(luminance, 0, 1)).astype(np.float32)
    best: Ball | None = None
    for outline in outlines(root)[:LOOKED_AT]:
        ball = _read(small, luminance, outline)
        if ball is not None and (best is None or ball.confidence > best.confidence):
            best = ball
    return best


def _read(small: Array, luminance: Array, outline: Outline) -> Ball | None:
    """Key and fill on what lies within an outline; None when it is no ball."""
    height, width = luminance.shape
    reach = max(outline.a, outline.b)
    if outline.visible < LEAST_SEEN or not (
        reach <= outline.x < width - reach and reach <= outline.y < height - reach
    ):
        return None
    turned = np.array(
        [[np.cos(outline.turn), -np.sin(outline.turn)], [np.sin(outline.turn), np.cos(outline.turn)]]
    )
    at = np.array([[outline.x], [outline.y]]) + turned @ np.stack([_X * outline.a, _Y * outline.b])
    # a ball is smooth: grain is not
    grain = max(reach / 12, 0.6)
    colours = sampled(np.asarray(cv2.GaussianBlur(small, (0, 0), grain), np.float32), at[0], at[1])
    luminances = sampled(np.asarray(cv2.GaussianBlur(luminance, (0, 0), grain), np.float32), at[0], at[1])
    fair = (colours.max(axis=1) < TOO_BRIGHT) & (luminances > TOO_DARK)
    if np.mean(fair) < LEAST_LEFT:
        return None
    hue = np.log2(np.maximum(colours[fair, 0], 1e-4) / np.maximum(colours[fair, 1], 1e-4))
    if float(hue.std()) > LARGEST_COLOUR:
        return None
    flat = np.column_stack([_ONE, _X, _Y])[fair]
    plain = float((luminances[fair] - flat @ np.linalg.lstsq(flat, luminances[fair], rcond=None)[0]).std())
    second = _SECOND[fair]
    rough = float(
        (luminances[fair] - second @ np.linalg.lstsq(second, luminances[fair], rcond=None)[0]).std()
    )
    if rough > ROUGH * luminances[fair].mean() or rough > 1.5 * ROUNDER * plain:
        return None
    shading = shaded(_NORMAL, luminances, fair)
    misfit = float(shading.left.std() / luminances[fair].mean())
    rounder = float(shading.left.std() / max(plain, 1e-9))
    rough = misfit > LARGEST_MISFIT * (1.6 if rounder < ROUNDER / 2 else 1.0)
    if rough or rounder > ROUNDER or shading.ratio_stops < LEAST_STOPS:
        return None
    if outline.visible < CLEARLY_SEEN and rounder > FAINT_ROUND:
        return None
    across, up = shading.towards[0], shading.towards[1]
    # the picture's axes are the ellipse's own, turned
    turn = np.array([across * np.cos(outline.turn) + up * np.sin(outline.turn),
                     -across * np.sin(outline.turn) + up * np.cos(outline.turn)])  # fmt: skip
    confidence = (
        (1 - misfit / (2 * LARGEST_MISFIT)) * (1 - rounder / (2 * ROUNDER)) * min(1.0, 0.55 + outline.visible * 0.6)
        * min(1.0, reach / 25 + 0.4)
    )  # fmt: skip
    if shading.towards[2] > FRONTAL:
        confidence *= MAYBE_A_DISC
    return Ball(
        ratio_stops=shading.ratio_stops,
        from_right=float(turn[0]), from_above=float(turn[1]), from_camera=float(shading.towards[2]),
        at=((outline.x + 0.5) / width, (outline.y + 0.5) / height),
        width=2 * reach / width,
        confidence=round(float(np.clip(confidence, 0.05, 0.95)), 2),
    )  # fmt: skip


def lit(cosine: Floats, wide: float) -> Floats:
    """Of a broad key's light, by the cosine of the angle to its middle; `wide` is the sine of half its width."""
    rounded = (cosine + wide) ** 2 / (4 * wide)
    return np.where(cosine >= wide, cosine, np.where(cosine <= -wide, 0.0, rounded))


def shaded(normal: Floats, luminances: Floats, fair: NDArray[np.bool_]) -> Shading:
    """Fit key and fill to luminances on a sphere.

    normal  n x 3 unit vectors; seen  n luminances; fair  which of them to go by
    """
    n, y = normal[fair], luminances[fair]
    level = float(y.mean())
    # a tilted fill and a key can stand for each other: the fill is tilted no more than the ball needs
    tie = np.diag([0.0, *[0.09 * len(y) / 300] * 3, 0.0])
    design = np.column_stack([np.ones(len(y)), n, np.zeros(len(y))])

    def solved(p: Floats) -> tuple[Floats, Floats, float]:
        wide = float(np.clip(p[3], 0.02, 0.9))
        towards = p[:3] / max(float(np.sqrt(p[:3] @ p[:3])), 1e-9)
        design[:, 4] = lit(n @ towards, wide)
        square = design.T @ design + tie
        square[np.diag_indices(5)] += 1e-9 * len(y)
        return np.linalg.solve(square, design.T @ y), towards, wide

    def left(p: Floats) -> Floats:
        by, _, _ = solved(p)
        return (y - design @ by) / level

    # imported where a ball is read: half a second of every start otherwise
    from scipy.optimize import least_squares

    slope = np.linalg.lstsq(np.column_stack([np.ones(len(y)), n]), y, rcond=None)[0][1:]
    brightest = (n * np.maximum(y - level, 0)[:, None] ** 2).sum(axis=0)
    tried = []
    for start in (slope, brightest):
        start = start / max(float(np.linalg.norm(start)), 1e-9)
        found = least_squares(left, np.concatenate([start, [0.3]]), max_nfev=10)
        tried.append((float(found.cost), found.x))
        if found.cost < 0.5 * len(y) * (LARGEST_MISFIT / 2) ** 2:
            break
    p = min(tried, key=lambda t: t[0])[1]
    by, towards, wide = solved(p)
    if by[4] < 0:
        towards = -towards

    def at(places: Floats) -> Floats:
        return np.asarray(by[0] + places @ by[1:4] + by[4] * lit(places @ (np.sign(by[4]) * towards), wide))

    facing = towards
    if towards[2] < LIMB:
        side = towards[:2] / max(float(np.hypot(*towards[:2])), 1e-9)
        facing = np.array([*(side * np.sqrt(1 - LIMB * LIMB)), LIMB])
    shown = at(normal)
    bright = max(float(at(facing[None])[0]), float(np.percentile(shown, 98)))
    return Shading(bright, float(np.percentile(shown, 2)), towards, left(p) * level)
