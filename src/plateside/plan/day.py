"""The day: each shot at an hour in the good light, the cooking planned back from it, both clocks running.

`LightOfShot`     a shot's light over the working day
`plan_day`        the day of least cost
`DayPlan`, `Slot`, `Plate`

The order is greedy and honest about it: shots keep together by angle (one rig change), irreversible ones come last in
the order of the list, every order of the angles and every start on a five-minute grid is tried, and a shot waits when
good light comes within two hours. What cannot be kept is said rather than hidden.
"""

import math
from bisect import bisect_right
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta
from functools import cached_property
from itertools import permutations

import numpy as np
from numpy.typing import NDArray

from plateside.model.shoot import Recipe, Shot, Step
from plateside.plan.clocks import HoldingRule, minutes_of
from plateside.plan.kitchen import DAY_BEFORE, Task, ahead_plan, chain, minutes_for, redo_for, split_steps

STAND_IN_SHARE = 0.6
"""Share of a shot's minutes spent on the stand-in, before the hero goes in (common practice)."""
GRID_MIN = 5
LONGEST_WAIT_MIN = 120
MOST_ORDERS = 24


@dataclass(frozen=True)
class LightOfShot:
    """A shot's light over the day: rising aware times, light reckoned with [lx], whether it is good."""

    times: tuple[datetime, ...]
    lux: NDArray[np.float64]
    good: NDArray[np.bool_]

    def at(self, when: datetime) -> int:
        """Index of the step at or before a moment."""
        i = bisect_right(self._stamps, when.timestamp()) - 1
        return min(max(i, 0), len(self._stamps) - 1)

    @cached_property
    def _stamps(self) -> list[float]:
        return [t.timestamp() for t in self.times]

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
    hero_in: datetime
    """The hero on the set."""
    ends: datetime
    illuminance_lx: float
    stops_under_best: float
    good_light: bool
    irreversible: bool
    remarks: tuple[str, ...]


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
    notes: tuple[str, ...]
    good_light: tuple[tuple[datetime, datetime], ...] = ()
    """When the light is good for every shot."""

    @property
    def begins(self) -> datetime | None:
        """When the first thing of the day is to be done."""
        starts = [t.starts for t in self.kitchen if t.why != DAY_BEFORE] + [s.starts for s in self.slots]
        return min(starts) if starts else None


@dataclass(frozen=True)
class _Placed:
    shot: Shot
    starts: datetime
    hero: datetime
    ends: datetime
    finishing: tuple[Step, ...]


def plan_day(
    shots: Sequence[Shot],
    recipe: Recipe,
    lights: Mapping[str, LightOfShot],
    rule: HoldingRule,
    day_from: datetime,
    day_to: datetime,
) -> DayPlan:
    """Give each shot an hour. `lights` has one entry a shot, by name; the two moments bound the working day."""
    ahead, finishing = split_steps(recipe.steps)
    best: tuple[float, list[_Placed]] | None = None
    for order in orders(shots):
        start = day_from
        while start < day_to:
            cost, placed = _run(order, start, day_to, lights, finishing)
            cost += _early_cost(placed, ahead, day_from, day_to)
            if best is None or cost < best[0] - 1e-9:
                best = (cost, placed)
            start += timedelta(minutes=GRID_MIN)
    placed = best[1] if best is not None else []
    slots = tuple(_slot(p, lights[p.shot.name], day_to) for p in placed)
    kitchen: tuple[Task, ...] = ()
    if placed:
        kitchen = _ahead(placed, ahead, day_from, day_to)
        for p in placed:
            kitchen += chain(p.finishing, p.hero, p.shot.name)
    plates = _plates(placed, finishing, rule, recipe.perishable)
    return DayPlan(
        slots=slots,
        kitchen=tuple(sorted(kitchen, key=lambda t: (t.starts, t.ends))),
        plates=plates,
        rule=rule,
        notes=_notes(placed, kitchen, plates, rule, recipe, day_from, [s.good_light for s in slots]),
        good_light=_good_for_all(list(lights.values()), day_from, day_to),
    )


def _good_for_all(
    lights: Sequence[LightOfShot], day_from: datetime, day_to: datetime
) -> tuple[tuple[datetime, datetime], ...]:
    """Spans of the working day, to the five-minute grid, in which the light is good for every shot."""
    out: list[tuple[datetime, datetime]] = []
    at, since = day_from, None
    while at < day_to:
        good = bool(lights) and all(light.good[light.at(at)] for light in lights)
        if good and since is None:
            since = at
        if not good and since is not None:
            out.append((since, at))
            since = None
        at += timedelta(minutes=GRID_MIN)
    if since is not None:
        out.append((since, day_to))
    return tuple(out)


