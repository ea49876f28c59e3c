"""A series that follows a picture which is itself off is told so: by its card, its test frame, or all the others."""

import json
from pathlib import Path
from typing import Any

import numpy as np
import pytest
from PIL import Image

from plateside.files.journal.journal import Journal
from plateside.files.journal.state import read_state
from plateside.files.originals.identity import content_hash
from plateside.files.settings.load import load_shoot
from plateside.finish.look_off import above, card_off, off_the_others
from plateside.finish.matching import ITSELF, Match
from plateside.finish.white_balance import NONE, of_array
from plateside.tasks.deliver.open_points import standing
from plateside.tasks.finish.series import finish
from plateside.tasks.finish.shown import finishing
from tests.shoots.re_lit import frame, make_shoot

DARK = (2**-1.5, 2**-1.5, 2**-1.5)
"""1.5 stops under, of the colour of the first light."""
HALF = 1 / 2
"""Of each side: none of what is told here is in the pixels' size."""
WARM = (0.9 * 1.25, 0.9, 0.9 / 1.25)


def land(root: Path, name: str, shot: str, pixels: Any, *kinds: str) -> str:
    """A frame of a shot, and the decisions that are made of it."""
    path = root / "frames" / name
    Image.fromarray(pixels).reduce(round(1 / HALF)).save(path, quality=96)
    identity = content_hash(path)
    rows: list[tuple[str, dict[str, Any]]] = [
        ("frame landed", {"frame": identity, "name": name}),
        ("frame belongs", {"frame": identity, "shot": shot, "guess": False}),
        *((kind, {"shot": shot, "frame": identity}) for kind in kinds),
    ]
    Journal.open(root).append_many(rows)
    return identity


def told(root: Path) -> tuple[Any, list[str]]:
    """What is off, and the codes of the open points of it; command, page and list say the same."""
    report = finish(root, "jpeg")
    record = json.loads((root / "finished" / "adjustments.json").read_text(encoding="utf-8"))
    now = standing(root, load_shoot(root / "shoot.toml"), read_state(root))
    found = [p for p in now.open if p.code == "look off"]
    assert (record["look_off"] is None) is (report.look_off is None)
    assert bool(finishing(root)["look_off"]) is (report.look_off is not None)
    assert len(found) == (report.look_off is not None)
    assert not any(p.blocks for p in found)
    return report.look_off, [p.shot for p in found]


def test_a_chosen_frame_darker_than_its_shots_test_frame_is_told_by_how_much(tmp_path: Path) -> None:
    root = make_shoot(tmp_path / "shoot", share=HALF)
    # as it is taken first, the chosen frame is the good one
    good = read_state(root).heroes["cup"]
    Journal.open(root).append("test frame", shot="cup", frame=good)
    assert told(root) == (None, [])
    land(root, "dark.jpg", "cup", frame(DARK, seed=7), "select")
    off, shots = told(root)
    assert (off.by, shots) == ("test frame", ["cup"])
    assert off.stops == pytest.approx(-1.5, abs=0.1)
    assert off.mired == 0
    # a shot that is meant dark is dark
    text = (root / "shoot.toml").read_text(encoding="utf-8")
    (root / "shoot.toml").write_text(
        text.replace('role = "main"', 'role = "main"\ndeliberate = ["dark"]'), "utf-8"
    )
    assert told(root) == (None, [])


def test_one_too_far_from_its_test_frame_and_one_too_warm_are_told(tmp_path: Path) -> None:
    root = make_shoot(tmp_path / "shoot", share=HALF)
    Journal.open(root).append("test frame", shot="cup", frame=read_state(root).heroes["cup"])
    land(root, "far.jpg", "cup", frame((0.15, 0.15, 0.15), seed=8), "select")
    off, _ = told(root)
    assert off.stops == pytest.approx(np.log2(0.15), abs=0.15)
    land(root, "warm.jpg", "cup", frame(WARM, seed=9), "select")
    off, _ = told(root)
    assert off.by == "test frame"
    assert off.stops == 0
    # what would undo these gains is as much cooler
    assert off.mired == pytest.approx(-of_array(1 / np.array(WARM)).mired, abs=4)


def test_with_the_good_one_gone_the_other_pictures_tell(tmp_path: Path) -> None:
    root = make_shoot(tmp_path / "shoot", share=HALF)
    good = read_state(root).heroes["cup"]
    Journal.open(root).append("test frame", shot="cup", frame=good)
    land(root, "dark.jpg", "cup", frame((0.18, 0.15, 0.125), seed=7), "select")
    (root / "frames" / read_state(root).landed[good]).unlink()
    off, shots = told(root)
    assert (off.by, shots) == ("others", ["cup"])
    # lit as "near" is, and 2 stops less: 2 stops under the one, 2.9 under the other (arithmetic on their lights)
    assert -3.0 < off.stops < -1.9


