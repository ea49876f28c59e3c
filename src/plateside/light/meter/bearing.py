"""A window's true bearing from the sun: the commonest fault of a studio file is a compass that was wrong.

Two things a person can note, with a clock and a tape measure:

Grazing       the moment when the sun, coming round, first or last touched the wall beside the window: it stood
              exactly in the wall's plane, at the window's bearing minus 90 degrees (to the left, seen from inside)
              or plus 90 (to the right).
PatchCorner   the place where a corner of the window's sun patch lay on the floor or table at a moment: the line
              from there to that corner of the opening points to the sun.

Places are measured in the window's own wall: `along_m` from the wall's left end seen from inside, `from_wall_m` from
the wall inwards, `height_m` above the floor. In a thick wall a patch's upper and sunward edges come from the outer
edge of the opening, its lower and lee edges from the inner one.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta
from math import atan2, cos, degrees, hypot, radians, sin, sqrt

from plateside.light.sun import sun_positions
from plateside.model.errors import RefusedError
from plateside.model.room import Place, Window
from plateside.model.studio import Studio

SIDES = ("left", "right")
CORNERS = ("top left", "top right", "bottom left", "bottom right")

_SUN_RADIUS_DEG = 0.2667
_WALL_DEG = 0.5
"""How straight walls and frames are built [deg]."""
_ELEVATION_FAULT_DEG = 3.0
"""A corner whose height says another sun than the almanac's by more than this was noted wrongly."""


@dataclass(frozen=True)
class Grazing:
    """The sun stood in the wall's plane, to the `side` seen from inside."""

    when: datetime
    side: str
    spread_min: float = 4.0
    """How well the moment is known, one standard deviation [min]: grazing light is slow to see."""


@dataclass(frozen=True)
class PatchCorner:
    """The corner of the sun patch that the opening's `corner` (seen from inside) throws."""

    when: datetime
    corner: str
    along_m: float
    from_wall_m: float
    height_m: float = 0.0
    spread_min: float = 1.0
    spread_m: float = 0.02
    """How well the place is known, one standard deviation [m]."""


Mark = Grazing | PatchCorner


@dataclass(frozen=True)
class MarkBearing:
    """What one mark says."""

    mark: Mark
    bearing_deg: float
    spread_deg: float
    elevation_fault_deg: float | None
    """Sun's elevation by the corner's place minus the almanac's; None for grazing."""


@dataclass(frozen=True)
class BearingFound:
    """A window's bearing, found from the sun."""

    bearing_deg: float
    spread_deg: float
    """One standard deviation [deg]."""
    change_deg: float
    """Against the bearing in the studio file, -180 to 180."""
    marks: tuple[MarkBearing, ...]
    agree: bool
    """Whether the marks agree within what their spreads allow (always True for one mark)."""


def bearing_from_sun(place: Place, studio: Studio, window: Window, marks: Sequence[Mark]) -> BearingFound:
    """The window's true bearing from one or more noted moments.

    Several marks are weighed by their spreads; where they disagree more than those allow, the spread is widened.
    Raises InputError when there is no mark, the sun was down, or a corner's height contradicts the almanac.
    """
    if not marks:
        raise RefusedError("no moment noted")
    found = tuple(_from_mark(place, studio, window, mark) for mark in marks)
    weights = [1 / one.spread_deg**2 for one in found]
    x = sum(w * cos(radians(one.bearing_deg)) for w, one in zip(weights, found, strict=True))
    y = sum(w * sin(radians(one.bearing_deg)) for w, one in zip(weights, found, strict=True))
    bearing = degrees(atan2(y, x)) % 360
    spread = 1 / sqrt(sum(weights))
    misfit = sum(w * _turn(one.bearing_deg - bearing) ** 2 for w, one in zip(weights, found, strict=True))
    agree = misfit <= 4.0 * max(1, len(found) - 1)
    if len(found) > 1:
        spread *= max(1.0, sqrt(misfit / (len(found) - 1)))
    return BearingFound(
        bearing_deg=bearing,
        spread_deg=hypot(spread, _WALL_DEG),
        change_deg=_turn(bearing - window.bearing_deg),
        marks=found,
        agree=agree,
    )


def _from_mark(place: Place, studio: Studio, window: Window, mark: Mark) -> MarkBearing:
    elevation, azimuth = _sun(place, mark.when)
    if elevation <= 0:
        raise RefusedError("sun was down", when=mark.when, elevation_deg=elevation)
    late = _sun(place, mark.when + timedelta(minutes=5))[1]
    early = _sun(place, mark.when - timedelta(minutes=5))[1]
    rate_deg_per_min = abs(_turn(late - early)) / 10
    from_time = rate_deg_per_min * mark.spread_min
    if isinstance(mark, Grazing):
        if mark.side not in SIDES:
            raise RefusedError("no such side", got=mark.side, allowed=SIDES)
        bearing = (azimuth + (90 if mark.side == "left" else -90)) % 360
        return MarkBearing(mark, bearing, hypot(from_time, _SUN_RADIUS_DEG), None)
    along, outwards, up = _to_corner(studio, window, mark)
    away = hypot(along, outwards)
    if outwards <= 0.05 or up <= 0.02:
        raise RefusedError("corner too near", from_wall_m=mark.from_wall_m, height_m=mark.height_m)
    fault = degrees(atan2(up, away)) - elevation
    spread_elevation = degrees(mark.spread_m * 2 / hypot(away, up))
    if abs(fault) > _ELEVATION_FAULT_DEG + 3 * spread_elevation:
        raise RefusedError(
            "corner of another sun",
            when=mark.when,
            degrees=abs(fault),
            way="higher" if fault > 0 else "lower",
        )
    bearing = (azimuth - degrees(atan2(along, outwards))) % 360
    from_place = degrees(mark.spread_m / away)
    return MarkBearing(mark, bearing, hypot(from_time, from_place, _SUN_RADIUS_DEG / 2), fault)


def _to_corner(studio: Studio, window: Window, mark: PatchCorner) -> tuple[float, float, float]:
    """From the noted place to the edge that throws the corner: right along the wall, outwards, up [m]."""
    if mark.corner not in CORNERS:
        raise RefusedError("no such corner", got=mark.corner, allowed=CORNERS)
    left = studio.window_left_m(window)
    upper, side = mark.corner.split()
    u = left if side == "left" else left + window.width_m
    z = window.sill_m + (window.height_m if upper == "top" else 0.0)
    along, up = u - mark.along_m, z - mark.height_m
    sunward = "right" if along > 0 else "left"
    # The side edge and the top or bottom edge may lie at different depths; a person sees one corner, so the mean
    # of the two depths is taken: half a reveal's depth at most is in doubt.
    depths = (
        window.reveal_depth_m if side == sunward else 0.0,
        window.reveal_depth_m if upper == "top" else 0.0,
    )
    return along, mark.from_wall_m + sum(depths) / 2, up


def _sun(place: Place, when: datetime) -> tuple[float, float]:
    got = sun_positions(place, [when])
    return float(got.elevation_deg[0]), float(got.azimuth_deg[0])


def _turn(angle_deg: float) -> float:
    """An angle brought to -180 to 180."""
    return (angle_deg + 180) % 360 - 180
