"""A grey card for each light: the nearest in time tells, by arithmetic on the light and the settings of each frame."""

from pathlib import Path
from typing import Any

import numpy as np
import pytest

from plateside.files.journal.journal import Journal
from plateside.files.journal.state import read_state
from plateside.files.originals.identity import content_hash
from plateside.files.settings.load import load_shoot
from plateside.finish.white_balance import of_array
from plateside.model.errors import InputError
from plateside.model.frame import Settings
from plateside.tasks.deliver.open_points import standing
from plateside.tasks.finish.cards import stops_between
from plateside.tasks.finish.series import finish
from plateside.tasks.finish.shown import finishing
from tests.shoots.re_lit import SHOOT, make_shoot
from tests.synthetic.dng import write_dng

BOX = [0.25, 0.25, 0.5, 0.5]
APART = SHOOT.replace('role = "main"', 'role = "main"\nsurface = "oak"').replace(
    'role = "detail"', 'role = "detail"\nsurface = "linen"'
)
"""Two shots on different surfaces, so that nothing but a card can match them."""


def grain(seed: int, level: float) -> Any:
    """Nothing that could be recognised."""
    return level * np.exp(np.random.default_rng(seed).normal(0, 0.1, (120, 180, 3)))


def land(root: Path, name: str, shot: str, pixels: Any, *kinds: str, **how: Any) -> str:
    path = root / "frames" / name
    write_dng(path, pixels, preview=False, **how)
    frame = content_hash(path)
    rows: list[tuple[str, dict[str, Any]]] = [
        ("frame landed", {"frame": frame, "name": name}),
        ("frame belongs", {"frame": frame, "shot": shot, "guess": False}),
        *(("grey card", {"shot": shot, "frame": frame, "box": BOX}) for kind in kinds if kind == "card"),
        *((kind, {"shot": shot, "frame": frame}) for kind in kinds if kind != "card"),
    ]
    Journal.open(root).append_many(rows)
    return frame


def by_cards(tmp_path: Path, light: tuple[float, float, float], **card: Any) -> Any:
    """The match of a shot in another light than the main one's, each light with a card, all else unlike."""
    root = make_shoot(tmp_path / "s", APART, shots=())
    studio = root / "studio.toml"
    surfaces = '[[surfaces]]\nname = "oak"\n[[surfaces]]\nname = "linen"\n'
    studio.write_text(studio.read_text(encoding="utf-8") + surfaces, encoding="utf-8")
    other = np.array(light)
    grey = np.full((120, 180, 3), 0.12)
    land(root, "a.dng", "cup", grain(1, 0.1), "select", taken="2027:05-01 10:00:00")
    land(root, "a card.dng", "cup", grey, "card", taken="2027:05-01 10:03:00")
    land(root, "b.dng", "near", grain(2, 0.15) * other, "select", taken="2027:05-01 12:00:00")
    land(root, "b card.dng", "near", grey * other * card.pop("gain", 1), "card", **card)
    return next(one for one in finish(root, "jpeg").finished if one.shot == "near").match


def test_each_light_has_its_own_card_and_the_exposure_of_the_card_s_frame_is_reckoned_with(
    tmp_path: Path,
) -> None:
    light = (0.70, 0.60, 0.45)
    truth = of_array(1 / np.array(light))
    found = by_cards(tmp_path, light, taken="2027:05-01 11:55:00")
    assert found.by == "grey card"
    assert found.stops == pytest.approx(truth.exposure_stops, abs=0.02)
    assert found.mired == pytest.approx(truth.mired, abs=1.5)
    # the card's frame got half the exposure: 1/6 s for 1/3 s
    found = by_cards(tmp_path / "2", light, taken="2027:05-01 12:05:00", exposure_s=1 / 6, gain=0.5)
    assert found.by == "grey card"
    assert found.stops == pytest.approx(truth.exposure_stops, abs=0.02)


def test_a_card_of_another_hour_tells_nothing_and_the_picture_is_open_until_accepted_by_name(
    tmp_path: Path,
) -> None:
    found = by_cards(tmp_path, (0.7, 0.6, 0.45), taken="2027:05-01 10:40:00")
    assert (found.by, found.stops) == ("nothing", 0)
    root = tmp_path / "s"

    def open_for() -> list[str]:
        now = standing(root, load_shoot(root / "shoot.toml"), read_state(root))
        return [p.shot for p in now.open if p.code == "unmatched" and p.blocks]

    def page() -> bool:
        return bool(next(s for s in finishing(root)["shots"] if s["name"] == "near")["as_taken"])

    assert (open_for(), page()) == (["near"], False)
    with pytest.raises(InputError, match="cup, near"):
        finish(root, "jpeg", accept=("nobody",))
    report = finish(root, "jpeg", accept=("near",))
    assert (report.unmatched, report.as_taken, report.written) == (("near",), ("near",), 0)
    assert (open_for(), page()) == ([], True)
    rows = Journal.open(root).rows()
    assert rows[-1].kind == "as taken"
    # taken back, or another frame: open again
    journal = Journal.open(root)
    journal.append("undo", row=rows[-1].number)
    assert (open_for(), page()) == (["near"], False)
    journal.append("undo", row=journal.rows()[-1].number)
    land(root, "c.dng", "near", grain(3, 0.15) * 0.5, "select", taken="2027:05-01 15:00:00")
    finish(root, "jpeg")
    assert open_for() == ["near"]


def test_stops_between_two_settings() -> None:
    """Arithmetic on the exact thirds of a stop; 1/60 s stands for 1/64 s (ISO 2721 names, from memory)."""
    one = Settings(exposure_s=1 / 60, f_number=5.6, iso=100)
    assert stops_between(one, Settings(exposure_s=1 / 30, f_number=5.6, iso=100)) == pytest.approx(1)
    assert stops_between(one, Settings(exposure_s=1 / 60, f_number=8, iso=200)) == pytest.approx(0)
    assert stops_between(one, Settings(exposure_s=1 / 125, f_number=11, iso=100)) == pytest.approx(-3)
    assert stops_between(one, Settings(exposure_s=1 / 60, f_number=None, iso=100)) is None
