"""The light as its page shows it: the same answers as the commands', with drawings and figures to draw from.

The week is in light_week_shown, the year in light_year_shown.

day       one day: the answer in a sentence, the curve's figures, the times
moment    one moment: its facts, the plan with the sun where it stands
what_ifs  the usual changes side by side at a moment
"""

from dataclasses import dataclass
from datetime import date
from pathlib import Path

import numpy as np

from plateside.light.answers import Array, DayLight, Interval, rounded
from plateside.light.needs import usable_intervals
from plateside.light.what_if import what_ifs
from plateside.tasks.light.answer import answer_words, lead_words
from plateside.tasks.light.asked import Asked, brightest, days_of
from plateside.tasks.light.choice import SKY_FILES, Choice, sky_file
from plateside.tasks.light.drawings import plan_svg, plot_svg
from plateside.tasks.light.moment_and_day import light_of_stand
from plateside.tasks.light.place import Stand, day_in, moment_in
from plateside.tasks.light.sky import SkyChoice
from plateside.tasks.light.words import (
    CAUTION,
    TOO_DARK_LX,
    day_words,
    exposure_words,
    key_side,
    minutes_words,
    needs_words,
    stops_words,
    sun_day_lines,
    sun_sentence,
    times_words,
)

SHOWN_LX = 0.5
"""The curve runs from the first to the last moment with this much light."""


@dataclass(frozen=True)
class Span:
    """A stretch of the day [s since 1970 UTC], and as the clock tells it."""

    start_s: float
    end_s: float
    words: str
    minutes: float


@dataclass(frozen=True)
class DayShown:
    """One day. Arrays run over `seconds`; light is to five figures, to point by: it is told with two."""

    answer: str
    lead: str
    day: date
    day_words: str
    place: str
    spot: str
    sky: str
    needs: str
    seconds: tuple[float, ...]
    clocks: tuple[str, ...]
    iso: tuple[str, ...]
    lux: tuple[float, ...]
    low: tuple[float, ...]
    high: tuple[float, ...]
    good: tuple[Span, ...]
    usable: tuple[Span, ...]
    """Too little light for what the shots need, and enough for a tripod when nothing moves."""
    sun: tuple[Span, ...]
    first: int
    """First and last moment worth showing, as indices."""
    last: int
    best: int
    curve: str
    """SVG, from first to last; its root tells where a moment stands: drawing.day.day_plot."""
    never_up: bool
    sentences: tuple[str, ...]
    caution: str


@dataclass(frozen=True)
class Fact:
    """A name and its value in words."""

    name: str
    value: str


@dataclass(frozen=True)
class MomentShown:
    """One moment."""

    at: str
    clock: str
    dark: bool
    facts: tuple[Fact, ...]
    sun_on_dish: bool
    sun_up: bool
    lux: float
    plan: str


@dataclass(frozen=True)
class ChangeShown:
    """One change of the set, against the set as it is."""

    name: str
    gain: str
    gain_stops: float | None
    lux: str
    fill: str
    """The shadow side, and how it changes."""
    fill_stops: float


@dataclass(frozen=True)
class WhatIfsShown:
    """The changes at a moment; empty when it is too dark."""

    at: str
    clock: str
    changes: tuple[ChangeShown, ...]


def asked_of(root: Path, choice: Choice) -> Asked:
    """The choice as the light tasks take it."""
    return Asked(
        path=root,
        spot=choice.spot,
        shot=choice.shot,
        sky="" if choice.sky in SKY_FILES else choice.sky,
        forecast=sky_file(root, "forecast") if choice.sky == "forecast" else None,
        weather=sky_file(root, "typical year") if choice.sky == "typical year" else None,
        no_direct_sun=choice.no_direct_sun,
        at_least_lx=choice.at_least_lx,
        at_most_key_fill_stops=choice.at_most_key_fill_stops,
    )


def sky_told(asked: Asked, sky: SkyChoice) -> str:
    """The sky as the page tells it: her own file by what it is, not by its name."""
    if asked.forecast is not None:
        return "the sky of your forecast"
    if sky.weather is not None:
        return f"the typical year of {sky.weather.place_name}"
    return sky.words


def shown_day(asked: Asked, stand: Stand, day: str, today: date, small: bool = False) -> DayShown:
    """One day, its curve for a small screen or a large one. Raises InputError for a day that is none."""
    wanted = day_in(day)
    sky, needs = asked.sky_for(stand, wanted), asked.needs(stand)
    days = days_of(stand, wanted, sky, needs)
    light = days[stand.spot.name]
    top = brightest(light)
    lit = np.nonzero(light.horizontal_lx > SHOWN_LX)[0]
    first, last = (int(lit[0]), int(lit[-1])) if len(lit) else (0, len(light.times) - 1)
    return DayShown(
        answer=answer_words(light, wanted, today, stand.spot.name),
        lead=lead_words(light, top, sky_told(asked, sky), stand.camera_faces_deg),
        day=wanted,
        day_words=day_words(wanted),
        place=stand.place_words,
        spot=stand.spot.name,
        sky=sky_told(asked, sky),
        needs=needs_words(needs),
        seconds=tuple(t.timestamp() for t in light.times),
        clocks=tuple(f"{t:%H:%M}" for t in light.times),
        iso=tuple(t.isoformat() for t in light.times),
        lux=_figures(light.horizontal_lx),
        low=_figures(light.horizontal_low_lx),
        high=_figures(light.horizontal_high_lx),
        good=_spans(light.good),
        usable=_spans(usable_intervals(light)),
        sun=_spans(light.sun_intervals),
        first=first,
        last=last,
        best=top,
        curve=plot_svg(light, days, first, last, small=small),
        never_up=light.never_up,
        sentences=(*sun_day_lines(light), *_day_sentences(light, days)),
        caution=CAUTION,
    )


