"""Where exactly the corners of a marker lie.

A blurred corner shrinks towards its square's middle, so the corners are not looked for at all: the four edges
are, by the centre of gravity of the brightness gradient across them, a straight line is laid through each, and
the corners are where the lines cross. Symmetric blur does not move an edge found this way. Brightness is made
linear first: on display values an edge's middle lies off its true place.
"""

import cv2
import numpy as np
from numpy.typing import NDArray

from plateside.camera.card.layout import CELLS

SAMPLES_PER_EDGE = 40
PROFILE_STEPS = 25
END_SHARE = 0.08
"""of an edge left out at each end, where two edges blur into each other"""
DISPLAY_EXPONENT = 2.2

Points = NDArray[np.float64]


def linear_light(grey: NDArray[np.uint8]) -> NDArray[np.float32]:
    """Eight-bit display values as (about) linear light, 0 to 1."""
    table = (np.arange(256) / 255.0) ** DISPLAY_EXPONENT
    return np.asarray(table[grey], dtype=np.float32)


def refine_corners(light: NDArray[np.float32], corners: Points) -> Points | None:
    """Corners of one marker, 4 x 2 [px], to a few hundredths of a pixel; None when an edge cannot be followed.

    light    H x W, linear
    corners  first guess, in order round the marker, within a third of a square
    """
    found = corners
    for _ in range(3):
        lines = [_edge(light, found[i], found[(i + 1) % 4]) for i in range(4)]
        if any(line is None for line in lines):
            return None
        crossed = [_cross(lines[i - 1], lines[i]) for i in range(4)]
        if any(c is None for c in crossed):
            return None
        found = np.array(crossed, dtype=np.float64)
    cell = np.linalg.norm(corners[1] - corners[0]) / CELLS
    if np.abs(found - corners).max() > max(2.5, 0.8 * cell):
        return None
    return found


def _edge(light: NDArray[np.float32], a: Points, b: Points) -> Points | None:
    """The line (point, direction) of the dark-to-light edge from corner a to corner b, as a 2 x 2 array."""
    along = b - a
    length = float(np.linalg.norm(along))
    if length < 12:
        return None
    along = along / length
    outward = np.array([along[1], -along[0]])  # corners run clockwise on screen: outside is to the left
    reach = min(8.0, max(1.8, 0.8 * length / CELLS))
    t = np.linspace(END_SHARE, 1 - END_SHARE, SAMPLES_PER_EDGE) * length
    s = np.linspace(-reach, reach, PROFILE_STEPS)
    at = a + t[:, None, None] * along + s[None, :, None] * outward
    drawn = cv2.remap(
        light, at[..., 0].astype(np.float32), at[..., 1].astype(np.float32), cv2.INTER_LINEAR,
        borderMode=cv2.BORDER_REPLICATE,
    )  # fmt: skip
    rise = np.clip(np.diff(drawn, axis=1), 0, None)
    rise = np.where(
        rise > 0.15 * rise.max(axis=1, keepdims=True), rise, 0
    )  # noise far from the edge pulls it
    weight = rise.sum(axis=1)
    whole = weight > 0.5 * np.median(weight)
    if whole.sum() < SAMPLES_PER_EDGE // 3 or np.median(weight) <= 0.02:
        return None
    where = (rise * (s[1:] + s[:-1]) / 2).sum(axis=1) / np.where(weight > 0, weight, 1)
    return _line(a + t[:, None] * along + where[:, None] * outward, whole, along)


def _line(points: Points, use: NDArray[np.bool_], along: Points) -> Points | None:
    across = np.array([-along[1], along[0]])
    for _ in range(4):
        if use.sum() < SAMPLES_PER_EDGE // 3:
            return None
        t, d = points @ along, points @ across
        slope, offset = np.polyfit(t[use], d[use], 1)
        off = np.abs(d - (slope * t + offset))
        use = use & (off < max(3 * 1.48 * float(np.median(off[use])), 0.05))
    return np.array([offset * across, along + slope * across])


def _cross(first: Points | None, second: Points | None) -> Points | None:
    if first is None or second is None:
        return None
    matrix = np.column_stack([first[1], -second[1]])
    if abs(np.linalg.det(matrix)) < 1e-6:
        return None
    t = np.linalg.solve(matrix, second[0] - first[0])
    return np.asarray(first[0] + t[0] * first[1])
