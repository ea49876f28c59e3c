"""The light on the dish: at a moment and over a day here, week and year in light_calendar, readings in light_meter."""

from datetime import date, datetime

import numpy as np

from plateside.ground.exposure import exposure_s
from plateside.light.answers import DayLight, SpotLight
from plateside.light.good_hours import usable_intervals
from plateside.light.moment import light_at
from plateside.light.sky import SKY_WORDS, Sky
from plateside.light.what_if import WhatIf, what_ifs
from plateside.tasks.light.asked import Asked, brightest, day_of, days_of, ranked, spread_at
from plateside.tasks.light.drawings import draw_day, draw_plan
from plateside.tasks.light.place import LightStand, day_in, moment_in
from plateside.tasks.light.reports import DayReport, MomentReport, OtherSky, SpotRank
from plateside.tasks.light.words import (
    NO_DAYLIGHT,
    TOO_DARK_LX,
    day_words,
    exposure_words,
    good_lines,
    key_side,
    light_left_sentence,
    moment_lines,
    stops_words,
    sun_day_lines,
    times_words,
    written_lines,
)


def light_at_moment(asked: Asked, at: str, with_what_ifs: bool = False) -> MomentReport:
    """The light at a moment (local date and time).

    Raises InputError for names, times and skies that cannot be used, SettingsError for mistakes in the files,
    CouldNotError when a picture cannot be written.
    """
    stand = asked.stand()
    when = moment_in(stand.zone, at)
    sky, needs = asked.sky_for(stand, when.date()), asked.needs(stand)
    place = stand.studio.place
    now = sky.at(place, when)
    light = light_of_stand(stand, when, now)
    several = len(stand.studio.spots) > 1
    days = days_of(stand, when.date(), sky, needs) if several else {
        stand.spot.name: day_of(stand, stand.spot, when.date(), sky, needs)
    }  # fmt: skip
    day = days[stand.spot.name]
    dark = light.horizontal_lx.value < TOO_DARK_LX
    spots = () if dark else ranked(days, when, needs)
    others = tuple(
        OtherSky(word, light_of_stand(stand, when, word).horizontal_lx)
        for word in SKY_WORDS
        if sky.word and word != sky.word and not dark
    )
    changes: tuple[WhatIf, ...] = ()
    if with_what_ifs and not dark:
        changes = what_ifs(
            stand.studio, stand.spot, when, now, camera_faces_deg=stand.camera_faces_deg,
            elevation_deg=stand.camera_elevation_deg, boards=stand.boards,
        )  # fmt: skip
    written = draw_plan(asked.pictures, stand, light, when) if asked.pictures else ()

    sentences = [
        f"{day_words(when.date())}, {when:%H:%M} in {stand.place_words}, {stand.spot.name}, {sky.words}."
    ]
    if day.never_up:
        sentences.append(NO_DAYLIGHT)
    sentences += moment_lines(light, stand)
    if others:
        told = "; ".join(f"{o.sky} {o.illuminance_lx.words('lx')}" for o in others)
        sentences.append(f"Under other skies: {told}.")
    if not day.never_up:
        sentences += [f"Sun on the dish this day: {times_words(day.sun_intervals)}.", *good_lines(day)]
        sentences.append(light_left_sentence(day, when))
    sentences += _rank_lines(spots, "Best spot now")
    sentences += [f"What if: {c.name}: {change_words(c)}." for c in changes[1:]]
    return MomentReport(
        place=stand.place_words,
        timezone=place.timezone,
        spot=stand.spot.name,
        at=when,
        sky=sky.words,
        light=light,
        exposure_s=None if dark else float(exposure_s(8.0, light.horizontal_lx.value, 100.0)),
        exposure_words=exposure_words(light.horizontal_lx),
        key_from=key_side(light, stand),
        sun_on_dish_times=day.sun_intervals,
        good=day.good,
        needs=needs,
        light_left_min=day.light_left_min(when),
        no_daylight_this_day=day.never_up,
        other_skies=others,
        spots=spots,
        what_ifs=changes,
        pictures=written,
        sentences=(*sentences, *written_lines(written)),
    )


def light_of_day(asked: Asked, day: str | date) -> DayReport:
    """The light over a civil day. Raises as light_at_moment."""
    stand = asked.stand()
    wanted = day_in(day) if isinstance(day, str) else day
    sky, needs = asked.sky_for(stand, wanted), asked.needs(stand)
    days = days_of(stand, wanted, sky, needs)
    light = days[stand.spot.name]
    top = brightest(light)
    at_best = spread_at(light, top)
    spots = () if light.never_up else ranked(days, None, needs)
    written = draw_day(asked.pictures, stand, light, sky.words, days) if asked.pictures else ()

    sentences = [
        f"{day_words(wanted)} in {stand.place_words}, {stand.spot.name}, {sky.words}.",
        *sun_day_lines(light),
    ]
    if not light.never_up:
        kind = "Brightest of the good light" if light.good else "Brightest"
        sentences += [
            f"Sun on the dish: {times_words(light.sun_intervals)}.",
            *good_lines(light),
            f"{kind} at {light.times[top]:%H:%M}: {at_best.words('lx')}, f/8 at ISO 100 {exposure_words(at_best)}.",
            *_hour_lines(light),
            *_rank_lines(spots, "Longest good light"),
        ]
    return DayReport(
        place=stand.place_words,
        timezone=light.timezone,
        spot=stand.spot.name,
        day=wanted,
        sky=sky.words,
        light=light,
        usable=usable_intervals(light),
        brightest_good_at=light.times[top],
        brightest_good_lx=at_best,
        good_min=light.good_min,
        no_daylight=light.never_up,
        spots=spots,
        pictures=written,
        sentences=(*sentences, *written_lines(written)),
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


def _hour_lines(light: DayLight) -> list[str]:
    """Every second hour with light: when, how much, which exposure."""
    lines = []
    for i, moment in enumerate(light.times):
        if moment.minute or moment.hour % 2 or light.horizontal_lx[i] < TOO_DARK_LX:
            continue
        at = spread_at(light, i)
        sun = ", sun on the dish" if light.sun_on_dish[i] else ""
        lines.append(f"  {moment:%H:%M}  {at.words('lx')}, {exposure_words(at)}{sun}")
    return lines


def _rank_lines(spots: tuple[SpotRank, ...], what: str) -> list[str]:
    if not spots:
        return []
    first = spots[0]
    told = f"{what}: {first.spot} ({first.illuminance_lx.words('lx')})"
    rest = "; ".join(f"{r.spot} {stops_words(r.against_best_stops)}" for r in spots[1:])
    return [f"{told}; {rest}."]


def change_words(change: WhatIf) -> str:
    """'+0.4 stops, about 900 lx (600-1400), shadow side 1.2 stops lighter'."""
    light = change.light.horizontal_lx.words("lx")
    ratio = change.key_fill_change_stops
    side = "" if not np.isfinite(ratio) or abs(ratio) < 0.05 else (
        f", shadow side {abs(ratio):.1f} stops {'lighter' if ratio < 0 else 'darker'}"
    )  # fmt: skip
    return f"{stops_words(change.gain_stops)}, {light}{side}"
