"""The day: each shot at an hour in the good light, the cooking planned back from it, both clocks running.

`plan_day`        the day of least cost (the nouns are in day_plan.py)

The order is greedy and honest about it: shots keep together by angle (one rig change), irreversible ones come last in
the order of the list, every order of the angles and every start on a five-minute grid is tried, and a shot waits when
good light comes within two hours. There is one pair of hands: setting up, finishing, frames and the steps that need
hands never overlap. What cannot be kept is said rather than hidden.
"""

import math
from collections.abc import Mapping, Sequence
from datetime import datetime, timedelta
from itertools import permutations

import numpy as np

from plateside.model.shoot import Recipe, Shot, Step
from plateside.plan.clocks import HoldingRule, minutes_of
from plateside.plan.day_notes import notes_of, plates_of
from plateside.plan.day_plan import STAND_IN_SHARE, DayPlan, LightOfShot, Remark, Slot, TimedShot
from plateside.plan.dish_order import dish_order
from plateside.plan.extras import extra_minutes
from plateside.plan.kitchen import DAY_BEFORE, Task, ahead_plan, chain, minutes_for, redo_for, split_steps

GRID_MIN = 5
LONGEST_WAIT_MIN = 120
MOST_ORDERS = 24


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
    best: tuple[float, list[TimedShot]] | None = None
    for order in orders(shots, recipe.steps):
        start = day_from
        while start < day_to:
            dearest = math.inf if best is None else best[0] - 1e-9
            cost, placed = _run(order, start, day_to, lights, finishing, dearest)
            if cost < dearest:
                cost += _early_cost(placed, ahead, day_from, day_to)
            if cost < dearest:
                best = (cost, placed)
            start += timedelta(minutes=GRID_MIN)
    placed = best[1] if best is not None else []
    slots = tuple(_slot(p, lights[p.shot.name], day_to) for p in placed)
    kitchen: tuple[Task, ...] = ()
    if placed:
        kitchen = _ahead(placed, ahead, day_from, day_to)
        for p in placed:
            kitchen += chain(p.finishing, p.hero, p.shot.name)
    plates = plates_of(placed, finishing, rule, recipe.perishable)
    return DayPlan(
        slots=slots,
        kitchen=tuple(sorted(kitchen, key=lambda t: (t.starts, t.ends))),
        plates=plates,
        rule=rule,
        notes=notes_of(placed, kitchen, plates, rule, recipe, day_from, [s.good_light for s in slots]),
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
    placed: Sequence[TimedShot], ahead: Sequence[Step], day_from: datetime, day_to: datetime
) -> tuple[Task, ...]:
    first = placed[0]
    finishing_starts = first.hero - timedelta(minutes=minutes_for(first.finishing))
    return ahead_plan(ahead, first.starts, finishing_starts, day_from, day_to)


def _early_cost(
    placed: Sequence[TimedShot], ahead: Sequence[Step], day_from: datetime, day_to: datetime
) -> float:
    """A minute of cooking before the working day counts one, cooking the day before ten in all."""
    if not placed:
        return 0.0
    tasks = _ahead(placed, ahead, day_from, day_to)
    today = [t.starts for t in tasks if t.why != DAY_BEFORE]
    early = max(0.0, (day_from - min(today)).total_seconds() / 60.0) if today else 0.0
    return early + (10.0 if len(today) < len(tasks) else 0.0)


