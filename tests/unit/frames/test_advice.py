"""Corrections in words: marks of the dials, thirds of a stop."""

import pytest

from plateside.frames.advice import exposure_words, faster_words, stops_words
from plateside.frames.settings_check import automatics, changed
from plateside.model.frame import Settings

AT = Settings(f_number=8, exposure_s=1 / 3, iso=100)


@pytest.mark.parametrize(
    ("stops", "words"),
    [
        (2 / 3, "Two thirds of a stop brighter: 1/3 s to 1/2 s"),
        (-1 / 3, "A third of a stop darker: 1/3 s to 1/4 s"),
        (1.0, "One stop brighter: 1/3 s to 0.6 s"),
        (-4 / 3, "One and a third stops darker: 1/3 s to 1/8 s"),
        (2.0, "Two stops brighter: 1/3 s to 1.3 s"),
    ],
)
def test_a_still_scene_changes_the_shutter(stops: float, words: str) -> None:
    # marked third stops as cameras show them (ISO 2720 nominal scale)
    assert exposure_words(stops, AT) == words


def test_what_moves_keeps_its_shutter() -> None:
    at = Settings(f_number=4, exposure_s=1 / 60, iso=400)
    assert exposure_words(2 / 3, at, "silk pour") == "Two thirds of a stop brighter: ISO 400 to ISO 640"
    assert exposure_words(-1.0, at, "hand") == "One stop darker: ISO 400 to ISO 200"


def test_less_grain_first() -> None:
    assert exposure_words(-1.0, Settings(f_number=8, exposure_s=1 / 3, iso=800)).endswith(
        "ISO 800 to ISO 400"
    )


def test_without_settings_only_the_stops() -> None:
    assert exposure_words(1.0, Settings()) == "One stop brighter"
    assert stops_words(-8 / 3) == "Two and two thirds stops"


def test_a_faster_shutter_for_a_streak() -> None:
    # 12 px to 3 px is two stops: 1/60 s to 1/250 s
    assert faster_words(Settings(exposure_s=1 / 60), 12, 3) == "1/60 s to 1/250 s"
    assert faster_words(Settings(), 12, 3) == ""


def test_automatics_are_told_and_silence_is_not_guessed() -> None:
    on = Settings(auto_iso=True, auto_white_balance=True, stabiliser_on=True, exposure_s=0.3)
    words = [w.act.words for w in automatics(on, on_tripod=True)]
    assert [w.split(" is on")[0] for w in words] == ["Auto ISO", "Auto white balance", "The stabiliser"]
    assert automatics(Settings(), on_tripod=True) == []
    assert len(automatics(on, on_tripod=False)) == 2


def test_changed_settings() -> None:
    before = Settings(f_number=8, exposure_s=1 / 3, iso=100, focal_length_mm=35, auto_white_balance=False)
    after = Settings(f_number=5.6, exposure_s=1 / 3, iso=100, focal_length_mm=50, auto_white_balance=True)
    words = [w.act.words for w in changed(before, after)]
    assert words[0].startswith("The zoom stands at 50 mm")
    assert words[1].startswith("f/5.6 now, f/8")
    assert "White balance went back" in words[2]
    assert changed(before, before) == []
