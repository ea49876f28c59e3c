"""From a board placed for a shot (side seen from the camera, distance) to a board standing in the room."""

from collections.abc import Sequence
from math import cos, radians, sin

from plateside.model.errors import RefusedError
from plateside.model.light_answers import StandingBoard
from plateside.model.room import Board, Reflectance, Spot
from plateside.model.shoot import PlacedBoard
from plateside.model.studio import Studio

SIDE_TURN_DEG = {"far": 0.0, "right": 90.0, "near": 180.0, "left": 270.0}
"""From the direction the camera looks to the side, clockwise seen from above."""


def bands(reflectance: Reflectance) -> tuple[float, float, float]:
    """A reflectance as three bands: red, green, blue."""
    if isinstance(reflectance, int | float):
        return (float(reflectance),) * 3
    red, green, blue = reflectance
    return (float(red), float(green), float(blue))


def dish_xyz(studio: Studio, spot: Spot) -> tuple[float, float, float]:
    """The dish's place on the table top in the room's coordinates [m]."""
    return spot.from_left_m, studio.room.depth_m - spot.from_front_m, spot.height_m


def standing(
    studio: Studio, spot: Spot, placed: PlacedBoard, camera_faces_deg: float, board: Board | None = None
) -> StandingBoard:
    """The placed board, upright on the table, its middle at `distance_m` from the dish, its face to the dish.

    board  the board itself; None: looked up in the studio by name
    Raises InputError when the studio has no such board, or when it would stand outside the room.
    """
    found = board if board is not None else _named(studio, placed.board)
    turn = radians(camera_faces_deg + SIDE_TURN_DEG[placed.side])
    x, y, z = dish_xyz(studio, spot)
    bx = x + placed.distance_m * sin(turn)
    by = y + placed.distance_m * cos(turn)
    half_x, half_y = abs(cos(turn)) * found.width_m / 2, abs(sin(turn)) * found.width_m / 2
    room = studio.room
    if not (0 < bx < room.width_m and 0 < by < room.depth_m):
        raise RefusedError(
            "board outside the room",
            name=found.name,
            distance_m=placed.distance_m,
            side=placed.side,
            from_left_m=bx,
            from_front_m=room.depth_m - by,
        )
    bx = _kept_inside(bx, half_x, room.width_m)
    by = _kept_inside(by, half_y, room.depth_m)
    return StandingBoard(
        x_m=bx,
        y_m=by,
        z_m=z + found.height_m / 2,
        normal_bearing_deg=(studio.front_bearing_deg + camera_faces_deg + SIDE_TURN_DEG[placed.side] + 180)
        % 360,
        width_m=found.width_m,
        height_m=found.height_m,
        reflectance=bands(found.reflectance),
        name=found.name,
    )


def all_standing(
    studio: Studio, spot: Spot, placed: Sequence[PlacedBoard], camera_faces_deg: float
) -> tuple[StandingBoard, ...]:
    """Every placed board of a shot, standing."""
    return tuple(standing(studio, spot, one, camera_faces_deg) for one in placed)


def _named(studio: Studio, name: str) -> Board:
    for board in studio.boards:
        if board.name == name:
            return board
    raise RefusedError("no such board", name=name, known=[board.name for board in studio.boards])


def _kept_inside(middle: float, half: float, length: float) -> float:
    """A board that would poke through a wall is slid along until it just fits (when it can)."""
    if 2 * half >= length:
        return length / 2
    return min(max(middle, half), length - half)
