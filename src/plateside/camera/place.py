"""Where the camera is: aim point, elevation and look direction to lens, sensor and picture axes in the room.

`axes`             right, up and forward of the picture
`stand`            lens and sensor points for an aim, a distance and a direction
`direction`        horizontal unit vector of a direction clockwise from +y
`out_of_box_m`     how far a point lies outside the room
"""

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from plateside.camera.setup import Point

Vector = NDArray[np.float64]


def direction(faces_deg: float) -> Vector:
    """Horizontal unit vector of a direction clockwise from +y seen from above (90 is +x)."""
    a = math.radians(faces_deg)
    return np.array([math.sin(a), math.cos(a), 0.0])


def faces_deg(vector: Vector) -> float:
    """Direction of a vector's horizontal part, clockwise from +y [deg], 0 to 360."""
    return math.degrees(math.atan2(float(vector[0]), float(vector[1]))) % 360.0


@dataclass(frozen=True)
class Axes:
    """The picture's right, up and forward (look) unit vectors in the room."""

    right: Vector
    up: Vector
    forward: Vector


def axes(camera_faces_deg: float, elevation_deg: float) -> Axes:
    """Picture axes of a level camera that looks down at the dish from an elevation."""
    e = math.radians(elevation_deg)
    flat = direction(camera_faces_deg)
    z = np.array([0.0, 0.0, 1.0])
    forward = flat * math.cos(e) - z * math.sin(e)
    up = flat * math.sin(e) + z * math.cos(e)
    return Axes(right=np.cross(forward, up), up=up, forward=forward)


def stand(aim: Point, camera_faces_deg: float, elevation_deg: float, distance_m: float) -> Point:
    """The point at a distance from the aim, back along the axis."""
    p = np.array(aim) - axes(camera_faces_deg, elevation_deg).forward * distance_m
    return (float(p[0]), float(p[1]), float(p[2]))


def out_of_box_m(point: Point, box: Point, margin_m: float = 0.0) -> tuple[float, str]:
    """How far a point lies outside the room's box [m] (0: inside) and past which side: left, right, front, back ..."""
    sides = {
        "left wall": margin_m - point[0],
        "right wall": point[0] - (box[0] - margin_m),
        "back wall": margin_m - point[1],
        "front wall": point[1] - (box[1] - margin_m),
        "floor": margin_m - point[2],
        "ceiling": point[2] - (box[2] - margin_m),
    }
    side = max(sides, key=lambda k: sides[k])
    return max(0.0, sides[side]), side if sides[side] > 0 else ""
