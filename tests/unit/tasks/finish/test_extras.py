"""Any frame is finished when it is asked for, beside the selects and never in their place; delivered when asked."""

import json
from pathlib import Path

import pytest
from PIL import Image

from plateside.files.journal.journal import Journal
from plateside.files.journal.state import read_state
from plateside.files.originals.identity import content_hash
from plateside.files.settings.load import load_shoot
from plateside.model.errors import InputError
from plateside.tasks.deliver.delivery import deliver
from plateside.tasks.deliver.open_points import standing
from plateside.tasks.deliver.shown import delivery_shown
from plateside.tasks.finish.series import finish
from plateside.tasks.finish.shown import finishing
from plateside.tasks.set.press import press, take_back
from tests.shoots.re_lit import LIGHTS, finished_shoot, frame


@pytest.fixture
def shoot(tmp_path: Path) -> Path:
    """Three selects finished, and two more frames: another of cup, and one of no shot."""
    root = finished_shoot(tmp_path / "shoot", share=1 / 2)
    for name, shot in (("IMG_0007.jpg", "cup"), ("IMG_0008.jpg", "")):
        Image.fromarray(frame(LIGHTS["near"], seed=len(shot) + 9)).save(root / "frames" / name, quality=96)
        identity = content_hash(root / "frames" / name)
        rows: list[tuple[str, dict[str, object]]] = [("frame landed", {"frame": identity, "name": name})]
        if shot:
            rows.append(("frame belongs", {"frame": identity, "shot": shot, "guess": False}))
        Journal.open(root).append_many(rows)
    return root


def _id(root: Path, name: str) -> str:
    return content_hash(root / "frames" / name)


def test_a_frame_is_finished_beside_the_select_and_stays_so(shoot: Path) -> None:
    before = read_state(shoot).heroes
    report = finish(shoot, extra=("IMG_0007.jpg",))
    assert [(one.shot, one.extra) for one in report.finished] == [
        ("cup", False), ("near", False), ("hand", False), ("cup-img-0007", True),
    ]  # fmt: skip
    assert report.written == 1
    one = report.finished[-1]
    assert (one.frame, one.file) == ("IMG_0007.jpg", "cup-img-0007.tif")
    assert one.match.by == "same things"
    assert (shoot / "finished" / one.file).is_file()
    assert read_state(shoot).heroes == before
    assert report.match_to == "cup"
    # finished twice is finished once, and without a word the next time
    again = finish(shoot, extra=("IMG_0007.jpg", _id(shoot, "IMG_0007.jpg")[:12]))
    assert (again.written, len(again.finished)) == (0, 4)
    assert len(finish(shoot).finished) == 4
    rows = json.loads((shoot / "finished" / "adjustments.json").read_text(encoding="utf-8"))["pictures"]
    assert [row["extra"] for row in rows] == [False, False, False, True]


def test_a_frame_of_no_shot_too_and_a_select_only_once(shoot: Path) -> None:
    select = read_state(shoot).landed[read_state(shoot).heroes["cup"]]
    report = finish(shoot, extra=("IMG_0008.jpg", select))
    assert [one.shot for one in report.finished] == ["cup", "near", "hand", "frame-img-0008"]
    with pytest.raises(InputError):
        finish(shoot, extra=("no such frame.jpg",))


def test_one_that_becomes_the_select_is_finished_as_it_and_its_former_file_goes(shoot: Path) -> None:
    finish(shoot, extra=("IMG_0007.jpg",))
    Journal.open(shoot).append("select", shot="cup", frame=_id(shoot, "IMG_0007.jpg"))
    report = finish(shoot)
    assert [one.shot for one in report.finished] == ["cup", "near", "hand"]
    assert report.finished[0].frame == "IMG_0007.jpg"
    assert not (shoot / "finished" / "cup-img-0007.tif").exists()


