"""What the Deliver page is told: the headline and the list agree, each point leads to where it is mended."""

import json
import os
import re
import time
from dataclasses import asdict
from pathlib import Path
from typing import Any

import pytest

from plateside.deliver.points import CODES, Point
from plateside.demo.data import copy_demo
from plateside.files.folder import shoot_folder
from plateside.files.journal.journal import Journal
from plateside.files.journal.state import read_state
from plateside.files.settings.load import load_shoot
from plateside.files.settings.write import Put, update_shoot
from plateside.tasks.deliver.open_points import sources_now
from plateside.tasks.finish.finished_list import finished_now
from plateside.web.pages.deliver import delivering
from plateside.web.shown.deliver import point_shown
from plateside.words.deliver.report import ready_sentence
from tests.unit.web.finished import finished_row, write_record
from tests.unit.words.delivered import SAMPLES

BY_FILES = re.compile(r"\.toml|\[|\w_\w|\w = |plateside |--\w")


@pytest.fixture
def root(tmp_path: Path) -> Path:
    """The demo's shoot, one picture finished, another shot with a frame."""
    copy_demo(tmp_path / "shoot")
    (tmp_path / "shoot" / "finished").mkdir()
    (tmp_path / "shoot" / "finished" / "one-bowl.jpg").write_bytes(b"x")
    write_record(tmp_path / "shoot", finished_row("one-bowl", "one-bowl.jpg", "f" * 32))
    Journal.open(tmp_path / "shoot").append_many(
        [
            ("frame landed", {"frame": "f" * 32, "name": "plate-1.jpg"}),
            ("frame belongs", {"frame": "f" * 32, "shot": "one-bowl", "guess": False}),
            ("frame landed", {"frame": "a" * 32, "name": "plate-2.jpg"}),
            ("frame belongs", {"frame": "a" * 32, "shot": "three-bowls", "guess": False}),
        ]
    )
    return tmp_path / "shoot"


def deliver_by_hand(root: Path, ready: bool = True, *in_files: Point) -> None:
    """The files and the list that a delivery made now leaves behind."""
    (root / "delivery" / "tall").mkdir(parents=True, exist_ok=True)
    (root / "delivery" / "tall" / "one-bowl.jpg").write_bytes(b"12345")
    picture = {
        "file": "tall/one-bowl.jpg", "shot": "one-bowl", "channel": "tall", "kind": "jpeg", "width_px": 10,
        "height_px": 20, "bytes": 5, "sha256": "0" * 64,
    }  # fmt: skip
    shoot = load_shoot(root / "shoot.toml")
    made_from = sources_now(
        shoot, read_state(root), finished_now(shoot_folder(root, shoot), read_state(root))
    )
    told = {
        "state": "whole", "ready_to_publish": ready, "withheld": [], "open": [], "made_from": made_from,
        "open_in_these_files": [asdict(p) for p in in_files], "pictures": [picture], "documents": [],
    }  # fmt: skip
    (root / "delivery" / "manifest.json").write_text(json.dumps(told), encoding="utf-8")


def points(root: Path, kind: str = "open") -> dict[str, dict[str, Any]]:
    return {p["words"]: p for p in delivering(root)[kind]}


def leave_out_the_others(root: Path) -> None:
    """Of the demo's shots only the finished one is wanted."""
    others = [s.name for s in load_shoot(root / "shoot.toml").shots if s.name != "one-bowl"]
    update_shoot(root, [Put(("shots", name, "deliberate"), ("left out",)) for name in others])


def test_ready_is_never_said_above_open_points_as_if_there_were_none(root: Path) -> None:
    leave_out_the_others(root)
    deliver_by_hand(root)
    told = delivering(root)
    assert told["open"]
    assert told["ready"]
    assert not any(p["blocks"] for p in told["open"])
    assert told["headline"].endswith(ready_sentence(True, len(told["open"])))


def test_what_holds_it_back_takes_the_ready_away(root: Path) -> None:
    deliver_by_hand(root)
    update_shoot(root, [Put(("creator", "usage_terms"), ""), Put(("creator", "licence_url"), "")])
    told = delivering(root)
    assert [p["address"] for p in told["withheld"]] == ["#usage_terms"]
    assert told["ready"] is False
    assert told["headline"].endswith(ready_sentence(False, 0))


