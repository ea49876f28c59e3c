"""The kitchen, planned back from the hour the hero goes in: latest starts, and what must be made again.

`split_steps`     what can be made ahead, and what only holds its looks for a short time
`back_plan`       latest start of every step before a set-up begins
`ahead_plan`      the same, with what keeps overnight moved to the day before when the morning is too short
`redo_for`        the finishing steps whose looks have run out at a moment

One cook: steps that need hands never overlap each other or the set-up; a step that needs none may run on beside the
set-up. Simple on purpose, and on the safe side: steps keep the order of the recipe.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta

from plateside.model.shoot import Step
from plateside.plan.clocks import minutes_of

SHORT_LOOKS_MIN = 60.0
"""A step that looks right for no longer than this belongs to the finishing, close to the frame."""
OVERNIGHT_MIN = 12.0 * 60.0
DAY_BEFORE = "the day before"


@dataclass(frozen=True, kw_only=True)
class Task:
    """One step of cooking at an hour."""

    name: str
    starts: datetime
    ends: datetime
    hands: bool
    why: str
    """ahead, the day before, or the shot it is done for"""
    looks_until: datetime | None = None


def split_steps(steps: Sequence[Step]) -> tuple[tuple[Step, ...], tuple[Step, ...]]:
    """Steps made ahead, and the finishing: all from the first step whose looks last under an hour."""
    for i, step in enumerate(steps):
        if step.looks_fresh_for and minutes_of(step.looks_fresh_for) <= SHORT_LOOKS_MIN:
            return tuple(steps[:i]), tuple(steps[i:])
    return tuple(steps), ()


def minutes_for(steps: Sequence[Step]) -> float:
    """Time of steps one after another [min]."""
    return sum(minutes_of(s.takes) for s in steps)


def chain(steps: Sequence[Step], ends: datetime, why: str) -> tuple[Task, ...]:
    """Steps one after another, the last ending at `ends`."""
    out: list[Task] = []
    for step in reversed(steps):
        starts = ends - timedelta(minutes=minutes_of(step.takes))
        looks = minutes_of(step.looks_fresh_for) if step.looks_fresh_for else None
        out.append(
            Task(
                name=step.name,
                starts=starts,
                ends=ends,
                hands=step.hands,
                why=why,
                looks_until=None if looks is None else ends + timedelta(minutes=looks),
            )
        )
        ends = starts
    return tuple(reversed(out))


def back_plan(ahead: Sequence[Step], set_up_starts: datetime, finishing_starts: datetime) -> tuple[Task, ...]:
    """Latest starts of the steps made ahead.

    Trailing steps that need no hands may run on until the finishing; the last step that needs hands ends before the
    set-up starts.
    """
    tail = len(ahead)
    while tail > 0 and not ahead[tail - 1].hands:
        tail -= 1
    free = chain(ahead[tail:], finishing_starts, "ahead")
    before = min(set_up_starts, free[0].starts if free else set_up_starts)
    return (*chain(ahead[:tail], before, "ahead"), *free)


def ahead_plan(
    ahead: Sequence[Step],
    set_up_starts: datetime,
    finishing_starts: datetime,
    day_from: datetime,
    day_to: datetime,
) -> tuple[Task, ...]:
    """`back_plan`, but when the day would begin too early, as few steps as need be are made the day before.

    Only up to a step whose result keeps its looks overnight; they end when the working day of the day before ends.
    """
    tasks = back_plan(ahead, set_up_starts, finishing_starts)
    if not tasks or tasks[0].starts >= day_from:
        return tasks
    keep = [
        i for i, s in enumerate(ahead) if s.looks_fresh_for and minutes_of(s.looks_fresh_for) >= OVERNIGHT_MIN
    ]
    if not keep:
        return tasks
    enough = [i for i in keep if i + 1 == len(tasks) or tasks[i + 1].starts >= day_from]
    cut = enough[0] if enough else keep[-1]
    return (*chain(ahead[: cut + 1], day_to - timedelta(days=1), DAY_BEFORE), *tasks[cut + 1 :])


def redo_for(
    finishing: Sequence[Step],
    last_done: dict[str, datetime],
    at: datetime,
    shot: str = "",
    *,
    last_frame: datetime | None = None,
) -> tuple[Step, ...]:
    """Finishing steps to do (again) so that all looks hold at `at`; with any of them the last one, the plating.

    A step that belongs to one shot is done for that shot and no other.

    last_done   when each step was last finished; a step that is missing was never done
    last_frame  when the shot's frames end: a plate that went in for an earlier shot must look right until then
    """
    every = [s for s in finishing if not s.for_shot]

    def until(step: Step) -> datetime:
        return last_frame if last_frame is not None and step is every[-1] else at

    stale = [
        s
        for s in every
        if s.name not in last_done
        or (
            s.looks_fresh_for
            and last_done[s.name] + timedelta(minutes=minutes_of(s.looks_fresh_for)) < until(s)
        )
    ]
    if stale and every[-1] not in stale:
        stale.append(every[-1])
    own = [s for s in finishing if s.for_shot and s.for_shot == shot]
    return tuple(s for s in finishing if s in stale or s in own)
