"""Seven days and a year of light in words."""

from plateside.model.light_facts import WeekDay, WeekFacts, YearFacts
from plateside.words.counting import (
    MONTHS,
    WEEKDAYS,
    about,
    day,
    day_of_year,
    duration,
    ordinal,
    plural,
    spans,
)
from plateside.words.light.moment import picture_lines
from plateside.words.light.phrases import LAMP, needs_phrase, sky_phrase

SEVEN = 7


def week_lines(w: WeekFacts) -> list[str]:
    """The week as the command says it: the best first, then each day."""
    first = f"Seven days from {day(w.days[0].day)} in {w.place}, {sky_phrase(w.sky)}."
    return [
        first,
        week_sentence(w),
        *(week_day_sentence(d) for d in w.days),
        *([missing_sentence(w)] if w.missing else []),
        f"Good light: {needs_phrase(w.needs)}.",
    ]


def week_sentence(w: WeekFacts) -> str:
    """Which day is the best, or that they are all alike, or that none will do."""
    number = len(w.days)
    if w.best is None:
        of = f"of the {number} days" if number > 1 else "of your forecast's one day"
        return (
            f"No good light in any hour {of}. Ask for less, allow sun, or block the window and use one lamp."
        )
    name = f"{WEEKDAYS[w.best.day.weekday()]} {day_of_year(w.best.day)}"
    if number == 1:
        return f"Your forecast covers one day: {name}, {spans(w.best.good)}, {w.best.spot}."
    which = "seven days" if number == SEVEN else f"{number} days that your forecast covers"
    if w.alike:
        return f"The {which} are alike: about {duration(w.best.good_min)} of good light each, {w.best.spot}."
    return f"Best of the {which}: {name}, {spans(w.best.good)}, {w.best.spot}."


def missing_sentence(w: WeekFacts) -> str:
    """Days of the seven that a forecast does not reach."""
    return f"Your forecast does not cover the other {'day' if w.missing == 1 else f'{w.missing} days'}."


def good_phrase(d: WeekDay) -> str:
    """'07:20-20:10', 'no good light', 'no daylight'."""
    return "no daylight" if d.no_daylight else spans(d.good, "no good light")


def week_day_sentence(d: WeekDay) -> str:
    """One day of the week."""
    if not d.good:
        return f"{day(d.day)}: {good_phrase(d)}."
    lux = f"up to {about(d.brightest_good_lx, 'lx')} on the table"
    return f"{day(d.day)}: {good_phrase(d)}, {d.spot} ({duration(d.good_min)}, {lux})."


def year_heading(y: YearFacts) -> str:
    """Which year, where, under which sky, and what good light is."""
    return (
        f"The year {y.year}, {y.spot} in {y.place}, {sky_phrase(y.sky)}. Good light: {needs_phrase(y.needs)}."
    )


def longest_sentence(y: YearFacts) -> str:
    """The day with the longest good light, or that there is none."""
    if y.longest is None:
        return "No day of the year has the light you ask for: ask for less, or allow sun."
    return f"Longest good light: {day(y.longest.day)}, {duration(y.longest.good_min)}."


def year_lines(y: YearFacts) -> list[str]:
    """The year as the command and the page say it."""
    lines = [year_heading(y), longest_sentence(y)]
    if y.dark_days:
        lines.append(f"On {plural(y.dark_days, 'day')} the sun does not rise. {LAMP}")
    if y.sunniest is not None:
        longest = f"{day_of_year(y.sunniest.day)} ({duration(y.sunniest.sun_on_dish_min)})"
        lines.append(f"Direct sun falls on the dish on {plural(y.sunny_days, 'day')}, longest on {longest}.")
    else:
        lines.append("Direct sun never falls on the dish.")
    of = {d.day: d for d in y.days}
    for m in y.months:
        hours = ""
        if m.middle_day is not None:
            hours = f", on the {ordinal(m.middle_day.day)} {', '.join(of[m.middle_day].good)}"
        lines.append(f"  {MONTHS[m.month - 1]:<10} {m.good_h_per_day:4.1f} h of good light a day{hours}")
    return [*lines, *picture_lines(y.pictures)]
