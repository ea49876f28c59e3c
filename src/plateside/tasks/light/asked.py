"""What was asked of the light, and what moment, day and week answers have in common: days of all spots, and ranks."""

from dataclasses import dataclass, replace
from datetime import date, datetime
from pathlib import Path

import numpy as np

from plateside.light.answers import DayLight, LightNeeds, Spread
from plateside.light.day import day_light
from plateside.light.sun import civil_times
from plateside.model.studio import Spot
from plateside.plan.light_need import need_of_all
from plateside.tasks.light.place import LightStand, open_stand
from plateside.tasks.light.reports import SpotRank
from plateside.tasks.light.sky import SkyChoice, choose_sky
from plateside.tasks.light.words import stops_between

DAY_STEP_MIN = 5.0


@dataclass(frozen=True)
class Asked:
    """What to answer for: the place, the set, the sky and what the shot needs."""

    path: Path
    """A shoot's folder, a folder with a studio.toml, or a studio.toml."""
    spot: str = ""
    """Table spot; empty: the shot's, else the first."""
    shot: str = ""
    """A shot of the shoot: brings spot, camera, boards, frame and fill."""
    sky: str = ""
    """A word or cie:N; empty: the shoot's sky, else clear."""
    weather: Path | None = None
    forecast: Path | None = None
    camera_faces_deg: float | None = None
    camera_elevation_deg: float | None = None
    no_direct_sun: bool = True
    at_least_lx: float | None = None
    """None: what the shot needs at its settings; without a named shot, the shoot's most demanding."""
    at_most_key_fill_stops: float | None = None
    """None: the shot's own fill_stops, when a shot is named."""
    contours_lx: tuple[float, ...] = (100.0, 500.0, 1000.0, 2000.0)
    """Lines of equal light in the year's picture; at_least_lx is added."""
    pictures: Path | None = None
    """Folder for the drawings; None: none are made."""

    def stand(self) -> LightStand:
        """The files read and the names found."""
        return open_stand(self.path, self.spot, self.shot, self.camera_faces_deg, self.camera_elevation_deg)

    def needs(self, stand: LightStand) -> LightNeeds:
        """What light is good."""
        shots = () if stand.shoot is None else stand.shoot.shots if stand.shot is None else (stand.shot,)
        limit = self.at_most_key_fill_stops
        if limit is None and stand.shot is not None:
            # a shot's own wish goes with its own boards
            limit = stand.shot.fill_stops
        if self.at_least_lx is not None:
            return LightNeeds(self.no_direct_sun, self.at_least_lx, limit)
        need = need_of_all(stand.studio, shots, () if stand.shoot is None else stand.shoot.channels)
        if stand.shot is None:
            # shots look from several sides; without one of them the level light stands for all
            need = replace(need, level_share=1.0)
        return need.needs(limit, self.no_direct_sun)

    def sky_for(self, stand: LightStand, day: date | None) -> SkyChoice:
        """The sky asked for; `day` is the day that bare times in a forecast belong to."""
        word = self.sky or (stand.shoot.sky if stand.shoot else "clear")
        return choose_sky(word, stand.studio.place, self.weather, self.forecast, day)


def day_of(stand: LightStand, spot: Spot, day: date, sky: SkyChoice, needs: LightNeeds) -> DayLight:
    """One spot over one day; the shot's boards stand only at its own spot."""
    place = stand.studio.place
    times = civil_times(place, day, DAY_STEP_MIN)
    sky.check_day(times)
    return day_light(
        stand.studio,
        spot,
        day,
        sky.over(place, np.array([t.timestamp() for t in times])),
        needs=needs,
        step_min=DAY_STEP_MIN,
        camera_faces_deg=stand.camera_faces_deg,
        elevation_deg=stand.camera_elevation_deg,
        boards=stand.boards if spot == stand.spot else (),
    )


def days_of(stand: LightStand, day: date, sky: SkyChoice, needs: LightNeeds) -> dict[str, DayLight]:
    """Every spot of the studio over one day, by name."""
    return {spot.name: day_of(stand, spot, day, sky, needs) for spot in stand.studio.spots}


def spread_at(light: DayLight, index: int) -> Spread:
    """The horizontal light at one of the day's moments."""
    return Spread(
        float(light.horizontal_lx[index]),
        float(light.horizontal_low_lx[index]),
        float(light.horizontal_high_lx[index]),
    )


def brightest(light: DayLight, only_good: bool = True) -> int:
    """Index of the day's brightest moment; of its good moments, when it has any."""
    lux = light.horizontal_lx
    if only_good and light.good:
        stamps = np.array([t.timestamp() for t in light.times])
        good = np.zeros(lux.size, bool)
        for span in light.good:
            good |= (stamps >= span.start.timestamp()) & (stamps < span.end.timestamp())
        if good.any():
            return int(np.argmax(np.where(good, lux, -1.0)))
    return int(np.argmax(lux))


def _nearest(day: DayLight, at: datetime) -> int:
    """Index of the day's moment nearest to one."""
    return int(np.argmin([abs(t.timestamp() - at.timestamp()) for t in day.times]))


def ranked(days: dict[str, DayLight], at: datetime | None, needs: LightNeeds) -> tuple[SpotRank, ...]:
    """Best spot first: at a moment the brightest that meets the needs, over a day the one good the longest."""
    if len(days) < 2:
        return ()
    found = []
    for name, day in days.items():
        index = (
            brightest(day)
            if at is None
            else int(np.argmin([abs(t.timestamp() - at.timestamp()) for t in day.times]))
        )
        found.append(
            SpotRank(
                spot=name,
                illuminance_lx=spread_at(day, index),
                against_best_stops=0.0,
                sun_on_dish=bool(day.sun_on_dish[index]),
                good=day.good,
                good_min=day.good_min,
            )
        )

    def merit(rank: SpotRank) -> tuple[float, float]:
        lx = rank.illuminance_lx.value
        if at is None:
            return rank.good_min, lx
        return float(not (needs.no_direct_sun and rank.sun_on_dish) and lx >= needs.at_least_lx), lx

    order = sorted(found, key=merit, reverse=True)
    top = order[0].illuminance_lx.value
    return tuple(
        SpotRank(
            r.spot,
            r.illuminance_lx,
            stops_between(r.illuminance_lx.value, top),
            r.sun_on_dish,
            r.good,
            r.good_min,
        )
        for r in order
    )