def orders(shots: Sequence[Shot], steps: Sequence[Step] = ()) -> list[list[Shot]]:
    """Orders worth trying: by angle, irreversible last in their own order."""
    sorted_ = dish_order(shots, steps)
    reversible = [s for s in sorted_ if not s.irreversible]
    last = [s for s in sorted_ if s.irreversible]
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
    dearest: float = math.inf,
) -> tuple[float, list[TimedShot]]:
    """Place shots one after another from a start; the cost counts minutes of bad light, waiting and lateness.

    dearest  no shot more is placed once the cost is that: it only grows
    """
    cursor, cost, placed = start, 0.0, []
    done: dict[str, datetime] = {}
    for shot in order:
        if cost >= dearest:
            break
        light = lights[shot.name]
        hero, redo, wait = _hero(shot, light, cursor, day_to, finishing, done)
        cost += 0.5 * wait
        starts = hero - _setting(shot) - timedelta(minutes=minutes_for(redo))
        ends = hero + _frames(shot)
        cost += _light_cost(light, hero, ends)
        if shot.to_time:
            cost += 20.0 * _over(ends, clock_time(shot.to_time, hero))
        cost += 20.0 * _over(ends, day_to) + 8.0 * len(redo)
        at = hero
        for step in reversed(redo):
            done[step.name] = at
            at -= timedelta(minutes=minutes_of(step.takes))
        placed.append(TimedShot(shot, starts, hero, ends, redo))
        cursor = ends
    return cost, placed


def _setting(shot: Shot) -> timedelta:
    """Time spent on the stand-in, and on frames without the food."""
    return timedelta(minutes=shot.minutes * STAND_IN_SHARE + extra_minutes(shot))


def _frames(shot: Shot) -> timedelta:
    """Time from the hero in to its last frame."""
    return timedelta(minutes=shot.minutes * (1.0 - STAND_IN_SHARE))


def _hero(
    shot: Shot,
    light: LightOfShot,
    free_from: datetime,
    day_to: datetime,
    finishing: tuple[Step, ...],
    done: dict[str, datetime],
) -> tuple[datetime, tuple[Step, ...], float]:
    """When the hero goes in, the finishing done for it, and the minutes waited for light.

    Which steps must be done again depends on the hour, and the hour on them: a later hour asks for no fewer of them,
    so both are pushed on until they agree. Setting up and finishing then lie after `free_from`: there is one pair of
    hands.
    """
    hero, waited = free_from + _setting(shot), 0.0
    while True:
        redo = redo_for(finishing, done, hero, shot.name, last_frame=hero + _frames(shot))
        ready = free_from + _setting(shot) + timedelta(minutes=minutes_for(redo))
        if ready > hero:
            hero = ready
            continue
        wait = _wait_min(shot, light, hero, day_to)
        if wait <= 0:
            return hero, redo, waited
        waited += wait
        hero += timedelta(minutes=wait)


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
    minutes = (ends - hero).total_seconds() / 60.0
    return 10.0 * light.bad_share(i, max(i, j)) * minutes + 6.0 * light.stops_under_best[i]


def _slot(p: TimedShot, light: LightOfShot, day_to: datetime) -> Slot:
    i = light.at(p.hero)
    j = max(i, light.at(p.ends))
    remarks: list[Remark] = []
    good = bool(np.all(light.good[i : j + 1]))
    if not good:
        dim = float(np.min(light.lux[i : j + 1]))
        short = dim < light.needed_lx
        remarks.append(
            Remark(
                code="light",
                illuminance_lx=dim if short else None,
                needed_lx=light.needed_lx if short else None,
            )
        )
    if p.shot.to_time and p.ends > clock_time(p.shot.to_time, p.hero):
        remarks.append(Remark(code="too late", limit=clock_time(p.shot.to_time, p.hero)))
    if p.ends > day_to:
        remarks.append(Remark(code="after your day", limit=day_to))
    if p.shot.irreversible:
        remarks.append(Remark(code="not whole afterwards"))
    return Slot(
        shot=p.shot.name,
        angle=p.shot.angle,
        starts=p.starts,
        set_by=p.starts + _setting(p.shot),
        hero_in=p.hero,
        ends=p.ends,
        illuminance_lx=float(light.lux[i]),
        stops_under_best=light.stops_under_best[i],
        good_light=good,
        irreversible=p.shot.irreversible,
        remarks=tuple(remarks),
    )