def test_a_shot_without_a_frame_leads_to_the_set_and_one_with_a_frame_to_finish(root: Path) -> None:
    found = points(root)
    by_code = {(p["code"], p["shot"]): p for p in found.values()}
    assert by_code["not finished", "three-bowls"]["address"] == "/finish"
    update_shoot(root, [Put(("shots", "pour", "model_release"), True)])
    pour = next(p for p in points(root).values() if p["shot"] == "pour")
    assert (pour["code"], pour["address"], pour["blocks"]) == ("no frame", "/set", True)
    shots = {s["name"]: s for s in delivering(root)["shots"]}
    assert (shots["pour"]["frames"], shots["pour"]["select"]) == (0, None)
    assert shots["three-bowls"]["select"] == {"id": "a" * 32, "name": "plate-2.jpg", "by_you": False}


def test_every_point_names_its_shot_or_thing_and_no_file_words(root: Path) -> None:
    update_shoot(
        root,
        [
            Put(("recipe", "title"), "My dish"),
            Put(("creator", "name"), "Your name"),
            Put(("creator", "page_url"), ""),
            Put(("shots", "one-bowl", "alt_text"), ""),
        ],
    )
    deliver_by_hand(root)
    found = points(root)
    addresses = {(p["code"], p["shot"]): p["address"] for p in found.values()}
    assert addresses["words", "one-bowl"] == "#alt_text-one-bowl"
    assert addresses["recipe placeholder", ""] == "/plan#recipe"
    assert addresses["no address", ""] == "/plan#creator"
    for words in (*found, *points(root, "withheld")):
        assert not BY_FILES.search(words), words


def test_what_only_the_files_can_tell_comes_from_the_delivery(root: Path) -> None:
    cut = Point("food cut", "one-bowl", names=("tall",))
    deliver_by_hand(root, True, cut)
    assert [p["address"] for p in points(root).values() if p["code"] == "food cut"] == ["#shot-one-bowl"]


def test_a_frame_to_be_taken_again_is_a_remark_until_it_is_kept(root: Path) -> None:
    def found() -> list[tuple[str, str]]:
        doubts = ("taken again", "better again")
        return [(p["code"], p["address"]) for p in points(root).values() if p["code"] in doubts]

    assert found() == []
    Journal.open(root).append(
        "verdict", frame="f" * 32, word="again", act="Three stops brighter.", confidence=0.9
    )
    assert found() == [("better again", "/choose")]
    Journal.open(root).append("again", frame="f" * 32)
    assert found() == [("taken again", "/choose")]
    Journal.open(root).append("kept", frame="f" * 32)
    assert found() == []


def warned(root: Path) -> list[str]:
    codes: list[str] = delivering(root)["before_packing"]
    return codes


def test_an_old_or_unready_delivery_is_told_beside_the_press_that_packs_it(root: Path) -> None:
    assert warned(root) == []
    leave_out_the_others(root)
    deliver_by_hand(root)
    assert delivering(root)["withheld"] == []
    assert warned(root) == []
    Journal.open(root).append("words", shot="one-bowl", field="title", text="Soup")
    assert warned(root) == ["stale", "not ready"]  # old, and so not ready
    update_shoot(root, [Put(("creator", "usage_terms"), ""), Put(("creator", "licence_url"), "")])
    assert warned(root) == ["stale", "not ready"]
    assert delivering(root)["ready"] is False


def test_words_changed_after_the_delivery_ask_for_another(root: Path) -> None:
    deliver_by_hand(root)
    # whatever the clocks say
    os.utime(root / "delivery" / "manifest.json", (time.time() + 60, time.time() + 60))
    assert "stale" not in [p["code"] for p in delivering(root)["open"]]
    Journal.open(root).append("words", shot="one-bowl", field="title", text="Soup")
    (stale,) = [p for p in delivering(root)["open"] if p["code"] == "stale"]
    assert (stale["address"], stale["blocks"]) == ("#run", True)
    assert delivering(root)["changed"] == ["words one-bowl"]


def test_every_kind_of_point_leads_somewhere(root: Path) -> None:
    for code in CODES:
        shown = point_shown(SAMPLES[code])
        assert shown.address, code
        assert shown.link, code
