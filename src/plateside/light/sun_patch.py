"""Where the sun falls on the table: polygons, cut by opening, reveal, overhang, skyline and the table's edge."""

import numpy as np

from plateside.light.rays import sun_outside
from plateside.light.scene import Scene
from plateside.model.light_answers import Array

Polygon = tuple[tuple[float, float], ...]


def sun_patches(scene: Scene, sun: Array) -> tuple[Polygon, ...]:
    """Polygons (x, y) [m] on the plane of the table, one for each window through which the sun reaches it.

    sun  unit vector to the sun. Shadows of boards and furniture are not taken out.
    """
    found: list[Polygon] = []
    if sun[2] <= 0:
        return ()
    table_low = scene.rect_centre[0] - scene.rect_u[0] - scene.rect_v[0]
    table_high = scene.rect_centre[0] + scene.rect_u[0] + scene.rect_v[0]
    plane = float(scene.rect_centre[0][2])
    for w, opening in enumerate(scene.openings):
        out = float(sun @ opening["outward"])
        if out <= 1e-6 or opening["clear"] <= 0:
            continue
        origin, along = opening["corner"], opening["along"]
        wide, tall = float(opening["width"]), float(opening["height"])
        low, high = float(origin[2]), float(origin[2]) + tall
        reveal, depth, plate = (float(opening[name]) for name in ("reveal", "overhang", "plate"))
        low = max(low, plane)
        left, right = 0.0, wide
        if reveal > 0:
            # What passes the outer opening comes to the glass shifted along the ray.
            shift = reveal / out
            whole = float((opening["whole_corner"] - origin) @ along)
            left = max(left, whole - shift * float(sun @ along))
            right = min(right, whole + float(opening["whole_width"]) - shift * float(sun @ along))
            low = max(low, float(opening["whole_corner"][2]) - shift * float(sun[2]))
            high = min(
                high,
                float(opening["whole_corner"][2]) + float(opening["whole_height"]) - shift * float(sun[2]),
            )
        if depth > 0:
            high = min(high, plate - (reveal + depth) / out * float(sun[2]))
        if high - low < 1e-6 or right - left < 1e-6:
            continue
        cleared = _above_skyline(scene, w, origin + along * (left + right) / 2, low, high, sun, out)
        if cleared is None:
            continue
        low = cleared
        corners = [(left, low), (right, low), (right, high), (left, high)]
        polygon = []
        for u, z in corners:
            p = origin + along * u
            fall = (z - plane) / float(sun[2])
            polygon.append((float(p[0] - fall * sun[0]), float(p[1] - fall * sun[1])))
        for axis, limit, keep_above in ((0, table_low[0], True), (0, table_high[0], False),
                                        (1, table_low[1], True), (1, table_high[1], False)):  # fmt: skip
            polygon = _cut(polygon, axis, float(limit), keep_above)
        if len(polygon) >= 3 and _area(polygon) > 1e-8:
            found.append(tuple(polygon))
    return tuple(found)


def _above_skyline(
    scene: Scene, w: int, at: Array, low: float, high: float, sun: Array, out: float
) -> float | None:
    """Lowest height in the opening that the sun clears; None when it clears none (half shade counts as sun)."""

    def lit(z: float) -> bool:
        share = sun_outside(
            (at[0], at[1], z), (sun[0], sun[1], sun[2]), out, scene.openings[w], scene.opposite
        )
        return bool(share > 0)

    top = high - 1e-6
    if not lit(top):
        return None
    if lit(low + 1e-6):
        return low
    a, b = low, top
    for _ in range(40):
        middle = (a + b) / 2
        a, b = (a, middle) if lit(middle) else (middle, b)
    return b


def _cut(
    polygon: list[tuple[float, float]], axis: int, limit: float, keep_above: bool
) -> list[tuple[float, float]]:
    """The part of a convex polygon on one side of an axis-parallel line (touching counts as inside)."""
    clipped: list[tuple[float, float]] = []
    for k, here in enumerate(polygon):
        there = polygon[(k + 1) % len(polygon)]
        a = (here[axis] - limit) * (1 if keep_above else -1)
        b = (there[axis] - limit) * (1 if keep_above else -1)
        if a >= -1e-12:
            clipped.append(here)
        if (a >= -1e-12) != (b >= -1e-12):
            t = a / (a - b)
            clipped.append((here[0] + t * (there[0] - here[0]), here[1] + t * (there[1] - here[1])))
    return clipped


def _area(polygon: list[tuple[float, float]]) -> float:
    p = np.array(polygon)
    x, y = p[:, 0], p[:, 1]
    return abs(float(x @ np.roll(y, -1) - y @ np.roll(x, -1))) / 2
