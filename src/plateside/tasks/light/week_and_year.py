"""The light over a week and over a year: which day, which month, which hours. Facts."""

from datetime import date, timedelta

import numpy as np
from numpy.typing import NDArray

from plateside.drawing.day_plot import spans
from plateside.light.best import brightest, spread_at
from plateside.light.civil import skipped_cells
from plateside.light.good_hours import year_good
from plateside.light.sky_choice import SkyChoice
from plateside.light.sun import civil_times, year_grid
from plateside.light.year import year_light
from plateside.model.errors import InputError
from plateside.model.light_answers import LightNeeds, YearLight
from plateside.model.light_facts import MonthLight, WeekDay, WeekFacts, YearDay, YearFacts
from plateside.model.progress import Progress, silent
from plateside.tasks.light.asked import DAY_STEP_MIN, Asked, days_of
from plateside.tasks.light.drawings import draw_year
from plateside.tasks.light.place import LightStand, day_in
from plateside.tasks.light.sky import check_day
from plateside.words.light import refusals

DAYS = 7
ALIKE_MIN = 20
"""Days whose good light differs by no more are no choice (our judgement)."""
YEAR_STEP_MIN = 5
HORIZON_DEG = -0.2667
"""The sun's upper edge on the horizon: half its width below."""


def light_of_week(asked: Asked, first: str | date, progress: Progress = silent) -> WeekFacts:
    """Seven days from a date, each at its best spot, and the best of them. Raises as light_at_moment, and Cancelled."""
    stand = asked.stand()
    start = day_in(first) if isinstance(first, str) else first
    sky, needs = asked.sky_for(stand, start), asked.needs(stand)
    wanted = [start + timedelta(days=i) for i in range(DAYS)]
    covered = [d for d in wanted if sky.covers(civil_times(stand.studio.place, d, DAY_STEP_MIN))]
    if not covered:
        check_day(sky, civil_times(stand.studio.place, start, DAY_STEP_MIN))
    found = []
    for done, day in enumerate(covered):
        progress(done, len(covered))
        found.append(_week_day(stand, day, sky, needs))
    best = max(found, key=lambda d: (d.good_min, d.brightest_good_lx.value))
    lengths = [d.good_min for d in found]
    return WeekFacts(
        place=stand.place_name,
        timezone=stand.studio.place.timezone,
        sky=sky.asked,
        needs=needs,
        days=tuple(found),
        best=best if best.good_min > 0 else None,
        missing=DAYS - len(found),
        alike=max(lengths) - min(lengths) <= ALIKE_MIN,
    )


def _week_day(stand: LightStand, day: date, sky: SkyChoice, needs: LightNeeds) -> WeekDay:
    days = days_of(stand, day, sky, needs)
    peaks = {name: spread_at(light, brightest(light)) for name, light in days.items()}
    name = max(days, key=lambda n: (days[n].good_min, peaks[n].value))
    light = days[name]
    return WeekDay(day, name, light.good, light.good_min, peaks[name], light.never_up)


def light_of_year(asked: Asked, year: int | str) -> YearFacts:
    """The light over a civil year. Raises as light_at_moment; InputError for a year that cannot be."""
    stand = asked.stand()
    sky, needs = asked.sky_for(stand, None), asked.needs(stand)
    return year_facts(asked, stand, sky, needs, year_of(stand, sky, year))


def year_of(stand: LightStand, sky: SkyChoice, year: int | str, progress: Progress = silent) -> YearLight:
    """The year's light alone, whatever the needs. Raises InputError, Cancelled."""
    if not str(year).isdigit() or not 1900 <= int(year) <= 2200:
        raise InputError(refusals.no_year(year))
    year = int(year)
    place = stand.studio.place
    if sky.cloud is not None:
        raise InputError(*refusals.FORECAST_IS_NO_YEAR)
    _, _, seconds = year_grid(place, year, YEAR_STEP_MIN)
    return year_light(
        stand.studio,
        stand.spot,
        year,
        sky.over(place, seconds),
        step_min=YEAR_STEP_MIN,
        camera_faces_deg=stand.camera_faces_deg,
        elevation_deg=stand.camera_elevation_deg,
        boards=stand.boards,
        progress=progress,
    )


def good_in_year(light: YearLight, needs: LightNeeds) -> NDArray[np.bool_]:
    """When the needs are met, on the clock's own hours: (days, steps)."""
    return year_good(light, needs) & ~skipped_cells(light.dates, YEAR_STEP_MIN, light.timezone)


def contours_of(asked: Asked, needs: LightNeeds) -> tuple[float, ...]:
    """The levels of the year's lines of equal light [lx]: those asked for, and the light needed."""
    return tuple(sorted({*asked.contours_lx, *([needs.at_least_lx] if needs.at_least_lx > 0 else [])}))


def year_facts(
    asked: Asked, stand: LightStand, sky: SkyChoice, needs: LightNeeds, light: YearLight
) -> YearFacts:
    """What a year's light means for these needs."""
    there = ~skipped_cells(light.dates, YEAR_STEP_MIN, light.timezone)
    good = year_good(light, needs) & there
    days = _year_days(light, good, there)
    longest, sunniest = max(days, key=lambda d: d.good_min), max(days, key=lambda d: d.sun_on_dish_min)
    written: tuple[str, ...] = ()
    if asked.pictures:
        written = draw_year(asked.pictures, stand, light, good, sky.asked, needs, contours_of(asked, needs))
    return YearFacts(
        place=stand.place_name,
        timezone=light.timezone,
        spot=stand.spot.name,
        year=light.year,
        sky=sky.asked,
        needs=needs,
        months=_months(days),
        days=days,
        dark_days=sum(d.no_daylight for d in days),
        sunny_days=sum(d.sun_on_dish_min > 0 for d in days),
        sunniest=sunniest if sunniest.sun_on_dish_min > 0 else None,
        longest=longest if longest.good_min > 0 else None,
        pictures=written,
    )


def _clock(minute: float) -> str:
    return f"{int(minute) // 60:02d}:{int(minute) % 60:02d}"


def _year_days(light: YearLight, good: NDArray[np.bool_], there: NDArray[np.bool_]) -> tuple[YearDay, ...]:
    return tuple(
        YearDay(
            day=day,
            brightest_lx=float(light.horizontal_lx[i].max()),
            good_min=float(good[i].sum() * YEAR_STEP_MIN),
            good=tuple(
                f"{_clock(light.minutes[a])}-{_clock(light.minutes[b] + YEAR_STEP_MIN)}"
                for a, b in spans(good[i])
            ),
            sun_on_dish_min=float((light.sun_on_dish[i] & there[i]).sum() * YEAR_STEP_MIN),
            no_daylight=bool((light.sun_elevation_deg[i] <= HORIZON_DEG).all()),
        )
        for i, day in enumerate(light.dates)
    )


def _months(days: tuple[YearDay, ...]) -> tuple[MonthLight, ...]:
    found = []
    for month in range(1, 13):
        these = [d for d in days if d.day.month == month]
        good = [d for d in these if d.good_min > 0]
        found.append(
            MonthLight(
                month=month,
                good_h_per_day=sum(d.good_min for d in these) / 60 / len(these),
                days_with_good_light=len(good),
                sun_on_dish_h=sum(d.sun_on_dish_min for d in these) / 60,
                middle_day=good[len(good) // 2].day if good else None,
            )
        )
    return tuple(found)
