"""Whether camera, tripod, arm or photographer stand in the key: the share of its light each keeps off the dish.

`Capsule`        a thing as a thick line: two ends and a radius
`blocked`        share of the key kept from the dish by each thing, and by all together
`sun_patch`      a far small source in a direction, as the points to look at
`falls_at`       where a point's shadow falls on the table

The key is a set of points (a grid over the window, or the sun far away); a thing blocks a point of the dish from a
point of the key when the line between them passes within the thing's radius. Light that comes by the walls is not
counted, so the loss told is of the key alone.
"""

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from plateside.camera.gloss import Rectangle, disc_points
from plateside.camera.place import direction
from plateside.camera.setup import Point

Array = NDArray[np.float64]


@dataclass(frozen=True)
class Capsule:
    """A thick line [m]."""

    a: Point
    b: Point
    radius_m: float


def window_points(window: Rectangle, across: int = 6) -> Array:
    """Middles of a grid of equal cells on a rectangle: (n, 3)."""
    s = (np.arange(across) + 0.5) / across
    u, v = np.meshgrid(s, s)
    return np.asarray(
        np.array(window.corner)
        + u.reshape(-1, 1) * np.array(window.edge_u)
        + v.reshape(-1, 1) * np.array(window.edge_v)
    )


def sun_patch(dish: Point, faces_deg: float, elevation_deg: float, far_m: float = 1000.0) -> Array:
    """The sun as one far point."""
    e = np.radians(elevation_deg)
    towards = direction(faces_deg) * np.cos(e) + np.array([0.0, 0.0, 1.0]) * np.sin(e)
    return np.asarray(np.array(dish) + far_m * towards).reshape(1, 3)


def segment_distance(p: Array, q: Array, a: Array, b: Array) -> Array:
    """Least distance between segments p-q (n, 3) and one segment a-b [m]."""
    d1, d2, r = q - p, b - a, p - a
    aa, ee, f = np.sum(d1 * d1, axis=1), float(d2 @ d2), r @ d2
    c, bb = np.sum(d1 * r, axis=1), d1 @ d2
    aa = np.maximum(aa, 1e-18)
    if ee < 1e-18:
        s = np.clip(-c / aa, 0, 1)
        t = np.zeros_like(s)
    else:
        denominator = aa * ee - bb * bb
        flat = denominator < 1e-14
        s = np.where(flat, 0.0, np.clip((bb * f - c * ee) / np.where(flat, 1.0, denominator), 0, 1))
        t = (bb * s + f) / ee
        s = np.where(t < 0, np.clip(-c / aa, 0, 1), np.where(t > 1, np.clip((bb - c) / aa, 0, 1), s))
        t = np.clip(t, 0, 1)
    return np.asarray(np.linalg.norm(r + s[:, None] * d1 - t[:, None] * d2, axis=1))


def blocked(
    dish: Point, radius_m: float, key: Array, things: Mapping[str, tuple[Capsule, ...]]
) -> dict[str, float]:
    """Share of the key's light kept off the dish by each thing; 'all' for everything together.

    Weighed by the cosine on the level dish and the inverse square of the distance.
    """
    points = disc_points(dish, radius_m, rings=3)
    p = np.repeat(points, len(key), axis=0)
    q = np.tile(key, (len(points), 1))
    away = q - p
    distance = np.linalg.norm(away, axis=1)
    weight = np.maximum(away[:, 2], 0.0) / distance**3
    total = float(weight.sum())
    if total <= 0:
        return {**dict.fromkeys(things, 0.0), "all": 0.0}
    everything = np.zeros(len(p), dtype=bool)
    out: dict[str, float] = {}
    for name, capsules in things.items():
        hit = np.zeros(len(p), dtype=bool)
        for capsule in capsules:
            hit |= segment_distance(p, q, np.array(capsule.a), np.array(capsule.b)) < capsule.radius_m
        out[name] = float(weight[hit].sum()) / total
        everything |= hit
    out["all"] = float(weight[everything].sum()) / total
    return out


def falls_at(point: Point, key: Point, level_m: float) -> tuple[float, float] | None:
    """Where a point's shadow from a point of light falls on a level plane; None when the light is not above it."""
    drop = key[2] - point[2]
    if drop <= 1e-9 or point[2] < level_m:
        return None
    t = (point[2] - level_m) / drop
    return (point[0] + (point[0] - key[0]) * t, point[1] + (point[1] - key[1]) * t)