def _ahead(
    placed: Sequence[_Placed], ahead: Sequence[Step], day_from: datetime, day_to: datetime
) -> tuple[Task, ...]:
    first = placed[0]
    finishing_starts = first.hero - timedelta(minutes=minutes_for(first.finishing))
    return ahead_plan(ahead, first.starts, finishing_starts, day_from, day_to)


def _early_cost(
    placed: Sequence[_Placed], ahead: Sequence[Step], day_from: datetime, day_to: datetime
) -> float:
    """A minute of cooking before the working day counts one, cooking the day before ten in all."""
    if not placed:
        return 0.0
    tasks = _ahead(placed, ahead, day_from, day_to)
    today = [t.starts for t in tasks if t.why != DAY_BEFORE]
    early = max(0.0, (day_from - min(today)).total_seconds() / 60.0) if today else 0.0
    return early + (10.0 if len(today) < len(tasks) else 0.0)


def orders(shots: Sequence[Shot]) -> list[list[Shot]]:
    """Orders worth trying: by angle, irreversible last in their own order."""
    reversible = [s for s in shots if not s.irreversible]
    last = [s for s in shots if s.irreversible]
    angles = list(dict.fromkeys(s.angle for s in reversible))
    out = []
    for order in list(permutations(angles))[:MOST_ORDERS]:
        out.append([s for a in order for s in reversible if s.angle == a] + last)
    return out


def clock_time(words: str, day: datetime) -> datetime:
    """A local time such as 12:30 on the day of an aware moment."""
    hour, minute = words.split(":")[:2]
    return day.replace(hour=int(hour), minute=int(minute), second=0, microsecond=0)


def _run(
    order: Sequence[Shot],
    start: datetime,
    day_to: datetime,
    lights: Mapping[str, LightOfShot],
    finishing: tuple[Step, ...],
) -> tuple[float, list[_Placed]]:
    """Place shots one after another from a start; the cost counts minutes of bad light, waiting and lateness."""
    cursor, cost, placed = start, 0.0, []
    done: dict[str, datetime] = {}
    for shot in order:
        light = lights[shot.name]
        before = timedelta(minutes=shot.minutes * STAND_IN_SHARE)
        # which steps must be done again depends on the hour, and the hour on them: twice is enough
        redo = redo_for(finishing, done, cursor + before, shot.name)
        hero = cursor + before + timedelta(minutes=minutes_for(redo))
        redo = redo_for(finishing, done, hero, shot.name)
        hero = cursor + before + timedelta(minutes=minutes_for(redo))
        wait = _wait_min(shot, light, hero, day_to)
        if wait > 0:
            hero += timedelta(minutes=wait)
            redo = redo_for(finishing, done, hero, shot.name)
            cost += 0.5 * wait
        starts = hero - before - timedelta(minutes=minutes_for(redo))
        ends = hero + timedelta(minutes=shot.minutes * (1.0 - STAND_IN_SHARE))
        cost += _light_cost(light, hero, ends)
        if shot.to_time:
            cost += 20.0 * _over(ends, clock_time(shot.to_time, hero))
        cost += 20.0 * _over(ends, day_to) + 8.0 * len(redo)
        at = hero
        for step in reversed(redo):
            done[step.name] = at
            at -= timedelta(minutes=minutes_of(step.takes))
        placed.append(_Placed(shot, starts, hero, ends, redo))
        cursor = ends
    return cost, placed


def _over(moment: datetime, limit: datetime) -> float:
    return max(0.0, (moment - limit).total_seconds() / 60.0)


def _wait_min(shot: Shot, light: LightOfShot, hero: datetime, day_to: datetime) -> float:
    """Minutes to wait: for the shot's own earliest hour, then for good light within two hours."""
    wait = 0.0
    if shot.from_time:
        wait = max(0.0, (clock_time(shot.from_time, hero) - hero).total_seconds() / 60.0)
    at = hero + timedelta(minutes=wait)
    latest = min(day_to, clock_time(shot.to_time, hero)) if shot.to_time else day_to
    if not light.good[light.at(at)]:
        for extra in range(GRID_MIN, LONGEST_WAIT_MIN + 1, GRID_MIN):
            later = at + timedelta(minutes=extra)
            if later > latest:
                break
            if light.good[light.at(later)]:
                return wait + extra
    return wait


def _light_cost(light: LightOfShot, hero: datetime, ends: datetime) -> float:
    i, j = light.at(hero), light.at(ends)
    span = slice(i, max(i, j) + 1)
    minutes = (ends - hero).total_seconds() / 60.0
    bad = float(np.mean(~light.good[span])) * minutes
    return 10.0 * bad + 6.0 * _stops_under(light, i)


