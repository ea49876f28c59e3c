"""What a day comes to: the plates it takes, and what must be said about it.

`plates_of`   one plate from each plating to the last frame before the next
`notes_of`    what could not be kept, what must be made, the holding rule
"""

from collections.abc import Sequence
from datetime import datetime, timedelta

from plateside.model.shoot import Recipe, Step
from plateside.plan.clocks import HoldingRule, minutes_of
from plateside.plan.day_plan import STAND_IN_SHARE, Plate, TimedShot
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
