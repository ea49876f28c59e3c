"""Rooms with something opposite, fitted to readings, and asked about the sun near its edge (drawn by seed)."""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import UTC, datetime, timedelta

import numpy as np

from plateside.light.meter.fit import FitReport, engine_light, fit_studio
from plateside.light.moment import light_at
from plateside.light.sky import Sky, cie_sky
from plateside.light.sun import sun_positions
from plateside.model.light_answers import SpotLight
from plateside.model.room import Opposite, Place, Room, Spot, Window
from plateside.model.studio import Fit, Reading, Studio

CLEAR = cie_sky(12, 12000.0, 70000.0)
"""CIE standard general sky 12 with a plausible sun; only that both rooms have the same matters."""
GREY = cie_sky(16, 15000.0)
SCATTER = 0.04
"""Of a reading, one standard deviation as a share."""
NEAR_DEG = 4.0
FAR_DEG = 12.0
SUN_STOPS = 1.0
"""An error as large as this is the sun's: in or out."""


@dataclass(frozen=True)
class Room2:
    """One draw: the studio as its file has it, and as it is."""

    file: Studio
    true: Studio
    skyline_deg: float
    """top of the houses as they are, from the window's middle"""


@dataclass(frozen=True)
class Asked:
    """One moment asked of the fitted studio, and the truth."""

    when: datetime
    above_edge_deg: float
    """how far the sun stands above the true skyline"""
    told: SpotLight
    truth: SpotLight

    @property
    def off_stops(self) -> float:
        return float(np.log2(self.told.horizontal_lx.value / self.truth.horizontal_lx.value))

    @property
    def within(self) -> bool:
        lx = self.told.horizontal_lx
        return lx.low <= self.truth.horizontal_lx.value <= lx.high

    @property
    def width_stops(self) -> float:
        return float(np.log2(self.told.horizontal_lx.high / self.told.horizontal_lx.low))

    @property
    def sun_wrong(self) -> bool:
        """A sun that was really there was hidden, or the other way round, and the range does not hold it."""
        return abs(self.off_stops) > SUN_STOPS and not self.within


@dataclass(frozen=True)
class Draw:
    """What one draw gave."""

    seed: int
    room: Room2
    report: FitReport
    near: tuple[Asked, ...]
    far: tuple[Asked, ...]


def room_of(rng: np.random.Generator) -> Room2:
    """A room with houses opposite, and its file."""
    place = Place(
        latitude_deg=float(rng.uniform(35, 56)), longitude_deg=float(rng.uniform(-5, 20)), timezone="UTC"
    )
    bearing, distance = float(rng.uniform(120, 240)), float(rng.uniform(8, 40))
    window = Window(
        name="window", bearing_deg=bearing, width_m=float(rng.uniform(0.9, 1.8)),
        height_m=float(rng.uniform(1.0, 1.6)), sill_m=float(rng.uniform(0.3, 0.9)),
    )  # fmt: skip
    middle = window.sill_m + window.height_m / 2
    skyline = float(rng.uniform(12, 35))
    room = Room(width_m=float(rng.uniform(3, 5)), depth_m=float(rng.uniform(3, 5)), height_m=2.6)
    spot = Spot(
        name="table", from_left_m=room.width_m / 2, from_front_m=float(rng.uniform(0.5, 1.1)), height_m=0.78
    )

    def with_houses(top_deg: float, looks_deg: float) -> Studio:
        houses = Opposite(
            bearing_from_deg=(looks_deg - 85) % 360, bearing_to_deg=(looks_deg + 85) % 360, distance_m=distance,
            top_above_ground_m=middle + distance * float(np.tan(np.radians(top_deg))), reflectance=0.3,
        )  # fmt: skip
        turned = replace(window, bearing_deg=looks_deg, opposite=(houses,))
        return Studio(place=place, room=room, windows=(turned,), spots=(spot,))

    wrong = float(np.clip(rng.normal(0, 4), -min(9.0, skyline - 3), 9))
    file = with_houses(skyline - wrong, bearing + float(rng.normal(0, 1)))
    light, walls = float(2 ** rng.normal(0, 0.4)), float(2 ** rng.normal(0, 0.25))
    true = replace(with_houses(skyline, bearing), fit=Fit(light_factor=light, reflectance_factor=walls))
    return Room2(file, true, skyline)


def _year(room: Room2, step_min: int) -> tuple[list[datetime], np.ndarray]:
    """Moments at which the sun stands before the window, and how far it is above the skyline [deg]."""
    start = datetime(2027, 1, 5, 6, tzinfo=UTC)
    times = [
        start + timedelta(days=18 * d, minutes=step_min * m)
        for d in range(20)
        for m in range(720 // step_min)
    ]
    at = sun_positions(room.true.place, times)
    turn = np.radians(at.azimuth_deg - room.true.windows[0].bearing_deg)
    # the houses are a wall across: away from straight ahead its top stands lower
    edge = np.degrees(np.arctan(np.tan(np.radians(room.skyline_deg)) * np.cos(turn)))
    before = (np.cos(turn) > np.cos(np.radians(55))) & (at.elevation_deg > 4)
    return [times[k] for k in np.flatnonzero(before)], np.asarray((at.elevation_deg - edge)[before])


def _ask(room: Room2, fitted: Studio, times: Sequence[datetime], above: Sequence[float]) -> tuple[Asked, ...]:
    spot = room.file.spots[0]
    return tuple(
        Asked(when, float(edge), light_at(fitted, spot, when, CLEAR), light_at(room.true, spot, when, CLEAR))
        for when, edge in zip(times, above, strict=True)
    )


def draw(seed: int, near: int = 6, far: int = 2, readings: int = 5) -> Draw:
    """One room, fitted and asked."""
    rng = np.random.default_rng(seed)
    room = room_of(rng)
    times, above = _year(room, 20)
    hours = rng.choice(len(times), readings, replace=False)
    skies: list[Sky] = [GREY if k % 3 else CLEAR for k in range(readings)]
    moments = [times[k] for k in hours]
    lux = engine_light(room.true, room.true.spots[0], moments, skies) * np.exp(
        rng.normal(0, SCATTER, readings)
    )
    taken = [
        Reading(
            at=when.replace(tzinfo=None).isoformat(timespec="minutes"), spot="table", illuminance_lx=float(lx),
            sky="overcast",
        )
        for when, lx in zip(moments, lux, strict=True)
    ]  # fmt: skip
    report = fit_studio(room.file, taken, skies=skies)
    fitted = replace(room.file, fit=report.fit)

    def some(mask: np.ndarray, count: int) -> np.ndarray:
        there = np.flatnonzero(mask)
        return rng.choice(there, min(count, there.size), replace=False)

    at_edge, away = some(np.abs(above) < NEAR_DEG, near), some(np.abs(above) > FAR_DEG, far)
    return Draw(
        seed, room, report,
        _ask(room, fitted, [times[k] for k in at_edge], above[at_edge]),
        _ask(room, fitted, [times[k] for k in away], above[away]),
    )  # fmt: skip
