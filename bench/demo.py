"""The demo's verdicts against the truth of its frames, frame by frame; with names of takes: those alone.

python -m bench demo, or: python -c "from bench.demo import main; main('DEMO0401', 'DEMO0402')"

A verdict agrees when it tells every fault that was made, and no other.
"""

import tempfile
import time
from pathlib import Path

from plateside.demo.data import copy_demo, demo_takes
from plateside.demo.frames import make_demo_frames
from plateside.files.folder import SHOOT_FILE
from plateside.files.journal.journal import Journal
from plateside.files.settings.load import open_shoot
from plateside.model.progress import silent
from plateside.tasks.plan.day import plan_shoot
from plateside.tasks.set.judge import judge_frames
from plateside.tasks.set.shot import name_shot

SAID_AS = {"light": {"light", "exposure", "colour"}, "lamp": {"light", "colour"}, "tilt": {"level"}}
"""Which kinds of act tell a kind of truth; else the same word."""


def agrees(truth: tuple[str, ...], told: set[str]) -> bool:
    """Whether the weighted acts (`told`, by kind) are those that the made faults (`truth`) call for."""
    may = [SAID_AS.get(kind, {kind}) for kind in truth]
    return all(told & kinds for kinds in may) and told <= set().union(*may)


def main(*files: str) -> None:
    with tempfile.TemporaryDirectory() as folder:
        root = Path(folder) / "shoot"
        copy_demo(root)
        opened = open_shoot(root / SHOOT_FILE)
        set_ups = {s.shot: s for s in plan_shoot(root, out=Path(folder) / "plan").set_ups}
        takes = [t for t in demo_takes() if not files or t["file"] in files]
        began = time.process_time()
        made = make_demo_frames(opened, set_ups, takes, silent)
        print(
            f"{len(made)} frames made: {time.process_time() - began:.0f} s of processor time, {made[0].origin}"
        )
        for shot in opened.shoot.shots:
            if names := [m.name for m in made if m.shot == shot.name]:
                name_shot(root, shot.name, names)
        accepted = {t["file"] for t in takes if t.get("reference")}
        began = time.process_time()
        report = judge_frames(root)
        identity = {j.frame.name: j.frame.id for j in report.frames}
        journal = Journal.open(root)
        for m in made:
            if m.name.split(".")[0] in accepted:
                journal.append("test frame", shot=m.shot, frame=identity[m.name])
        report = judge_frames(root)
        print(f"judged twice: {time.process_time() - began:.0f} s of processor time")
        truth, right = {m.name: m.kinds for m in made}, 0
        for one in report.frames:
            kinds = truth[one.frame.name]
            weighted = [act for act in one.verdict.acts if act.weight]
            fits = agrees(kinds, {act.kind for act in weighted})
            right += fits
            told = ", ".join(f"{act.code} ({act.kind})" for act in weighted) or "keep"
            print(
                f"{'   ' if fits else 'NOT'} {one.frame.name:14} truth {', '.join(kinds) or 'nothing':18} "
                f"told {one.verdict.word:7} {told}"
            )
        print(f"{len(report.frames) - right} of {len(report.frames)} disagree with the truth")


if __name__ == "__main__":
    main()
