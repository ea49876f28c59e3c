"""Solve the set-ups of a shoot's shots under the light predicted, read or typed."""

from collections.abc import MutableMapping, Sequence
from dataclasses import dataclass, replace
from datetime import date, datetime
from pathlib import Path
from zoneinfo import ZoneInfo

import numpy as np

from plateside.camera.place import faces_deg
from plateside.camera.setup import LightForShot, SetUp, typed_light
from plateside.files.settings.load import OpenShoot, open_shoot
from plateside.files.settings.places import country_name
from plateside.ground.exposure import level_share, lux_at_camera
from plateside.ground.figures import rounded
from plateside.light.boards import all_standing
from plateside.light.day import day_light
from plateside.light.good_hours import good_intervals
from plateside.light.moment import light_at
from plateside.model.errors import CouldNotError, InputError, SettingsError
from plateside.model.light_answers import DayLight, SpotLight
from plateside.model.progress import Progress, silent
from plateside.model.shoot import Shoot, Shot
from plateside.model.studio import Studio
from plateside.plan.clocks import rule_of
from plateside.plan.day import plan_day
from plateside.plan.day_plan import DayPlan, LightOfShot, together
from plateside.plan.light_need import light_need
from plateside.plan.scene import spot_of
from plateside.plan.setup import NoDaylightError, metered_lx, solve
from plateside.plan.unlit import any_hour, assumed_light, why_unlit, without_light
from plateside.words.plan import refusals
from plateside.words.refused import said

STEP_MIN = 5


@dataclass(frozen=True)
class SetUpReport:
    """The set-ups solved, and what could not be."""

    shoot: str
    units: str
    """In which lengths are shown: metric or imperial; the facts are metric."""
    set_ups: tuple[SetUp, ...]
    unsolved: tuple[str, ...]

    @property
    def exit_status(self) -> int:
        return 1 if self.unsolved and not self.set_ups else 0


def set_up(
    given: Path,
    shot: str | None = None,
    at: str | None = None,
    lux: float | None = None,
    progress: Progress = silent,
) -> SetUpReport:
    """Set-ups of one shot or of all, for the hour the day's plan gives each.

    at   local time HH:MM instead of the planned hour
    lux  light on the dish that was read or is assumed [lx], instead of the predicted
    """
    opened = open_shoot(given)
    shots = shots_of(opened.shoot, shot)
    if lux is None and at is None:
        plan = plan_of(opened, lux, progress)
        hours = {s.shot: s.hero_in for s in plan.day.slots}
        found = [plan.lights[s.name].at(hours[s.name], opened.studio) for s in shots if s.name in hours]
    else:
        days = [on_its_day(opened, s) for s in shots]
        found = [
            light_of(day, s, None if at is None else moment_of(day, at), lux)
            for day, s in zip(days, shots, strict=True)
        ]
    return solve_all(opened, shots, found)


def solve_all(opened: OpenShoot, shots: Sequence[Shot], lights: Sequence[LightForShot]) -> SetUpReport:
    """Solve shots under lights; a shot without daylight is listed apart."""
    done: list[SetUp] = []
    unsolved: list[str] = []
    for shot, light in zip(shots, lights, strict=True):
        try:
            done.append(solve(opened.studio, shot, opened.shoot.channels, light))
        except CouldNotError as error:
            unsolved.append(why_unsolved(error))
    return SetUpReport(opened.shoot.recipe.title, opened.studio.place.units, tuple(done), tuple(unsolved))


def why_unsolved(error: CouldNotError | InputError) -> str:
    """Why a shot has no set-up, as a sentence."""
    if isinstance(error, NoDaylightError):
        return refusals.no_daylight(error.shot, error.when, error.illuminance_lx)
    return said(error)


def shots_of(shoot: Shoot, name: str | None) -> tuple[Shot, ...]:
    """The shot of a name, or all."""
    if not shoot.shots:
        raise InputError(refusals.NO_SHOTS)
    if name is None:
        return shoot.shots
    for shot in shoot.shots:
        if shot.name == name:
            return (shot,)
    raise InputError(refusals.no_shot(name, [s.name for s in shoot.shots]))


def moment_of(opened: OpenShoot, clock: str) -> datetime:
    """A local time of the shoot's day as an aware moment. Raises InputError for anything but HH:MM."""
    zone = ZoneInfo(opened.studio.place.timezone)
    try:
        hour, minute = (int(part) for part in clock.split(":"))
        return datetime.combine(day_of(opened), datetime.min.time(), zone).replace(hour=hour, minute=minute)
    except ValueError:
        raise InputError(refusals.no_time(clock)) from None


def day_of(opened: OpenShoot) -> date:
    """The shoot's day."""
    return date.fromisoformat(opened.shoot.date)


