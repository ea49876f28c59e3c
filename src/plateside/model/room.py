"""The room and what stands in it: place, windows and the view, table spots, boards, diffusers, furniture."""

from dataclasses import dataclass

from plateside.model.quantity import quantity as q

UNITS = ("metric", "imperial")

Reflectance = float | tuple[float, float, float]
"""One share for all light, or three for red, green and blue."""


@dataclass(frozen=True, kw_only=True)
class Place:
    """Where on Earth the studio is."""

    latitude_deg: float = q(
        "north of the equator is positive, south is negative",
        label="Latitude",
        unit="deg",
        low=-90,
        high=90,
        example="latitude_deg = 38.7223",
    )
    longitude_deg: float = q(
        "east of Greenwich is positive, west is negative",
        label="Longitude",
        unit="deg",
        low=-180,
        high=180,
        example="longitude_deg = -9.1393",
    )
    timezone: str = q(
        "time zone of the place, as continent and city",
        label="Time zone",
        example='timezone = "Europe/Lisbon"',
    )
    name: str = q("what you call the place", default="", example='name = "Lisbon"')
    altitude_m: float = q(
        "height above the sea", label="Height above the sea", unit="m", low=-430, high=6000, default=0.0
    )
    country: str = q(
        "country in two letters, as PT or US: decides which food safety rule is shown", default=""
    )
    units: str = q(
        "how lengths and temperatures are shown to you: metric (m, cm, °C) or imperial (feet, inches, °F); "
        "what you write in the files stays metric",
        label="Show lengths and temperatures in",
        words=UNITS,
        default="metric",
    )


@dataclass(frozen=True, kw_only=True)
class Room:
    """The room as a box; reflectances are shares from 0 to 1, or three of them for red, green, blue."""

    width_m: float = q(
        "along the front wall, from left wall to right wall",
        unit="m",
        low=1,
        high=30,
        example="width_m = 4.2",
    )
    depth_m: float = q(
        "from the front wall to the back wall", unit="m", low=1, high=30, example="depth_m = 3.1"
    )
    height_m: float = q("from floor to ceiling", unit="m", low=1.8, high=10, default=2.5)
    front_bearing_deg: float | None = q(
        "which way you look when you face the front wall: 0 north, 90 east, 180 south, 270 west, as on a map "
        "(true north); left out, the same as the first window",
        label="Front wall faces",
        unit="deg",
        low=0,
        high=360,
        default=None,
    )
    floor_reflectance: Reflectance = q(
        "share of light the floor reflects: white 0.8, pale 0.6, medium 0.35, dark 0.1",
        label="Floor, light it reflects",
        low=0,
        high=0.98,
        default=0.3,
    )
    ceiling_reflectance: Reflectance = q(
        "share of light the ceiling reflects",
        label="Ceiling, light it reflects",
        low=0,
        high=0.98,
        default=0.8,
    )
    front_reflectance: Reflectance = q(
        "share of light the front wall reflects: white 0.8, pale 0.6, medium 0.35, dark 0.1",
        label="Front wall, light it reflects",
        low=0,
        high=0.98,
        default=0.6,
    )
    right_reflectance: Reflectance = q(
        "the same for the right wall", label="Right wall, light it reflects", low=0, high=0.98, default=0.6
    )
    back_reflectance: Reflectance = q(
        "the same for the back wall", label="Back wall, light it reflects", low=0, high=0.98, default=0.6
    )
    left_reflectance: Reflectance = q(
        "the same for the left wall", label="Left wall, light it reflects", low=0, high=0.98, default=0.6
    )


@dataclass(frozen=True, kw_only=True)
class Opposite:
    """Something you see outside the window: a building, a hill, a tree."""

    name: str = q("what it is", default="")
    bearing_from_deg: float = q(
        "compass direction of its left end, seen from the window: 0 north, 90 east, 180 south, 270 west",
        label="Left end",
        unit="deg",
        low=0,
        high=360,
        example="bearing_from_deg = 340",
    )
    bearing_to_deg: float = q(
        "compass direction of its right end, clockwise from the left end",
        label="Right end",
        unit="deg",
        low=0,
        high=360,
        example="bearing_to_deg = 60",
    )
    distance_m: float = q(
        "how far it is from the glass", unit="m", low=0.5, high=100000, example="distance_m = 12"
    )
    top_above_ground_m: float = q(
        "its height above the ground",
        label="Height",
        unit="m",
        low=0,
        high=2000,
        example="top_above_ground_m = 9",
    )
    reflectance: Reflectance = q(
        "share of light it reflects (0 black, 1 white)",
        label="Light it reflects",
        low=0,
        high=0.98,
        default=0.25,
    )
    see_through: float = q(
        "share of the sky that shows through (a bare tree: 0.5)",
        label="Sky that shows through",
        low=0,
        high=1,
        default=0.0,
    )


