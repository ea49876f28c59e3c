"""The day as it is planned: hours, plates, notes.

`LightOfShot`                a shot's light over the working day
`DayPlan`, `Slot`, `Plate`   the day
`together`, `apart`          several days as one plan, and each for itself
"""

import math
from bisect import bisect_right
from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import date, datetime
from functools import cached_property

import numpy as np
from numpy.typing import NDArray

from plateside.model.shoot import Shot, Step
from plateside.plan.clocks import HoldingRule
from plateside.plan.kitchen import DAY_BEFORE, Task

STAND_IN_SHARE = 0.6
"""Share of a shot's minutes spent on the stand-in, before the hero goes in (common practice)."""


@dataclass(frozen=True)
class LightOfShot:
    """A shot's light over the day: rising aware times, light reckoned with [lx], whether it is good."""

    times: tuple[datetime, ...]
    lux: NDArray[np.float64]
    good: NDArray[np.bool_]
    needed_lx: float = 0.0
    """What the shot needs at its settings; 0: not known."""

    def at(self, when: datetime) -> int:
        """Index of the step at or before a moment."""
        i = bisect_right(self._stamps, when.timestamp()) - 1
        return min(max(i, 0), len(self._stamps) - 1)

    @cached_property
    def _stamps(self) -> list[float]:
        return [t.timestamp() for t in self.times]

    def bad_share(self, first: int, last: int) -> float:
        """Share of the steps from `first` to `last`, both counted, in which the light is not good."""
        return (self._bad_before[last + 1] - self._bad_before[first]) / (last + 1 - first)

    @cached_property
    def _bad_before(self) -> list[int]:
        return [0, *np.cumsum(~self.good).tolist()]

    @cached_property
    def stops_under_best(self) -> list[float]:
        """At each step, how much less light there is than in the day's best."""
        if self.best_lux <= 0:
            return [0.0] * len(self.times)
        return [max(0.0, math.log2(self.best_lux / max(lux, 1e-3))) for lux in self.lux.tolist()]

    @cached_property
    def best_lux(self) -> float:
        """The day's best good light; without any, the day's best."""
        good = self.lux[self.good]
        return float(np.max(good)) if good.size else float(np.max(self.lux))


@dataclass(frozen=True, kw_only=True)
class Slot:
    """One shot's time."""

    shot: str
    angle: str
    starts: datetime
    """Setting up with the stand-in."""
    set_by: datetime
    """The set stands; from here to the hero the hands are in the kitchen."""
    hero_in: datetime
    """The hero on the set."""
    ends: datetime
    illuminance_lx: float
    stops_under_best: float
    good_light: bool
    irreversible: bool
    remarks: tuple["Remark", ...]


@dataclass(frozen=True, kw_only=True)
class Remark:
    """What could not be kept for a shot, or what it does to the dish."""

    code: str
    """light: not good the whole time; too late: after the hour you asked for; after your day; not whole afterwards"""
    illuminance_lx: float | None = None
    """The least light of its frames, where that is what is missing; facing the camera [lx]."""
    needed_lx: float | None = None
    limit: datetime | None = None


@dataclass(frozen=True, kw_only=True)
class Note:
    """Something to know about the day."""

    code: str
    """day before (names, when), early (name, when), no good light, plates (count), no shot (name, shot), brief (shot,
    name, minutes: looks right for, limit_min: frames take), over the limit (count: the plate's number, minutes,
    limit_min), holding"""
    name: str = ""
    names: tuple[str, ...] = ()
    shot: str = ""
    when: datetime | None = None
    count: int = 0
    minutes: float = 0.0
    limit_min: float = 0.0


@dataclass(frozen=True, kw_only=True)
class Plate:
    """One plated hero: how long it looks right, how long it stands out."""

    number: int
    shots: tuple[str, ...]
    plated: datetime
    last_frame: datetime
    looks_until: datetime | None
    out_min: float
    within_rule: bool


@dataclass(frozen=True, kw_only=True)
class DayPlan:
    """The day."""

    slots: tuple[Slot, ...]
    kitchen: tuple[Task, ...]
    plates: tuple[Plate, ...]
    rule: HoldingRule
    notes: tuple[Note, ...]
    good_light: tuple[tuple[datetime, datetime], ...] = ()
    """When the light is good for every shot."""
    unlit: str = ""
    """Why no light is known: no window, or no spot; empty when it is. The hours then say nothing of light."""
    assumed_lx: float | None = None
    """The light that set-ups are solved for meanwhile; None when there is nowhere to set up."""

    @property
    def begins(self) -> datetime | None:
        """When the first thing of the day is to be done."""
        starts = [t.starts for t in self.kitchen if t.why != DAY_BEFORE] + [s.starts for s in self.slots]
        return min(starts) if starts else None

    @property
    def order(self) -> list[str]:
        """Names of the shots by the hours at which their heroes come in."""
        return [s.shot for s in sorted(self.slots, key=lambda s: s.hero_in)]


def together(days: Sequence[DayPlan]) -> DayPlan:
    """Several days as one plan: slots, kitchen and plates one day after the other.

    When the light is good for every shot is told of the first day alone.
    """
    shots = {s.shot for day in days for s in day.slots}
    plates = [p for day in days for p in day.plates]
    notes = (n for day in days for n in day.notes if n.code != "no shot" or n.shot not in shots)
    return replace(
        days[0],
        slots=tuple(s for day in days for s in day.slots),
        kitchen=tuple(t for day in days for t in day.kitchen),
        plates=tuple(replace(p, number=number) for number, p in enumerate(plates, start=1)),
        # what is the same of every day is said once
        notes=tuple(dict.fromkeys(notes)),
    )


def apart(plan: DayPlan) -> list[tuple[date, DayPlan]]:
    """Each day of a plan for itself; none without shots. Cooking ahead goes with the next day's shots."""
    days = sorted({s.starts.date() for s in plan.slots})
    if len(days) < 2:
        return [(days[0], plan)] if days else []

    def day_of(when: datetime) -> date:
        return next((d for d in days if d >= when.date()), days[-1])

    return [
        (
            day,
            replace(
                plan,
                slots=tuple(s for s in plan.slots if s.starts.date() == day),
                kitchen=tuple(t for t in plan.kitchen if day_of(t.starts) == day),
                plates=tuple(p for p in plan.plates if p.plated.date() == day),
                good_light=tuple(span for span in plan.good_light if span[0].date() == day),
            ),
        )
        for day in days
    ]


@dataclass(frozen=True)
class TimedShot:
    """One shot's hours while the day is sought."""

    shot: Shot
    starts: datetime
    hero: datetime
    ends: datetime
    finishing: tuple[Step, ...]
