"""Faults of the demo's frames are told for what they are: the truth of each is known, as it was made."""

from pathlib import Path

import pytest

from plateside.demo import frames as demo_frames
from plateside.demo import scenes as demo_scenes
from plateside.demo.data import copy_demo, demo_takes
from plateside.demo.frames import make_demo_frames
from plateside.files.folder import SHOOT_FILE
from plateside.files.journal.journal import Journal
from plateside.files.settings.load import open_shoot
from plateside.model.frame import Verdict
from plateside.model.progress import silent
from plateside.tasks.plan.day import plan_shoot
from plateside.tasks.set.judge import judge_frames
from plateside.tasks.set.shot import name_shot

ASKED = ("DEMO0401", "DEMO0402", "DEMO0502", "DEMO0503")


@pytest.fixture(scope="module")
def judged(tmp_path_factory: pytest.TempPathFactory) -> dict[str, tuple[tuple[str, ...], Verdict]]:
    """Truth and verdict of two frames with a fault and of their test frames, at half the demo's size."""
    root = tmp_path_factory.mktemp("judged")
    copy_demo(root)
    opened = open_shoot(root / SHOOT_FILE)
    set_ups = {s.shot: s for s in plan_shoot(root, out=root / "plan").set_ups}
    takes = [t for t in demo_takes() if t["file"] in ASKED]
    with pytest.MonkeyPatch.context() as patch:
        for module in (demo_scenes, demo_frames):
            patch.setattr(module, "LONG_SIDE_PX", 1200)
        made = make_demo_frames(opened, set_ups, takes, silent)
    for shot in ("straight-on", "pour"):
        name_shot(root, shot, [m.name for m in made if m.shot == shot])
    test_frames = {t["file"] for t in takes if t.get("reference")}
    journal = Journal.open(root)
    for one in judge_frames(root).frames:
        if Path(one.frame.name).stem in test_frames:
            journal.append("test frame", shot=one.shot, frame=one.frame.id)
    truth = {m.name: m.kinds for m in made}
    return {Path(j.frame.name).stem: (truth[j.frame.name], j.verdict) for j in judge_frames(root).frames}


@pytest.mark.slow
@pytest.mark.parametrize(
    ("file", "kind"),
    [
        # focused 90 mm in front of the dish: streaked edges that grew along, too, and a picture drawn larger
        ("DEMO0401", "focus"),
        # the dish pushed by 30 px of 2400 while all around it stood still
        ("DEMO0503", "motion"),
    ],
)
def test_a_fault_is_told_for_what_it_is(
    judged: dict[str, tuple[tuple[str, ...], Verdict]], file: str, kind: str
) -> None:
    truth, verdict = judged[file]
    assert truth == (kind,)
    assert {act.kind for act in verdict.acts if act.weight} == {kind}
    assert verdict.word == "again"


@pytest.mark.slow
@pytest.mark.parametrize("file", ["DEMO0402", "DEMO0502"])
def test_a_frame_with_nothing_amiss_is_good(
    judged: dict[str, tuple[tuple[str, ...], Verdict]], file: str
) -> None:
    truth, verdict = judged[file]
    assert truth == () and verdict.word == "good"
