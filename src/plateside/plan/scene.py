"""The studio as shapes in the room's coordinates, for shadows, mirror images and drawings.

`chosen`             gear and spot named by a shot, or the first of the studio
`window_rectangle`, `board_rectangle`, `room_box`, `table_edges`
"""

from collections.abc import Sequence
from typing import TypeVar

import numpy as np

from plateside.camera.gloss import Rectangle, RoomSize
from plateside.camera.place import direction
from plateside.camera.setup import Point
from plateside.model.errors import RefusedError
from plateside.model.gear import Camera, Lens, Support
from plateside.model.room import Board, Spot, Window
from plateside.model.shoot import PlacedBoard, Shot
from plateside.model.studio import Studio
from plateside.plan.beside import SIDES, board_ends_m

Named = TypeVar("Named", Camera, Lens, Support, Spot, Board)


def named(things: Sequence[Named], name: str, what: str, shot: Shot) -> Named:
    """The thing of a name, or the first when the name is empty; RefusedError when there is none."""
    if not things:
        raise RefusedError("none in the studio", shot=shot.name, what=what)
    if not name:
        return things[0]
    for thing in things:
        if thing.name == name:
            return thing
    known = [thing.name for thing in things]
    raise RefusedError("not in the studio", shot=shot.name, what=what, got=name, known=known)


def spot_of(studio: Studio, shot: Shot) -> Spot:
    """The table spot of a shot."""
    return named(studio.spots, shot.spot, "table spot", shot)


def room_box(studio: Studio) -> RoomSize:
    """The room's size."""
    return RoomSize((studio.room.width_m, studio.room.depth_m, studio.room.height_m))


def spot_point(studio: Studio, spot: Spot) -> Point:
    """Middle of the dish's place on the table top."""
    return (spot.from_left_m, studio.room.depth_m - spot.from_front_m, spot.height_m)


def window_rectangle(studio: Studio, window: Window) -> Rectangle:
    """A window's opening on the inside of its wall."""
    room, wall = studio.room, studio.wall_of(window)
    left = studio.window_left_m(window)
    z = window.sill_m
    corner: Point
    if wall == "front":
        corner, along = (left, room.depth_m, z), (1.0, 0.0)
    elif wall == "right":
        corner, along = (room.width_m, room.depth_m - left, z), (0.0, -1.0)
    elif wall == "back":
        corner, along = (room.width_m - left, 0.0, z), (-1.0, 0.0)
    else:
        corner, along = (0.0, left, z), (0.0, 1.0)
    return Rectangle(
        window.name,
        corner,
        (along[0] * window.width_m, along[1] * window.width_m, 0.0),
        (0.0, 0.0, window.height_m),
    )


def middle(rectangle: Rectangle) -> Point:
    """Middle of a rectangle."""
    p = np.array(rectangle.corner) + 0.5 * (np.array(rectangle.edge_u) + np.array(rectangle.edge_v))
    return (float(p[0]), float(p[1]), float(p[2]))


def board_rectangle(
    studio: Studio, shot: Shot, placed: PlacedBoard, dish: Point, distance_m: float | None = None
) -> Rectangle:
    """A board that stands upright on the table, its face to the dish, kept inside the room.

    `distance_m` overrides the shot's."""
    board = named(studio.boards, placed.board, "board", shot)
    distance = placed.distance_m if distance_m is None else distance_m
    faces = shot.camera_faces_deg + SIDES[placed.side]
    (ax, ay), (bx, by) = board_ends_m(studio.room, (dish[0], dish[1]), faces, distance, board.width_m)
    return Rectangle(
        f"{board.name} board",
        (ax, ay, dish[2]),
        (bx - ax, by - ay, 0.0),
        (0.0, 0.0, board.height_m),
    )


def table_edge_m(studio: Studio, spot: Spot, faces_deg: float) -> float:
    """From the dish to the table's edge in a direction [m]; the table stands square to the room about its spot."""
    d = np.abs(direction(faces_deg))
    across = spot.table_width_m / 2.0 / d[0] if d[0] > 1e-9 else np.inf
    along = spot.table_depth_m / 2.0 / d[1] if d[1] > 1e-9 else np.inf
    return float(min(across, along))
