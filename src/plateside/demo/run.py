"""The whole job on the demo studio and shoot, from light to page."""

from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path

from plateside.demo.data import copy_demo, demo_takes
from plateside.demo.frames import DemoFrame, make_demo_frames
from plateside.demo.story import StoryFacts, write_story
from plateside.files.folder import SHOOT_FILE
from plateside.files.settings.load import open_shoot
from plateside.model.progress import Progress, silent
from plateside.tasks.choose.selects import choose_frames
from plateside.tasks.deliver.delivery import deliver
from plateside.tasks.finish.series import finish
from plateside.tasks.light.asked import Asked
from plateside.tasks.light.moment_and_day import light_at_moment, light_of_day
from plateside.tasks.light.week_and_year import light_of_year
from plateside.tasks.plan.day import plan_shoot
from plateside.tasks.set.judge import judge_frames
from plateside.tasks.set.shot import name_shot
from plateside.words.demo import BEGINS, report_lines
from plateside.words.light.calendar import year_lines
from plateside.words.light.day import day_lines

Say = Callable[[str], None]

NOON = "13:00"
"""The moment that the drawing of the room shows."""
DAY_LINES, YEAR_LINES = 5, 2
"""How much of the light's words the page takes: the rest is in the drawings."""


@dataclass(frozen=True)
class DemoReport:
    """Where the demo's results are."""

    shoot: Path
    page: Path
    delivery: Path
    frames: tuple[DemoFrame, ...]
    verdicts: tuple[tuple[str, str], ...]
    ready: bool

    def lines(self) -> list[str]:
        truth, verdicts = self.shoot / "truth.json", [word for _name, word in self.verdicts]
        return report_lines(
            len(self.frames), truth, verdicts, self.delivery, self.ready, self.page, self.shoot
        )


def run_demo(target: Path, say: Say = lambda _words: None, progress: Progress = silent) -> DemoReport:
    """Run every stage in `target`; a run that was stopped goes on where it was.

    say  is told in a sentence which stage begins
    Raises InputError when `target` holds somebody's own work.
    """
    root = target / "shoot"
    say(BEGINS["demo"])
    copy_demo(root)
    opened = open_shoot(root / SHOOT_FILE)
    pictures = target / "drawings"
    say(BEGINS["light"])
    asked = Asked(opened.folder.studio_file, pictures=pictures)
    year, day = light_of_year(asked, int(opened.shoot.date[:4])), light_of_day(asked, opened.shoot.date)
    moment = light_at_moment(asked, f"{opened.shoot.date}T{NOON}", with_what_ifs=True)
    say(BEGINS["plan"])
    plan = plan_shoot(root, out=target / "plan")
    say(BEGINS["set"])
    setups = {s.shot: s for s in plan.set_ups}
    takes = [t for t in demo_takes() if t["shot"] in setups]
    frames = make_demo_frames(opened, setups, takes, progress)
    for shot in opened.shoot.shots:
        names = [m.name for m in frames if m.shot == shot.name]
        if names:
            name_shot(root, shot.name, names)
    accepted = {t["file"]: t["shot"] for t in takes if t.get("reference")}
    references = [(m.shot, m.name) for m in frames if m.name.split(".")[0] in accepted]
    say(BEGINS["choose"])
    chosen = choose_frames(root, progress=progress, test_frames=references)
    judged = judge_frames(root, progress=progress)
    say(BEGINS["finish"])
    finished = finish(root, progress=progress)
    say(BEGINS["deliver"])
    delivered = deliver(root, progress=progress)
    page = target / "index.html"
    drawings = tuple(Path(p) for p in (*year.pictures, *day.pictures, *moment.pictures))
    lines = (*day_lines(day)[:DAY_LINES], *year_lines(year)[1:YEAR_LINES])
    facts = StoryFacts(opened, lines, drawings, plan, frames, judged, chosen, finished, delivered)
    write_story(page, facts)
    return DemoReport(
        shoot=root,
        page=page,
        delivery=delivered.folder,
        frames=frames,
        verdicts=tuple((j.frame.name, j.verdict.word) for j in judged.frames),
        ready=delivered.ready,
    )
