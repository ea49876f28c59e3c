"""The light over a week and over a year: which day, which month, which hours."""

from datetime import date, timedelta

import numpy as np
from numpy.typing import NDArray

from plateside.drawing.day_plot import spans
from plateside.light.answers import Needs, YearLight
from plateside.light.civil import skipped_cells
from plateside.light.needs import year_good
from plateside.light.sun import civil_times, year_grid
from plateside.light.year import year_light
from plateside.model.errors import InputError
from plateside.model.progress import Progress, silent
from plateside.tasks.light.asked import DAY_STEP_MIN, Asked, brightest, days_of, spread_at
from plateside.tasks.light.drawings import draw_year
from plateside.tasks.light.place import Stand, day_in
from plateside.tasks.light.reports import MonthLight, WeekDay, WeekReport, YearDay, YearReport
from plateside.tasks.light.sky import SkyChoice
from plateside.tasks.light.words import (
    MONTHS,
    NO_DAYLIGHT,
    day_words,
    minutes_words,
    needs_words,
    times_words,
    written_lines,
)
from plateside.words.counting import ordinal

YEAR_STEP_MIN = 5
HORIZON_DEG = -0.2667
"""The sun's upper edge on the horizon: half its width below."""


def light_of_week(asked: Asked, first: str | date, progress: Progress = silent) -> WeekReport:
    """Seven days from a date, each at its best spot, and the best of them. Raises as light_at_moment, and Cancelled."""
    stand = asked.stand()
    start = day_in(first) if isinstance(first, str) else first
    sky, needs = asked.sky_for(stand, start), asked.needs(stand)
    wanted = [start + timedelta(days=i) for i in range(7)]
    told = [d for d in wanted if sky.covers(civil_times(stand.studio.place, d, DAY_STEP_MIN))]
    if not told:
        sky.check_day(civil_times(stand.studio.place, start, DAY_STEP_MIN))
    found = []
    for done, day in enumerate(told):
        progress(done, len(told))
        found.append(_week_day(stand, day, sky, needs))
    best = max(found, key=lambda d: (d.good_min, d.brightest_good_lx.value))
    sentences = [
        f"Seven days from {day_words(start)} in {stand.place_words}, {sky.words}; good light: {needs_words(needs)}."
    ]
    sentences += [_week_sentence(d) for d in found]
    if len(told) < 7:
        sentences.append(f"The forecast says nothing of the other {7 - len(told)} days.")
    if best.good_min > 0:
        sentences.append(f"Best this week: {day_words(best.day)}, {times_words(best.good)}, {best.spot}.")
    else:
        of = f"of the {len(told)} days" if len(told) > 1 else "of your forecast's one day"
        sentences.append(
            f"No good light in any hour {of}: lower the minimum, allow sun, or block the window and use one lamp."
        )
    return WeekReport(
        place=stand.place_words,
        timezone=stand.studio.place.timezone,
        sky=sky.words,
        needs=needs,
        days=tuple(found),
        best=best if best.good_min > 0 else None,
        sentences=tuple(sentences),
    )


def _week_day(stand: Stand, day: date, sky: SkyChoice, needs: Needs) -> WeekDay:
    days = days_of(stand, day, sky, needs)
    peaks = {name: spread_at(light, brightest(light)) for name, light in days.items()}
    name = max(days, key=lambda n: (days[n].good_min, peaks[n].value))
    light = days[name]
    return WeekDay(day, name, light.good, light.good_min, peaks[name], light.never_up)


def _week_sentence(day: WeekDay) -> str:
    if day.no_daylight:
        return f"{day_words(day.day)}: no daylight."
    if not day.good:
        return f"{day_words(day.day)}: no good light."
    return (
        f"{day_words(day.day)}: {times_words(day.good)}, {day.spot} ({minutes_words(day.good_min)}, "
        f"up to {day.brightest_good_lx.words('lx')})."
    )


def light_of_year(asked: Asked, year: int | str) -> YearReport:
    """The light over a civil year. Raises as light_at_moment; InputError for a year that cannot be."""
    stand = asked.stand()
    sky, needs = asked.sky_for(stand, None), asked.needs(stand)
    light = year_of(asked, stand, sky, year)
    return year_report(asked, stand, sky, needs, light)


