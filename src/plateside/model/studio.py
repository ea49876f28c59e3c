"""What stands still: place, room, windows, table spots, boards, diffusers, gear, surfaces and props.

The room is a box. Stand inside and look straight out through its *front* wall, the one with the main
window: *left*, *right* and *back* are meant from there. In the room's own coordinates x runs to the right
from the left wall, y runs forward to the front wall, z runs up from the floor, in metres, so that the
floor's back left corner is (0, 0, 0) and a spot's distance from the front wall is `depth_m - y`.
Bearings are degrees clockwise from true north.

Over 400 lines: one file of settings is one table of fields, with nothing but their words and ranges.
"""

from dataclasses import dataclass

from plateside.model.quantity import quantity as q

UNITS = ("metric", "imperial")
WALLS = ("front", "right", "back", "left")

Reflectance = float | tuple[float, float, float]
"""One share for all light, or three for red, green and blue."""


@dataclass(frozen=True, kw_only=True)
class Place:
    """Where on Earth the studio is."""

    latitude_deg: float = q("north positive", unit="deg", low=-90, high=90, example="latitude_deg = 38.7223")
    longitude_deg: float = q(
        "east positive", unit="deg", low=-180, high=180, example="longitude_deg = -9.1393"
    )
    timezone: str = q("time zone of the place, as continent and city", example='timezone = "Europe/Lisbon"')
    name: str = q("what you call the place", default="", example='name = "Lisbon"')
    altitude_m: float = q("height above the sea", unit="m", low=-430, high=6000, default=0.0)
    country: str = q(
        "country in two letters, as PT or US: decides whose rule for food left out is shown", default=""
    )
    units: str = q(
        "how lengths and temperatures are shown to you: metric (m, cm, °C) or imperial (feet, inches, °F); "
        "what you write in the files stays metric",
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
        "where you look when you stand straight before the front wall, by the compass: 0 north, 90 east, 180 south, "
        "270 west (true north); left out, it is the first window's",
        unit="deg",
        low=0,
        high=360,
        default=None,
    )
    floor_reflectance: Reflectance = q("share of light the floor gives back", low=0, high=0.98, default=0.3)
    ceiling_reflectance: Reflectance = q(
        "share of light the ceiling gives back", low=0, high=0.98, default=0.8
    )
    front_reflectance: Reflectance = q(
        "share of the light it gives back: white 0.8, pale 0.6, medium 0.35, dark 0.1",
        low=0,
        high=0.98,
        default=0.6,
    )
    right_reflectance: Reflectance = q("the same of the right wall", low=0, high=0.98, default=0.6)
    back_reflectance: Reflectance = q("the same of the back wall", low=0, high=0.98, default=0.6)
    left_reflectance: Reflectance = q("the same of the left wall", low=0, high=0.98, default=0.6)


@dataclass(frozen=True, kw_only=True)
class Opposite:
    """Something that stands outside, seen from the window: a building, a hill, a tree."""

    name: str = q("what it is", default="")
    bearing_from_deg: float = q(
        "where its left end is, by the compass: 0 north, 90 east, 180 south, 270 west",
        unit="deg",
        low=0,
        high=360,
        example="bearing_from_deg = 340",
    )
    bearing_to_deg: float = q(
        "where its right end is, by the compass (clockwise from the left end)",
        unit="deg",
        low=0,
        high=360,
        example="bearing_to_deg = 60",
    )
    distance_m: float = q(
        "how far it stands from the glass", unit="m", low=0.5, high=100000, example="distance_m = 12"
    )
    top_above_ground_m: float = q(
        "its height above the ground", unit="m", low=0, high=2000, example="top_above_ground_m = 9"
    )
    reflectance: Reflectance = q("share of light it gives back", low=0, high=0.98, default=0.25)
    see_through: float = q(
        "share of the sky that shows through (a bare tree: 0.5)", low=0, high=1, default=0.0
    )


