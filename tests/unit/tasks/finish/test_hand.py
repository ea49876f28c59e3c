"""What is set by hand reaches the file, is written down, can be taken back, and makes nothing else again."""

import io
import json
from pathlib import Path

import numpy as np
import pytest
import tifffile
from PIL import Image

from plateside.files.journal.journal import Journal
from plateside.files.journal.state import read_state
from plateside.files.settings.load import load_shoot
from plateside.finish.hand import UNTOUCHED, Hand
from plateside.ground.srgb import LUMINANCE, to_linear
from plateside.model.errors import InputError
from plateside.tasks.deliver.open_points import standing
from plateside.tasks.finish.hand_preview import hand_preview
from plateside.tasks.finish.series import finish
from plateside.tasks.finish.shown import finishing
from plateside.tasks.set.press import SomebodyElseError, press, take_back
from tests.shoots.re_lit import finished_shoot

ZERO = {"brighter_stops": 0, "warmer_mired": 0, "magenta_cc": 0, "turned_degrees": 0}


@pytest.fixture
def finished(tmp_path: Path) -> Path:
    return finished_shoot(tmp_path / "my shoot", share=1 / 2)


def last(root: Path) -> int:
    return Journal.open(root).rows()[-1].number


def luminance(root: Path, shot: str) -> float:
    written = to_linear(tifffile.imread(root / "finished" / f"{shot}.tif") / 65535.0) @ LUMINANCE
    height, width = written.shape
    # the middle, which a turn leaves where it is
    return float(np.median(written[height // 4 : -height // 4, width // 4 : -width // 4]))


def test_one_picture_is_made_again_as_it_was_set_and_taking_it_back_gives_the_same_bytes(
    finished: Path,
) -> None:
    path = finished / "finished" / "near.tif"
    before, was = path.read_bytes(), luminance(finished, "near")
    press(
        finished,
        "look",
        {"shot": "near", **ZERO, "brighter_stops": -0.5, "turned_degrees": 3},
        last(finished),
    )
    shown = {s["name"]: s for s in finishing(finished)["shots"]}
    assert (shown["near"]["hand_changed"], shown["cup"]["hand_changed"]) == (True, False)
    now = standing(finished, load_shoot(finished / "shoot.toml"), read_state(finished))
    assert [(p.code, p.shot) for p in now.open if p.code == "hand changed"] == [("hand changed", "near")]

    report = finish(finished)
    assert report.written == 1
    near = report.finished[1]
    assert near.hand == Hand(brighter_stops=-0.5, turned_degrees=3)
    assert near.width_px < 600
    # light is 0.5 stop less; its highlights need less of the curve's shoulder then, which bends the rest a little
    assert np.log2(luminance(finished, "near") / was) == pytest.approx(-0.5, abs=0.12)
    record = json.loads((finished / "finished" / "adjustments.json").read_text(encoding="utf-8"))
    assert record["pictures"][1]["hand"] == {**ZERO, "brighter_stops": -0.5, "turned_degrees": 3}
    assert len(record["pictures"][1]["adjustments"]) == 4
    assert not {s["name"]: s for s in finishing(finished)["shots"]}["near"]["hand_changed"]

    take_back(finished, last(finished))
    assert read_state(finished).hand("near") == UNTOUCHED
    assert finish(finished).written == 1
    assert path.read_bytes() == before


def test_for_the_whole_series_every_picture_moves_and_both_add_up(finished: Path) -> None:
    was = [luminance(finished, shot) for shot in ("cup", "near")]
    press(finished, "look", {"shot": "", **ZERO, "brighter_stops": -0.4}, last(finished))
    press(finished, "look", {"shot": "near", **ZERO, "brighter_stops": -0.3}, last(finished))
    assert finish(finished).written == 3
    moved = [np.log2(luminance(finished, shot) / b) for shot, b in zip(("cup", "near"), was, strict=True)]
    assert moved == pytest.approx([-0.4, -0.7], abs=0.05)


def test_two_screens_do_not_overwrite_each_other_and_what_is_beyond_is_refused(finished: Path) -> None:
    seen = last(finished)
    press(finished, "look", {"shot": "near", **ZERO, "warmer_mired": 10}, seen)
    with pytest.raises(SomebodyElseError):
        press(finished, "look", {"shot": "near", **ZERO, "warmer_mired": -10}, seen)
    for wrong in ({"brighter_stops": 9}, {"warmer_mired": "warm"}, {"magenta_cc": None}):
        with pytest.raises(InputError, match="goes from"):
            press(finished, "look", {"shot": "near", **ZERO, **wrong}, last(finished))
    with pytest.raises(InputError, match="cup"):
        press(finished, "look", {"shot": "nobody", **ZERO}, last(finished))


def test_the_picture_looked_at_while_the_hand_turns_is_the_one_that_will_be_made(finished: Path) -> None:
    hand = Hand(brighter_stops=0.4, warmer_mired=20, magenta_cc=-5)
    press(finished, "look", {"shot": "near", **vars(hand)}, last(finished))
    with Image.open(io.BytesIO(hand_preview(finished, "near", hand).jpeg)) as image:
        shown = np.asarray(image, np.float64)
    finish(finished)
    made = tifffile.imread(finished / "finished" / "near.tif") / 65535 * 255
    small = made[: made.shape[0] // 2 * 2, : made.shape[1] // 2 * 2]
    small = small.reshape(small.shape[0] // 2, 2, small.shape[1] // 2, 2, 3).mean(axis=(1, 3))
    height, width = min(shown.shape[0], small.shape[0]), min(shown.shape[1], small.shape[1])
    apart = np.abs(np.median(shown[:height, :width] - small[:height, :width], axis=(0, 1)))
    assert apart.max() < 2
    with pytest.raises(InputError):
        hand_preview(finished, "nobody", hand)


def test_a_list_of_an_earlier_version_says_so_and_a_damaged_one_is_made_anew(finished: Path) -> None:
    path = finished / "finished" / "adjustments.json"
    whole = json.loads(path.read_text(encoding="utf-8"))
    older = json.loads(json.dumps(whole))
    for row in older["pictures"]:
        row.pop("hand")
        row.pop("rendering")
    path.write_text(json.dumps(older), encoding="utf-8")
    assert not finishing(finished)["shots"][0]["picture"]["can_be_set"]
    with pytest.raises(InputError):
        hand_preview(finished, "near", UNTOUCHED)
    for name, value in (
        ("hand", {"brighter_stops": 99}),
        ("hand", 3),
        ("rendering", {"gains": []}),
        ("rendering", 7),
    ):
        spoiled = json.loads(json.dumps(whole))
        spoiled["pictures"][1][name] = value
        path.write_text(json.dumps(spoiled), encoding="utf-8")
        assert finishing(finished)["shots"] is not None
        assert finish(finished).list_renewed
