"""What the commands `plan` and `setup` say, the verdict first."""

from collections.abc import Mapping, Sequence
from datetime import date, datetime

from plateside.camera.setup import SetUp
from plateside.plan.day_plan import DayPlan, Slot, apart
from plateside.words.counting import clock, day, day_of_year
from plateside.words.plan.day import (
    DRAW_IT,
    hero_line,
    note_sentences,
    plate_phrase,
    set_line,
    task_line,
    unlit_sentences,
)
from plateside.words.plan.set_up import NOT_AS_ASKED, frame_failure_phrases, headline, minds
from plateside.words.units import Units


def plan_lines(
    title: str,
    on: str,
    place: str,
    sky: str,
    plan: DayPlan,
    set_ups: Sequence[SetUp],
    unsolved: Sequence[str],
    units: Units,
) -> list[str]:
    """The day in order, then plates and notes."""
    rows = [f"{title}, {day(date.fromisoformat(on))}, {place or 'at home'}, {sky} sky"]
    if plan.unlit:
        rows += [unlit_sentences(plan), DRAW_IT]
    if plan.begins is not None:
        rows.append(f"Start at {clock(plan.begins)} on {day_of_year(plan.begins.date())}.")
    by_shot = {s.shot: s for s in set_ups}
    days = apart(plan)
    for of, one in days:
        rows += [f"{day(of)}:"] if len(days) > 1 else []
        rows += _in_order(one, by_shot, units)
    return [*rows, *(plate_phrase(p) for p in plan.plates), *unsolved, *note_sentences(plan)]


def _in_order(plan: DayPlan, by_shot: Mapping[str, SetUp], units: Units) -> list[str]:
    rows: list[str] = []
    timed: list[tuple[datetime, int, list[str]]] = [(t.starts, 1, [task_line(t)]) for t in plan.kitchen]
    timed += [(s.starts, 0, _set_lines(s, by_shot, units)) for s in plan.slots]
    timed += [(s.hero_in, 2, [hero_line(s, plan)]) for s in plan.slots]
    for _, _, words in sorted(timed, key=lambda row: row[:2]):
        rows += words
    return rows


def _set_lines(slot: Slot, by_shot: Mapping[str, SetUp], units: Units) -> list[str]:
    rows, s = [set_line(slot)], by_shot.get(slot.shot)
    if s is not None:
        rows += [f"  {NOT_AS_ASKED}: {w}" for w in frame_failure_phrases(s, units)]
        rows.append(f"  {headline(s, units)}")
        rows += [f"  MIND: {m}" for m in minds(s, units)]
    return rows


def caution_line(caution: str) -> str:
    """A caution as the command marks it."""
    return f"caution: {caution}"


def written_line(path: object) -> str:
    """Which file was written."""
    return f"Wrote {path}"