@dataclass(frozen=True, kw_only=True)
class Window:
    """One window: a rectangle in one of the four walls."""

    name: str = q("what you call it", example='name = "kitchen window"')
    bearing_deg: float = q(
        "where the glass looks to, by the compass: 0 north, 90 east, 180 south, 270 west (true north)",
        unit="deg",
        low=0,
        high=360,
        example="bearing_deg = 20",
    )
    width_m: float = q("of the opening", unit="m", low=0.1, high=12, example="width_m = 1.2")
    height_m: float = q("of the opening", unit="m", low=0.1, high=6, example="height_m = 1.2")
    sill_m: float = q(
        "height of its lower edge above the floor", unit="m", low=0, high=5, example="sill_m = 0.78"
    )
    from_left_m: float | None = q(
        "from the wall's left end (seen from inside) to the opening; left out, the window is in the middle",
        unit="m",
        low=0,
        high=30,
        default=None,
    )
    glass_transmittance: float = q(
        "share of light the clean glass lets through, straight on", low=0.05, high=1, default=0.8
    )
    dirt_factor: float = q("what dust and nets leave of it", low=0.1, high=1, default=0.92)
    frame_share: float = q("share of the opening covered by frame and bars", low=0, high=0.9, default=0.15)
    reveal_depth_m: float = q(
        "how far the glass sits back from the wall's outer face", unit="m", low=0, high=1, default=0.0
    )
    overhang_depth_m: float = q(
        "how far an eave or balcony stands out above it (0: none)", unit="m", low=0, high=10, default=0.0
    )
    overhang_above_m: float = q(
        "how far the overhang is above the opening's top", unit="m", low=0, high=10, default=0.3
    )
    floor_above_ground_m: float = q(
        "height of the room's floor above the ground outside", unit="m", low=-5, high=500, default=0.5
    )
    ground_reflectance: Reflectance = q(
        "share of light the ground outside gives back", low=0, high=0.98, default=0.2
    )
    opposite: tuple[Opposite, ...] = q("what stands outside", factory=tuple)


@dataclass(frozen=True, kw_only=True)
class Spot:
    """A place where the dish can stand: the middle of a table top."""

    name: str = q("what you call it", example='name = "by the window"')
    from_left_m: float = q(
        "from the left wall to the dish", unit="m", low=0, high=30, example="from_left_m = 2.1"
    )
    from_front_m: float = q(
        "from the front (window) wall to the dish", unit="m", low=0, high=30, example="from_front_m = 0.6"
    )
    height_m: float = q("of the table top", unit="m", low=0, high=2, default=0.75)
    table_width_m: float = q("of the table, along the front wall", unit="m", low=0.2, high=5, default=1.0)
    table_depth_m: float = q("of the table, away from the front wall", unit="m", low=0.2, high=5, default=0.8)
    table_reflectance: Reflectance = q("share of light the table gives back", low=0, high=0.98, default=0.35)


@dataclass(frozen=True, kw_only=True)
class Board:
    """A white or black board that can be stood beside the dish."""

    name: str = q("what you call it", example='name = "white"')
    width_m: float = q("its width", unit="m", low=0.05, high=3, default=0.7)
    height_m: float = q("its height", unit="m", low=0.05, high=3, default=0.5)
    reflectance: Reflectance = q(
        "share of light it gives back (white foam 0.88, black 0.05)", low=0, high=0.98, default=0.88
    )


@dataclass(frozen=True, kw_only=True)
class Diffuser:
    """A sheer or diffusion sheet that can hang over a window."""

    name: str = q("what you call it", example='name = "sheer"')
    diffuse_transmittance: float = q(
        "share of light that comes through scattered", low=0, high=1, default=0.55
    )
    clear_transmittance: float = q("share that comes through unscattered", low=0, high=1, default=0.1)
    reflectance: float = q("share it throws back", low=0, high=1, default=0.3)
    window: str = q("the window it hangs on; empty when it is not hung", default="")
    covers_share: float = q("share of the window it covers, from the top down", low=0, high=1, default=1.0)


@dataclass(frozen=True, kw_only=True)
class Block:
    """Furniture as a box on the floor: a cupboard, an island, a fridge."""

    name: str = q("what it is", example='name = "fridge"')
    from_left_m: float = q(
        "from the left wall to its nearer side", unit="m", low=0, high=30, example="from_left_m = 3.4"
    )
    from_front_m: float = q(
        "from the front wall to its nearer side", unit="m", low=0, high=30, example="from_front_m = 2.2"
    )
    width_m: float = q("along the front wall", unit="m", low=0.05, high=30, example="width_m = 0.6")
    depth_m: float = q("away from the front wall", unit="m", low=0.05, high=30, example="depth_m = 0.6")
    height_m: float = q("its height", unit="m", low=0.05, high=10, example="height_m = 1.8")
    bottom_m: float = q("height of its underside above the floor", unit="m", low=0, high=5, default=0.0)
    reflectance: Reflectance = q("share of light it gives back", low=0, high=0.98, default=0.5)


