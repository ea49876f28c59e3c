"""What was asked of the light, and the days of all table spots."""

from dataclasses import dataclass, replace
from datetime import date
from pathlib import Path

import numpy as np

from plateside.light.day import day_light
from plateside.light.sky_choice import SkyChoice
from plateside.light.sun import civil_times
from plateside.model.light_answers import DayLight, LightNeeds
from plateside.model.room import Spot
from plateside.plan.light_need import need_of_all
from plateside.tasks.light.choice import SKY_FILES, LightChoice, sky_file
from plateside.tasks.light.place import LightStand, open_stand
from plateside.tasks.light.sky import check_day, choose_sky

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
    name_files: bool = True
    """Whether the answer names the two files above."""
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
        return choose_sky(word, stand.studio.place, self.weather, self.forecast, day, self.name_files)


def asked_of(root: Path, choice: LightChoice) -> Asked:
    """A page's choice as the light tasks take it."""
    return Asked(
        path=root,
        spot=choice.spot,
        shot=choice.shot,
        sky="" if choice.sky in SKY_FILES else choice.sky,
        forecast=sky_file(root, "forecast") if choice.sky == "forecast" else None,
        weather=sky_file(root, "typical year") if choice.sky == "typical year" else None,
        name_files=False,
        no_direct_sun=choice.no_direct_sun,
        at_least_lx=choice.at_least_lx,
        at_most_key_fill_stops=choice.at_most_key_fill_stops,
    )


def day_of(stand: LightStand, spot: Spot, day: date, sky: SkyChoice, needs: LightNeeds) -> DayLight:
    """One spot over one day; the shot's boards stand only at its own spot."""
    place = stand.studio.place
    times = civil_times(place, day, DAY_STEP_MIN)
    check_day(sky, times)
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
