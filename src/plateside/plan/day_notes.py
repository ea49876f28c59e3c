"""What a day comes to: the plates it takes, and what is to know about it.

`plates_of`   one plate from each plating to the last frame before the next
`notes_of`    what could not be kept, what must be made, the holding rule
"""

from collections.abc import Sequence
from datetime import datetime, timedelta

from plateside.model.shoot import Recipe, Step
from plateside.plan.clocks import HoldingRule, minutes_of
from plateside.plan.day_plan import STAND_IN_SHARE, Note, Plate, TimedShot
from plateside.plan.kitchen import DAY_BEFORE, Task


def plates_of(
    placed: Sequence[TimedShot], finishing: tuple[Step, ...], rule: HoldingRule, perishable: bool
) -> tuple[Plate, ...]:
    """One plate from each plating to the last frame before the next."""
    out: list[Plate] = []
    groups: list[list[TimedShot]] = []
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


def notes_of(
    placed: Sequence[TimedShot],
    kitchen: Sequence[Task],
    plates: Sequence[Plate],
    rule: HoldingRule,
    recipe: Recipe,
    day_from: datetime,
    good: Sequence[bool],
) -> tuple[Note, ...]:
    """What is to know about the day, in the order of the day."""
    out: list[Note] = []
    before = [t for t in kitchen if t.why == DAY_BEFORE]
    if before:
        out.append(Note(code="day before", when=before[0].starts, names=tuple(t.name for t in before)))
    early = [t for t in kitchen if t.starts < day_from and t.why != DAY_BEFORE]
    if early:
        out.append(Note(code="early", name=early[0].name, when=early[0].starts))
    if placed and not any(good):
        out.append(Note(code="no good light"))
    if plates:
        out.append(Note(code="plates", count=len(plates)))
    names = {p.shot.name for p in placed}
    out += [
        Note(code="no shot", name=s.name, shot=s.for_shot)
        for s in recipe.steps
        if s.for_shot and s.for_shot not in names
    ]
    for p in placed:
        frames = p.shot.minutes * (1.0 - STAND_IN_SHARE)
        brief = [s for s in p.finishing if s.looks_fresh_for and minutes_of(s.looks_fresh_for) < frames]
        if brief:
            step = min(brief, key=lambda s: minutes_of(s.looks_fresh_for))
            looks = minutes_of(step.looks_fresh_for)
            out.append(Note(code="brief", shot=p.shot.name, name=step.name, minutes=looks, limit_min=frames))
    if recipe.perishable:
        out += [
            Note(code="over the limit", count=p.number, minutes=p.out_min, limit_min=rule.discard_after_min)
            for p in plates
            if not p.within_rule
        ]
        out.append(Note(code="holding"))
    return tuple(out)
