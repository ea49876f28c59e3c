"""The order in which shots are taken, so that no dish is cut before the picture of it whole.

`dish_order`   whole before what is not whole afterwards, and that in the order of the recipe's own steps
`set_order`    the same, by the day's plan where there is one
`by_days`      the same of several days: today's first, then the days to come, then what an earlier day left
`following`    the shot to go to next
"""

from collections.abc import Collection, Mapping, Sequence
from dataclasses import replace

from plateside.model.shoot import Shoot, Shot, Step

LAST_STATES = ("bite", "bitten", "eaten", "empty", "leftover")
"""Words of a shot's name that say the dish is being eaten: after any other cut or pour (English only; your list decides
the rest)."""
TWICE = 2
"""A whole shot that was come to so often and left without a kept frame is not offered again before a cut."""


def dish_order(shots: Sequence[Shot], steps: Sequence[Step] = ()) -> list[Shot]:
    """Whole shots first, in their order; then those after which the dish is not whole.

    Of these, two that each have a step of the recipe (`for_shot`) follow the recipe; one that shows the dish being
    eaten comes last; the rest keep the order of the list.
    """
    whole = [s for s in shots if not s.irreversible]
    last = sorted((s for s in shots if s.irreversible), key=_eaten)
    turn = {step.for_shot: i for i, step in reversed(list(enumerate(steps))) if step.for_shot}
    for eaten in (False, True):
        places = [i for i, s in enumerate(last) if s.name in turn and _eaten(s) == eaten]
        by_step = sorted((last[i] for i in places), key=lambda s: turn[s.name])
        for i, s in zip(places, by_step, strict=True):
            last[i] = s
    return whole + last


def _eaten(shot: Shot) -> bool:
    return any(word in shot.name.lower() for word in LAST_STATES)


def set_order(shots: Sequence[Shot], steps: Sequence[Step], planned: Sequence[str]) -> list[Shot]:
    """The order on set: whole shots by the plan, one that the plan does not know after the one before it on the list.

    planned  names by the plan's hours; empty when no day was planned yet
    """
    known = [n for n in planned if any(s.name == n for s in shots)]
    names: list[str] = list(known)
    before = ""
    for shot in shots:
        if shot.name not in known:
            names.insert(names.index(before) + 1 if before else 0, shot.name)
        before = shot.name
    by_name = {s.name: s for s in shots}
    whole = [by_name[n] for n in names if not by_name[n].irreversible]
    return whole + [s for s in dish_order(shots, steps) if s.irreversible]


def by_days(shoot: Shoot, planned: Sequence[str], today: str) -> list[Shot]:
    """The shots in the order in which they are taken, each with its day.

    planned  names by the plan's hours; empty when no day was planned yet
    today    as 2027-07-15
    """
    out: list[Shot] = []
    for day in sorted(shoot.days, key=lambda d: (d < today, d)):
        shots = [replace(s, date=day) for s in shoot.shots if shoot.day_of(s) == day]
        out += set_order(shots, shoot.recipe.steps, planned)
    return out


def following(
    order: Sequence[Shot], done: Collection[str], current: str, visits: Mapping[str, int] | None = None
) -> str:
    """The shot after the current one that has no kept frame yet; empty when there is none.

    Before a shot that leaves the dish cut, the whole ones of its day without a kept frame come once more: what was
    skipped cannot be taken afterwards.

    visits  how often each shot was the current one
    """
    names = [s.name for s in order]
    at = names.index(current) + 1 if current in names else 0
    left = [s for s in (*order[at:], *order[:at]) if s.name not in done and s.name != current]
    if not left:
        return ""
    if left[0].irreversible:
        been = visits or {}
        same_day = [s for s in left if s.date == left[0].date]
        whole = [s for s in same_day if not s.irreversible and been.get(s.name, 0) < TWICE]
        return (whole or left)[0].name
    return left[0].name
