"""Ready to publish is said of a delivery that has every wanted picture, and of no other; a shot can be set aside."""

import json
import shutil
from pathlib import Path
from typing import Any

import pytest

from plateside.files.journal.journal import Journal
from plateside.files.journal.state import read_state
from plateside.files.settings.load import load_shoot
from plateside.tasks.deliver.delivery import deliver
from plateside.tasks.deliver.open_points import standing, what_blocks
from plateside.tasks.deliver.pack import pack
from plateside.tasks.deliver.verify import verify
from plateside.tasks.set.now import set_now
from plateside.web.pages.deliver import delivering
from plateside.words.deliver.points import point_sentence

WANTED = (
    '[[shots]]\nname = "pour"\nalt_text = "Milk is poured."\ndeliberate = []\n\n[[channels]]\nname = "wide"'
)


@pytest.fixture
def root(finished_once: Path, tmp_path: Path) -> Path:
    return Path(shutil.copytree(finished_once, tmp_path / "shoot"))


def written(root: Path, old: str, new: str) -> None:
    text = (root / "shoot.toml").read_text(encoding="utf-8")
    assert old in text
    (root / "shoot.toml").write_text(text.replace(old, new, 1), encoding="utf-8")


def unfinish(root: Path, shot: str) -> None:
    """As if `finish` had never been run for it."""
    record = root / "finished" / "adjustments.json"
    told = json.loads(record.read_text(encoding="utf-8"))
    (row,) = [r for r in told["pictures"] if r["shot"] == shot]
    told["pictures"].remove(row)
    record.write_text(json.dumps(told), encoding="utf-8")
    (root / "finished" / row["file"]).unlink()


def said(root: Path) -> tuple[bool, set[tuple[str, str]], set[tuple[str, str]]]:
    """Whether it is ready, what blocks and what is only a remark (code and shot); page, command, note, list agree."""
    report = deliver(root)
    now = standing(root, load_shoot(root / "shoot.toml"), read_state(root))
    page: dict[str, Any] = delivering(root)
    listed = json.loads((root / "delivery" / "manifest.json").read_text(encoding="utf-8"))
    note = (root / "delivery" / "READ-ME.txt").read_text(encoding="utf-8")
    blocking = what_blocks(now)
    remarks = [p for p in now.open if not p.blocks]
    assert report.ready is now.ready is page["ready"] is listed["ready_to_publish"] is (not blocking)
    assert set(report.fix_first) == set(blocking)
    assert set(report.remarks) == set(remarks)
    assert sorted(listed["fix_first"]) == sorted(point_sentence(p) for p in blocking)
    assert sorted(listed["remarks"]) == sorted(point_sentence(p) for p in remarks)
    shown = [*page["withheld"], *page["open"]]
    assert sorted(p["words"] for p in shown if p["blocks"]) == sorted(point_sentence(p) for p in blocking)
    assert sorted(p["words"] for p in shown if not p["blocks"]) == sorted(point_sentence(p) for p in remarks)
    # in the note what blocks stands before what is only a remark
    places = [[note.index(f"- {point_sentence(p)}") for p in of] for of in (blocking, remarks)]
    assert max(places[0], default=0) <= min(places[1], default=len(note))
    assert list(verify(root / "delivery").not_ready) == blocking
    return report.ready, {(p.code, p.shot) for p in blocking}, {(p.code, p.shot) for p in remarks}


def test_a_wanted_shot_without_a_frame_or_not_finished_keeps_it_from_being_ready(root: Path) -> None:
    ready, blocking, _remarks = said(root)
    assert ready
    assert blocking == set()
    written(root, '[[channels]]\nname = "wide"', WANTED)
    assert said(root)[:2] == (False, {("no frame", "pour")})
    unfinish(root, "near")
    assert said(root)[:2] == (False, {("no frame", "pour"), ("not finished", "near")})


def test_a_shot_set_aside_blocks_nothing_and_is_said(root: Path) -> None:
    written(root, '[[channels]]\nname = "wide"', WANTED)
    unfinish(root, "near")
    written(root, "deliberate = []", 'deliberate = ["left out"]')
    written(root, 'role = "detail"\ndeliberate = [', 'role = "detail"\ndeliberate = ["left out", ')
    ready, blocking, remarks = said(root)
    assert (ready, blocking) == (True, set())
    assert {("left out", "pour"), ("left out", "near")} <= remarks
    # on the set nothing waits for it
    waiting = {shot.name for shot in set_now(root).shots if not shot.done}
    assert not waiting & {"pour", "near"}


def test_a_finished_picture_that_is_left_out_is_not_delivered(root: Path) -> None:
    deliver(root)
    assert (root / "delivery" / "wide" / "hand.jpg").is_file()
    # nor does it wait for a model release, as it goes to nobody
    written(root, "model_release = true\n", "")
    assert said(root)[:2] == (False, {("no release", "hand")})
    text = (root / "shoot.toml").read_text(encoding="utf-8")
    begin, end = text.split('name = "hand"')
    (root / "shoot.toml").write_text(
        begin + 'name = "hand"' + end.replace("deliberate = [", 'deliberate = ["left out", ', 1),
        encoding="utf-8",
    )
    ready, blocking, remarks = said(root)
    assert (ready, blocking) == (True, set())
    assert ("left out", "hand") in remarks
    assert not list((root / "delivery").rglob("hand*"))


def test_an_empty_delivery_is_never_ready(root: Path) -> None:
    text = (root / "shoot.toml").read_text(encoding="utf-8")
    (root / "shoot.toml").write_text(
        text.replace("deliberate = [", 'deliberate = ["left out", '), encoding="utf-8"
    )
    ready, blocking, _remarks = said(root)
    assert (ready, blocking) == (False, {("no picture", "")})


def test_the_package_for_a_client_tells_nothing_of_shots_that_are_missing_or_left_out(
    root: Path, tmp_path: Path
) -> None:
    written(root, '[[channels]]\nname = "wide"', WANTED)
    unfinish(root, "near")
    assert said(root)[0] is False
    report = pack(root, to=tmp_path / "out")
    assert report.ready is False
    assert len(report.not_ready) == 2
    for path in report.path.rglob("*"):
        if path.suffix in (".txt", ".html", ".json", ".jsonld"):
            told = path.read_text(encoding="utf-8")
            assert "pour" not in told
            assert "not finished" not in told
            assert "fix_first" not in told


def test_a_frame_that_was_taken_again_is_a_remark(root: Path) -> None:
    """The picture is finished and matched: whether it is good enough is for her eye."""
    frame = json.loads((root / "finished" / "adjustments.json").read_text(encoding="utf-8"))["pictures"][0]
    Journal.open(root).append("again", frame=frame["frame_id"])
    ready, blocking, remarks = said(root)
    assert (ready, blocking) == (True, set())
    assert ("taken again", frame["shot"]) in remarks
