"""What is offered for a slip: the value in the field's own unit, and never an example in the place of her own."""

from pathlib import Path

import pytest

from plateside.demo.data import copy_demo
from plateside.files.settings.guesses import commas_read, number_in
from plateside.files.settings.load import judge_both, judge_studio
from plateside.model.errors import SettingsError
from plateside.tasks.studio.edit_mend import to_mend


def fixes(text: str) -> list[str]:
    """What is offered in the place of a studio's mistakes."""
    return [m.fix for m in judge_studio(text, "studio.toml").mistakes]


@pytest.fixture
def demo(tmp_path: Path) -> Path:
    copy_demo(tmp_path)
    return tmp_path


def changed(path: Path, before: str, after: str) -> None:
    text = path.read_text(encoding="utf-8")
    assert before in text
    path.write_text(text.replace(before, after, 1), encoding="utf-8")


def test_a_key_in_another_unit_is_converted(demo: Path) -> None:
    changed(demo / "shoot.toml", "frame_width_mm = 700", "frame_width_cm = 45")
    _, _, shoot = judge_both(demo)
    assert [m.fix for m in shoot.mistakes if m.got == "frame_width_cm"] == ["frame_width_mm = 450"]


def test_a_comma_in_thousands_is_no_decimal_comma() -> None:
    assert (commas_read("1,200", "lx"), commas_read("1,200", "m"), commas_read("4,2", "lx")) == (
        "1200", "1.200", "4.2",
    )  # fmt: skip
    assert "illuminance_lx = 1200" in fixes("[[readings]]\nilluminance_lx = '1,200'\n")
    assert number_in("1,200 lx", "lx") == 1200
    assert number_in("41.15N", "deg") == 41.15
    assert number_in("8.6 W", "deg") == -8.6


def test_an_example_is_not_offered_in_the_place_of_what_stands_there(demo: Path) -> None:
    changed(demo / "shoot.toml", "frame_height_mm = 500", 'frame_height_mm = "ninety"  # as I like it')
    changed(demo / "shoot.toml", "dish_height_mm = 60", 'dish_height_mm = "6 cm"   # low')
    _, _, found = to_mend(demo, "shoot")
    meant = {line.mistake.key: line.meant for line in found}
    assert meant["frame_height_mm"] == 'frame_height_mm = "ninety"  # as I like it'
    assert meant["dish_height_mm"].startswith("dish_height_mm = 60")


def test_a_studio_of_nearly_that_name_is_named(demo: Path) -> None:
    text = (demo / "shoot.toml").read_text(encoding="utf-8")
    (demo / "shoot.toml").write_text('studio = "Studio.tml"\n' + text.replace('studio = "studio.toml"\n', ""))
    with pytest.raises(SettingsError) as caught:
        judge_both(demo)
    (mistake,) = caught.value.mistakes
    assert (mistake.code, mistake.line, mistake.got) == ("no studio file", 1, "Studio.tml")
    assert (mistake.meant, mistake.fix) == ('"studio.toml"', 'studio = "studio.toml"')
