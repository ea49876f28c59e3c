"""How light shapes a thing: key and fill, vector and scalar, the shadow's edge.

key_fill        brightest and darkest upright side that the camera sees
key_direction   where the key comes from, seen by the camera
vector_scalar   illuminance vector, mean spherical illuminance and their ratio, from six faces of a small cube
modelling_word  the ratio's published band
shadow_edge_mm  width of a shadow's soft edge

Vector and scalar from a cube: C. Cuttle, Cubic illumination, Lighting Research and Technology 29 (1997) 1-14; bands:
Cuttle, Lighting patterns and the flow of light, Lighting Research and Technology 3 (1971), as in the SLL Code for
Lighting (from memory). Shadow edge: distance from the edge to the surface x source width / source distance.
"""

from math import atan2, degrees, sqrt

import numpy as np

from plateside.light.scene import Scene
from plateside.model.light_answers import Array

SUN_WIDTH_RAD = 0.00930
"""0.533 degrees."""
FRONT_TO_DEG, SIDE_TO_DEG, THREE_QUARTER_TO_DEG = 45.0, 105.0, 155.0
"""Ends of the named directions, as angles between key and camera seen from the dish (common practice, no source)."""
BANDS = (
    (0.75, "weak"),
    (1.25, "moderately weak"),
    (1.75, "moderately strong"),
    (2.25, "strong"),
    (2.75, "very strong"),
)
"""Half way between the published 0.5, 1.0, 1.5, 2.0, 2.5 and 3.0."""


def key_fill_stops(visible_lx: Array) -> Array:
    """Brightest against darkest of the upright faces that the camera sees [stops]; faces along the last axis."""
    top, bottom = visible_lx.max(axis=-1), visible_lx.min(axis=-1)
    return np.asarray(np.log2(np.maximum(top, 1e-9) / np.maximum(bottom, 1e-9)) * (top > 0))


def key_direction(key_turn_deg: float, camera_faces_deg: float) -> str:
    """Name of the direction from which the key comes, by its turn in the room (clockwise from straight ahead)."""
    away = abs((key_turn_deg - camera_faces_deg) % 360 - 180)
    if away <= FRONT_TO_DEG:
        return "front"
    if away <= SIDE_TO_DEG:
        return "side"
    return "three-quarter back" if away <= THREE_QUARTER_TO_DEG else "back"


def vector_scalar(
    front: float, right: float, back: float, left: float, up: float, down: float
) -> tuple[Array, float]:
    """Illuminance vector (right, ahead, up) [lx] and mean spherical illuminance [lx] from a cube's six faces."""
    vector = np.array([right - left, front - back, up - down])
    even = (min(right, left) + min(front, back) + min(up, down)) / 3
    return vector, float(np.linalg.norm(vector)) / 4 + even


def modelling_word(ratio: float) -> str:
    """The published band of a vector-to-scalar ratio."""
    for end, word in BANDS:
        if ratio < end:
            return word
    return "dramatic"


def turn_and_elevation_deg(vector: Array) -> tuple[float, float]:
    """Turn in the room (clockwise from straight ahead) and elevation of a vector [deg]."""
    x, y, z = (float(a) for a in vector)
    return degrees(atan2(x, y)) % 360, degrees(atan2(z, sqrt(x * x + y * y)))


def sun_shadow_edge_mm(height_mm: float, elevation_rad: float) -> float:
    """Soft edge of a shadow in direct sun, across the ray [mm]."""
    return SUN_WIDTH_RAD * height_mm / max(float(np.sin(elevation_rad)), 0.02)


def window_shadow_edge_mm(scene: Scene, height_mm: float) -> float:
    """Soft edge of a shadow in the light of the window that gives the dish most [mm]; infinite without a window.

    The source is the part of the opening above the table, seen from the dish, as a square of like area.
    """
    best, edge = 0.0, float("inf")
    for opening in scene.openings:
        bottom = opening["corner"][2]
        low = max(float(bottom), float(scene.dish[2]))
        tall = float(bottom + opening["height"]) - low
        if tall <= 0:
            continue
        middle = opening["corner"] + opening["along"] * opening["width"] / 2
        to = np.array([middle[0], middle[1], low + tall / 2]) - scene.dish
        away = float(np.linalg.norm(to))
        facing = float(to @ opening["outward"]) / away
        area = float(opening["width"]) * tall * max(facing, 0.0)
        rise = float(to[2]) / away
        weight = area * rise / away**2
        if weight > best:
            best = weight
            edge = height_mm / max(rise, 0.05) * sqrt(area) / away
    return edge
