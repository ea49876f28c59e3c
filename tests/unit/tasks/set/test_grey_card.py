"""Her grey card named in a frame: the aim there and later, while it lies there (ISO 12232: metered it is 0.18)."""

import contextlib
from pathlib import Path

import numpy as np
import pytest
from PIL import Image

from plateside.files.journal.state import read_state
from plateside.model.errors import InputError
from plateside.tasks.set.grey_card import box_of, name_grey_card
from plateside.tasks.set.judge import judge_frames
from plateside.tasks.set.judged import Judged
from plateside.tasks.set.marks import FrameMarker
from plateside.tasks.set.press import press
from plateside.tasks.set.shot import name_shot, undo_last
from tests.shoots.folder import shoot_folder
from tests.shoots.once import copied
from tests.shoots.re_lit import SHOOT, frame

SHOT = "cup"
STOPS_UNDER = -0.5


def lay_card(picture: np.ndarray, level: float) -> np.ndarray:
    """A card too small for the tool to find by itself."""
    out = picture.copy()
    high, wide = out.shape[:2]
    encoded = round(255 * (1.055 * level ** (1 / 2.4) - 0.055))
    out[int(0.05 * high) : int(0.11 * high), int(0.05 * wide) : int(0.11 * wide)] = encoded
    return out


def judged(root: Path) -> dict[str, Judged]:
    return {j.frame.name: j for j in judge_frames(root).frames}


def make_judged(root: Path) -> None:
    """Four frames of a shot, the card in two of them, each judged as it landed."""
    shoot_folder(root, SHOOT)
    bare = np.asarray(frame((1.0, 1.0, 1.0), seed=1))
    level = 0.18 * 2**STOPS_UNDER
    name_shot(root, SHOT, [])
    card, again = lay_card(bare, level), lay_card(frame((1.0, 1.0, 1.0), seed=2), level)
    gone = frame((1.0, 1.0, 1.0), seed=3)
    for name, picture in (("1-before", bare), ("2-card", card), ("3-card", again), ("4-gone", gone)):
        Image.fromarray(picture).save(root / "frames" / f"{name}.jpg", quality=97)
        judge_frames(root)


@pytest.fixture
def root(tmp_path: Path) -> Path:
    return copied(tmp_path / "s", make_judged)


def test_a_named_card_is_the_aim_from_then_on_while_it_lies_there(root: Path) -> None:
    assert {j.facts.exposure.aim for j in judged(root).values()} == {"brightest matt part"}
    named = name_grey_card(root, "", "2-card.jpg", "0.08,0.08")
    assert (named.name, named.shot) == ("2-card.jpg", SHOT)
    assert named.box == pytest.approx((0.06, 0.06, 0.04, 0.04))
    aims = {name: j.facts.exposure.aim for name, j in judged(root).items()}
    assert aims == {
        "1-before.jpg": "brightest matt part", "2-card.jpg": "grey card", "3-card.jpg": "grey card",
        "4-gone.jpg": "brightest matt part",
    }  # fmt: skip
    seen = judged(root)["3-card.jpg"].facts
    assert seen.exposure.stops == pytest.approx(STOPS_UNDER, abs=0.05)
    assert seen.colour.source == "grey card"
    assert "grey card" in undo_last(root).lines()[0]
    assert read_state(root).grey_cards == {}
    assert judged(root)["2-card.jpg"].facts.exposure.aim == "brightest matt part"


@pytest.mark.parametrize("place", ["", "0.2", "0.2,x", "0.2,1.2", "0.1,0.1,0.1"])
def test_a_place_that_is_none_is_refused_in_words(place: str) -> None:
    with pytest.raises(InputError, match=r"is not a place in a frame: give across,down as shares"):
        box_of(place)


def test_a_box_beside_the_frame_is_refused_in_one_sentence_typed_or_pressed(root: Path) -> None:
    words = (
        "The grey card's place is not within the picture: from 0.9 to 1.2 across and from 0.1 to 0.2 down, "
        "where 0 to 1 is the picture."
    )
    with pytest.raises(InputError) as typed:
        name_grey_card(root, SHOT, "2-card.jpg", "0.9,0.1,0.3,0.1")
    state = read_state(root)
    frame_id = next(f for f, name in state.landed.items() if name == "2-card.jpg")
    with pytest.raises(InputError) as pressed:
        press(
            root, "grey card", {"shot": SHOT, "frame": frame_id, "box": [0.9, 0.1, 0.3, 0.1]}, state.last_row
        )
    assert str(typed.value) == str(pressed.value) == words
    for place in ("0.1,0.1,0.01,0.3", "0.1,0.1,0,0"):
        with pytest.raises(InputError, match=r"at least 0.02"):
            box_of(place)
    assert read_state(root).grey_cards == {}


def test_a_touch_finds_the_card_and_says_what_it_reads(root: Path) -> None:
    state = read_state(root)
    ids = {name: f for f, name in state.landed.items()}
    with contextlib.closing(FrameMarker(root)) as marker:
        # off its middle: the card lies from 0.05 to 0.11 both ways
        found = marker.card(ids["2-card.jpg"], 0.06, 0.10)
        x, y, w, h = found.box
        assert 0.05 <= x < x + w <= 0.11
        assert 0.05 <= y < y + h <= 0.11
        assert found.grey
        assert found.off_stops == pytest.approx(-0.5, abs=0.05)
        press(root, "grey card", {"shot": SHOT, "frame": ids["2-card.jpg"], "box": found.box}, state.last_row)
        seen = marker.marks(ids["2-card.jpg"])
        drawn = next(m.box for m in seen.marks if m.kind == "card")
        assert drawn == pytest.approx((x, y, x + w, y + h), abs=1e-5)
        assert "Against the grey card: 0.5 stop darker." in seen.facts
        with pytest.raises(InputError, match="is beside the frame"):
            marker.card(ids["2-card.jpg"], 1.2, 0.5)


def test_a_point_at_the_edge_stays_inside() -> None:
    assert box_of("1,0") == (0.96, 0.0, 0.04, 0.04)
    assert box_of("0.1,0.2,0.3,0.4") == (0.1, 0.2, 0.3, 0.4)
