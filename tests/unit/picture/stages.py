"""Rooms and stages for the renderer's tests and its bench."""

from dataclasses import replace
from datetime import datetime
from zoneinfo import ZoneInfo

import numpy as np

from plateside.light.boards import standing
from plateside.light.moment import light_at
from plateside.light.sky import sky_for
from plateside.light.sun import sun_positions
from plateside.model.light_answers import Hung, StandingBoard
from plateside.model.room import Block, Board, Diffuser, Opposite, Place, Room, Spot, Window
from plateside.model.shoot import PlacedBoard
from plateside.model.studio import Studio
from plateside.picture.pose import CameraPose
from plateside.picture.stage import Stage, sun_vector

ZONE = ZoneInfo("Europe/Lisbon")
POSE = CameraPose(
    position_m=(1.6, 2.5, 1.28),
    target_m=(2.1, 2.5, 0.78),
    focal_length_mm=35.0,
    f_number=5.6,
    focus_distance_m=0.707,
)
WINDOW = Window(name="window", bearing_deg=20, width_m=1.2, height_m=1.2, sill_m=0.78)
SPOT = Spot(name="by the window", from_left_m=2.1, from_front_m=0.6, height_m=0.75)
FAR_SPOT = Spot(name="across the room", from_left_m=1.2, from_front_m=1.9, height_m=0.75)
STUDIO = Studio(
    place=Place(latitude_deg=38.7223, longitude_deg=-9.1393, timezone="Europe/Lisbon", country="PT"),
    room=Room(width_m=4.2, depth_m=3.1, height_m=2.5),
    windows=(WINDOW,),
    spots=(SPOT, FAR_SPOT),
    boards=(Board(name="white"), Board(name="black", reflectance=0.05)),
    diffusers=(Diffuser(name="sheer"),),
)


def at(hour: int, minute: int = 0, month: int = 7, day: int = 15) -> datetime:
    return datetime(2027, month, day, hour, minute, tzinfo=ZONE)


def bare_stage(
    studio: Studio,
    spot: Spot,
    when: datetime,
    sky: str,
    boards: tuple[StandingBoard, ...] = (),
    hung: tuple[Hung, ...] | None = None,
) -> Stage:
    """The empty table under this sky at this moment."""
    sun = sun_positions(studio.place, [when])
    now = sky_for(
        sky, sun.elevation_deg, true_elevation_deg=sun.true_elevation_deg, altitude_m=studio.place.altitude_m,
        day_of_year=float(when.timetuple().tm_yday),
    ).at(0)  # fmt: skip
    direction = sun_vector(float(sun.azimuth_deg[0]), float(sun.elevation_deg[0]), studio.front_bearing_deg)
    return Stage(
        studio=studio, spot=spot, sky=now, sun_direction=direction, pose=POSE, boards=boards, hung=hung, laid=None
    )  # fmt: skip


def board(name: str, side: str, distance_m: float, spot: Spot = SPOT) -> tuple[StandingBoard, ...]:
    return (standing(STUDIO, spot, PlacedBoard(board=name, side=side, distance_m=distance_m), 90.0),)


def with_window(**changes: object) -> Studio:
    return replace(STUDIO, windows=(replace(WINDOW, **changes),))  # type: ignore[arg-type]


TENEMENT = Opposite(
    name="tenement",
    bearing_from_deg=320,
    bearing_to_deg=80,
    distance_m=12,
    top_above_ground_m=9,
    reflectance=0.3,
)
SIDE = Window(name="side", bearing_deg=110, width_m=0.8, height_m=1.0, sill_m=0.9)
SHEER = (Hung("window", STUDIO.diffusers[0]),)
HALF_SHEER = (Hung("window", STUDIO.diffusers[0], 0.5),)
TERRACOTTA = replace(STUDIO, room=replace(STUDIO.room, floor_reflectance=(0.35, 0.20, 0.13)))
DARK = replace(
    STUDIO,
    room=replace(
        STUDIO.room,
        left_reflectance=0.15,
        right_reflectance=0.15,
        back_reflectance=0.15,
        ceiling_reflectance=0.4,
    ),
)
CUPBOARD = replace(
    STUDIO,
    furniture=(
        Block(
            name="cupboard",
            from_left_m=3.4,
            from_front_m=0.4,
            width_m=0.7,
            depth_m=1.2,
            height_m=2.0,
            reflectance=0.7,
        ),
    ),
)

SET_UPS: dict[str, tuple[Studio, Spot, datetime, str, tuple[StandingBoard, ...], tuple[Hung, ...] | None]] = {
    "overcast noon": (STUDIO, SPOT, at(13, 30), "overcast", (), None),
    "clear noon": (STUDIO, SPOT, at(13, 30), "clear", (), None),
    "hazy noon": (STUDIO, SPOT, at(13, 30), "hazy", (), None),
    "broken afternoon": (STUDIO, SPOT, at(16), "broken", (), None),
    "clear morning, sun on the wall": (STUDIO, SPOT, at(9), "clear", (), None),
    "clear early, sun in the room": (STUDIO, FAR_SPOT, at(7, 30), "clear", (), None),
    "white board right": (STUDIO, SPOT, at(13, 30), "overcast", board("white", "right", 0.4), None),
    "white board far": (STUDIO, SPOT, at(13, 30), "overcast", board("white", "far", 0.35), None),
    "black board right": (STUDIO, SPOT, at(13, 30), "overcast", board("black", "right", 0.4), None),
    "sheer, clear": (STUDIO, SPOT, at(13, 30), "clear", (), SHEER),
    "sheer, overcast": (STUDIO, SPOT, at(13, 30), "overcast", (), SHEER),
    "half a sheer": (STUDIO, SPOT, at(13, 30), "overcast", (), HALF_SHEER),
    "sheer with the sun on it": (STUDIO, SPOT, at(9), "clear", (), SHEER),
    "across the room": (STUDIO, FAR_SPOT, at(13, 30), "overcast", (), None),
    "across the room, clear": (STUDIO, FAR_SPOT, at(15), "clear", (), None),
    "terracotta floor": (TERRACOTTA, SPOT, at(13, 30), "overcast", (), None),
    "dark walls": (DARK, SPOT, at(13, 30), "overcast", (), None),
    "cupboard": (CUPBOARD, SPOT, at(13, 30), "overcast", (), None),
    "reveal": (with_window(reveal_depth_m=0.25), SPOT, at(13, 30), "overcast", (), None),
    "overhang": (with_window(overhang_depth_m=0.8), SPOT, at(13, 30), "overcast", (), None),
    "tenement": (with_window(opposite=(TENEMENT,)), SPOT, at(13, 30), "overcast", (), None),
    "tenement, reveal, clear": (
        with_window(opposite=(TENEMENT,), reveal_depth_m=0.25), SPOT, at(13, 30), "clear", (), None,
    ),
    "two windows": (replace(STUDIO, windows=(WINDOW, SIDE)), SPOT, at(13, 30), "overcast", (), None),
    "winter, hazy": (STUDIO, SPOT, at(12, 0, 1, 20), "hazy", (), None),
}  # fmt: skip


def engine_lux(name: str) -> float:
    """What the light engine says of a set-up [lx]."""
    studio, spot, when, sky, boards, hung = SET_UPS[name]
    return light_at(studio, spot, when, sky, boards=boards, hung=hung).horizontal_lx.value


def luminance_of(bands: np.ndarray) -> float:
    return float(bands @ np.array([0.2126, 0.7152, 0.0722]))
