"""Before the set is cleared: keeps and spares, channels, grey card, releases; and the grey card asked for on set.

Sizes are arithmetic: a crop of a channel's shape out of the frame's own pixels.
"""

from pathlib import Path

import numpy as np
import pytest
from PIL import Image

from plateside.files.journal.journal import Journal
from plateside.tasks.set.before_clearing import ShotBefore, before_clearing
from plateside.tasks.set.now import set_now
from tests.shoots.bowl import SHOOT, shoot_folder, taken

MORE = """[[shots]]
name = "hand"
angle = "overhead"
frame_width_mm = 450
frame_height_mm = 300
dish_width_mm = 190
person = true
[[channels]]
name = "page"
width_px = 600
height_px = 400
[[channels]]
name = "tall"
width_px = 400
height_px = 600
"""


@pytest.fixture
def root(tmp_path: Path) -> Path:
    root = shoot_folder(tmp_path / "shoot")
    (root / "shoot.toml").write_text(SHOOT + MORE)
    return root


def land(root: Path, name: str, shot: str, wide: int, high: int, **light: object) -> str:
    """A bowl in the middle of a cloth, landed and judged good."""
    y, x = np.mgrid[0:high, 0:wide]
    # 190 of 450 mm across, as the shot list says
    inside = (x - wide / 2) ** 2 + (y - high / 2) ** 2 < (wide * 190 / 450 / 2) ** 2
    picture = np.where(inside[..., None], [200, 60, 40], [150, 150, 150]).astype(np.uint8)
    path = root / "frames" / name
    Image.fromarray(picture).save(path, quality=92, exif=taken(int(name[0])))
    frame = f"frame{name[0]}000"
    journal = Journal.open(root)
    journal.append("frame landed", frame=frame, name=name, shot=shot)
    journal.append("verdict", frame=frame, shot=shot, word="good", light={"card": False, **light})
    return frame


def of(root: Path, name: str) -> ShotBefore:
    return next(shot for shot in before_clearing(root).shots if shot.name == name)


def test_a_keep_and_a_spare(root: Path) -> None:
    journal = Journal.open(root)
    assert (of(root, "bowl").kept, of(root, "bowl").spare, of(root, "bowl").needs_dish) == (0, "", True)
    one = land(root, "1.jpg", "bowl", 1200, 800, card=True)
    journal.append("kept", frame=one)
    assert (of(root, "bowl").kept, of(root, "bowl").spare) == (1, "")
    two = land(root, "2.jpg", "bowl", 1200, 800)
    assert of(root, "bowl").spare == "good"
    journal.append("kept", frame=two)
    found = of(root, "bowl")
    assert (found.kept, found.spare, found.left, found.grey_card) == (2, "kept", (), "yes")
    assert (found.needs_dish, found.complete, found.release) == (False, True, "none needed")
    journal.append("again", frame=two)
    assert (of(root, "bowl").kept, of(root, "bowl").spare) == (1, "")
    assert before_clearing(root).need_dish == ("bowl", "hand")


def test_every_channels_pixels_by_the_frames_own(root: Path) -> None:
    """Of 840 x 560 the largest 2:3 upright is 373 x 560: too few for 400 x 600, enough across for 600 x 400."""
    small = land(root, "1.jpg", "bowl", 840, 560)
    Journal.open(root).append("kept", frame=small)
    (left,) = of(root, "bowl").left
    assert (left.channel, [r.code for r in left.remarks]) == ("tall", ["too few pixels"])
    (remark,) = left.remarks
    assert [round(v) for v in remark.got[:2]] == [373, 560]
    # another kept frame that fills it is enough
    large = land(root, "2.jpg", "bowl", 1200, 800)
    Journal.open(root).append("kept", frame=large)
    assert of(root, "bowl").left == ()


def test_a_release_is_missing_where_a_person_is_seen(root: Path) -> None:
    assert (of(root, "hand").release, of(root, "bowl").release) == ("missing", "none needed")
    text = (root / "shoot.toml").read_text()
    (root / "shoot.toml").write_text(text.replace("person = true", "person = true\nmodel_release = true"))
    assert of(root, "hand").release == "signed"


def test_the_grey_card_is_asked_for_until_one_lands(root: Path) -> None:
    journal = Journal.open(root)
    assert set_now(root).grey_card is None, "no shot is named"
    journal.append("shot current", shot="bowl")
    asked = set_now(root).grey_card
    assert asked is not None
    assert asked.why == "set-up"
    land(root, "1.jpg", "bowl", 600, 400)
    assert set_now(root).grey_card is not None
    card = land(root, "2.jpg", "bowl", 600, 400, card=True)
    assert set_now(root).grey_card is None
    journal.append("test frame", shot="bowl", frame=card)
    for number in (3, 4):
        land(root, f"{number}.jpg", "bowl", 600, 400, against=card, stops=-0.5, mired=2.0)
    asked = set_now(root).grey_card
    assert asked is not None
    assert (asked.why, asked.stops) == ("light", -0.5)
    journal.append("grey card", shot="bowl", frame="frame4000", box=[0.4, 0.4, 0.1, 0.1])
    assert set_now(root).grey_card is None, "marked by hand in the newest frame"
    journal.append("shot current", shot="hand")
    asked = set_now(root).grey_card
    assert asked is not None
    assert asked.why == "set-up"


def test_frames_of_an_earlier_version_ask_for_nothing(root: Path) -> None:
    journal = Journal.open(root)
    journal.append("shot current", shot="bowl")
    journal.append("frame landed", frame="old00000", name="old.jpg", shot="bowl")
    journal.append("verdict", frame="old00000", shot="bowl", word="good")
    assert set_now(root).grey_card is None
    assert of(root, "bowl").grey_card == "unknown"