@dataclass(frozen=True, kw_only=True)
class Camera:
    """A camera body."""

    name: str = q("what you call it", example='name = "the camera"')
    sensor_width_mm: float = q("of the sensor", unit="mm", low=3, high=60, default=23.5)
    sensor_height_mm: float = q("of the sensor", unit="mm", low=2, high=45, default=15.6)
    pixels_wide: int = q("along the long side", unit="px", low=640, high=20000, default=6000)
    pixels_high: int = q("along the short side", unit="px", low=480, high=20000, default=4000)
    base_iso: int = q("lowest plain ISO", low=25, high=3200, default=100)
    highest_iso: int = q("highest ISO you find usable", low=100, high=204800, default=3200)
    slowest_s: float = q("slowest shutter without bulb", unit="s", low=0.01, high=900, default=30.0)
    fastest_s: float = q("fastest shutter", unit="s", low=0.00001, high=0.1, default=1 / 4000)
    mass_kg: float = q("with battery and card", unit="kg", low=0.05, high=5, default=0.55)
    full_well_electrons: int = q("at base ISO, for noise estimates", low=1000, high=500000, default=40000)
    read_noise_electrons: float = q("at base ISO", low=0.5, high=50, default=4.0)
    exif_model: str = q(
        "the camera's own model name as it stands in its files, to tell cameras apart", default=""
    )
    clock_offset_s: float = q("true time minus the camera's clock", unit="s", low=-1e9, high=1e9, default=0.0)
    meter_factor: float = q(
        "fitted: light measured by grey card over the light that was there", low=0.2, high=5, default=1.0
    )


@dataclass(frozen=True, kw_only=True)
class Lens:
    """A lens; a zoom has two focal lengths."""

    name: str = q("what you call it", example='name = "35"')
    focal_length_mm: float = q(
        "focal length, or the short end of a zoom",
        unit="mm",
        low=4,
        high=1200,
        example="focal_length_mm = 35",
    )
    focal_length_to_mm: float | None = q("long end of a zoom", unit="mm", low=4, high=1200, default=None)
    widest_f_number: float = q(
        "smallest f-number (at the short end of a zoom)", low=0.7, high=32, default=1.8
    )
    smallest_f_number: float = q("largest f-number it stops down to", low=4, high=64, default=16.0)
    closest_focus_m: float = q("closest focus, from the sensor", unit="m", low=0.01, high=10, default=0.3)
    pupil_magnification: float = q(
        "exit pupil over entrance pupil, when you know it", low=0.2, high=5, default=1.0
    )
    mass_kg: float = q("its mass", unit="kg", low=0.02, high=5, default=0.3)
    length_mm: float = q(
        "front of the lens to the sensor, for shadows and clearance",
        unit="mm",
        low=20,
        high=600,
        default=100.0,
    )


@dataclass(frozen=True, kw_only=True)
class Support:
    """What holds the camera: a tripod, a tripod with an overhead arm, or hands."""

    name: str = q("what you call it", example='name = "tripod"')
    kind: str = q("what it is", words=("tripod", "arm", "hand"), default="tripod")
    lowest_m: float = q("lowest lens height", unit="m", low=0, high=3, default=0.4)
    highest_m: float = q("highest lens height", unit="m", low=0.1, high=5, default=1.6)
    arm_reach_m: float = q("from column to camera, along the arm", unit="m", low=0, high=3, default=0.0)
    mass_kg: float = q("tripod without arm and camera", unit="kg", low=0.1, high=30, default=2.0)
    arm_mass_kg: float = q("arm alone", unit="kg", low=0, high=20, default=0.0)
    feet_radius_m: float = q(
        "from the column to a foot, legs spread", unit="m", low=0.05, high=2, default=0.45
    )
    load_limit_kg: float | None = q("the maker's limit", unit="kg", low=0.1, high=100, default=None)
    head_mass_kg: float = q("ball head and plate", unit="kg", low=0, high=5, default=0.4)


@dataclass(frozen=True, kw_only=True)
class Surface:
    """A board, cloth or stone that the dish stands on or before."""

    name: str = q("what you call it", example='name = "pale blue-grey wood"')
    width_m: float = q("its width", unit="m", low=0.1, high=5, default=0.9)
    depth_m: float = q("its depth", unit="m", low=0.1, high=5, default=0.6)
    colour: str = q("its colour, as sRGB hex", default="#b8b4ac", example='colour = "#a9b4ba"')
    material: str = q(
        "what it looks like", words=("wood", "stone", "linen", "paper", "metal", "tile"), default="wood"
    )