@dataclass(frozen=True, kw_only=True)
class Window:
    """One window: a rectangle in one of the four walls."""

    name: str = q("what you call it", example='name = "kitchen window"')
    bearing_deg: float = q(
        "which way the glass faces: 0 north, 90 east, 180 south, 270 west, as on a map (true north)",
        label="Faces",
        unit="deg",
        low=0,
        high=360,
        example="bearing_deg = 20",
    )
    width_m: float = q("of the opening", unit="m", low=0.1, high=12, example="width_m = 1.2")
    height_m: float = q("of the opening", unit="m", low=0.1, high=6, example="height_m = 1.2")
    sill_m: float = q(
        "height of its lower edge above the floor",
        label="Sill height",
        unit="m",
        low=0,
        high=5,
        example="sill_m = 0.78",
    )
    from_left_m: float | None = q(
        "from the wall's left end (seen from inside) to the opening; left out, the window is in the middle",
        unit="m",
        low=0,
        high=30,
        default=None,
    )
    glass_transmittance: float = q(
        "share of light that clean glass lets straight through",
        label="Light the glass lets through",
        low=0.05,
        high=1,
        default=0.8,
    )
    dirt_factor: float = q(
        "share of the light left after dust, dirt and net curtains",
        label="Left after dust and nets",
        low=0.1,
        high=1,
        default=0.92,
    )
    frame_share: float = q(
        "share of the opening covered by frame and bars",
        label="Covered by frame and bars",
        low=0,
        high=0.9,
        default=0.15,
    )
    reveal_depth_m: float = q(
        "how far the glass is set back from the outer face of the wall",
        label="Glass set back",
        unit="m",
        low=0,
        high=1,
        default=0.0,
    )
    overhang_depth_m: float = q(
        "how far an eave or balcony reaches out above it (0: none)",
        label="Eave or balcony above, depth",
        unit="m",
        low=0,
        high=10,
        default=0.0,
    )
    overhang_above_m: float = q(
        "how far the overhang is above the opening's top",
        label="Eave or balcony, height above",
        unit="m",
        low=0,
        high=10,
        default=0.3,
    )
    floor_above_ground_m: float = q(
        "height of the room's floor above the ground outside",
        label="Floor above the ground outside",
        unit="m",
        low=-5,
        high=500,
        default=0.5,
    )
    ground_reflectance: Reflectance = q(
        "share of light the ground outside reflects",
        label="Ground outside, light it reflects",
        low=0,
        high=0.98,
        default=0.2,
    )
    opposite: tuple[Opposite, ...] = q(
        "what you see from it: buildings, hills, trees", label="Outside the window", factory=tuple
    )


@dataclass(frozen=True, kw_only=True)
class Spot:
    """A place where the dish can stand: the middle of a table top."""

    name: str = q("what you call it", example='name = "by the window"')
    from_left_m: float = q(
        "from the left wall to the dish",
        label="From the left wall",
        unit="m",
        low=0,
        high=30,
        example="from_left_m = 2.1",
    )
    from_front_m: float = q(
        "from the front (window) wall to the dish",
        label="From the window wall",
        unit="m",
        low=0,
        high=30,
        example="from_front_m = 0.6",
    )
    height_m: float = q("of the table top", label="Table height", unit="m", low=0, high=2, default=0.75)
    table_width_m: float = q("of the table, along the front wall", unit="m", low=0.2, high=5, default=1.0)
    table_depth_m: float = q("of the table, away from the front wall", unit="m", low=0.2, high=5, default=0.8)
    table_reflectance: Reflectance = q(
        "share of light the table top reflects",
        label="Table top, light it reflects",
        low=0,
        high=0.98,
        default=0.35,
    )


@dataclass(frozen=True, kw_only=True)
class Board:
    """A white or black board you can put beside the dish."""

    name: str = q("what you call it", example='name = "white"')
    width_m: float = q("its width", unit="m", low=0.05, high=3, default=0.7)
    height_m: float = q("its height", unit="m", low=0.05, high=3, default=0.5)
    reflectance: Reflectance = q(
        "share of light it reflects (white foam board 0.88, black 0.05)",
        label="Light it reflects",
        low=0,
        high=0.98,
        default=0.88,
    )


@dataclass(frozen=True, kw_only=True)
class Diffuser:
    """A sheer or diffusion sheet you can hang over a window."""

    name: str = q("what you call it", example='name = "sheer"')
    diffuse_transmittance: float = q(
        "share of light that comes through softened",
        label="Light it lets through, softened",
        low=0,
        high=1,
        default=0.55,
    )
    clear_transmittance: float = q(
        "share of light that comes straight through",
        label="Light it lets through, unsoftened",
        low=0,
        high=1,
        default=0.1,
    )
    reflectance: float = q(
        "share of light it throws back towards the window",
        label="Light it reflects",
        low=0,
        high=1,
        default=0.3,
    )
    window: str = q("the window it hangs on; empty when it is put away", label="Window", default="")
    covers_share: float = q(
        "share of the window it covers, from the top down",
        label="Share of the window covered",
        low=0,
        high=1,
        default=1.0,
    )


@dataclass(frozen=True, kw_only=True)
class Block:
    """Furniture as a box on the floor: a cupboard, an island, a fridge."""

    name: str = q("what it is", example='name = "fridge"')
    from_left_m: float = q(
        "from the left wall to its nearer side",
        label="From the left wall",
        unit="m",
        low=0,
        high=30,
        example="from_left_m = 3.4",
    )
    from_front_m: float = q(
        "from the front (window) wall to its nearer side",
        label="From the window wall",
        unit="m",
        low=0,
        high=30,
        example="from_front_m = 2.2",
    )
    width_m: float = q("along the front wall", unit="m", low=0.05, high=30, example="width_m = 0.6")
    depth_m: float = q("away from the front wall", unit="m", low=0.05, high=30, example="depth_m = 0.6")
    height_m: float = q("its height", unit="m", low=0.05, high=10, example="height_m = 1.8")
    bottom_m: float = q(
        "height of its underside above the floor",
        label="Underside above the floor",
        unit="m",
        low=0,
        high=5,
        default=0.0,
    )
    reflectance: Reflectance = q(
        "share of light it reflects (0 black, 1 white)",
        label="Light it reflects",
        low=0,
        high=0.98,
        default=0.5,
    )
