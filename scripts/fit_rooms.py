"""Rooms for the fit: what is really there, and what the photographer wrote down. All invented.

The truth has furniture, a skyline, dirt, frames and reflectances that the studio file does not know; the file has the
room's size, the window and the model's defaults, and now and then a wrong guess. Skies are the same for both: what is
judged is what readings teach about the room.
"""

from dataclasses import dataclass
from math import exp, radians, sin

import pandas as pd
from pvlib.solarposition import get_solarposition

from tests.radiance.rooms import LISBON, Case, Objects, objects, opposite, room, sky, spot, window
from tests.radiance.scene import hole, sun_vector, wall
from tests.synthetic.fitted_rooms import file_studio, local_moment

EDINBURGH = {
    "latitude_deg": 55.9533,
    "longitude_deg": -3.1883,
    "timezone": "Europe/London",
    "altitude_m": 50.0,
}
MELBOURNE = {
    "latitude_deg": -37.8136,
    "longitude_deg": 144.9631,
    "timezone": "Australia/Melbourne",
    "altitude_m": 30.0,
}

READ = (
    ("2027-03-09T10:30", 16),
    ("2027-03-09T13:10", 16),
    ("2027-03-16T15:20", 4),
    ("2027-04-02T11:40", 12),
    ("2027-04-02T16:30", 12),
)
"""Five readings: local time and CIE sky type."""
PREDICT = (
    ("2027-01-20T11:00", 16),
    ("2027-01-20T14:30", 10),
    ("2027-05-14T09:20", 13),
    ("2027-05-14T12:45", 16),
    ("2027-06-30T10:10", 12),
    ("2027-06-30T17:40", 12),
    ("2027-09-05T14:00", 3),
    ("2027-09-05T16:10", 10),
    ("2027-10-28T12:20", 12),
    ("2027-11-18T13:30", 16),
)
SUNNY = {10: 0.35, 12: 0.9, 13: 0.6}
"""How much of the clear sun each sky lets through."""


@dataclass(frozen=True)
class FitRoom:
    """One room: the truth as a case without sky and time, and the file as plain data."""

    name: str
    place: Case
    truth_room: Case
    truth_windows: list[Case]
    blocks: list[Case]
    where: Case
    file_room: Case
    file_windows: list[Case]


def block(
    name: str,
    x: float,
    front: float,
    width: float,
    depth: float,
    height: float,
    rho: float,
    bottom: float = 0.0,
) -> Case:
    return {
        "name": name,
        "from_left_m": x,
        "from_front_m": front,
        "width_m": width,
        "depth_m": depth,
        "height_m": height,
        "reflectance": rho,
        "bottom_m": bottom,
    }


def _file(width: float, depth: float, height: float) -> Case:
    return {"width_m": width, "depth_m": depth, "height_m": height}


