"""The rooms, skies, windows, boards, skylines, sheets and spots that the light engine is held to. All invented.

Ten rooms are for building the engine and ten are held out: nobody may mend the engine by looking at those. Each room
has two cases. `cases()` gives plain numbers and words, so that they are kept beside the answers; `objects(case)` makes
the nouns of them again.

Over 400 lines: a table of rooms: cutting it would part rooms from the list that says which are held out.
"""

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import datetime
from typing import Any

from plateside.light.sky import Sky
from plateside.model.light_answers import Hung, StandingBoard
from plateside.model.room import Block, Diffuser, Opposite, Place, Room, Spot, Window
from plateside.model.studio import Studio

Case = dict[str, Any]

LISBON = {"latitude_deg": 38.7223, "longitude_deg": -9.1393, "timezone": "Europe/Lisbon", "altitude_m": 50.0}
NOON = "2027-01-15T12:30+00:00"  # sun 30 degrees up, bearing 176
WINTER_MORNING = "2027-01-15T10:00+00:00"  # 19, 139
SPRING_MORNING = "2027-03-20T09:30+00:00"  # 31, 119
SPRING_AFTERNOON = "2027-03-20T15:30+00:00"  # 36, 235
SUMMER_EVENING = "2027-06-21T18:30+01:00"  # 27, 279
SUMMER_MORNING = "2027-06-21T09:00+01:00"  # 30, 83
SUMMER_NOON = "2027-06-21T13:30+01:00"  # 75, 173
AUTUMN_AFTERNOON = "2027-10-10T16:30+01:00"  # 27, 234
AUTUMN_MORNING = "2027-10-10T11:00+01:00"  # 34, 136
WINTER_AFTERNOON = "2027-12-01T15:00+00:00"  # 20, 218

# ISO 15469 / CIE S 011 parameters of the types used; 16 is the traditional overcast sky.
CIE = {
    1: (4.0, -0.7, 0.0, -1.0, 0.0),
    3: (1.1, -0.8, 0.0, -1.0, 0.0),
    4: (1.1, -0.8, 2.0, -1.5, 0.15),
    5: (0.0, -1.0, 0.0, -1.0, 0.0),
    8: (0.0, -1.0, 10.0, -3.0, 0.45),
    10: (-1.0, -0.55, 5.0, -2.5, 0.3),
    11: (-1.0, -0.55, 10.0, -3.0, 0.45),
    12: (-1.0, -0.32, 10.0, -3.0, 0.45),
    13: (-1.0, -0.32, 16.0, -3.0, 0.3),
    15: (-1.0, -0.15, 24.0, -2.8, 0.15),
}
SHEER = {"name": "sheer", "diffuse_transmittance": 0.55, "clear_transmittance": 0.1, "reflectance": 0.3}
THICK = {"name": "thick", "diffuse_transmittance": 0.35, "clear_transmittance": 0.0, "reflectance": 0.55}


def sky(kind: int, diffuse_lx: float, direct_lx: float = 0.0) -> Case:
    """A CIE sky (16: the traditional overcast sky) with its light."""
    a, b, c, d, e = CIE.get(kind, (0.0, 0.0, 0.0, 0.0, 0.0))
    return {
        "name": f"cie {kind}",
        "kind": "overcast" if kind == 16 else "cie",
        "a": a,
        "b": b,
        "c": c,
        "d": d,
        "e": e,
        "diffuse_horizontal_lx": diffuse_lx,
        "direct_normal_lx": direct_lx,
    }


# Perez's all-weather sky for sky clearness 4.5-6.2 with the sun about 55 degrees from the zenith (R. Perez, R. Seals,
# J. Michalsky, Solar Energy 50, 1993: five parameters of that order; here it is only a shape).
PEREZ = {"name": "perez", "kind": "perez", "a": -0.95, "b": -0.42, "c": 7.5, "d": -2.9, "e": 0.36}


def window(name: str, bearing: float, width: float, height: float, sill: float, **more: Any) -> Case:
    return {
        "name": name,
        "bearing_deg": bearing,
        "width_m": width,
        "height_m": height,
        "sill_m": sill,
        **more,
    }


def opposite(a: float, b: float, distance: float, top: float, **more: Any) -> Case:
    return {
        "bearing_from_deg": a,
        "bearing_to_deg": b,
        "distance_m": distance,
        "top_above_ground_m": top,
        **more,
    }


