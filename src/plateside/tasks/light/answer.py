"""The day's light in two sentences: when it is, when it is strongest, and what direct sun does to it."""

from datetime import date

from plateside.light.answers import DayLight, Interval
from plateside.tasks.light.asked import brightest, spread_at
from plateside.tasks.light.words import (
    MONTHS,
    NO_DAYLIGHT,
    WEEKDAYS,
    exposure_words,
    good_minutes,
    minutes_words,
    times_words,
)

WITHIN = 2.0**-0.5
"""Half a stop."""
NEARLY_ALL = 0.8
"""A stretch with this share of the good hours is no news."""


def answer_words(light: DayLight, day: date, today: date, spot: str) -> str:
    """When the light is: one sentence."""
    when = _when(day, today)
    if light.never_up:
        return f"{when}, the sun does not rise."
    if not light.good:
        return f"{when}, {spot}: the light you ask for does not come."
    times = [f"from {s.start:%H:%M} to {s.end:%H:%M}" for s in light.good]
    told = times[0] if len(times) == 1 else f"{', '.join(times[:-1])} and {times[-1]}"
    strong = strongest(light)
    more = f", strongest {strong.start:%H:%M} to {strong.end:%H:%M}" if strong else ""
    return f"{when}, {spot}: your light is {told}{more}."


def strongest(light: DayLight) -> Interval | None:
    """The good moments round the brightest one within half a stop of it; None when that is nearly all.

    Dawn to dusk is true and no help; within half a stop an exposure set once still holds (common practice, no source).
    """
    top = brightest(light)
    least = float(light.horizontal_lx[top]) * WITHIN
    stamps = [t.timestamp() for t in light.times]
    around = next((s for s in light.good if s.start.timestamp() <= stamps[top] < s.end.timestamp()), None)
    if around is None:
        return None
    first = last = top
    while (
        first > 0
        and stamps[first - 1] >= around.start.timestamp()
        and light.horizontal_lx[first - 1] >= least
    ):
        first -= 1
    ends = len(stamps) - 1
    while (
        last < ends and stamps[last + 1] <= around.end.timestamp() and light.horizontal_lx[last + 1] >= least
    ):
        last += 1
    found = Interval(light.times[first], light.times[last])
    return found if found.minutes < NEARLY_ALL * good_minutes(light.good) else None


def _when(day: date, today: date) -> str:
    ahead = (day - today).days
    near = {0: "Today", 1: "Tomorrow", -1: "Yesterday"}
    year = "" if day.year == today.year else f" {day.year}"
    return near.get(ahead, f"{WEEKDAYS[day.weekday()]} {day.day} {MONTHS[day.month - 1]}{year}")


def lead_words(light: DayLight, top: int, sky: str) -> str:
    """How much of it there is, what the brightest asks of the camera, and when sun falls on the dish."""
    if light.never_up:
        return NO_DAYLIGHT
    at = spread_at(light, top)
    exposure = exposure_words(at).partition(" (")[0]
    brightest_at = f"{at.words('lx')} at {light.times[top]:%H:%M}, f/8 at ISO 100 {exposure}"
    if light.good:
        total = minutes_words(good_minutes(light.good))
        return f"{total} of it under {_a(sky)}, brightest {brightest_at}. {_sun_told(light)}"
    return f"Under {_a(sky)} the most is {brightest_at}. Ask for less, allow direct sun, or try another table spot."


def _sun_told(light: DayLight) -> str:
    """When sun falls on the dish, and whether those hours count."""
    if not light.sun_intervals:
        return "No direct sun falls on the dish."
    counts = "those hours are left out" if light.needs.no_direct_sun else "hard light, deep shadows"
    return f"Direct sun falls on the dish {times_words(light.sun_intervals)}: {counts}."


def _a(words: str) -> str:
    if words.startswith("the "):
        return words
    return f"an {words}" if words[0] in "aeiou" else f"a {words}"
