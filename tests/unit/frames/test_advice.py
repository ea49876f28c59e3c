"""Corrections: marks of the dials, thirds of a stop."""

import pytest

from plateside.frames.advice import exposure_dial, faster_dial
from plateside.frames.settings_check import automatics, changed
from plateside.ground.exposure import F_NUMBERS, ISOS, SHUTTERS, nearest
from plateside.model.frame import Dial, Settings

AT = Settings(f_number=8, exposure_s=1 / 3, iso=100)


def turned(dial: Dial | None) -> tuple[str, str, str]:
    assert dial is not None
    scale = {"shutter": SHUTTERS, "iso": ISOS, "aperture": F_NUMBERS}[dial.name]
    return dial.name, nearest(scale, dial.now).words, nearest(scale, dial.to).words


@pytest.mark.parametrize(
    ("stops", "to"), [(2 / 3, "1/2 s"), (-1 / 3, "1/4 s"), (1.0, "0.6 s"), (-4 / 3, "1/8 s"), (2.0, "1.3 s")]
)
def test_a_still_scene_changes_the_shutter(stops: float, to: str) -> None:
    # marked third stops as cameras show them (ISO 2720 nominal scale)
    assert turned(exposure_dial(stops, AT)) == ("shutter", "1/3 s", to)


def test_what_moves_keeps_its_shutter() -> None:
    at = Settings(f_number=4, exposure_s=1 / 60, iso=400)
    assert turned(exposure_dial(2 / 3, at, "silk pour")) == ("iso", "ISO 400", "ISO 640")
    assert turned(exposure_dial(-1.0, at, "hand")) == ("iso", "ISO 400", "ISO 200")


def test_less_noise_first() -> None:
    at = Settings(f_number=8, exposure_s=1 / 3, iso=800)
    assert turned(exposure_dial(-1.0, at)) == ("iso", "ISO 800", "ISO 400")


def test_without_settings_no_dial() -> None:
    assert exposure_dial(1.0, Settings()) is None


def test_a_faster_shutter_for_a_streak() -> None:
    # 12 px to 3 px is two stops: 1/60 s to 1/250 s
    assert turned(faster_dial(Settings(exposure_s=1 / 60), 12, 3)) == ("shutter", "1/60 s", "1/250 s")
    assert faster_dial(Settings(), 12, 3) is None


def test_automatics_are_told_and_silence_is_not_guessed() -> None:
    on = Settings(auto_iso=True, auto_white_balance=True, stabiliser_on=True, exposure_s=0.3)
    codes = [w.act.code for w in automatics(on, on_tripod=True)]
    assert codes == ["auto iso", "auto white balance", "stabiliser"]
    assert automatics(Settings(), on_tripod=True) == []
    assert len(automatics(on, on_tripod=False)) == 2


def test_changed_settings() -> None:
    before = Settings(f_number=8, exposure_s=1 / 3, iso=100, focal_length_mm=35, auto_white_balance=False)
    after = Settings(f_number=5.6, exposure_s=1 / 3, iso=100, focal_length_mm=50, auto_white_balance=True)
    assert [(w.act.code, w.act.amount, w.act.against) for w in changed(before, after)] == [
        ("zoom changed", 50, 35), ("aperture changed", 5.6, 8), ("white balance automatic again", None, None),
    ]  # fmt: skip
    assert changed(before, before) == []