def spot(x: float, front: float, height: float = 0.75, **more: Any) -> Case:
    return {"name": "dish", "from_left_m": x, "from_front_m": front, "height_m": height, **more}


def board(
    x: float,
    y: float,
    z: float,
    bearing: float,
    rho: float,
    width: float = 0.7,
    height: float = 0.5,
    tilt: float = 0.0,
) -> Case:
    return {
        "x_m": x,
        "y_m": y,
        "z_m": z,
        "normal_bearing_deg": bearing % 360,
        "width_m": width,
        "height_m": height,
        "reflectance": [rho] * 3,
        "tilt_deg": tilt,
    }


def room(
    width: float, depth: float, height: float, floor: float, ceiling: float, walls: float, **more: Any
) -> Case:
    return {
        "width_m": width,
        "depth_m": depth,
        "height_m": height,
        "floor_reflectance": floor,
        "ceiling_reflectance": ceiling,
        "front_reflectance": walls,
        "right_reflectance": walls,
        "back_reflectance": walls,
        "left_reflectance": walls,
        **more,
    }


@dataclass(frozen=True)
class _Room:
    name: str
    group: str
    room: Case
    windows: list[Case]
    variants: list[Case]
    blocks: tuple[Case, ...] = ()


def _building() -> Iterator[_Room]:
    north = [window("main", 20, 1.2, 1.2, 0.78)]
    kitchen = room(4.2, 3.1, 2.5, 0.25, 0.8, 0.75)
    white = board(2.5, 2.5, 1.0, 20 + 270, 0.88)
    yield _Room(
        "white kitchen, north window",
        "building",
        kitchen,
        north,
        [
            {"when": SUMMER_NOON, "sky": sky(16, 18000), "spot": spot(2.1, 0.6), "boards": [white]},
            {"when": SUMMER_NOON, "sky": sky(12, 15000, 90000), "spot": spot(1.4, 1.2)},
        ],
    )
    south_side = [window("back", 180, 1.5, 1.1, 0.75, ground_reflectance=0.25)]
    yield _Room(
        "pale plaster, sheer",
        "building",
        room(3.4, 3.6, 2.7, 0.2, 0.75, 0.6),
        south_side,
        [
            {
                "when": SUMMER_MORNING,
                "sky": sky(3, 20000),
                "spot": spot(1.7, 0.7),
                "hung": [_hung("back", SHEER)],
            },
            {
                "when": SUMMER_MORNING,
                "sky": sky(10, 22000, 30000),
                "spot": spot(1.2, 1.0),
                "hung": [_hung("back", SHEER, 0.5)],
            },
        ],
    )
    tenement = [opposite(10, 130, 12, 11, reflectance=0.25)]
    dark = [window("front", 70, 1.0, 1.4, 0.7, opposite=tenement, floor_above_ground_m=0.3)]
    yield _Room(
        "dark flat, tenement opposite",
        "building",
        room(3.0, 3.2, 2.6, 0.2, 0.6, 0.4),
        dark,
        [
            {
                "when": WINTER_AFTERNOON,
                "sky": sky(16, 6000),
                "spot": spot(1.5, 0.6),
                "boards": [board(1.1, 2.6, 1.0, 70 + 90, 0.05)],
            },
            {"when": SUMMER_MORNING, "sky": sky(11, 14000, 60000), "spot": spot(1.0, 0.8)},
        ],
    )
    sunny = [window("south", 180, 1.6, 1.4, 0.8, frame_share=0.1)]
    yield _Room(
        "sun patch with white board in it",
        "building",
        room(4.0, 4.0, 2.5, 0.3, 0.8, 0.65),
        sunny,
        [
            {
                "when": NOON,
                "sky": sky(12, 12000, 75000),
                "spot": spot(2.0, 0.8),
                "boards": [board(2.4, 3.2, 1.0, 180 + 270, 0.88)],
            },
            {"when": NOON, "sky": sky(12, 12000, 75000), "spot": spot(2.9, 1.6)},
        ],
    )
    yield _Room(
        "sun patch with black board in it",
        "building",
        room(4.0, 4.0, 2.5, 0.3, 0.8, 0.65),
        sunny,
        [
            {
                "when": WINTER_MORNING,
                "sky": sky(13, 9000, 50000),
                "spot": spot(2.3, 0.9),
                "boards": [board(2.0, 3.0, 1.0, 180 + 90, 0.05, 0.8, 0.6)],
            },
            {
                "when": AUTUMN_AFTERNOON,
                "sky": sky(12, 11000, 70000),
                "spot": spot(2.0, 1.0),
                "boards": [board(2.0, 3.5, 1.0, 180 + 180, 0.05)],
            },
        ],
    )
    corner = [window("front", 330, 1.4, 1.2, 0.9), window("side", 60, 0.9, 1.2, 0.9, from_left_m=0.8)]
    yield _Room(
        "corner room, two walls with windows",
        "building",
        room(3.8, 3.4, 2.5, 0.35, 0.85, 0.7),
        corner,
        [
            {"when": SUMMER_MORNING, "sky": sky(12, 16000, 70000), "spot": spot(2.2, 1.0)},
            {"when": WINTER_MORNING, "sky": sky(4, 8000), "spot": spot(3.0, 1.2)},
        ],
    )
    pair = [
        window("left", 250, 0.9, 1.5, 0.6, from_left_m=0.6),
        window("right", 250, 0.9, 1.5, 0.6, from_left_m=2.4),
    ]
    yield _Room(
        "two windows in one wall",
        "building",
        room(4.4, 3.8, 2.9, 0.15, 0.8, 0.55),
        pair,
        [
            {"when": SPRING_AFTERNOON, "sky": sky(13, 17000, 55000), "spot": spot(1.6, 1.1)},
            {
                "when": SPRING_MORNING,
                "sky": sky(15, 18000, 40000),
                "spot": spot(2.9, 0.7),
                "boards": [board(2.9, 2.65, 1.0, 250, 0.88)],
            },
        ],
    )
    deep = [
        window("w", 300, 1.3, 1.3, 0.85, reveal_depth_m=0.25, overhang_depth_m=0.8, overhang_above_m=0.25)
    ]
    yield _Room(
        "thick wall under a balcony",
        "building",
        room(3.6, 3.6, 2.4, 0.3, 0.7, 0.6),
        deep,
        [
            {"when": SUMMER_NOON, "sky": sky(1, 25000), "spot": spot(1.8, 0.7)},
            {"when": SUMMER_EVENING, "sky": sky(12, 13000, 60000), "spot": spot(1.6, 0.9)},
        ],
    )
    yield _Room(
        "sun on a sheer",
        "building",
        room(4.0, 4.0, 2.5, 0.3, 0.8, 0.65),
        sunny,
        [
            {
                "when": NOON,
                "sky": sky(12, 12000, 75000),
                "spot": spot(2.0, 0.9),
                "hung": [_hung("south", SHEER)],
            },
            {
                "when": NOON,
                "sky": sky(12, 12000, 75000),
                "spot": spot(2.0, 0.7),
                "hung": [_hung("south", THICK, 0.6)],
            },
        ],
    )
    tree = [
        opposite(150, 200, 6, 7, see_through=0.5, reflectance=0.15),
        opposite(120, 250, 40, 12, reflectance=0.3),
    ]
    garden = [
        window("g", 180, 1.5, 1.3, 0.8, opposite=tree, floor_above_ground_m=0.5, ground_reflectance=0.12)
    ]
    yield _Room(
        "bare tree before houses",
        "building",
        room(3.9, 4.3, 2.6, 0.25, 0.8, 0.7),
        garden,
        [
            {"when": NOON, "sky": sky(10, 14000, 40000), "spot": spot(1.9, 0.8)},
            {"when": NOON, "sky": sky(16, 11000), "spot": spot(2.4, 1.5)},
        ],
    )