def rooms() -> list[FitRoom]:
    """Eight rooms."""
    return [
        FitRoom(
            "galley under a terrace",
            LISBON,
            room(2.6, 3.6, 2.5, 0.22, 0.7, 0.5),
            [
                window(
                    "w",
                    20,
                    1.2,
                    1.2,
                    0.8,
                    dirt_factor=0.8,
                    frame_share=0.22,
                    opposite=[opposite(330, 80, 14, 9, reflectance=0.35)],
                )
            ],
            [
                block("cupboards", 0.0, 0.3, 0.6, 2.8, 0.9, 0.35),
                block("upper", 0.0, 0.8, 0.35, 2.2, 0.7, 0.6, 1.5),
            ],
            spot(1.5, 0.7),
            _file(2.6, 3.6, 2.5),
            [window("w", 20, 1.2, 1.2, 0.8)],
        ),
        FitRoom(
            "dark sitting room",
            EDINBURGH,
            room(3.6, 4.4, 2.7, 0.12, 0.6, 0.3),
            [
                window(
                    "w",
                    100,
                    1.3,
                    1.5,
                    0.7,
                    dirt_factor=0.7,
                    opposite=[opposite(20, 175, 15, 12, reflectance=0.2)],
                )
            ],
            [block("sofa", 0.3, 2.6, 2.0, 0.9, 0.8, 0.15), block("bookcase", 3.2, 0.8, 0.4, 2.4, 2.2, 0.25)],
            spot(1.8, 0.9),
            _file(3.6, 4.4, 2.7),
            [window("w", 100, 1.3, 1.5, 0.7, opposite=[opposite(20, 175, 15, 7, reflectance=0.25)])],
        ),
        FitRoom(
            "white studio",
            MELBOURNE,
            room(4.4, 4.0, 2.8, 0.5, 0.88, 0.84),
            [
                window(
                    "w",
                    180,
                    1.8,
                    1.5,
                    0.7,
                    dirt_factor=0.97,
                    frame_share=0.08,
                    opposite=[opposite(150, 215, 25, 8, reflectance=0.3)],
                )
            ],
            [block("island", 1.2, 2.0, 1.6, 0.8, 0.9, 0.8)],
            spot(2.0, 0.9),
            _file(4.4, 4.0, 2.8),
            [window("w", 180, 1.8, 1.5, 0.7)],
        ),
        FitRoom(
            "kitchen with a tree",
            EDINBURGH,
            room(3.2, 3.4, 2.5, 0.3, 0.75, 0.6),
            [
                window(
                    "w",
                    310,
                    1.1,
                    1.2,
                    0.9,
                    opposite=[opposite(270, 350, 8, 7, reflectance=0.12, see_through=0.35)],
                )
            ],
            [block("fridge", 2.6, 0.4, 0.6, 0.7, 1.8, 0.7), block("worktop", 0.0, 1.2, 0.6, 2.0, 0.9, 0.4)],
            spot(1.5, 0.8),
            _file(3.2, 3.4, 2.5),
            [window("w", 310, 1.1, 1.2, 0.9)],
        ),
        FitRoom(
            "loft with two windows",
            LISBON,
            room(4.6, 4.2, 2.4, 0.35, 0.7, 0.55),
            [
                window(
                    "a",
                    250,
                    1.0,
                    1.2,
                    0.8,
                    from_left_m=0.7,
                    dirt_factor=0.85,
                    opposite=[opposite(180, 320, 30, 10, reflectance=0.4)],
                ),
                window(
                    "b",
                    250,
                    1.0,
                    1.2,
                    0.8,
                    from_left_m=2.7,
                    dirt_factor=0.85,
                    opposite=[opposite(180, 320, 30, 10, reflectance=0.4)],
                ),
            ],
            [block("bed", 2.6, 2.2, 1.6, 1.9, 0.5, 0.6), block("wardrobe", 0.0, 2.6, 0.6, 1.5, 2.0, 0.4)],
            spot(1.4, 1.0),
            _file(4.6, 4.2, 2.4),
            [
                window("a", 250, 1.0, 1.2, 0.8, from_left_m=0.7),
                window("b", 250, 1.0, 1.2, 0.8, from_left_m=2.7),
            ],
        ),
        FitRoom(
            "bakery back room",
            LISBON,
            room(5.0, 3.4, 3.0, 0.4, 0.8, 0.7),
            [
                window(
                    "w",
                    345,
                    1.6,
                    1.2,
                    1.0,
                    dirt_factor=0.6,
                    frame_share=0.3,
                    opposite=[opposite(300, 30, 20, 5, reflectance=0.5)],
                )
            ],
            [block("racks", 0.0, 0.5, 0.5, 2.4, 2.0, 0.3), block("oven", 4.1, 1.4, 0.8, 1.2, 1.9, 0.5)],
            spot(2.4, 0.7, 0.9),
            _file(5.0, 3.4, 3.0),
            [window("w", 345, 1.6, 1.2, 1.0)],
        ),
        FitRoom(
            "street-side flat",
            MELBOURNE,
            room(3.4, 3.6, 2.6, 0.2, 0.75, 0.62),
            [
                window(
                    "w",
                    100,
                    1.2,
                    1.4,
                    0.75,
                    floor_above_ground_m=3.0,
                    opposite=[opposite(30, 170, 10, 12, reflectance=0.3)],
                )
            ],
            [block("sideboard", 0.0, 0.6, 0.45, 1.6, 0.85, 0.2), block("sofa", 1.2, 2.5, 1.9, 0.9, 0.8, 0.3)],
            spot(1.7, 0.7),
            _file(3.4, 3.6, 2.6),
            [window("w", 100, 1.2, 1.4, 0.75, floor_above_ground_m=3.0)],
        ),
        FitRoom(
            "conservatory corner",
            EDINBURGH,
            room(3.0, 3.0, 2.5, 0.45, 0.85, 0.8),
            [
                window(
                    "n",
                    0,
                    1.6,
                    1.4,
                    0.6,
                    dirt_factor=0.75,
                    opposite=[opposite(320, 50, 9, 4, reflectance=0.15)],
                ),
                window("e", 90, 1.0, 1.4, 0.6, dirt_factor=0.75),
            ],
            [block("bench", 0.0, 0.5, 0.5, 2.0, 0.5, 0.3)],
            spot(1.4, 0.9, 0.7),
            _file(3.0, 3.0, 2.5),
            [window("n", 0, 1.6, 1.4, 0.6), window("e", 90, 1.0, 1.4, 0.6)],
        ),
    ]


