"""The call sheet: the day on paper, for one person. Which facts stand on it, in which order; words says them."""

from collections.abc import Mapping
from datetime import date, datetime

from plateside.camera.setup import SetUp
from plateside.drawing.shoot_day import day_sheet
from plateside.model.shoot import Shoot
from plateside.model.studio import Studio
from plateside.paper.sections import (
    Blanks,
    Drawing,
    Facts,
    Heading,
    Item,
    Items,
    Run,
    RunRow,
    Section,
    ShotSheet,
    Table,
    Text,
)
from plateside.paper.shot_card import shot_sheet
from plateside.plan.cautions import cautions_of
from plateside.plan.day_plan import DayPlan, Slot, apart
from plateside.plan.kitchen import Task
from plateside.words.counting import capital
from plateside.words.plan import sheet as said
from plateside.words.plan.day import (
    SET_UP,
    begins_phrase,
    good_light_phrase,
    hero_light_phrase,
    range_phrase,
    remark_sentences,
)
from plateside.words.plan.findings import finding_phrase
from plateside.words.plan.set_up import (
    frame_held_phrase,
    lens_phrase,
    place_phrase,
    settings_phrase,
    support_phrase,
)
from plateside.words.units import Units, units_of


def call_sheet(
    studio: Studio, shoot: Shoot, day: DayPlan, set_ups: Mapping[str, SetUp]
) -> tuple[Section, ...]:
    """The day, and a sheet of its own for each shot with an hour."""
    shots = {s.name: s for s in shoot.shots}
    sheets = [
        ShotSheet(slot.shot, shot_sheet(studio, shots[slot.shot], set_ups[slot.shot], slot, level=2))
        for slot in day.slots
        if slot.shot in set_ups
    ]
    return (
        *_head(studio, shoot, day),
        *_days(day, set_ups, units_of(studio.place.units)),
        *_food(shoot, day),
        *_listed(said.NOTES, said.note_lines(day)),
        *_listed(said.PULL_LIST, _kit(studio, shoot, set_ups), columns=2),
        *_cautions(shoot),
        *sheets,
    )


def _head(studio: Studio, shoot: Shoot, day: DayPlan) -> list[Section]:
    days = [date.fromisoformat(each) for each in shoot.days]
    rows = said.head_rows(day, begins_phrase(day, days[0]), good_light_phrase(day))
    lead = said.lead_phrase(days, studio.place.name, shoot.sky)
    return [Heading(shoot.recipe.title, 1), Text(lead, "lead"), Facts(tuple(rows))]


def _days(plan: DayPlan, set_ups: Mapping[str, SetUp], units: Units) -> list[Section]:
    """The day drawn and in order; of several days, each."""
    days = apart(plan)
    if len(days) < 2:
        drawn = day_sheet(plan)
        return [*([Drawing(drawn)] if drawn else []), *_run_sheet(plan, set_ups, units, said.RUN_SHEET)]
    out: list[Section] = []
    for number, (on, one) in enumerate(days):
        out += _run_sheet(one, set_ups, units, said.run_sheet_of(on))
        out.insert(-1, Drawing(day_sheet(one, f"shoot-day-{number}")))
    return out


def _run_sheet(day: DayPlan, set_ups: Mapping[str, SetUp], units: Units, title: str) -> list[Section]:
    rows: list[tuple[datetime, int, RunRow]] = [(t.starts, 1, _cook_row(t)) for t in day.kitchen]
    rows += [(s.starts, 0, _set_row(s, set_ups.get(s.shot), units)) for s in day.slots]
    rows += [(s.hero_in, 2, _hero_row(s, day)) for s in day.slots]
    rows.sort(key=lambda r: r[:2])
    return [Heading(title, 2), Run(said.RUN_HEAD, tuple(row for _, _, row in rows))]


def _cook_row(t: Task) -> RunRow:
    return RunRow("cook", range_phrase(t.starts, t.ends), t.name, said.cook_phrase(t))


def _set_row(slot: Slot, s: SetUp | None, units: Units) -> RunRow:
    """Setting up with the stand-in: the settings, where everything goes, and what to mind."""
    strong, words = "", ""
    minds: tuple[str, ...] = ()
    if s is not None:
        strong = said.camera_phrase(lens_phrase(s), settings_phrase(s))
        words = "; ".join((place_phrase(s, units), support_phrase(s), frame_held_phrase(s)))
        minds = tuple(f"{capital(finding_phrase(c, s, units))}." for c in s.checks if not c.ok)
    return RunRow("shot", range_phrase(slot.starts, slot.set_by), slot.shot, words, SET_UP, strong, minds)


def _hero_row(slot: Slot, day: DayPlan) -> RunRow:
    """The hero on the set."""
    minds = tuple(f"{r}." for r in remark_sentences(slot))
    light = hero_light_phrase(slot, day)
    return RunRow("hero", range_phrase(slot.hero_in, slot.ends), slot.shot, light, said.HERO, minds=minds)


def _food(shoot: Shoot, day: DayPlan) -> list[Section]:
    out: list[Section] = [Heading(said.FOOD, 2)]
    if day.plates:
        rows = tuple(said.plate_cells(p) for p in day.plates)
        out.append(Table(said.PLATE_HEAD, said.PLATE_SHORT, rows))
    if shoot.recipe.perishable:
        out.append(Text(said.food_sentences(day), "caution"))
    return [*out, Text(said.allergens_sentence(shoot.recipe.allergens))]


def _listed(title: str, lines: list[str], columns: int = 1) -> list[Section]:
    return [Heading(title, 2), Items(tuple(Item(line) for line in lines), columns)] if lines else []


def _kit(studio: Studio, shoot: Shoot, set_ups: Mapping[str, SetUp]) -> list[str]:
    used = list(set_ups.values())
    items = [*dict.fromkeys(s.camera for s in used), *dict.fromkeys(said.lens_item(s.lens) for s in used)]
    items += dict.fromkeys(s.support for s in used if s.support_kind != "hand")
    bags = [s.rig.bag_kg for s in used if s.rig is not None and s.rig.bag_kg > 0.005]
    if bags:
        items.append(said.bag_item(max(bags)))
    items += dict.fromkeys(said.board_item(p.board) for s in shoot.shots for p in s.boards)
    items += dict.fromkeys(x for s in shoot.shots for x in ((s.surface,) if s.surface else ()) + s.props)
    return [*items, *said.ALWAYS_PULLED]


def _cautions(shoot: Shoot) -> list[Section]:
    lines = said.caution_lines(cautions_of(shoot.shots, shoot.recipe.ingredients))
    return [Heading(said.TAKE_CARE, 2), *(Text(line, "caution") for line in lines), Blanks(said.BLANKS)]
