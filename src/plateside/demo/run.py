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
from plateside.words.commands import typed
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
        words = [word for _name, word in self.verdicts]
        return [
            "",
            f"{len(self.frames)} frames were MADE for this demo, not photographed; what was put into each: "
            f"{self.shoot / 'truth.json'}",
            f"Judged: {', '.join(f'{words.count(w)} {w}' for w in ('good', 'adjust', 'again'))}.",
            f"Delivered{'' if self.ready else ' (not ready: see the folder)'}: {self.delivery}",
            f"The whole shoot on one page: {self.page}",
            f"The tool in your browser, on this shoot: plateside serve {typed(self.shoot)}",
            "",
            "Now your own: plateside new my-kitchen",
        ]


def run_demo(target: Path, say: Say = lambda _words: None, progress: Progress = silent) -> DemoReport:
    """Run every stage in `target`; a run that was stopped goes on where it was.

    say  is told in a sentence which stage begins
    Raises InputError when `target` holds somebody's own work.
    """
    root = target / "shoot"
    say("The demo kitchen in Lisbon and its shoot: every name in it is invented.")
    copy_demo(root)
    opened = open_shoot(root / SHOOT_FILE)
    pictures = target / "drawings"
    say("light: the day and the year at the window")
    asked = Asked(opened.folder.studio_file, pictures=pictures)
    year, day = light_of_year(asked, int(opened.shoot.date[:4])), light_of_day(asked, opened.shoot.date)
    moment = light_at_moment(asked, f"{opened.shoot.date}T{NOON}", with_what_ifs=True)
    say("plan: set-ups, settings, an hour for each shot")
    plan = plan_shoot(root, out=target / "plan")
    say("set: making frames with known faults (MADE, not photographed), then judging them")
    setups = {s.shot: s for s in plan.set_ups}
    takes = [t for t in demo_takes() if t["shot"] in setups]
    frames = make_demo_frames(opened, setups, takes, progress)
    for shot in opened.shoot.shots:
        names = [m.name for m in frames if m.shot == shot.name]
        if names:
            name_shot(root, shot.name, names)
    accepted = {t["file"]: t["shot"] for t in takes if t.get("reference")}
    references = [(m.shot, m.name) for m in frames if m.name.split(".")[0] in accepted]
    say("choose: a hero and an alternate for each shot, judged against the accepted test frame of its set-up")
    chosen = choose_frames(root, progress=progress, test_frames=references)
    judged = judge_frames(root, progress=progress)
    say("finish: developing the heroes into one matched set")
    finished = finish(root, progress=progress)
    say("deliver: crops, sizes, words, metadata, page")
    delivered = deliver(root, progress=progress)
    page = target / "index.html"
    drawings = tuple(Path(p) for p in (*year.pictures, *day.pictures, *moment.pictures))
    lines = (*day_lines(day)[:DAY_LINES], *year_lines(year)[1:YEAR_LINES])
    told = StoryFacts(opened, lines, drawings, plan, frames, judged, chosen, finished, delivered)
    write_story(page, told)
    return DemoReport(
        shoot=root,
        page=page,
        delivery=delivered.folder,
        frames=frames,
        verdicts=tuple((j.frame.name, j.verdict.word) for j in judged.frames),
        ready=delivered.ready,
    )
