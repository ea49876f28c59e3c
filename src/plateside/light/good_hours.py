"""Good hours under stated needs, light left, and the best of several spots and windows.

meets            at which moments the needs are met
intervals        spans of moments that are marked
usable_intervals when there is too little light for the needs, and enough for a tripod
good_intervals   when a day meets other needs than those it was made with
best             days (of several spots, windows or sheets) by their good minutes
good_minutes     good minutes of every day of a year
"""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import datetime, timedelta

import numpy as np

from plateside.ground.exposure import lux_at_camera
from plateside.model.light_answers import Array, DayLight, Interval, LightNeeds, Mask, YearLight

LEAST_LX = 40.0
"""Less asks for more than 4 s at f/8 and ISO 100: no light to work by (common practice, no source)."""
SUN_UP_FROM_DEG = -6.0
"""Civil twilight: below it there is no daylight to speak of, whatever the needs."""


@dataclass(frozen=True)
class Ranked:
    """One of several choices, with how long it is good."""

    name: str
    good_minutes: float
    longest: Interval | None
    """Longest good span."""
    mean_lx: float
    """Mean light on the horizontal while it is good [lx]."""


def meets(
    needs: LightNeeds,
    horizontal_lx: Array,
    sun_on_dish: Mask,
    key_fill_stops: Array,
    elevation_deg: Array,
    camera_lx: Array | None = None,
) -> Mask:
    """At which moments the needs are met; any shape. `camera_lx` counts by what `level_share` leaves."""
    level_lx = horizontal_lx
    if camera_lx is not None and needs.level_share < 1.0:
        level_lx = lux_at_camera(horizontal_lx, camera_lx, needs.level_share)
    floor = min(needs.at_least_lx, LEAST_LX)
    good = (
        (level_lx >= needs.at_least_lx)
        & (horizontal_lx >= floor)
        & (horizontal_lx > 0)
        & (elevation_deg > SUN_UP_FROM_DEG)
    )
    if needs.no_direct_sun:
        good &= ~sun_on_dish
    if needs.at_most_key_fill_stops is not None:
        good &= key_fill_stops <= needs.at_most_key_fill_stops
    return np.asarray(good)


def intervals(times: Sequence[datetime], marked: Mask, step_min: float) -> tuple[Interval, ...]:
    """Spans of marked moments; each moment stands for the step that begins with it."""
    edges = np.flatnonzero(np.diff(np.concatenate([[0], marked.astype(np.int8), [0]])))
    spans = []
    for start, stop in zip(edges[::2], edges[1::2], strict=True):
        end = times[stop] if stop < len(times) else _after(times[-1], step_min)
        spans.append(Interval(times[start], end))
    return tuple(spans)


def good_intervals(day: DayLight, needs: LightNeeds) -> tuple[Interval, ...]:
    """When a day meets these needs."""
    return intervals(day.times, _meets_day(day, needs), day.step_min)


def _meets_day(day: DayLight, needs: LightNeeds) -> Mask:
    return meets(
        needs, day.horizontal_lx, day.sun_on_dish, day.key_fill_stops, day.sun_elevation_deg, day.camera_lx
    )


def usable_intervals(day: DayLight) -> tuple[Interval, ...]:
    """When there is LEAST_LX and all else that the needs ask but the amount: with a tripod, if nothing moves."""
    least = replace(day.needs, at_least_lx=min(LEAST_LX, day.needs.at_least_lx), level_share=1.0)
    return intervals(day.times, _meets_day(day, least) & ~_meets_day(day, day.needs), day.step_min)


def best(days: Sequence[tuple[str, DayLight]], needs: LightNeeds) -> tuple[Ranked, ...]:
    """Choices (name, day) by good minutes, then by the light while they are good; the best first."""
    ranked = []
    for name, day in days:
        spans = good_intervals(day, needs)
        good = _meets_day(day, needs)
        ranked.append(
            Ranked(
                name=name,
                good_minutes=sum(span.minutes for span in spans),
                longest=max(spans, key=lambda span: span.minutes, default=None),
                mean_lx=float(day.horizontal_lx[good].mean()) if np.any(good) else 0.0,
            )
        )
    return tuple(sorted(ranked, key=lambda one: (-one.good_minutes, -one.mean_lx)))


def year_good(year: YearLight, needs: LightNeeds) -> Mask:
    """At which moments of a year the needs are met, shape (days, steps)."""
    return meets(
        needs,
        year.horizontal_lx,
        year.sun_on_dish,
        year.key_fill_stops,
        year.sun_elevation_deg,
        year.camera_lx,
    )


def good_minutes(year: YearLight, needs: LightNeeds) -> Array:
    """Good minutes of every day of a year, shape (days,)."""
    step = float(year.minutes[1] - year.minutes[0]) if year.minutes.size > 1 else 1440.0
    return np.asarray(year_good(year, needs).sum(axis=1) * step)


def _after(moment: datetime, minutes: float) -> datetime:
    """So much true time later, in the same zone."""
    zone = moment.tzinfo
    return datetime.fromtimestamp(moment.timestamp() + timedelta(minutes=minutes).total_seconds(), tz=zone)
