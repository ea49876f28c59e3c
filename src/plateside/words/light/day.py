"""One day of light in words: the headline and its lead, a line a fact, and what is said of each hour."""

from datetime import date, datetime

from plateside.light.best import left_at, spread_at
from plateside.model.light_answers import DayLight
from plateside.model.light_facts import DayFacts
from plateside.words.counting import (
    about,
    capital,
    clock,
    day_of_year,
    duration,
    figures,
    from_to,
    near_day,
    spans,
    stops,
)
from plateside.words.counting import day as whole_day
from plateside.words.light.moment import left_sentence, picture_lines, rank_lines, usable_lines
from plateside.words.light.phrases import (
    FROM,
    LAMP,
    exposure_phrase,
    least_phrase,
    lux_phrase,
    middle_exposure_phrase,
    needs_phrase,
    sky_phrase,
    under_phrase,
)

TOO_DARK_LX = 1.0


def answer_sentence(d: DayFacts, today: date) -> str:
    """The headline: when the light is."""
    when = capital(near_day(d.day, today))
    if d.no_daylight:
        return f"{when}, the sun does not rise."
    if not d.light.good:
        return f"{when}, {d.spot}: no hour has the light you ask for."
    more = f", strongest {clock(d.strongest.start)} to {clock(d.strongest.end)}" if d.strongest else ""
    return f"{when}, {d.spot}: your light is {from_to(d.light.good)}{more}."


def lead_sentences(d: DayFacts) -> list[str]:
    """How much of it there is and for what; how bright, from where and how soft at its best; tripod hours; the sun."""
    if d.no_daylight:
        return ["No daylight on this day.", LAMP]
    best = f"{lux_phrase(d.brightest_good_lx)} at {clock(d.brightest_good_at)}"
    settings = f"f/8 at ISO 100: {middle_exposure_phrase(d.brightest_good_lx)}"
    if not d.light.good:
        return [
            f"Under {under_phrase(d.sky)} the most you get is {best} ({settings}).",
            "Ask for less, allow direct sun, or try another table spot.",
        ]
    needs = d.light.needs
    least = f": {least_phrase(needs)}" if needs.because else ""
    shadow = stops(float(d.light.key_fill_stops[d.light.times.index(d.brightest_good_at)]))
    return [
        f"{duration(d.good_min)} of good light under {under_phrase(d.sky)}{least}.",
        f"Brightest {best} ({settings}), {FROM[d.key_from]}, shadow side {shadow} darker.",
        *usable_lines(d.usable),
        sun_sentence(d.light),
    ]


def sun_sentence(light: DayLight) -> str:
    """When sun falls on the dish, and whether those hours count."""
    if not light.sun_intervals:
        return "No direct sun falls on the dish."
    counts = "those hours are left out" if light.needs.no_direct_sun else "hard light, deep shadows"
    return f"Direct sun falls on the dish {spans(light.sun_intervals)}: {counts}."


def day_lines(d: DayFacts) -> list[str]:
    """The day as the command says it, a fact a line; the verdict first."""
    lines = [f"{whole_day(d.day)}, {d.spot} in {d.place}, {sky_phrase(d.sky)}."]
    if not d.no_daylight:
        kind = "Brightest of the good light" if d.light.good else "Brightest"
        best = f"{lux_phrase(d.brightest_good_lx)}; at f/8, ISO 100: {exposure_phrase(d.brightest_good_lx)}"
        lines += [
            *good_lines(d),
            f"{kind} at {clock(d.brightest_good_at)}: {best}.",
            f"Sun on the dish: {spans(d.light.sun_intervals)}.",
        ]
    lines += sun_day_lines(d.light)
    if not d.no_daylight:
        lines += [*hour_lines(d.light), *rank_lines(d.spots, "Longest good light")]
    return [*lines, *picture_lines(d.pictures)]


def good_lines(d: DayFacts) -> list[str]:
    """When the needs are met, and when a tripod helps."""
    total = f", {duration(d.good_min)} in all" if len(d.light.good) > 1 else ""
    return [
        f"Good light {spans(d.light.good)}{total}: {needs_phrase(d.light.needs)}.",
        *usable_lines(d.usable),
    ]


def about_day_lines(d: DayFacts) -> list[str]:
    """What the page says below the day's curve: the sun's day, sun on the dish, the other table spots."""
    if d.no_daylight:
        return sun_day_lines(d.light)
    lines = [*sun_day_lines(d.light), f"Sun on the dish: {spans(d.light.sun_intervals)}."]
    others = "; ".join(f"{e.spot} {duration(e.good_min)}" for e in d.elsewhere)
    return [*lines, f"Good light elsewhere: {others}."] if others else lines


def sun_day_lines(light: DayLight) -> list[str]:
    """The sun's day: rise, noon, setting; polar day and night said plainly."""
    if light.never_up:
        return ["The sun does not rise on this day.", LAMP]
    noon = f"highest at {clock(light.transit)}"
    if light.always_up:
        return [f"The sun does not set on this day; {noon}."]
    rise, setting = (
        "No sunrise: the sun is up from the day before",
        "no sunset: the sun stays up into the next day",
    )
    if light.sunrise:
        rise = f"Sunrise {_clock(light.sunrise, light.day)}"
    if light.sunset:
        setting = f"sunset {_clock(light.sunset, light.day)}"
    return [f"{rise}, {noon}, {setting}."]


def _clock(moment: datetime, of: date) -> str:
    """'00:03 the next day'."""
    ahead = (moment.date() - of).days
    other = {0: "", 1: " the next day", -1: " the day before"}
    return clock(moment) + other.get(ahead, f" on {day_of_year(moment.date())}")


def hour_lines(light: DayLight) -> list[str]:
    """Every second hour with light: when, how much, which exposure."""
    lines = []
    for i, moment in enumerate(light.times):
        if moment.minute or moment.hour % 2 or light.horizontal_lx[i] < TOO_DARK_LX:
            continue
        at = spread_at(light, i)
        sun = ", sun on the dish" if light.sun_on_dish[i] else ""
        lines.append(f"  {clock(moment)}  {about(at, 'lx')}, {exposure_phrase(at)}{sun}")
    return lines


def curve_sentence(d: DayFacts) -> str:
    """The day's curve, for who hears it instead of seeing it."""
    good, sun = (from_to(s) or "at no time" for s in (d.light.good, d.light.sun_intervals))
    top = clock(d.brightest_good_at)
    shape = f"Light on the table over the day in stops, brightest at {top}."
    return f"{shape} Good light {good}. Direct sun on the dish {sun}."


def now_sentences(light: DayLight) -> list[str]:
    """Of each of the day's moments: how much light, sun on the dish, and how long it stays good."""
    said = []
    for i, moment in enumerate(light.times):
        lux = lux_phrase(spread_at(light, i)) if light.horizontal_lx[i] > 0 else "no light"
        sun = " Direct sun on the dish." if light.sun_on_dish[i] else ""
        said.append(f"{lux}.{sun} {left_sentence(left_at(light, moment))}")
    return said


def state_phrases(light: DayLight) -> list[str]:
    """Of each of the day's moments in short: '13:05, about 4300 lx, good, direct sun on the dish'."""
    said = []
    for i, moment in enumerate(light.times):
        lux = (
            f"about {figures(float(light.horizontal_lx[i]))} lx" if light.horizontal_lx[i] > 0 else "no light"
        )
        good = "good" if light.light_left_min(moment) > 0 else "not good"
        said.append(
            f"{clock(moment)}, {lux}, {good}{', direct sun on the dish' if light.sun_on_dish[i] else ''}"
        )
    return said
