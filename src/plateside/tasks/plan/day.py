"""Plan a shoot's day: an hour and a set-up for every shot, the cooking planned back, the call sheet written."""

from dataclasses import dataclass
from pathlib import Path

from plateside.camera.setup import SetUp
from plateside.files.atomic import write_text
from plateside.files.printing import with_letters
from plateside.files.settings.load import OpenShoot, open_shoot
from plateside.model.errors import CouldNotError
from plateside.model.progress import Progress, silent
from plateside.plan.cautions import DayCautions, cautions_of
from plateside.plan.day_plan import DayPlan
from plateside.tasks.plan.planned import sheet_of_shot, whole_sheet
from plateside.tasks.plan.planned_order import keep_order
from plateside.tasks.plan.print_pdf import set_on_paper
from plateside.tasks.plan.setup import plan_of, solve_planned
from plateside.words.plan import refusals


@dataclass(frozen=True)
class PlanReport:
    """The day of a shoot."""

    title: str
    date: str
    place: str
    sky: str
    units: str
    """In which lengths are shown: metric or imperial; the facts are metric."""
    day: DayPlan
    cautions: DayCautions
    set_ups: tuple[SetUp, ...]
    unsolved: tuple[str, ...]
    written: tuple[Path, ...]

    @property
    def exit_status(self) -> int:
        return 1 if self.unsolved and not self.set_ups else 0


def plan_shoot(
    given: Path, out: Path | None = None, lux: float | None = None, progress: Progress = silent
) -> PlanReport:
    """Plan the day; with `out`, write the call sheet (a page, and as a PDF) and a shot sheet for each shot there.

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
        units=opened.studio.place.units,
        day=planned.day,
        cautions=cautions_of(opened.shoot.shots, opened.shoot.recipe.ingredients),
        set_ups=set_ups,
        unsolved=tuple(problems.values()),
        written=written,
    )


def write_sheets(opened: OpenShoot, day: DayPlan, set_ups: tuple[SetUp, ...], out: Path) -> tuple[Path, ...]:
    """Write call-sheet.html, the same as a PDF, and cards/SHOT.html into a folder; it is made when it is not there."""
    try:
        (out / "cards").mkdir(parents=True, exist_ok=True)
    except OSError as error:
        raise CouldNotError(refusals.no_folder(out, error.strerror)) from error
    by_shot = {s.shot: s for s in set_ups}
    slots = {slot.shot: slot for slot in day.slots}
    whole = whole_sheet(opened, day, by_shot)
    written = [out / "call-sheet.html", out / "call-sheet.pdf"]
    write_text(written[0], with_letters(whole.page))
    set_on_paper(whole, opened.studio, written[1])
    for shot in opened.shoot.shots:
        if shot.name in by_shot:
            path = out / "cards" / f"{shot.name}.html"
            one = sheet_of_shot(opened, shot, by_shot[shot.name], slots.get(shot.name))
            write_text(path, with_letters(one.page))
            written.append(path)
    return tuple(written)
