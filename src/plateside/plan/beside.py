"""Where a board stands beside the dish: arithmetic alone, so that a page's server may ask it too."""

import math

from plateside.model.room import Room

SIDES = {"far": 0.0, "right": 90.0, "near": 180.0, "left": 270.0}
"""Turn from the camera's look direction to each side, clockwise from above [deg]."""

XY = tuple[float, float]


def toward(faces_deg: float) -> XY:
    """Unit vector of a direction clockwise from straight at the front wall (+y); 90 is to the right (+x)."""
    a = math.radians(faces_deg)
    return math.sin(a), math.cos(a)


def board_ends_m(
    room: Room, dish_m: XY, faces_deg: float, distance_m: float, width_m: float
) -> tuple[XY, XY]:
    """Ends of a board that stands in a direction from the dish, its face to it: left and right, seen from the dish.

    A board that would poke through a wall is slid along until it just fits, as the light engine does.
    """
    away = toward(faces_deg)
    along = (away[1], -away[0])
    middle = []
    for i, size in enumerate((room.width_m, room.depth_m)):
        half = min(abs(along[i]) * width_m / 2.0, size / 2.0)
        middle.append(min(max(dish_m[i] + away[i] * distance_m, half), size - half))
    (ax, ay), (bx, by) = (
        (middle[0] + s * along[0] * width_m / 2.0, middle[1] + s * along[1] * width_m / 2.0) for s in (-1, 1)
    )
    return (ax, ay), (bx, by)