def moment_case(one: FitRoom, at: str, kind: int) -> Case:
    """The truth at one moment, as a case for the ray tracer; the sky's light follows the sun's elevation."""
    when = pd.Timestamp(at, tz=one.place["timezone"])
    place = one.place
    got = get_solarposition(
        pd.DatetimeIndex([when]),
        place["latitude_deg"],
        place["longitude_deg"],
        place["altitude_m"],
        method="nrel_numpy",
    )
    up = max(sin(radians(float(got["apparent_elevation"].iloc[0]))), 0.02)
    clear_sun = 130000 * exp(-0.22 / up)
    diffuse = 300 + 21000 * up if kind not in SUNNY else 4000 + 11000 * up + (1 - SUNNY[kind]) * 9000 * up
    direct = SUNNY.get(kind, 0.0) * clear_sun
    return {
        "id": f"{one.name} / {at}",
        "group": "fit",
        "place": one.place,
        "room": one.truth_room,
        "windows": one.truth_windows,
        "blocks": one.blocks,
        "boards": [],
        "hung": [],
        "camera": [90.0, 45.0],
        "spot": one.where,
        "when": when.isoformat(),
        "sky": sky(kind, round(diffuse, 1), round(direct, 1)),
    }


def sun_on_dish(made: Objects, elevation_deg: float, turn_deg: float) -> bool:
    """Whether the line from the dish to the sun leaves through a window (furniture and skyline not asked)."""
    if made.sky.direct_normal_lx <= 0:
        return False
    x, y, z = made.spot.from_left_m, made.studio.room.depth_m - made.spot.from_front_m, made.spot.height_m
    d = sun_vector(elevation_deg, turn_deg)
    size = (made.studio.room.width_m, made.studio.room.depth_m, made.studio.room.height_m)
    for one in made.studio.windows:
        origin, along, normal, _ = wall(made.studio.wall_of(one), size)
        out = sum(float(n) * c for n, c in zip(normal, d, strict=True))
        if out <= 1e-6:
            continue
        t = float((origin - [x, y, z]) @ normal) / out
        at = [x + t * d[0], y + t * d[1], z + t * d[2]]
        u = float((at - origin) @ along)
        u0, u1, z0, z1 = hole(made.studio, one)
        # a hand's breadth more: there the answer hangs on where exactly the dish stands
        if u0 - 0.1 < u < u1 + 0.1 and z0 - 0.1 < at[2] < z1 + 0.1:
            return True
    return False


__all__ = [
    "PREDICT",
    "READ",
    "FitRoom",
    "file_studio",
    "local_moment",
    "moment_case",
    "objects",
    "rooms",
    "sun_on_dish",
]