def _held_out() -> Iterator[_Room]:
    west = [window("west", 265, 1.1, 1.6, 0.5, from_left_m=0.7, ground_reflectance=0.3)]
    yield _Room(
        "west room, low sun",
        "held-out",
        room(3.2, 4.6, 2.8, 0.4, 0.85, 0.5),
        west,
        [
            {
                "when": SUMMER_EVENING,
                "sky": sky(11, 15000, 55000),
                "spot": spot(1.3, 0.9, 0.7),
                "boards": [board(1.3, 3.3, 0.95, 265, 0.88)],
            },
            {"when": SUMMER_EVENING, "sky": sky(11, 15000, 55000), "spot": spot(2.3, 1.4, 0.7)},
        ],
    )
    sides = [window("left", 0, 0.8, 1.1, 1.0), window("right", 180, 1.2, 1.1, 1.0, from_left_m=1.5)]
    yield _Room(
        "windows in opposite walls",
        "held-out",
        room(4.8, 3.6, 2.5, 0.3, 0.8, 0.7, front_bearing_deg=90.0),
        sides,
        [
            {"when": SPRING_AFTERNOON, "sky": sky(12, 15000, 65000), "spot": spot(3.6, 1.6)},
            {
                "when": SUMMER_NOON,
                "sky": sky(8, 21000),
                "spot": spot(1.4, 1.2),
                "boards": [board(1.8, 2.4, 1.0, 90 + 270, 0.05)],
            },
        ],
    )
    bay = [
        window("main", 210, 1.8, 1.5, 0.6),
        window("east", 120, 0.7, 1.5, 0.6, from_left_m=3.0),
        window("west", 300, 0.7, 1.5, 0.6, from_left_m=0.3),
    ]
    yield _Room(
        "three windows",
        "held-out",
        room(3.6, 4.2, 2.7, 0.2, 0.75, 0.6),
        bay,
        [
            {"when": AUTUMN_MORNING, "sky": sky(12, 13000, 70000), "spot": spot(1.8, 0.9)},
            {
                "when": WINTER_AFTERNOON,
                "sky": sky(4, 7000),
                "spot": spot(2.4, 1.8),
                "boards": [board(2.4, 2.05, 0.95, 210, 0.88, 0.5, 0.4)],
            },
        ],
    )
    street = [opposite(300, 340, 9, 14, reflectance=0.4), opposite(350, 60, 18, 9, reflectance=0.2)]
    upper = [window("n", 345, 1.3, 1.4, 0.8, opposite=street, floor_above_ground_m=3.2, frame_share=0.25)]
    yield _Room(
        "first floor, two houses",
        "held-out",
        room(3.4, 2.8, 2.4, 0.45, 0.85, 0.75),
        upper,
        [
            {"when": SUMMER_NOON, "sky": sky(16, 22000), "spot": spot(1.7, 0.55)},
            {
                "when": SUMMER_NOON,
                "sky": sky(12, 14000, 92000),
                "spot": spot(2.4, 1.1),
                "boards": [board(2.8, 1.7, 1.0, 345 + 270, 0.88)],
            },
        ],
    )
    cupboards = (
        {
            "name": "cupboard",
            "from_left_m": 3.2,
            "from_front_m": 0.4,
            "width_m": 0.6,
            "depth_m": 1.8,
            "height_m": 2.1,
            "reflectance": 0.5,
        },
        {
            "name": "island",
            "from_left_m": 0.9,
            "from_front_m": 1.9,
            "width_m": 1.4,
            "depth_m": 0.7,
            "height_m": 0.9,
            "reflectance": 0.2,
        },
        {
            "name": "shelf",
            "from_left_m": 0.0,
            "from_front_m": 0.6,
            "width_m": 0.3,
            "depth_m": 1.5,
            "height_m": 0.4,
            "bottom_m": 1.5,
            "reflectance": 0.6,
        },
    )
    yield _Room(
        "furnished",
        "held-out",
        room(3.8, 4.0, 2.5, 0.3, 0.8, 0.65),
        [window("s", 160, 1.4, 1.2, 0.85)],
        [
            {"when": AUTUMN_MORNING, "sky": sky(12, 12000, 68000), "spot": spot(1.9, 0.8)},
            {
                "when": AUTUMN_MORNING,
                "sky": sky(16, 13000),
                "spot": spot(1.6, 2.25, 0.92, table_width_m=0.6, table_depth_m=0.5),
            },
        ],
        cupboards,
    )
    yield _Room(
        "bright studio",
        "held-out",
        room(5.0, 5.5, 3.0, 0.7, 0.9, 0.85),
        [window("n", 0, 2.4, 2.0, 0.5)],
        [
            {
                "when": SUMMER_NOON,
                "sky": sky(5, 20000),
                "spot": spot(2.5, 1.2),
                "boards": [board(3.1, 4.3, 1.05, 270, 0.9, 1.0, 0.7)],
            },
            {
                "when": SPRING_MORNING,
                "sky": {**PEREZ, "diffuse_horizontal_lx": 14000, "direct_normal_lx": 60000},
                "spot": spot(1.4, 3.0),
            },
        ],
    )
    black = [window("w", 225, 1.2, 1.0, 1.0, glass_transmittance=0.65)]
    yield _Room(
        "black-walled room",
        "held-out",
        room(3.3, 3.7, 2.5, 0.1, 0.3, 0.1),
        black,
        [
            {
                "when": SPRING_AFTERNOON,
                "sky": sky(12, 15000, 70000),
                "spot": spot(1.6, 0.9),
                "boards": [board(1.95, 2.8, 1.0, 225 + 270, 0.88)],
            },
            {"when": AUTUMN_AFTERNOON, "sky": sky(10, 16000, 35000), "spot": spot(1.2, 0.6)},
        ],
    )
    yield _Room(
        "half a sheer, helper window",
        "held-out",
        room(4.0, 3.5, 2.6, 0.3, 0.8, 0.6),
        [
            window("main", 140, 1.4, 1.5, 0.6),
            window("help", 230, 0.8, 1.0, 1.0, from_left_m=1.2),
        ],
        [
            {
                "when": WINTER_MORNING,
                "sky": sky(13, 9000, 45000),
                "spot": spot(2.0, 0.8),
                "hung": [_hung("main", SHEER, 0.6)],
            },
            {
                "when": SPRING_AFTERNOON,
                "sky": sky(12, 14000, 66000),
                "spot": spot(2.6, 1.2),
                "hung": [_hung("main", THICK)],
            },
        ],
    )
    lean = [
        window("s", 200, 1.5, 1.3, 0.7, overhang_depth_m=1.2, overhang_above_m=0.1, ground_reflectance=0.35)
    ]
    yield _Room(
        "deep eave, tilted boards",
        "held-out",
        room(3.7, 3.9, 2.5, 0.35, 0.75, 0.6),
        lean,
        [
            {
                "when": NOON,
                "sky": sky(12, 12000, 74000),
                "spot": spot(1.9, 0.9),
                "boards": [board(2.35, 3.0, 1.0, 200 + 270, 0.88, tilt=20.0)],
            },
            {
                "when": SUMMER_NOON,
                "sky": sky(12, 15000, 95000),
                "spot": spot(1.7, 1.1),
                "boards": [board(1.7, 2.3, 1.0, 200, 0.88, tilt=15.0)],
            },
        ],
    )
    small = [window("attic", 45, 0.7, 0.7, 1.1, reveal_depth_m=0.4, from_left_m=0.4)]
    yield _Room(
        "small deep window",
        "held-out",
        room(2.6, 3.0, 2.3, 0.3, 0.8, 0.8),
        small,
        [
            {"when": SUMMER_MORNING, "sky": sky(12, 13000, 65000), "spot": spot(1.0, 0.8)},
            {"when": WINTER_AFTERNOON, "sky": sky(16, 9000), "spot": spot(0.9, 0.5, 0.9)},
        ],
    )


