"""Writing back: what is changed is changed, and every other letter of her file stays."""

import difflib
import errno
import tomllib
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest
import tomlkit
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from plateside.files.settings.lines import value_text
from plateside.files.settings.load import parse_studio
from plateside.files.settings.reader import read
from plateside.files.settings.write import Add, Put, changed, dump, update_shoot, update_studio
from plateside.model.errors import CouldNotError, InputError, SettingsError
from plateside.model.room import Opposite
from plateside.model.shoot import Channel, Shoot
from plateside.model.studio import Fit, Reading, Studio
from plateside.words.figures import number_text
from tests.unit.settings.sample_settings import SHOOT, STUDIO, any_table

NEW = Reading(
    at="2027-07-16T14:00", spot="by the window", illuminance_lx=700.5, sky="hazy", evidence="frame 12"
)
FIT = Fit(date="2027-07-16", light_factor=1.25, light_factor_spread_stops=0.2, readings=2)


def edited(text: str, *changes: Any) -> str:
    after, _ = changed(text, tuple(changes), Studio, "studio.toml")
    return after


def comments(text: str) -> list[str]:
    return [line[line.index("#") :] for line in text.split("\n") if "#" in line]


def kept_in_order(before: str, after: str) -> list[str]:
    """Lines of `before` that are gone from `after`."""
    return [
        line[2:] for line in difflib.ndiff(before.split("\n"), after.split("\n")) if line.startswith("- ")
    ]


def test_a_reading_is_added_behind_the_last_and_before_the_next_comment() -> None:
    after = edited(STUDIO, Add(("readings",), NEW))
    assert kept_in_order(STUDIO, after) == []
    assert comments(after) == comments(STUDIO)
    assert after.index("frame 12") < after.index("# ---- what they taught")
    assert parse_studio(after).readings == (*parse_studio(STUDIO).readings, NEW)


def test_readings_stay_in_the_order_they_came() -> None:
    later = [replace(NEW, at=f"2027-07-{day}T14:00") for day in (17, 18, 19)]
    after = edited(STUDIO, *(Add(("readings",), reading) for reading in later))
    assert parse_studio(after).readings[1:] == tuple(later)


def test_the_fit_is_set_without_losing_a_comment() -> None:
    after = edited(STUDIO, Put(("fit",), FIT))
    assert kept_in_order(STUDIO, after) == ["light_factor = 1.1"]
    assert comments(after) == comments(STUDIO)
    assert parse_studio(after).fit == FIT
    assert replace(parse_studio(after), fit=Fit()) == replace(parse_studio(STUDIO), fit=Fit())


def test_a_table_that_is_not_there_comes_at_the_end() -> None:
    bare = STUDIO[: STUDIO.index("[[readings]]")]
    after = edited(bare, Add(("readings",), NEW), Put(("fit",), FIT))
    assert after.startswith(bare.rstrip("\n"))
    assert parse_studio(after).fit == FIT
    assert parse_studio(after).readings == (NEW,)


def test_a_nested_item_goes_to_its_own_parent() -> None:
    second = '\n[[windows]]\nname = "side"\nbearing_deg = 110\nwidth_m = 1\nheight_m = 1\nsill_m = 1\n'
    text = STUDIO.replace("\n[[spots]]", second + "\n[[spots]]")
    hill = Opposite(bearing_from_deg=100, bearing_to_deg=150, distance_m=300, top_above_ground_m=40)
    tree = Opposite(
        bearing_from_deg=0, bearing_to_deg=10, distance_m=8, top_above_ground_m=6, see_through=0.5
    )
    after = edited(text, Add(("windows", "side", "opposite"), hill), Add(("windows", 0, "opposite"), tree))
    windows = parse_studio(after).windows
    assert [o.distance_m for o in windows[0].opposite] == [12, 8]
    assert [o.distance_m for o in windows[1].opposite] == [300]
    assert kept_in_order(text, after) == []


def test_one_value_by_its_items_name() -> None:
    after = edited(
        STUDIO,
        Put(("cameras", "the camera", "clock_offset_s"), -3.5),
        Put(("place", "timezone"), "Europe/Madrid"),
    )
    assert parse_studio(after).cameras[0].clock_offset_s == -3.5
    assert 'timezone = "Europe/Madrid"      # on the mainland' in after


def test_a_line_is_taken_out() -> None:
    text = STUDIO.replace("sill_m = 0.78", "sill_m = 0.78\nfrom_left_m = 1.5")
    assert edited(text, Put(("windows", 0, "from_left_m"), None)) == STUDIO


def test_an_empty_list_makes_way() -> None:
    bare = STUDIO.replace("format = 1\n", "format = 1\nboards = []\n").replace(
        '[[boards]]\nname = "white"\n', ""
    )
    after = edited(bare, Add(("boards",), replace(parse_studio(STUDIO).boards[0], name="new")))
    assert [b.name for b in parse_studio(after).boards] == ["new"]