def on_its_day(opened: OpenShoot, shot: Shot) -> OpenShoot:
    """The shoot as it is on a shot's own day."""
    return replace(opened, shoot=replace(opened.shoot, date=opened.shoot.day_of(shot)))


def room_direction(studio: Studio, bearing_deg: float) -> float:
    """A true bearing as a direction clockwise from +y (the front wall) [deg]."""
    return (bearing_deg - studio.front_bearing_deg) % 360.0


def of_spot_light(studio: Studio, spot_light: SpotLight) -> LightForShot:
    """The light engine's answer as what the solver asks."""
    level = spot_light.horizontal_lx
    middle = max(level.value, 1e-6)
    return LightForShot(
        horizontal_lx=level.value,
        facing_lx=spot_light.camera_lx.value,
        low_share=min(1.0, max(level.low / middle, 0.05)),
        high_share=max(1.0, level.high / middle),
        when=spot_light.when,
        sky=spot_light.sky,
        key_faces_deg=room_direction(studio, spot_light.key_bearing_deg),
        key_elevation_deg=spot_light.key_elevation_deg,
        direct_sun=spot_light.sun_on_dish,
    )


def light_of(opened: OpenShoot, shot: Shot, when: datetime | None, lux: float | None) -> LightForShot:
    """Light of one shot at a moment: typed when given, else predicted."""
    if lux is not None:
        if not 0.01 <= lux <= 200000:
            raise InputError(refusals.no_lux(lux))
        return typed_light(lux, when)
    if when is None:
        raise InputError(refusals.NO_HOUR)
    studio, spot = opened.studio, spot_of(opened.studio, shot)
    if why_unlit(studio):
        return assumed_light(when)
    found = light_at(
        studio,
        spot,
        when,
        opened.shoot.sky,
        camera_faces_deg=shot.camera_faces_deg,
        elevation_deg=shot.elevation,
        boards=all_standing(studio, spot, shot.boards, shot.camera_faces_deg),
        plate_mm=shot.dish_width_mm,
        frame_mm=(shot.frame_width_mm, shot.frame_height_mm),
        shadow_of_mm=max(shot.dish_height_mm, 1.0),
    )
    return of_spot_light(studio, found)


@dataclass(frozen=True)
class ShotDay:
    """One shot's light over its day: the engine's, or one typed value."""

    day: DayLight | None
    typed: LightForShot | None

    def at(self, when: datetime, studio: Studio) -> LightForShot:
        """Light at a moment, with the day's best hour noted."""
        if self.typed is not None:
            return replace(self.typed, when=when)
        assert self.day is not None  # noqa: S101 - one of the two is always there
        light = of_day_light(studio, self.day, when)
        lux = np.where(good_steps(self.day), self.day.horizontal_lx, 0.0)
        i = int(np.argmax(lux))
        if lux[i] <= 0:
            return light
        return replace(light, best_when=self.day.times[i], best_horizontal_lx=float(lux[i]))


def of_day_light(studio: Studio, day: DayLight, when: datetime) -> LightForShot:
    """The day's step nearest to a moment as what the solver asks.

    The key's direction is the sun's when it is on the dish, else that of the light's vector, from the four upright
    faces and the level one.
    """
    stamps = np.array([t.timestamp() for t in day.times])
    i = int(np.argmin(np.abs(stamps - when.timestamp())))
    level = max(float(day.horizontal_lx[i]), 1e-6)
    front, right, back, left = (float(v) for v in day.faces_lx[:, i])
    vector = np.array([right - left, front - back, level])
    sun = bool(day.sun_on_dish[i])
    if sun:
        faces = room_direction(studio, float(day.sun_bearing_deg[i]))
        up = float(day.sun_elevation_deg[i])
    else:
        faces, up = faces_deg(vector), float(np.degrees(np.arctan2(level, np.hypot(vector[0], vector[1]))))
    return LightForShot(
        horizontal_lx=float(day.horizontal_lx[i]),
        facing_lx=float(day.camera_lx[i]),
        low_share=min(1.0, max(float(day.horizontal_low_lx[i]) / level, 0.05)),
        high_share=max(1.0, float(day.horizontal_high_lx[i]) / level),
        when=when,
        sky=day.sky,
        key_faces_deg=faces,
        key_elevation_deg=up,
        direct_sun=sun,
    )


def good_steps(day: DayLight) -> "np.ndarray":
    """Steps of the day that lie in its good intervals."""
    stamps = np.array([t.timestamp() for t in day.times])
    good = np.zeros(len(stamps), dtype=bool)
    for span in day.good:
        good |= (stamps >= span.start.timestamp()) & (stamps < span.end.timestamp())
    return good


@dataclass(frozen=True)
class Planned:
    """The day's plan with each shot's light."""

    day: DayPlan
    lights: dict[str, ShotDay]


