"""The light on the dish at a moment and over a day: facts. Week and year in week_and_year, readings in meter."""

from datetime import date, datetime

from plateside.ground.exposure import exposure_s
from plateside.light.best import (
    brightest,
    day_key_from,
    key_from,
    left_at,
    ranked,
    spread_at,
    strongest,
    sun_near,
)
from plateside.light.good_hours import usable_intervals
from plateside.light.moment import light_at
from plateside.light.sky import SKY_WORDS, Sky
from plateside.light.sky_choice import SkyChoice
from plateside.light.what_if import what_ifs
from plateside.model.light_answers import SpotLight
from plateside.model.light_facts import (
    ChangesFacts,
    DayFacts,
    Elsewhere,
    HourFacts,
    MomentFacts,
    OtherSky,
    WhatIf,
)
from plateside.tasks.light.asked import Asked, day_of, days_of
from plateside.tasks.light.drawings import draw_day, draw_plan
from plateside.tasks.light.place import LightStand, day_in, moment_in

TOO_DARK_LX = 1.0
"""Below this a still life would need minutes at f/8 and ISO 100, and colour goes."""


def light_of_hour(asked: Asked, stand: LightStand, at: str) -> HourFacts:
    """The light at a moment (local date and time, or with its offset), and nothing of the rest of the day.

    Raises InputError for times and skies that cannot be used.
    """
    when = moment_in(stand.zone, at)
    return _hour(stand, when, asked.sky_for(stand, when.date()))


def _hour(stand: LightStand, when: datetime, sky: SkyChoice) -> HourFacts:
    light = light_of_stand(stand, when, sky.at(stand.studio.place, when))
    lux = light.horizontal_lx
    dark = lux.value < TOO_DARK_LX
    return HourFacts(
        place=stand.place_name,
        timezone=stand.studio.place.timezone,
        units=stand.studio.place.units,
        spot=stand.spot.name,
        at=when,
        sky=sky.asked,
        light=light,
        dark=dark,
        sun=sun_near(light, stand.studio, stand.spot, stand.dish_width_mm),
        exposure_s=None if dark else float(exposure_s(8.0, lux.value, 100.0)),
        exposure_range_s=None if dark else (
            float(exposure_s(8.0, max(lux.low, 1e-6), 100.0)), float(exposure_s(8.0, lux.high, 100.0)),
        ),
        key_from=key_from(light, stand.studio.front_bearing_deg, stand.camera_faces_deg),
        camera_faces_deg=stand.camera_faces_deg,
        camera_given=stand.camera_given,
    )  # fmt: skip


def light_at_moment(asked: Asked, at: str, with_what_ifs: bool = False) -> MomentFacts:
    """The light at a moment, and what is left of that day.

    Raises InputError for names, times and skies that cannot be used, SettingsError for mistakes in the files,
    CouldNotError when a picture cannot be written.
    """
    stand = asked.stand()
    when = moment_in(stand.zone, at)
    sky, needs = asked.sky_for(stand, when.date()), asked.needs(stand)
    hour = _hour(stand, when, sky)
    days = days_of(stand, when.date(), sky, needs) if len(stand.studio.spots) > 1 else {
        stand.spot.name: day_of(stand, stand.spot, when.date(), sky, needs)
    }  # fmt: skip
    day = days[stand.spot.name]
    left = left_at(day, when)
    return MomentFacts(
        **{name: getattr(hour, name) for name in HourFacts.__dataclass_fields__},
        sun_on_dish_times=day.sun_intervals,
        good=day.good,
        usable=usable_intervals(day),
        needs=needs,
        light_left_min=left.left_min,
        left=left,
        no_daylight_this_day=day.never_up,
        other_skies=tuple(
            OtherSky(word, light_of_stand(stand, when, word).horizontal_lx)
            for word in SKY_WORDS
            if sky.word and word != sky.word and not hour.dark
        ),
        spots=() if hour.dark else ranked(days, when, needs),
        what_ifs=_changes(stand, when, sky) if with_what_ifs and not hour.dark else (),
        pictures=draw_plan(asked.pictures, stand, hour.light, when) if asked.pictures else (),
    )


def changes_at(asked: Asked, stand: LightStand, at: str) -> ChangesFacts:
    """The usual changes of the set at a moment. Raises as light_of_hour."""
    when = moment_in(stand.zone, at)
    sky = asked.sky_for(stand, when.date())
    dark = light_of_stand(stand, when, sky.at(stand.studio.place, when)).horizontal_lx.value < TOO_DARK_LX
    return ChangesFacts(when, stand.studio.place.units, () if dark else _changes(stand, when, sky))


def _changes(stand: LightStand, when: datetime, sky: SkyChoice) -> tuple[WhatIf, ...]:
    return what_ifs(
        stand.studio, stand.spot, when, sky.at(stand.studio.place, when),
        camera_faces_deg=stand.camera_faces_deg, elevation_deg=stand.camera_elevation_deg, boards=stand.boards,
    )  # fmt: skip


def light_of_day(asked: Asked, day: str | date, stand: LightStand | None = None) -> DayFacts:
    """The light over a civil day (stand: what `asked.stand()` gave, when it is at hand). Raises as light_at_moment."""
    stand = stand or asked.stand()
    wanted = day_in(day) if isinstance(day, str) else day
    sky, needs = asked.sky_for(stand, wanted), asked.needs(stand)
    days = days_of(stand, wanted, sky, needs)
    light = days[stand.spot.name]
    top = brightest(light)
    return DayFacts(
        place=stand.place_name,
        timezone=light.timezone,
        units=stand.studio.place.units,
        spot=stand.spot.name,
        day=wanted,
        sky=sky.asked,
        light=light,
        usable=usable_intervals(light),
        brightest_good_at=light.times[top],
        brightest_good_lx=spread_at(light, top),
        strongest=strongest(light),
        key_from=day_key_from(light, top, stand.camera_faces_deg),
        good_min=light.good_min,
        no_daylight=light.never_up,
        spots=() if light.never_up else ranked(days, None, needs),
        elsewhere=tuple(
            Elsewhere(name, d.horizontal_lx, d.good_min)
            for name, d in days.items()
            if name != stand.spot.name
        ),
        pictures=draw_day(asked.pictures, stand, light, sky.asked, days) if asked.pictures else (),
    )


def light_of_stand(stand: LightStand, when: datetime, sky: str | Sky) -> SpotLight:
    """The engine's answer for what stands in the room."""
    return light_at(
        stand.studio,
        stand.spot,
        when,
        sky,
        camera_faces_deg=stand.camera_faces_deg,
        elevation_deg=stand.camera_elevation_deg,
        boards=stand.boards,
        plate_mm=stand.dish_width_mm,
        frame_mm=stand.frame_mm,
        shadow_of_mm=stand.dish_height_mm,
    )
