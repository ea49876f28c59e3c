"""What the Light page is sent: drawings, figures to point by, facts in rows, the sentences chosen for it.

day_shown      one day: the answer, its curve, what is said of each of its moments
hour_shown     one moment: its rows, the plan with the sun where it is
changes_shown  changes of the set side by side
week_shown     seven days
year_shown     the year's calendar, values and months
left_shown     the light on set
"""

from dataclasses import dataclass
from datetime import date, datetime
from typing import Any

from plateside.model.light_answers import Array, Interval
from plateside.model.light_facts import ChangesFacts, DayFacts, HourFacts, LightLeft, WeekDay, WeekFacts
from plateside.tasks.light.drawings import samples_shown
from plateside.tasks.light.year_kept import Pairs, YearDrawn
from plateside.tasks.report import as_json
from plateside.words import Row
from plateside.words.counting import (
    MONTHS,
    about,
    change,
    clock,
    duration,
    figures,
    short_day,
    span,
)
from plateside.words.counting import day as whole_day
from plateside.words.light.calendar import (
    good_phrase,
    longest_sentence,
    missing_sentence,
    week_sentence,
)
from plateside.words.light.day import (
    about_day_lines,
    answer_sentence,
    lead_sentences,
    now_sentences,
    state_phrases,
)
from plateside.words.light.left import left_lines, planned_notice, planned_phrase
from plateside.words.light.moment import fill_phrase, moment_rows, what_if_phrase
from plateside.words.light.phrases import CAUTION, needs_phrase, sky_phrase
from plateside.words.units import units_of


@dataclass(frozen=True)
class Span:
    """A stretch of the day [s since 1970 UTC], and as the clock has it."""

    start_s: float
    end_s: float
    words: str
    minutes: float


@dataclass(frozen=True)
class DayShown:
    """One day. Arrays run over `seconds`; light is to five figures, to point by: it is said with two."""

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
    now: tuple[str, ...]
    """What is said of each moment."""
    states: tuple[str, ...]
    """The same in short, for a screen reader on the slider."""
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
class HourShown:
    """One moment."""

    at: str
    clock: str
    dark: bool
    facts: tuple[Row, ...]
    sun_on_dish: bool
    sun_up: bool
    lux: float
    plan: str


@dataclass(frozen=True)
class ChangeShown:
    """One change of the set, against the set as it is."""

    kind: str
    name: str
    gain: str
    gain_stops: float
    lux: str
    fill: str
    """The shadow side, and how it changes."""
    fill_stops: float


@dataclass(frozen=True)
class ChangesShown:
    """The changes at a moment; empty when it is too dark."""

    at: str
    clock: str
    changes: tuple[ChangeShown, ...]


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
    missing: str
    """Said of the days that a forecast does not reach; empty when all seven are there."""


@dataclass(frozen=True)
class MonthShown:
    """A month in a line."""

    name: str
    good_h_per_day: str
    days_with_good_light: int
    sun_on_dish_h: str


def day_shown(d: DayFacts, today: date, curve: str) -> DayShown:
    """One day with its curve, as SVG; `today` is the studio's own."""
    light = d.light
    first, last = samples_shown(light)
    return DayShown(
        answer=answer_sentence(d, today),
        lead=" ".join(lead_sentences(d)),
        day=d.day,
        day_words=whole_day(d.day),
        place=d.place,
        spot=d.spot,
        sky=sky_phrase(d.sky),
        needs=needs_phrase(light.needs),
        seconds=tuple(t.timestamp() for t in light.times),
        clocks=tuple(clock(t) for t in light.times),
        iso=tuple(t.isoformat() for t in light.times),
        lux=_five(light.horizontal_lx),
        low=_five(light.horizontal_low_lx),
        high=_five(light.horizontal_high_lx),
        now=tuple(now_sentences(light)),
        states=tuple(state_phrases(light)),
        good=_spans(light.good),
        usable=_spans(d.usable),
        sun=_spans(light.sun_intervals),
        first=first,
        last=last,
        best=light.times.index(d.brightest_good_at),
        curve=curve,
        never_up=light.never_up,
        sentences=tuple(about_day_lines(d)),
        caution=CAUTION,
    )


def hour_shown(h: HourFacts, plan: str) -> HourShown:
    """One moment with its plan, as SVG."""
    lux = h.light.horizontal_lx.value
    return HourShown(
        at=h.at.isoformat(),
        clock=clock(h.at),
        dark=h.dark,
        facts=tuple(moment_rows(h)),
        sun_on_dish=h.light.sun_on_dish,
        sun_up=h.sun.code != "down",
        lux=float(figures(lux)) if lux >= 0.1 else 0.0,
        plan=plan,
    )