def test_it_is_taken_off_again_but_never_your_own_file(shoot: Path) -> None:
    finish(shoot, extra=("IMG_0007.jpg", "IMG_0008.jpg"))
    mine = shoot / "finished" / "frame-img-0008.tif"
    Image.new("RGB", (720, 480)).save(mine)
    kept = mine.read_bytes()
    finish(shoot)
    report = finish(shoot, no_longer=("IMG_0007.jpg", "IMG_0008.jpg"))
    assert len(report.finished) == 3
    assert not (shoot / "finished" / "cup-img-0007.tif").exists()
    assert mine.read_bytes() == kept
    with pytest.raises(InputError):
        finish(shoot, no_longer=("IMG_0007.jpg",))


def test_a_frame_that_is_gone_is_said(shoot: Path) -> None:
    finish(shoot, extra=("IMG_0007.jpg",))
    (shoot / "frames" / "IMG_0007.jpg").unlink()
    with pytest.raises(InputError, match="IMG_0007"):
        finish(shoot)


def test_by_a_press_and_taken_back(shoot: Path) -> None:
    done = press(shoot, "extra", {"frame": _id(shoot, "IMG_0007.jpg"), "use": "finished"}, 99)
    (extra,) = finishing(shoot)["extras"]
    assert (extra["name"], extra["extra"], extra["picture"]) == ("cup-img-0007", "finished", None)
    finish(shoot)
    (extra,) = finishing(shoot)["extras"]
    assert extra["picture"]["frame"] == "IMG_0007.jpg"
    assert [shot["name"] for shot in finishing(shoot)["shots"]] == ["cup", "near", "hand"]
    take_back(shoot, done.row)
    assert finishing(shoot)["extras"] == []
    for wrong in (
        {"frame": "0" * 32, "use": "finished"},
        {"frame": extra["extra_frame"], "use": "published"},
    ):
        with pytest.raises(InputError):
            press(shoot, "extra", wrong, 99)


def test_it_is_delivered_only_when_asked(shoot: Path) -> None:
    finish(shoot, extra=("IMG_0007.jpg",))
    assert {c.shot for c in deliver(shoot).crops} == {"cup", "near"}
    assert "cup-img-0007" not in {s["name"] for s in delivery_shown(shoot)["shots"]}
    press(shoot, "extra", {"frame": _id(shoot, "IMG_0007.jpg"), "use": "delivered"}, 99)
    now = standing(shoot, load_shoot(shoot / "shoot.toml"), read_state(shoot))
    assert "stale" in {p.code for p in now.open}
    names = [s["name"] for s in delivery_shown(shoot)["shots"]]
    assert names == ["cup", "cup-img-0007", "near", "hand"]
    # its own words and crops
    press(shoot, "words", {"shot": "cup-img-0007", "field": "alt_text", "text": "The cup, once more."}, 99)
    press(shoot, "crop", {"shot": "cup-img-0007", "channel": "wide", "box": [0.1, 0.1, 0.5, 0.4]}, 99)
    report = deliver(shoot)
    assert {c.shot for c in report.crops} == {"cup", "near", "cup-img-0007"}
    assert (shoot / "delivery" / "wide" / "cup-img-0007.jpg").is_file()
    assert "The cup, once more." in (shoot / "delivery" / "words.txt").read_text(encoding="utf-8")
    press(shoot, "extra", {"frame": _id(shoot, "IMG_0007.jpg"), "use": "finished"}, 99)
    deliver(shoot)
    assert not (shoot / "delivery" / "wide" / "cup-img-0007.jpg").exists()


def test_one_to_be_delivered_that_is_not_finished_holds_the_delivery_back(shoot: Path) -> None:
    press(shoot, "extra", {"frame": _id(shoot, "IMG_0007.jpg"), "use": "delivered"}, 99)
    now = standing(shoot, load_shoot(shoot / "shoot.toml"), read_state(shoot))
    assert ("not finished", "cup-img-0007", True) in {(p.code, p.shot, p.blocks) for p in now.open}
