"""Plan a shoot's day: an hour and a set-up for every shot, the cooking planned back, the call sheet written."""

from dataclasses import dataclass
from pathlib import Path

from plateside.camera.setup import SetUp
from plateside.files.atomic import write_text
from plateside.files.settings import OpenShoot, open_shoot
from plateside.light.answers import rounded
from plateside.model.errors import CouldNotError
from plateside.model.progress import Progress, silent
from plateside.paper.call_sheet import call_sheet
from plateside.paper.shot_card import card_page
from plateside.plan.day import DayPlan, Slot
from plateside.plan.kitchen import DAY_BEFORE, Task
from plateside.plan.words import headline, not_as_asked
from plateside.tasks.plan.planned import whole_sheet
from plateside.tasks.plan.planned_order import keep_order
from plateside.tasks.plan.print_pdf import set_on_paper
from plateside.tasks.plan.setup import plan_of, solve_planned


@dataclass(frozen=True)
class PlanReport:
    """The day of a shoot."""

    title: str
    date: str
    place: str
    sky: str
    day: DayPlan
    set_ups: tuple[SetUp, ...]
    unsolved: tuple[str, ...]
    written: tuple[Path, ...]

    @property
    def exit_status(self) -> int:
        return 1 if self.unsolved and not self.set_ups else 0

    def lines(self) -> list[str]:
        rows = [f"{self.title}, {self.date}, {self.place or 'at home'}, {self.sky} sky"]
        if self.day.unlit:
            rows += [
                *self.day.notes[:1],
                "Draw it on the Studio page (plateside serve), or write it in studio.toml; then plan again.",
            ]
        by_shot = {s.shot: s for s in self.set_ups}
        timed = [(t.starts, 1, [_kitchen_line(t)]) for t in self.day.kitchen]
        timed += [(s.starts, 0, _set_lines(s, by_shot.get(s.shot))) for s in self.day.slots]
        timed += [(s.hero_in, 2, [_hero_line(s, self.day.unlit)]) for s in self.day.slots]
        for _, _, words in sorted(timed, key=lambda row: row[:2]):
            rows += words
        for plate in self.day.plates:
            looks = f", looks right until {plate.looks_until:%H:%M}" if plate.looks_until else ""
            rows.append(
                f"plate {plate.number}: in at {plate.plated:%H:%M}, last frame {plate.last_frame:%H:%M}{looks}, "
                f"out {plate.out_min:.0f} min"
            )
        rows += list(self.unsolved) + list(self.day.notes[bool(self.day.unlit) :])
        if self.day.begins is not None:
            rows.append(f"Begin at {self.day.begins:%H:%M on %d %B}.")
        return rows + [f"wrote {p}" for p in self.written]


def _kitchen_line(task: Task) -> str:
    why = "" if task.why == "ahead" else f", {task.why}" if task.why == DAY_BEFORE else f", for {task.why}"
    hands = "" if task.hands else ", no hands"
    return f"{task.starts:%H:%M}-{task.ends:%H:%M} kitchen: {task.name}{why}{hands}"


def _set_lines(slot: Slot, s: SetUp | None) -> list[str]:
    rows = [f"{slot.starts:%H:%M}-{slot.set_by:%H:%M} {slot.shot}: set up with the stand-in"]
    if s is not None:
        rows += [f"  {words}" for words in not_as_asked(s)]
        rows.append(f"  {headline(s)}")
        rows += [f"  MIND: {c.words}" for c in s.checks if not c.ok and c.kind != "frame"]
    return rows


def _hero_line(slot: Slot, unlit: str) -> str:
    if unlit:
        return "".join(
            [
                f"{slot.hero_in:%H:%M}-{slot.ends:%H:%M} {slot.shot}: the hero in",
                *(f"; {r}" for r in slot.remarks),
            ]
        )
    good = "good light" if slot.good_light else "NOT in the good light"
    rest = "".join(f"; {r}" for r in slot.remarks)
    return (
        f"{slot.hero_in:%H:%M}-{slot.ends:%H:%M} {slot.shot}: the hero in, "
        f"about {rounded(slot.illuminance_lx)} lx facing the camera, {good}{rest}"
    )


def plan_shoot(
    given: Path, out: Path | None = None, lux: float | None = None, progress: Progress = silent
) -> PlanReport:
    """Plan the day; with `out`, write the call sheet (a page, and as a PDF) and a card for each shot there.

    lux  light on the dish that was read or is assumed [lx], all day, instead of the predicted
    """
    opened = open_shoot(given)
    planned = plan_of(opened, lux, progress)
    keep_order(opened.folder.root, planned.day.order)
    solved, problems = solve_planned(opened, planned)
    set_ups = tuple(solved.values())
    written = () if out is None else write_sheets(opened, planned.day, set_ups, out)
    return PlanReport(
        title=opened.shoot.recipe.title,
        date=opened.shoot.date,
        place=opened.studio.place.name,
        sky=opened.shoot.sky,
        day=planned.day,
        set_ups=set_ups,
        unsolved=tuple(problems.values()),
        written=written,
    )


def write_sheets(opened: OpenShoot, day: DayPlan, set_ups: tuple[SetUp, ...], out: Path) -> tuple[Path, ...]:
    """Write call-sheet.html, the same as a PDF, and cards/SHOT.html into a folder; it is made when it is not there."""
    try:
        (out / "cards").mkdir(parents=True, exist_ok=True)
    except OSError as error:
        raise CouldNotError(
            f"The folder {out} cannot be made: {error.strerror}. Give another with --out."
        ) from error
    by_shot = {s.shot: s for s in set_ups}
    slots = {slot.shot: slot for slot in day.slots}
    sheet = out / "call-sheet.html"
    write_text(sheet, call_sheet(opened.studio, opened.shoot, day, by_shot))
    paper = out / "call-sheet.pdf"
    set_on_paper(whole_sheet(opened, day, by_shot), opened.studio, paper)
    written = [sheet, paper]
    for shot in opened.shoot.shots:
        if shot.name in by_shot:
            path = out / "cards" / f"{shot.name}.html"
            page = card_page(
                opened.studio, shot, by_shot[shot.name], slots.get(shot.name), opened.shoot.creator.language
            )
            write_text(path, page)
            written.append(path)
    return tuple(written)