def test_an_inline_list_is_left_alone_and_told() -> None:
    text = STUDIO.replace("format = 1\n", 'format = 1\nboards = [{name = "white"}]\n').replace(
        '[[boards]]\nname = "white"\n', ""
    )
    with pytest.raises(InputError, match=r"under \[\[boards\]\]"):
        edited(text, Add(("boards",), parse_studio(STUDIO).boards[0]))


def test_nothing_is_written_when_the_change_is_wrong(tmp_path: Path) -> None:
    path = tmp_path / "studio.toml"
    path.write_text(STUDIO, encoding="utf-8")
    with pytest.raises(SettingsError, match="no table spot called"):
        update_studio(path, [Add(("readings",), replace(NEW, spot="nowhere"))])
    with pytest.raises(InputError, match="no cameras called"):
        update_studio(path, [Put(("cameras", "other", "base_iso"), 200)])
    with pytest.raises(InputError, match="no field"):
        update_studio(path, [Put(("rooms", "width_m"), 200)])
    assert path.read_text(encoding="utf-8") == STUDIO


def test_a_full_disk_leaves_the_old_file(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    path = tmp_path / "studio.toml"
    path.write_text(STUDIO, encoding="utf-8")

    def full(self: Path, data: bytes) -> int:
        raise OSError(errno.ENOSPC, "No space left on device")

    monkeypatch.setattr(Path, "write_bytes", full)
    with pytest.raises(CouldNotError, match="disk is full"):
        update_studio(path, [Add(("readings",), NEW)])
    monkeypatch.undo()
    assert path.read_text(encoding="utf-8") == STUDIO
    assert [p.name for p in tmp_path.iterdir()] == ["studio.toml"]


def test_line_ends_and_byte_order_mark_stay(tmp_path: Path) -> None:
    path = tmp_path / "studio.toml"
    path.write_bytes(b"\xef\xbb\xbf" + STUDIO.replace("\n", "\r\n").encode())
    studio = update_studio(path, [Put(("fit",), FIT), Add(("readings",), NEW)])
    raw = path.read_bytes()
    assert raw.startswith(b"\xef\xbb\xbf# my studio\r\n")
    assert raw.count(b"\n") == raw.count(b"\r\n")
    assert studio.fit == FIT


def test_a_shoot_is_updated_too(tmp_path: Path) -> None:
    path = tmp_path / "shoot.toml"
    path.write_text(SHOOT, encoding="utf-8")
    shoot = update_shoot(
        tmp_path, [Add(("channels",), Channel(name="tall")), Put(("shots", "whole", "alt_text"), "Soup.")]
    )
    assert [c.name for c in shoot.channels] == ["wide", "tall"]
    assert shoot.shots[0].alt_text == "Soup."


def test_tomlkit_and_the_standard_parser_read_what_was_written() -> None:
    # outside check: two independent TOML parsers
    after = edited(STUDIO, Add(("readings",), NEW), Put(("fit",), FIT))
    assert tomlkit.parse(after).unwrap() == tomllib.loads(after)
    assert tomlkit.parse(after)["readings"][1]["illuminance_lx"] == 700.5


@pytest.mark.parametrize("root", [Studio, Shoot])
def test_reading_what_was_dumped_gives_it_back(root: type) -> None:
    @settings(
        max_examples=40,
        deadline=None,
        suppress_health_check=[HealthCheck.too_slow, HealthCheck.data_too_large],
    )
    @given(any_table(root))
    def law(thing: Any) -> None:
        reading: Any = read(dump(thing), "file.toml", root)
        assert reading.mistakes == []
        assert reading.value == thing

    law()


@given(st.floats(allow_nan=False, allow_infinity=False))
@settings(deadline=None)
def test_numbers_are_written_without_loss(value: float) -> None:
    assert float(tomllib.loads(f"v = {number_text(value)}")["v"]) == value


@given(st.text(st.characters(codec="utf-8")))
@settings(deadline=None)
def test_texts_are_written_without_loss(value: str) -> None:
    assert tomllib.loads(f"v = {value_text(value)}")["v"] == value


@settings(max_examples=25, deadline=None)
@given(st.lists(st.floats(0.05, 20), min_size=1, max_size=4), st.integers(1, 3))
def test_changes_one_after_another_keep_every_comment(factors: list[float], more: int) -> None:
    text = STUDIO
    for factor in factors:
        text = edited(
            text, Put(("fit", "light_factor"), factor), *(Add(("readings",), NEW) for _ in range(more))
        )
    assert comments(text) == comments(STUDIO)
    assert parse_studio(text).fit.light_factor == factors[-1]
    assert len(parse_studio(text).readings) == 1 + more * len(factors)
