"""Seven days as the Light page shows them: each at its best spot, and the best of them.

Where a forecast tells fewer days, those are shown, and the rest is said.
"""

from dataclasses import dataclass
from datetime import date, datetime

from plateside.model.progress import Progress, silent
from plateside.tasks.light.asked import Asked
from plateside.tasks.light.reports import WeekReport
from plateside.tasks.light.week_and_year import light_of_week
from plateside.tasks.light.words import MONTHS, WEEKDAYS, day_words, minutes_words

DAYS = 7

ALIKE_MIN = 20
"""Days whose good light differs by no more are no choice."""


@dataclass(frozen=True)
class WeekDayShown:
    """One day of seven, at its best spot."""

    day: date
    name: str
    long_name: str
    good: tuple[tuple[float, float], ...]
    """Spans [h on the clock]."""
    good_words: str
    total_words: str
    lux: str
    spot: str
    best: bool
    no_daylight: bool


@dataclass(frozen=True)
class WeekShown:
    """Seven days."""

    answer: str
    days: tuple[WeekDayShown, ...]
    missing: str = ""
    """Said of the days that a forecast tells nothing of; empty when all seven are told."""


def shown_week(asked: Asked, day: str, progress: Progress = silent) -> WeekShown:
    """Seven days from a day."""
    report = light_of_week(asked, day, progress)
    days, left = tuple(_week_day(report, i) for i in range(len(report.days))), DAYS - len(report.days)
    others = "other day" if left == 1 else f"other {left} days"
    return WeekShown(
        _week_answer(report), days, f"The forecast says nothing of the {others}." if left else ""
    )


def _week_answer(report: WeekReport) -> str:
    best = report.best
    if best is None:
        return report.sentences[-1]
    times = ", ".join(s.words() for s in best.good)
    name = f"{WEEKDAYS[best.day.weekday()]} {best.day.day} {MONTHS[best.day.month - 1]}"
    lengths = [day.good_min for day in report.days]
    covered = len(lengths)
    if covered == 1:
        return f"Your forecast tells one day: {name}, {times}, {best.spot}."
    # a forecast seldom reaches over seven days
    days = f"{covered} days" if covered == DAYS else f"{covered} days that your forecast tells"
    if max(lengths) - min(lengths) <= ALIKE_MIN:
        each = minutes_words(best.good_min)
        return f"The {days} are alike: about {each} of good light each, {best.spot}."
    which = "seven days" if covered == DAYS else days
    return f"Best of the {which}: {name}, {times}, {best.spot}."


def _week_day(report: WeekReport, i: int) -> WeekDayShown:
    d = report.days[i]
    times = ", ".join(s.words() for s in d.good)
    return WeekDayShown(
        day=d.day,
        name=f"{WEEKDAYS[d.day.weekday()][:3]} {d.day.day}",
        long_name=day_words(d.day),
        good=tuple((_hour(s.start), _hour(s.end) or 24.0) for s in d.good),
        good_words="no daylight" if d.no_daylight else times or "no good light",
        total_words=minutes_words(d.good_min),
        lux=d.brightest_good_lx.words("lx"),
        spot=d.spot,
        best=len(report.days) > 1 and report.best is not None and d.day == report.best.day,
        no_daylight=d.no_daylight,
    )


def _hour(moment: datetime) -> float:
    return moment.hour + moment.minute / 60