def year_of(
    asked: Asked, stand: Stand, sky: SkyChoice, year: int | str, progress: Progress = silent
) -> YearLight:
    """The year's light alone, whatever the needs. Raises InputError, Cancelled."""
    if not str(year).isdigit() or not 1900 <= int(year) <= 2200:
        raise InputError(f"The year {year} was asked; write a year from 1900 to 2200, such as 2027.")
    year = int(year)
    place = stand.studio.place
    if sky.cloud is not None:
        raise InputError(
            "A forecast does not tell a year: ask with a sky in words, or with a typical year's file.",
            "Use --sky or --weather.",
        )
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


def good_in_year(light: YearLight, needs: Needs) -> NDArray[np.bool_]:
    """When the needs are met, on the clock's own hours: (days, steps)."""
    return year_good(light, needs) & ~skipped_cells(light.dates, YEAR_STEP_MIN, light.timezone)


def year_report(asked: Asked, stand: Stand, sky: SkyChoice, needs: Needs, light: YearLight) -> YearReport:
    """What a year's light means for these needs."""
    there = ~skipped_cells(light.dates, YEAR_STEP_MIN, light.timezone)
    good = year_good(light, needs) & there
    days = _year_days(light, good, there)
    months = _months(days)
    written: tuple[str, ...] = ()
    if asked.pictures:
        levels = {*asked.contours_lx, *([needs.at_least_lx] if needs.at_least_lx > 0 else [])}
        written = draw_year(asked.pictures, stand, light, good, sky.words, needs, tuple(sorted(levels)))
    return YearReport(
        place=stand.place_words,
        timezone=light.timezone,
        spot=stand.spot.name,
        year=light.year,
        sky=sky.words,
        needs=needs,
        months=months,
        days=days,
        pictures=written,
        sentences=(*_year_sentences(stand, light.year, sky, needs, days, months), *written_lines(written)),
    )


def _clock(minute: float) -> str:
    return f"{int(minute) // 60:02d}:{int(minute) % 60:02d}"


def _year_days(light: YearLight, good: NDArray[np.bool_], there: NDArray[np.bool_]) -> tuple[YearDay, ...]:
    found = []
    for i, day in enumerate(light.dates):
        found.append(
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
        )
    return tuple(found)


def _months(days: tuple[YearDay, ...]) -> tuple[MonthLight, ...]:
    found = []
    for month in range(1, 13):
        these = [d for d in days if d.day.month == month]
        found.append(
            MonthLight(
                month=month,
                good_h_per_day=sum(d.good_min for d in these) / 60 / len(these),
                days_with_good_light=sum(d.good_min > 0 for d in these),
                sun_on_dish_h=sum(d.sun_on_dish_min for d in these) / 60,
            )
        )
    return tuple(found)


def _year_sentences(
    stand: Stand,
    year: int,
    sky: SkyChoice,
    needs: Needs,
    days: tuple[YearDay, ...],
    months: tuple[MonthLight, ...],
) -> list[str]:
    lines = [
        f"The year {year} in {stand.place_words}, {stand.spot.name}, {sky.words}; good light: {needs_words(needs)}."
    ]
    dark = sum(d.no_daylight for d in days)
    if dark:
        lines.append(
            f"On {dark} days the sun does not rise. {NO_DAYLIGHT.replace('on this day', 'on those')}"
        )
    sunny = [d for d in days if d.sun_on_dish_min > 0]
    if sunny:
        most = max(sunny, key=lambda d: d.sun_on_dish_min)
        lines.append(
            f"Direct sun falls on the dish on {len(sunny)} days, longest on "
            f"{most.day.day} {MONTHS[most.day.month - 1]} ({minutes_words(most.sun_on_dish_min)})."
        )
    else:
        lines.append("Direct sun never falls on the dish.")
    for m in months:
        these = [d for d in days if d.day.month == m.month and d.good_min > 0]
        middle = these[len(these) // 2] if these else None
        hours = f", on the {ordinal(middle.day.day)} {', '.join(middle.good)}" if middle else ""
        lines.append(f"  {MONTHS[m.month - 1]:<10} {m.good_h_per_day:4.1f} h of good light a day{hours}")
    best = max(days, key=lambda d: d.good_min)
    if best.good_min > 0:
        lines.append(f"Longest good light: {day_words(best.day)}, {minutes_words(best.good_min)}.")
    else:
        lines.append("No day of the year has the light asked for: ask for less, or allow sun.")
    return lines