@dataclass(frozen=True, kw_only=True)
class Prop:
    """A plate, bowl, glass, spoon, cloth or other small thing."""

    name: str = q("what you call it", example='name = "small bowl"')
    kind: str = q(
        "what it is",
        words=("plate", "bowl", "board", "glass", "cutlery", "linen", "pan", "jar", "other"),
        default="other",
    )
    width_mm: float = q("its width", unit="mm", low=5, high=1500, default=200.0)
    height_mm: float = q("its height", unit="mm", low=0, high=1000, default=30.0)
    colour: str = q("its colour, as sRGB hex", default="#f2efe9")
    gloss: str = q("how it shines", words=("matt", "satin", "glossy"), default="satin")


@dataclass(frozen=True, kw_only=True)
class Reading:
    """A light reading once taken, kept as evidence: typed lux, or from a frame of the grey card."""

    at: str = q("when, as local date and time, such as 2027-07-15T13:30", example='at = "2027-07-15T13:30"')
    spot: str = q("at which table spot", example='spot = "by the window"')
    illuminance_lx: float = q(
        "light on the horizontal at the dish",
        unit="lx",
        low=0.01,
        high=200000,
        example="illuminance_lx = 900",
    )
    sky: str = q("how the sky was", words=("clear", "hazy", "broken", "overcast"), default="overcast")
    source: str = q("how it was read", words=("lux", "grey card"), default="lux")
    evidence: str = q("the frame it came from, or a note", default="")


@dataclass(frozen=True, kw_only=True)
class Fit:
    """What readings taught about this room: factors on the model, with their spread, dated."""

    date: str = q("when it was fitted, as a date", default="")
    light_factor: float = q(
        "measured light over predicted (glass, dirt and camera together)", low=0.05, high=20, default=1.0
    )
    light_factor_spread_stops: float = q("one standard deviation", unit="stops", low=0, high=5, default=0.5)
    reflectance_factor: float = q("on all room reflectances", low=0.1, high=2, default=1.0)
    skyline_lift_deg: float = q("added to every skyline", unit="deg", low=-30, high=60, default=0.0)
    skyline_lift_spread_deg: float = q(
        "one standard deviation of the skyline's height, the file's own or the lifted one",
        unit="deg",
        low=0,
        high=30,
        default=1.0,
    )
    readings: int = q("how many readings went in", low=0, high=10000, default=0)


@dataclass(frozen=True, kw_only=True)
class Studio:
    """The whole of studio.toml."""

    place: Place = q("where the studio is")
    room: Room = q("the room as a box")
    windows: tuple[Window, ...] = q("one [[windows]] for each; the first is the main one", factory=tuple)
    spots: tuple[Spot, ...] = q("one [[spots]] for each place where the dish can stand", factory=tuple)
    boards: tuple[Board, ...] = q("one [[boards]] for each", factory=tuple)
    diffusers: tuple[Diffuser, ...] = q("one [[diffusers]] for each", factory=tuple)
    blocks: tuple[Block, ...] = q("one [[blocks]] for each large piece of furniture", factory=tuple)
    cameras: tuple[Camera, ...] = q(
        "one [[cameras]] for each; the first is used unless a shot says", factory=tuple
    )
    lenses: tuple[Lens, ...] = q("one [[lenses]] for each", factory=tuple)
    supports: tuple[Support, ...] = q("one [[supports]] for each", factory=tuple)
    surfaces: tuple[Surface, ...] = q("one [[surfaces]] for each", factory=tuple)
    props: tuple[Prop, ...] = q("one [[props]] for each", factory=tuple)
    readings: tuple[Reading, ...] = q("light readings kept as evidence", factory=tuple)
    fit: Fit = q("what the readings taught; written by the tool", factory=Fit)

    @property
    def front_bearing_deg(self) -> float:
        """True bearing [deg] of the front wall's outward normal."""
        if self.room.front_bearing_deg is not None:
            return self.room.front_bearing_deg
        return self.windows[0].bearing_deg if self.windows else 0.0

    def wall_of(self, window: Window) -> str:
        """Which wall a window is in: its bearing against the front wall's, to the nearest quarter turn."""
        quarter = round(((window.bearing_deg - self.front_bearing_deg) % 360) / 90) % 4
        return WALLS[quarter]

    def wall_length_m(self, window: Window) -> float:
        """Length of the wall a window is in [m]."""
        return self.room.width_m if self.wall_of(window) in ("front", "back") else self.room.depth_m

    def window_left_m(self, window: Window) -> float:
        """From the wall's left end, seen from inside, to the opening [m]; in the middle when it was not given."""
        if window.from_left_m is not None:
            return window.from_left_m
        return (self.wall_length_m(window) - window.width_m) / 2
