"""What a glossy, level dish mirrors: by plane-mirror geometry, which part of the scene the camera sees in it.

`mirrored`          shares of the dish that mirror each rectangle, the camera, the ceiling and the walls
`elevation_for`     nearest elevation of the camera at which a rectangle fills, or leaves, the dish
`Rectangle`, `RoomSize`

A level mirror turns the look ray's z over and nothing else. A spoon or a curved glaze mirrors far more of the
room: for those this is only the middle of the curve.
"""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from plateside.camera.place import stand
from plateside.camera.setup import Point

Array = NDArray[np.float64]


@dataclass(frozen=True)
class Rectangle:
    """A window or a board: a corner and two edge vectors [m]."""

    name: str
    corner: Point
    edge_u: Point
    edge_v: Point


@dataclass(frozen=True)
class RoomSize:
    """The room: its size, for what is mirrored when no rectangle is [m]."""

    size: Point


def disc_points(centre: Point, radius_m: float, rings: int = 12) -> Array:
    """Points spread evenly over a level disc: (n, 3), equal area each."""
    out = []
    for i in range(rings):
        r = radius_m * np.sqrt((i + 0.5) / rings)
        turns = (np.arange(12) + 0.5 * (i % 2)) * (2 * np.pi / 12)
        out.append(
            np.stack(
                [centre[0] + r * np.cos(turns), centre[1] + r * np.sin(turns), np.full(12, centre[2])], axis=1
            )
        )
    return np.concatenate(out)


def hits(origins: Array, rays: Array, rectangle: Rectangle) -> Array:
    """Distance along each ray to a rectangle; inf where it misses."""
    corner, u, v = (np.array(p) for p in (rectangle.corner, rectangle.edge_u, rectangle.edge_v))
    normal = np.cross(u, v)
    slope = rays @ normal
    with np.errstate(divide="ignore", invalid="ignore"):
        t = ((corner - origins) @ normal) / slope
    at = origins + rays * np.where(np.isfinite(t), t, 0.0)[:, None] - corner
    a, b = (at @ u) / (u @ u), (at @ v) / (v @ v)
    inside = (t > 1e-9) & np.isfinite(t) & (a >= 0) & (a <= 1) & (b >= 0) & (b <= 1)
    return np.where(inside, t, np.inf)


def box_exit(origins: Array, rays: Array, box: RoomSize) -> list[str]:
    """Which face of the room each ray leaves by."""
    names = ("left wall", "right wall", "back wall", "front wall", "floor", "ceiling")
    size = np.array(box.size)
    with np.errstate(divide="ignore", invalid="ignore"):
        low, high = (0.0 - origins) / rays, (size - origins) / rays
    t = np.stack([low[:, 0], high[:, 0], low[:, 1], high[:, 1], low[:, 2], high[:, 2]], axis=1)
    t = np.where(np.isfinite(t) & (t > 1e-9), t, np.inf)
    return [names[i] for i in np.argmin(t, axis=1)]


def mirrored(
    dish: Point,
    radius_m: float,
    lens: Point,
    rectangles: Sequence[Rectangle],
    box: RoomSize,
    camera_m: float = 0.08,
) -> dict[str, float]:
    """Share of the dish that mirrors each thing, seen from the lens; shares add to 1.

    Keys are the rectangles' names, 'camera' (rays that pass within `camera_m` of the lens) and the room's faces.
    """
    points = disc_points(dish, radius_m)
    look = points - np.array(lens)
    rays = look * np.array([1.0, 1.0, -1.0])
    rays /= np.linalg.norm(rays, axis=1)[:, None]
    to_lens = np.array(lens) - points
    along = np.sum(to_lens * rays, axis=1)
    off = np.linalg.norm(to_lens - along[:, None] * rays, axis=1)
    nearest = np.where((along > 0) & (off < camera_m), along, np.inf)
    names = np.where(np.isfinite(nearest), "camera", "").astype(object)
    for rectangle in rectangles:
        t = hits(points, rays, rectangle)
        closer = t < nearest
        names[closer] = rectangle.name
        nearest = np.where(closer, t, nearest)
    faces = box_exit(points, rays, box)
    for i, name in enumerate(names):
        if not name:
            names[i] = faces[i]
    keys, counts = np.unique(names.astype(str), return_counts=True)
    return {str(k): float(n) / len(points) for k, n in zip(keys, counts, strict=True)}


def elevation_for(
    name: str,
    fill: bool,
    dish: Point,
    radius_m: float,
    camera_faces_deg: float,
    elevation_deg: float,
    distance_m: float,
    rectangles: Sequence[Rectangle],
    box: RoomSize,
) -> float | None:
    """Nearest elevation [deg], within 35 degrees, at which `name` fills (over 90 %) or leaves (under 2 %) the dish."""
    for step in range(1, 36):
        for e in (elevation_deg + step, elevation_deg - step):
            if not 2.0 <= e <= 90.0:
                continue
            lens = stand(dish, camera_faces_deg, e, distance_m)
            share = mirrored(dish, radius_m, lens, rectangles, box).get(name, 0.0)
            if (share >= 0.9) if fill else (share <= 0.02):
                return e
    return None