def plan_of(
    opened: OpenShoot,
    lux: float | None,
    progress: Progress,
    known: MutableMapping[object, DayLight] | None = None,
) -> Planned:
    """Plan the day of a shoot, or each of its days: light of every shot over its day, then hours.

    known  predictions kept from earlier plans: what has not changed is not predicted again
    """
    shoot = opened.shoot
    shots_of(shoot, None)
    plans = []
    for day in shoot.days:
        shots = tuple(s for s in shoot.shots if shoot.day_of(s) == day)
        one = replace(opened, shoot=replace(shoot, date=day, shots=shots))
        plans.append(_plan_of_day(one, lux, progress, known))
    lights = {name: light for plan in plans for name, light in plan.lights.items()}
    return Planned(together([plan.day for plan in plans]), lights) if len(plans) > 1 else plans[0]


def _plan_of_day(
    opened: OpenShoot,
    lux: float | None,
    progress: Progress,
    known: MutableMapping[object, DayLight] | None,
) -> Planned:
    studio, shoot = opened.studio, opened.shoot
    shots = shots_of(shoot, None)
    day_from, day_to = moment_of(opened, shoot.from_time), moment_of(opened, shoot.to_time)
    if day_to <= day_from:
        raise InputError(refusals.day_ends_first(shoot.from_time, shoot.to_time))
    lights: dict[str, ShotDay] = {}
    known = {} if known is None else known
    unlit = why_unlit(studio) if lux is None else ""
    for i, shot in enumerate(shots):
        progress(i, len(shots))
        if unlit:
            lights[shot.name] = ShotDay(None, assumed_light())
            continue
        if lux is not None:
            lights[shot.name] = ShotDay(None, light_of(opened, shot, None, lux))
            continue
        spot = spot_of(studio, shot)
        needs = light_need(studio, shot, shoot.channels).needs(shot.fill_stops, not shot.direct_sun)
        # shots that look the same way from the same spot share one prediction
        same = (
            *(studio, shoot.date, shoot.sky),
            *(spot.name, shot.camera_faces_deg, shot.elevation, shot.boards),
        )
        if same not in known:
            known[same] = day_light(
                studio,
                spot,
                day_of(opened),
                shoot.sky,
                step_min=STEP_MIN,
                camera_faces_deg=shot.camera_faces_deg,
                elevation_deg=shot.elevation,
                boards=all_standing(studio, spot, shot.boards, shot.camera_faces_deg),
            )
        own = replace(known[same], needs=needs, good=good_intervals(known[same], needs))
        lights[shot.name] = ShotDay(own, None)
    progress(len(shots), len(shots))
    even = any_hour(day_from, day_to)
    # what the settings need, whatever was asked for
    needed = {s.name: float(rounded(light_need(studio, s, shoot.channels).metered_lx)) for s in shots}
    series = {
        s.name: even if unlit else _series(s, lights[s.name], needed[s.name], day_from, day_to) for s in shots
    }
    country = studio.place.country
    rule = rule_of(country, name=country_name(country))
    plan = plan_day(shots, shoot.recipe, series, rule, day_from, day_to)
    return Planned(without_light(plan, unlit, studio) if unlit else plan, lights)


def solve_planned(
    opened: OpenShoot, planned: Planned, known: MutableMapping[object, SetUp] | None = None
) -> tuple[dict[str, SetUp], dict[str, str]]:
    """(set-ups, why there is none) of the planned shots, by name. Raises SettingsError.

    known  set-ups kept from earlier plans, by all that they rest on: only the others are solved
    """
    shots = {s.name: s for s in opened.shoot.shots}
    known = {} if known is None else known
    done: dict[str, SetUp] = {}
    problems: dict[str, str] = {}
    for slot in planned.day.slots:
        light = planned.lights[slot.shot].at(slot.hero_in, opened.studio)
        asked = (opened.studio, shots[slot.shot], tuple(opened.shoot.channels), light)
        try:
            if asked not in known:
                known[asked] = solve(*asked)
            done[slot.shot] = known[asked]
        except SettingsError:
            raise
        except (CouldNotError, InputError) as error:
            problems[slot.shot] = why_unsolved(error)
    return done, problems


def _series(
    shot: Shot, light: ShotDay, needed_lx: float, day_from: datetime, day_to: datetime
) -> LightOfShot:
    if light.day is None:
        assert light.typed is not None  # noqa: S101 - one of the two is always there
        lux = metered_lx(light.typed, shot.elevation)
        return LightOfShot((day_from, day_to), np.array([lux, lux]), np.full(2, lux >= needed_lx), needed_lx)
    day = light.day
    lux_over = lux_at_camera(day.horizontal_lx, day.camera_lx, level_share(shot.elevation))
    return LightOfShot(day.times, np.asarray(lux_over, dtype=np.float64), good_steps(day), needed_lx)