def card(pixels: Any, level: float, tint: tuple[float, float, float] = (1, 1, 1)) -> Any:
    """The frame with a grey card in a corner, of that linear level."""
    # IEC 61966-2-1
    coded = [max(round(255 * (1.055 * (level * t) ** (1 / 2.4) - 0.055)), 0) for t in tint]
    with_card = pixels.copy()
    with_card[400:460, 20:80] = coded
    return with_card


BOX = [20 / 720, 400 / 480, 60 / 720, 60 / 480]


@pytest.mark.parametrize("stops", [-1.5, 0.0, 1.0])
def test_by_the_grey_card_in_the_picture_or_in_another_frame_of_the_shot(
    tmp_path: Path, stops: float
) -> None:
    """As metered an 18 % card is shown at 0.18 (ISO 12232)."""
    root = make_shoot(tmp_path / "shoot", share=HALF)
    level = 0.18 * 2.0**stops
    marked = land(root, "card.jpg", "cup", card(frame((0.6, 0.6, 0.6), seed=3), level), "select")
    Journal.open(root).append("grey card", shot="cup", frame=marked, box=BOX)
    off, _ = told(root)
    assert (off.stops if off else 0.0) == pytest.approx(stops, abs=0.05)
    # without the card, another stop down: card and step add up
    land(root, "plain.jpg", "cup", frame((0.3, 0.3, 0.3), seed=4), "select")
    off, _ = told(root)
    assert (off.stops if off else 0.0) == pytest.approx(stops - 1, abs=0.1)
    assert off is None or off.by == "grey card"


def test_a_card_that_can_be_none_or_a_frame_that_is_no_picture_is_passed_over(tmp_path: Path) -> None:
    root = make_shoot(tmp_path / "shoot", share=HALF)
    marked = land(root, "card.jpg", "cup", card(frame((0.6, 0.6, 0.6), seed=3), 0.00001))
    Journal.open(root).append("grey card", shot="cup", frame=marked, box=BOX)
    broken = root / "frames" / "broken.jpg"
    broken.write_bytes(b"no picture")
    Journal.open(root).append_many(
        [
            ("frame landed", {"frame": content_hash(broken), "name": broken.name}),
            ("frame belongs", {"frame": content_hash(broken), "shot": "cup", "guess": False}),
            ("test frame", {"shot": "cup", "frame": content_hash(broken)}),
        ]
    )
    assert told(root) == (None, [])


def test_a_damaged_or_older_list_says_nothing_of_it(tmp_path: Path) -> None:
    root = make_shoot(tmp_path / "shoot", share=HALF)
    assert told(root) == (None, [])
    path = root / "finished" / "adjustments.json"
    record = json.loads(path.read_text(encoding="utf-8"))
    damaged: tuple[Any, ...] = (
        {"by": "the moon", "stops": 1.0, "mired": 0.0},
        "words",
        [],
        {"by": "test frame"},
        {"by": 3, "stops": "x", "mired": None},
        {"stops": float("nan")},
    )
    for off in damaged:
        path.write_text(json.dumps({**record, "look_off": off}), encoding="utf-8")
        assert finishing(root)["look_off"] is None
    del record["look_off"]
    path.write_text(json.dumps(record), encoding="utf-8")
    assert finishing(root)["look_off"] is None


def test_the_others_must_say_the_same() -> None:
    assert off_the_others([(-1.6, 0)]) is None  # one picture against another tells not which is off
    off = off_the_others([(-1.6, 0), (-1.4, 3), (-1.7, -4)])
    assert off is not None
    assert (off.stops, off.mired) == (-1.6, 0)
    assert off_the_others([(-1.6, 0), (0.2, 0), (-1.5, 0)]) is None
    assert off_the_others([(-0.3, 5), (-0.3, -5), (-0.2, 0)]) is None
    assert above(ITSELF) is None
    assert above(Match(NONE, "nothing", 0.0, None, None, 0.0, 0.0)) is None
    assert above(Match(NONE, "too far", 1.0, None, None, 0.0, 0.0, -2.6, 4.0)) == (-2.6, 4.0)
    assert card_off(np.array([[0.09, 0.09, 0.09]])) == pytest.approx((-1, 0), abs=1e-9)
