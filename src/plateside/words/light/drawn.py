"""What stands over the drawings of light."""

from datetime import datetime

from plateside.model.light_facts import SkyAsked
from plateside.words.counting import clock, day
from plateside.words.light.phrases import sky_phrase

DARK_DAY = "The sun does not rise on this day: one lamp, window blocked."


def plan_above(place: str, when: datetime) -> str:
    return f"{place} at {clock(when)}"


def plan_below(spot: str, when: datetime) -> str:
    return f"{day(when.date())} · {spot}"


def day_below(place: str, sky: SkyAsked) -> str:
    return f"{place} · {sky_phrase(sky)} · local time"


def year_above(year: int, spot: str) -> str:
    return f"The year {year}, {spot}"


def year_below(place: str, sky: SkyAsked) -> str:
    return f"{place} · {sky_phrase(sky)} · local time, summer time where it is kept"