def _stops_under(light: LightOfShot, i: int) -> float:
    if light.best_lux <= 0:
        return 0.0
    return max(0.0, math.log2(light.best_lux / max(float(light.lux[i]), 1e-3)))


def _slot(p: _Placed, light: LightOfShot, day_to: datetime) -> Slot:
    i = light.at(p.hero)
    j = max(i, light.at(p.ends))
    remarks: list[str] = []
    good = bool(np.all(light.good[i : j + 1]))
    if not good:
        remarks.append("the light is not good the whole time")
    if p.shot.to_time and p.ends > clock_time(p.shot.to_time, p.hero):
        remarks.append(f"later than the {p.shot.to_time} you asked for")
    if p.ends > day_to:
        remarks.append(f"ends after your day, {day_to:%H:%M}: leave a shot out or shorten one")
    if p.shot.irreversible:
        remarks.append("the dish is not whole afterwards")
    return Slot(
        shot=p.shot.name,
        angle=p.shot.angle,
        starts=p.starts,
        hero_in=p.hero,
        ends=p.ends,
        illuminance_lx=float(light.lux[i]),
        stops_under_best=_stops_under(light, i),
        good_light=good,
        irreversible=p.shot.irreversible,
        remarks=tuple(remarks),
    )


def _plates(
    placed: Sequence[_Placed], finishing: tuple[Step, ...], rule: HoldingRule, perishable: bool
) -> tuple[Plate, ...]:
    """One plate from each plating to the last frame before the next."""
    out: list[Plate] = []
    groups: list[list[_Placed]] = []
    for p in placed:
        # a step that belongs to one shot, as its cut, is done to the plate that stands there
        if not groups or any(not s.for_shot for s in p.finishing):
            groups.append([p])
        else:
            groups[-1].append(p)
    looks = [minutes_of(s.looks_fresh_for) for s in finishing if s.looks_fresh_for and not s.for_shot]
    for number, group in enumerate(groups, start=1):
        plated, last = group[0].hero, group[-1].ends
        minutes = (last - plated).total_seconds() / 60.0
        out.append(
            Plate(
                number=number,
                shots=tuple(p.shot.name for p in group),
                plated=plated,
                last_frame=last,
                looks_until=plated + timedelta(minutes=min(looks)) if looks else None,
                out_min=minutes,
                within_rule=not perishable or minutes <= rule.discard_after_min,
            )
        )
    return tuple(out)


def _notes(
    placed: Sequence[_Placed],
    kitchen: Sequence[Task],
    plates: Sequence[Plate],
    rule: HoldingRule,
    recipe: Recipe,
    day_from: datetime,
    good: Sequence[bool],
) -> tuple[str, ...]:
    out: list[str] = []
    before = [t for t in kitchen if t.why == DAY_BEFORE]
    if before:
        out.append(f"The day before, from {before[0].starts:%H:%M}: {', '.join(t.name for t in before)}.")
    early = [t for t in kitchen if t.starts < day_from and t.why != DAY_BEFORE]
    if early:
        out.append(
            f"'{early[0].name}' must begin by {early[0].starts:%H:%M on %d %B}, before your day: "
            "begin then, or shoot later."
        )
    if placed and not any(good):
        out.append(
            "No shot has good light the whole time: choose another day or sky, or block the window and use one lamp."
        )
    if len(plates) > 1:
        out.append(
            f"{len(plates)} plates are needed, as the looks run out before the last shot; with a stand-in and a "
            f"spare, make {len(plates) + 2}."
        )
    elif plates:
        out.append(
            "One plate holds its looks for all shots; make a stand-in and a spare as well, three in all."
        )
    names = {p.shot.name for p in placed}
    out += [
        f"'{s.name}' is for the shot '{s.for_shot}', which is not on the list."
        for s in recipe.steps
        if s.for_shot and s.for_shot not in names
    ]
    for p in placed:
        frames = p.shot.minutes * (1.0 - STAND_IN_SHARE)
        brief = [s for s in p.finishing if s.looks_fresh_for and minutes_of(s.looks_fresh_for) < frames]
        if brief:
            step = min(brief, key=lambda s: minutes_of(s.looks_fresh_for))
            out.append(
                f"{p.shot.name}: '{step.name}' looks right for {minutes_of(step.looks_fresh_for):.0f} min and the "
                f"frames take {frames:.0f}: light and focus set on the stand-in, hero in last."
            )
    if recipe.perishable:
        out += [
            f"Plate {p.number} stands out {p.out_min:.0f} min, over {rule.discard_after_min:.0f} min ({rule.body}): "
            "throw it away, nobody eats it."
            for p in plates
            if not p.within_rule
        ]
        out.append(rule.words + " Time out is added up over test, hero and resets. If unsure, throw it away.")
    return tuple(out)
