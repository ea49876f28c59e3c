"""The day's light in two sentences: when it is, when it is strongest, and what direct sun does to it."""

import math
from datetime import date

from plateside.light.answers import DayLight, Interval, rounded
from plateside.light.good_hours import usable_intervals
from plateside.tasks.light.asked import brightest, spread_at
from plateside.tasks.light.words import (
    MONTHS,
    NO_DAYLIGHT,
    WEEKDAYS,
    exposure_words,
    level_share_words,
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
    words = times[0] if len(times) == 1 else f"{', '.join(times[:-1])} and {times[-1]}"
    strong = strongest(light)
    more = f", strongest {strong.start:%H:%M} to {strong.end:%H:%M}" if strong else ""
    return f"{when}, {spot}: your light is {words}{more}."


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
    return found if found.minutes < NEARLY_ALL * light.good_min else None


def _when(day: date, today: date) -> str:
    ahead = (day - today).days
    near = {0: "Today", 1: "Tomorrow", -1: "Yesterday"}
    year = "" if day.year == today.year else f" {day.year}"
    return near.get(ahead, f"{WEEKDAYS[day.weekday()]} {day.day} {MONTHS[day.month - 1]}{year}")


def lead_words(light: DayLight, top: int, sky: str, faces_deg: float = 90.0) -> str:
    """How much of it there is and for what, from where and how soft at its brightest, the rest of the day, the sun."""
    if light.never_up:
        return NO_DAYLIGHT
    at = spread_at(light, top)
    exposure = exposure_words(at).partition(" (")[0]
    brightest_at = f"{at.words('lx')} at {light.times[top]:%H:%M}, f/8 at ISO 100 {exposure}"
    if light.good:
        total = minutes_words(light.good_min)
        usable = usable_intervals(light)
        rest = f" Usable with a tripod, when nothing moves: {times_words(usable)}." if usable else ""
        return (
            f"{total} of it under {_a(sky)}{_for(light)}, brightest {brightest_at}, {_from(light, top, faces_deg)}."
            f"{rest} {_sun_words(light)}"
        )
    return f"Under {_a(sky)} the most is {brightest_at}. Ask for less, allow direct sun, or try another table spot."


def _for(light: DayLight) -> str:
    """What asks for it: ', at least 640 lx for pour: f/9, 1/60 s, ISO 3200'."""
    needs = light.needs
    if not needs.because:
        return ""
    return f", at least {rounded(needs.at_least_lx)} lx{level_share_words(needs)} for {needs.because}"


def _from(light: DayLight, i: int, faces_deg: float) -> str:
    """From which side of the camera the light comes, and how much darker the shadow side is."""
    front, right, back, left = (float(v) for v in light.faces_lx[:, i])
    turn = math.atan2(right - left, front - back) - math.radians(faces_deg)
    across, ahead = math.sin(turn), math.cos(turn)
    # within 15 degrees of straight ahead or behind, as the moment's answer has it
    side = ("behind the dish" if ahead > 0 else "the camera's side") if abs(across) < 0.26 else ""
    side = side or ("the right" if across > 0 else "the left")
    return f"from {side}, shadow side {float(light.key_fill_stops[i]):.1f} stops darker"


def _sun_words(light: DayLight) -> str:
    """When sun falls on the dish, and whether those hours count."""
    if not light.sun_intervals:
        return "No direct sun falls on the dish."
    counts = "those hours are left out" if light.needs.no_direct_sun else "hard light, deep shadows"
    return f"Direct sun falls on the dish {times_words(light.sun_intervals)}: {counts}."


def _a(words: str) -> str:
    if words.startswith("the "):
        return words
    return f"an {words}" if words[0] in "aeiou" else f"a {words}"