def changes_shown(c: ChangesFacts) -> ChangesShown:
    """The changes at a moment, the first the set as it is."""
    units = units_of(c.units)
    return ChangesShown(
        at=c.at.isoformat(),
        clock=clock(c.at),
        changes=tuple(
            ChangeShown(
                kind=one.kind,
                name=what_if_phrase(one, units),
                gain=change(one.gain_stops),
                gain_stops=one.gain_stops,
                lux=about(one.light.horizontal_lx, "lx"),
                fill=fill_phrase(one),
                fill_stops=one.light.key_fill_stops.value,
            )
            for one in c.changes
        ),
    )


def week_shown(w: WeekFacts) -> WeekShown:
    """Seven days."""
    return WeekShown(
        week_sentence(w), tuple(_week_day(w, d) for d in w.days), missing_sentence(w) if w.missing else ""
    )


def _week_day(w: WeekFacts, d: WeekDay) -> WeekDayShown:
    return WeekDayShown(
        day=d.day,
        name=short_day(d.day),
        long_name=whole_day(d.day),
        good=tuple((_hour(s.start), _hour(s.end) or 24.0) for s in d.good),
        good_words=good_phrase(d),
        total_words=duration(d.good_min),
        lux=about(d.brightest_good_lx, "lx"),
        spot=d.spot,
        best=len(w.days) > 1 and not w.alike and d == w.best,
        no_daylight=d.no_daylight,
    )


@dataclass(frozen=True)
class YearShown:
    """A year: its answer and months, its drawing, what is read out of it (as YearDrawn tells)."""

    year: int
    spot: str
    place: str
    sky: str
    needs: str
    answer: str
    read_min: int
    first_hour: int
    last_hour: int
    calendar: str
    calendar_small: str
    lux: tuple[tuple[float | None, ...], ...]
    good: tuple[Pairs, ...]
    sun: tuple[Pairs, ...]
    spread: tuple[float, float]
    months: tuple[MonthShown, ...]


def year_shown(drawn: YearDrawn) -> Any:
    """YearShown as JSON: it is kept so."""
    y = drawn.facts
    months = tuple(
        MonthShown(
            MONTHS[m.month - 1], f"{m.good_h_per_day:.1f}", m.days_with_good_light, f"{m.sun_on_dish_h:.0f}"
        )
        for m in y.months
    )
    shown = YearShown(
        year=y.year, spot=y.spot, place=y.place,
        sky=sky_phrase(y.sky), needs=needs_phrase(y.needs), answer=longest_sentence(y),
        read_min=drawn.read_min, first_hour=drawn.first_hour, last_hour=drawn.last_hour,
        calendar=drawn.calendar, calendar_small=drawn.calendar_small,
        lux=drawn.lux, good=drawn.good, sun=drawn.sun, spread=drawn.spread, months=months,
    )  # fmt: skip
    return as_json(shown)


@dataclass(frozen=True)
class LeftShown:
    """The light on set: `code` is what it does, the rest is said of it."""

    shot: str
    code: str
    lines: tuple[str, ...]
    until: datetime | None
    """By the camera's own readings."""
    predicted_until: datetime | None
    predicted_from: datetime | None
    planned_for: str
    """The plan's day where it is another than today; else empty."""
    planned_notice: str
    white_k: float
    """White balance for today's light now, to 100 K; 0 without daylight."""


def left_shown(left: LightLeft) -> LeftShown:
    """The light on set, with its sentences."""
    return LeftShown(
        shot=left.shot,
        code=left.code,
        lines=tuple(left_lines(left)),
        until=left.until,
        predicted_until=left.predicted.until,
        predicted_from=left.predicted.again,
        planned_for=planned_phrase(left),
        planned_notice=planned_notice(left),
        white_k=round(left.cct_k, -2),
    )


def _five(lux: Array) -> tuple[float, ...]:
    return tuple(float(f"{v:.5g}") for v in lux)


def _spans(intervals: tuple[Interval, ...]) -> tuple[Span, ...]:
    return tuple(Span(s.start.timestamp(), s.end.timestamp(), span(s), s.minutes) for s in intervals)


def _hour(moment: datetime) -> float:
    return moment.hour + moment.minute / 60
