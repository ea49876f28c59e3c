"""What stands still: place, room, windows, table spots, boards, diffusers, gear, surfaces and props.

The room is a box. Stand inside and look straight out through its *front* wall, the one with the main
window: *left*, *right* and *back* are meant from there. In the room's own coordinates x runs to the right
from the left wall, y runs forward to the front wall, z runs up from the floor, in metres, so that the
floor's back left corner is (0, 0, 0) and a spot's distance from the front wall is `depth_m - y`.
Bearings are degrees clockwise from true north.

Over 400 lines: one file of settings is one table of fields, with nothing but their words and ranges.
"""

from dataclasses import dataclass

from plateside.model.gear import Camera, Lens, Prop, Support, Surface
from plateside.model.quantity import quantity as q
from plateside.model.room import (
    Block,
    Board,
    Diffuser,
    Place,
    Room,
    Spot,
    Window,
)

WALLS = ("front", "right", "back", "left")


@dataclass(frozen=True, kw_only=True)
class Reading:
    """A light reading you took: lux you typed, or a frame of the grey card."""

    at: str = q(
        "when, as local date and time, such as 2027-07-15T13:30",
        label="Taken at",
        example='at = "2027-07-15T13:30"',
    )
    spot: str = q("at which table spot", label="Table spot", example='spot = "by the window"')
    illuminance_lx: float = q(
        "lux at the dish, meter facing straight up",
        label="Light on the dish",
        unit="lx",
        low=0.01,
        high=200000,
        example="illuminance_lx = 900",
    )
    sky: str = q(
        "how the sky was", label="Sky", words=("clear", "hazy", "broken", "overcast"), default="overcast"
    )
    source: str = q("how you measured it", label="Measured with", words=("lux", "grey card"), default="lux")
    evidence: str = q("the frame it was read from, or a note", label="Frame or note", default="")


@dataclass(frozen=True, kw_only=True)
class Fit:
    """What your light readings corrected about this room, and how sure that is."""

    date: str = q("the day it was last corrected", default="")
    light_factor: float = q(
        "measured light divided by forecast light (glass, dirt and camera together)",
        label="Light correction",
        low=0.05,
        high=20,
        default=1.0,
    )
    light_factor_spread_stops: float = q(
        "one standard deviation",
        label="Light correction, give or take",
        unit="stops",
        low=0,
        high=5,
        default=0.5,
    )
    reflectance_factor: float = q(
        "applied to what every surface of the room reflects",
        label="Room brightness correction",
        low=0.1,
        high=2,
        default=1.0,
    )
    skyline_lift_deg: float = q(
        "added to the height of every skyline",
        label="Skyline correction",
        unit="deg",
        low=-30,
        high=60,
        default=0.0,
    )
    skyline_lift_spread_deg: float = q(
        "one standard deviation of the skyline's height",
        label="Skyline correction, give or take",
        unit="deg",
        low=0,
        high=30,
        default=1.0,
    )
    readings: int = q(
        "how many of your readings were used", label="Readings used", low=0, high=10000, default=0
    )


@dataclass(frozen=True, kw_only=True)
class Studio:
    """The whole of studio.toml."""

    place: Place = q("where the studio is")
    room: Room = q("the room as a box")
    windows: tuple[Window, ...] = q("one [[windows]] for each; the first is the main one", factory=tuple)
    spots: tuple[Spot, ...] = q("one [[spots]] for each place where the dish can stand", factory=tuple)
    boards: tuple[Board, ...] = q("one [[boards]] for each", factory=tuple)
    diffusers: tuple[Diffuser, ...] = q("one [[diffusers]] for each", factory=tuple)
    furniture: tuple[Block, ...] = q("one [[furniture]] for each large piece of furniture", factory=tuple)
    cameras: tuple[Camera, ...] = q(
        "one [[cameras]] for each; the first is used unless a shot names another", factory=tuple
    )
    lenses: tuple[Lens, ...] = q("one [[lenses]] for each", factory=tuple)
    supports: tuple[Support, ...] = q("one [[supports]] for each", factory=tuple)
    surfaces: tuple[Surface, ...] = q("one [[surfaces]] for each", factory=tuple)
    props: tuple[Prop, ...] = q("one [[props]] for each", factory=tuple)
    readings: tuple[Reading, ...] = q("your light readings", factory=tuple)
    fit: Fit = q("what your light readings corrected; written by Plateside", label="Corrections", factory=Fit)

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