def _day_sentences(light: DayLight, days: dict[str, DayLight]) -> list[str]:
    """Sun on the dish, and how the other table spots do."""
    if light.never_up:
        return []
    told = [f"Sun on the dish: {times_words(light.sun_intervals)}."]
    others = [f"{name} {minutes_words(d.good_min)}" for name, d in days.items() if name != light.spot]
    return [*told, f"Good light elsewhere: {'; '.join(others)}."] if others else told


def _figures(lux: Array) -> tuple[float, ...]:
    return tuple(float(f"{v:.5g}") for v in lux)


def two_figures(value: float) -> float:
    """To the two figures that a prediction is told with; nothing below a tenth of a lux."""
    return float(rounded(value)) if value >= 0.1 else 0.0


def _spans(intervals: tuple[Interval, ...]) -> tuple[Span, ...]:
    return tuple(Span(s.start.timestamp(), s.end.timestamp(), s.words(), s.minutes) for s in intervals)


def shown_moment(asked: Asked, stand: Stand, at: str, with_section: bool) -> MomentShown:
    """One moment (local time, or with its offset)."""
    when = moment_in(stand.zone, at)
    light = light_of_stand(stand, when, asked.sky_for(stand, when.date()).at(stand.studio.place, when))
    dark = light.horizontal_lx.value < TOO_DARK_LX
    facts = [Fact("Sun", _after_first_word(sun_sentence(light, stand)))]
    if dark:
        facts.insert(
            0, Fact("Light on the dish", "none to speak of: wait, or block the window and use one lamp")
        )
    else:
        facts = [
            Fact("Light on the dish", light.horizontal_lx.words("lx")),
            Fact("f/8, ISO 100", exposure_words(light.horizontal_lx)),
            Fact("Key", f"{key_side(light, stand)}, {light.key_direction} light"),
            Fact("Shadow side", f"{light.key_fill_stops.words('stops')} darker"),
            Fact("Colour", light.cct_k.words("K")),
            Fact("Cast of the room", light.cast.words),
            *facts,
            Fact("Modelling", light.modelling),
            Fact("Shadow edge", f"{light.shadow_edge_mm.words('mm')} wide"),
        ]
    return MomentShown(
        at=when.isoformat(),
        clock=f"{when:%H:%M}",
        dark=dark,
        facts=tuple(facts),
        sun_on_dish=light.sun_on_dish,
        sun_up=light.sun_elevation_deg > 0,
        lux=two_figures(light.horizontal_lx.value),
        plan=plan_svg(stand, light, when, with_section=with_section),
    )


def _after_first_word(sentence: str) -> str:
    return sentence.removeprefix("Sun ").rstrip(".")


def shown_what_ifs(asked: Asked, stand: Stand, at: str) -> WhatIfsShown:
    """The usual changes at a moment, the first the set as it is."""
    when = moment_in(stand.zone, at)
    sky = asked.sky_for(stand, when.date()).at(stand.studio.place, when)
    if light_of_stand(stand, when, sky).horizontal_lx.value < TOO_DARK_LX:
        return WhatIfsShown(when.isoformat(), f"{when:%H:%M}", ())
    found = what_ifs(
        stand.studio, stand.spot, when, sky,
        camera_faces_deg=stand.camera_faces_deg, elevation_deg=stand.camera_elevation_deg, boards=stand.boards,
    )  # fmt: skip
    return WhatIfsShown(
        at=when.isoformat(),
        clock=f"{when:%H:%M}",
        changes=tuple(
            ChangeShown(
                name=c.name,
                gain=stops_words(c.gain_stops),
                gain_stops=c.gain_stops if np.isfinite(c.gain_stops) else None,
                lux=c.light.horizontal_lx.words("lx"),
                fill=_fill_words(
                    c.light.key_fill_stops.value, c.key_fill_change_stops if c != found[0] else 0.0
                ),
                fill_stops=c.light.key_fill_stops.value,
            )
            for c in found
        ),
    )


def _fill_words(fill_stops: float, change: float) -> str:
    """'2.1 stops down, 0.7 lighter'."""
    if not np.isfinite(fill_stops):
        return "no light"
    down = f"{fill_stops:.1f} stops down"
    if not np.isfinite(change) or abs(change) < 0.05:
        return down
    return f"{down}, {abs(change):.1f} {'lighter' if change < 0 else 'darker'}"
