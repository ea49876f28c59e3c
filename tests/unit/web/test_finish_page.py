"""Finish: a frame to be taken again is told before a set is made like it; what stands before is the same raw."""

import json
from pathlib import Path

import numpy as np
import pytest
from PIL import Image

from plateside.demo.data import copy_demo
from plateside.files.journal.journal import Journal
from plateside.files.originals.identity import content_hash
from plateside.model.progress import silent
from plateside.tasks.finish.shown import finishing
from plateside.tasks.report import as_json
from plateside.tasks.set.press import press
from plateside.web.shown.finish import finish_shown
from plateside.web.work.results import WORK
from tests.shoots.re_lit import scene
from tests.synthetic.dng import write_dng
from tests.unit.web.finished import finished_row, write_record

FRAME = "a" * 32


@pytest.fixture
def root(tmp_path: Path) -> Path:
    """The demo's shoot with a frame that the tool would take again, its hero."""
    copy_demo(tmp_path / "shoot")
    rows: list[tuple[str, dict[str, object]]] = [
        ("frame landed", {"frame": FRAME, "name": "bowl.jpg"}),
        ("frame belongs", {"frame": FRAME, "shot": "one-bowl", "guess": False}),
        ("verdict", {"frame": FRAME, "word": "again", "act": "One stop darker", "confidence": 0.8}),
        ("select", {"shot": "one-bowl", "frame": FRAME}),
    ]
    Journal.open(tmp_path / "shoot").append_many(rows)
    return tmp_path / "shoot"


def doubt(root: Path) -> object:
    return {s["name"]: s for s in finishing(root)["shots"]}["one-bowl"]["doubt"]


def test_a_hero_to_be_taken_again_is_told_with_the_reason(root: Path) -> None:
    assert doubt(root) == {"by_her": False, "act": "One stop darker", "kept": False}
    press(root, "kept", {"frame": FRAME}, 99)
    assert doubt(root) == {"by_her": False, "act": "One stop darker", "kept": True}
    press(root, "again", {"frame": FRAME}, 99)
    assert doubt(root) == {"by_her": True, "act": "", "kept": False}


@pytest.mark.parametrize("word", ["good", "adjust"])
def test_a_hero_that_will_do_is_left_in_peace(root: Path, word: str) -> None:
    Journal.open(root).append("verdict", frame=FRAME, word=word, act="Keep", confidence=0.8)
    assert doubt(root) is None


def test_the_plain_development_has_the_raws_own_colours_and_its_place(root: Path) -> None:
    """A made raw of a known scene: every patch comes out as the scene, but for the development's one tone curve."""
    (root / "frames").mkdir(exist_ok=True)
    write_dng(root / "frames" / "bowl.dng", scene(), seed=3)
    frame = content_hash(root / "frames" / "bowl.dng")
    Journal.open(root).append("frame landed", frame=frame, name="bowl.dng")
    WORK["plain"]({"root": str(root), "frame": frame, "size": "view"}, silent)
    with Image.open(root / ".plateside" / "shown" / "plain" / f"{frame}-view.jpg") as image:
        shown = np.asarray(image.convert("RGB"), float)
    # half size: raws are binned 2 x 2 for a small picture
    assert shown.shape[:2] == (240, 360)
    truth = scene()[::2, ::2]
    # the order of light is kept all over the picture: the same place, nothing turned or moved
    ranks = [np.argsort(np.argsort(part.mean(axis=-1).ravel())) for part in (shown, truth)]
    assert np.corrcoef(ranks[0], ranks[1])[0, 1] > 0.97


def test_what_the_page_is_sent_is_json_with_codes_beside_its_sentences(root: Path) -> None:
    (root / "finished").mkdir()
    (root / "finished" / "one-bowl.jpg").write_bytes(b"x")
    row = finished_row("one-bowl", "one-bowl.jpg", "b" * 32)
    row["match"] |= {"by": "nothing"}
    write_record(root, row)
    sent = json.loads(json.dumps(as_json(finish_shown(finishing(root)))))
    shots = {s["name"]: s for s in sent["shots"]}
    assert [n["code"] for n in shots["one-bowl"]["notes"]] == ["unmatched", "another select", "take again"]
    assert [n["code"] for n in shots["pour"]["notes"]] == ["no frame"]
    assert [r["code"] for r in shots["one-bowl"]["picture"]["figures"]] == ["exposure", "colour"]
    assert sent["greyed_out"] == ""
    assert sent["match_to"] == "one-bowl"