def _hung(name: str, cloth: Case, share: float = 1.0) -> Case:
    return {"window": name, "diffuser": cloth, "covers_share": share}


def cases() -> list[Case]:
    """Every case as plain data."""
    made = []
    for one in [*_building(), *_held_out()]:
        for number, variant in enumerate(one.variants):
            made.append(
                {
                    "id": f"{one.name} / {'ab'[number]}",
                    "group": one.group,
                    "place": LISBON,
                    "room": one.room,
                    "windows": one.windows,
                    "blocks": list(one.blocks),
                    "boards": [],
                    "hung": [],
                    "camera": [90.0, 45.0],
                }
                | variant
            )
    return made


@dataclass(frozen=True)
class Objects:
    """A case as the engine takes it."""

    studio: Studio
    spot: Spot
    when: datetime
    sky: Sky
    boards: tuple[StandingBoard, ...]
    hung: tuple[Hung, ...]
    camera_faces_deg: float
    camera_elevation_deg: float


def objects(case: Case) -> Objects:
    """The nouns of a case."""
    where = Spot(**case["spot"])
    studio = Studio(
        place=Place(**case["place"]),
        room=Room(**case["room"]),
        windows=tuple(
            Window(**{**one, "opposite": tuple(Opposite(**thing) for thing in one.get("opposite", ()))})
            for one in case["windows"]
        ),
        spots=(where,),
        furniture=tuple(Block(**one) for one in case["blocks"]),
    )
    return Objects(
        studio=studio,
        spot=where,
        when=datetime.fromisoformat(case["when"]),
        sky=Sky(**case["sky"]),
        boards=tuple(
            StandingBoard(**{**one, "reflectance": tuple(one["reflectance"])}) for one in case["boards"]
        ),
        hung=tuple(
            Hung(one["window"], Diffuser(**one["diffuser"]), one["covers_share"]) for one in case["hung"]
        ),
        camera_faces_deg=case["camera"][0],
        camera_elevation_deg=case["camera"][1],
    )


__all__ = ["Case", "Objects", "cases", "objects"]
