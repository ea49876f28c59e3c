"""Taking an item out of her file: all that is its own goes, every word of its neighbours stays."""

import tomllib
from pathlib import Path
from typing import Any

import pytest
import tomlkit
from hypothesis import given, settings
from hypothesis import strategies as st

from plateside.files.settings.load import parse_studio
from plateside.files.settings.write import Add, Put, Take, changed, update_studio
from plateside.model.errors import InputError, SettingsError
from plateside.model.studio import Studio
from tests.unit.settings.sample_settings import STUDIO

THREE = """\
format = 1

[place]
latitude_deg = 38.7223
longitude_deg = -9.1393
timezone = "Europe/Lisbon"

[room]
width_m = 4.2
depth_m = 3.1

# ---- Where the dish can stand ----

[[spots]]
name = "first"          # by the door
from_left_m = 1
from_front_m = 1
# height_m = 0.75

[[spots]]
name = "second"
from_left_m = 2
from_front_m = 1

# the third is the best
[[spots]]
name = "third"
from_left_m = 3
from_front_m = 1

# ---- Gear ----
# (weighed in spring)

[[cameras]]
name = "the camera"

# ---- Light you have read ----
# [[readings]]
# illuminance_lx = 700
"""


def without(text: str, *where: str | int) -> str:
    after, _ = changed(text, (Take(tuple(where)),), Studio, "studio.toml")
    assert tomlkit.parse(after).unwrap() == tomllib.loads(after)  # outside check: two independent parsers
    return after


def names(text: str) -> list[str]:
    return [spot.name for spot in parse_studio(text).spots]


@pytest.mark.parametrize(
    ("taken", "left"),
    [("first", ["second", "third"]), ("second", ["first", "third"]), ("third", ["first", "second"])],
)
def test_the_first_the_middle_and_the_last(taken: str, left: list[str]) -> None:
    after = without(THREE, "spots", taken)
    assert names(after) == left
    for heading in ("# ---- Where the dish can stand ----", "# ---- Gear ----", "# (weighed in spring)"):
        assert heading in after
    assert after.endswith(THREE[THREE.index("# ---- Gear") :])
    assert "\n\n\n" not in after


def test_a_comment_right_above_goes_with_its_own_item_only() -> None:
    assert "# the third is the best" not in without(THREE, "spots", "third")
    assert '# the third is the best\n[[spots]]\nname = "third"' in without(THREE, "spots", "second")


def test_what_was_noted_below_its_last_line_goes_with_it() -> None:
    assert "# height_m = 0.75" not in without(THREE, "spots", "first")
    assert "# by the door" not in without(THREE, "spots", "first")


def test_comments_behind_the_last_item_of_the_file_stay() -> None:
    after = without(THREE, "cameras", 0)
    assert after.endswith("# ---- Light you have read ----\n# [[readings]]\n# illuminance_lx = 700\n")
    assert parse_studio(after).cameras == ()


def test_the_comment_above_the_first_stays_since_it_may_head_them_all() -> None:
    text = THREE.replace("# ---- Where the dish can stand ----\n\n", "# ---- Where the dish can stand ----\n")
    assert "# ---- Where the dish can stand ----" in without(text, "spots", "first")


def test_nested_tables_go_with_their_own_window_only() -> None:
    text = STUDIO.replace(
        "\n[[spots]]",
        '\n[[windows]]\nname = "side"\nbearing_deg = 110\nwidth_m = 1\nheight_m = 1\nsill_m = 1\n\n'
        "[[windows.opposite]]\nbearing_from_deg = 100\nbearing_to_deg = 150\ndistance_m = 300\n"
        "top_above_ground_m = 40\n\n[[spots]]",
    )
    first = parse_studio(without(text, "windows", "kitchen window"))
    assert [(w.name, [o.distance_m for o in w.opposite]) for w in first.windows] == [("side", [300])]
    second = parse_studio(without(text, "windows", "side"))
    assert [(w.name, [o.distance_m for o in w.opposite]) for w in second.windows] == [
        ("kitchen window", [12])
    ]
    inner = parse_studio(without(text, "windows", "side", "opposite", 0))
    assert [len(w.opposite) for w in inner.windows] == [1, 0]
    assert inner.spots == parse_studio(text).spots


def test_a_nested_table_that_stands_apart_takes_nothing_with_it() -> None:
    # TOML lets other tables stand between an item and its own
    apart = STUDIO.replace(STUDIO[STUDIO.index("[[windows.opposite]]") : STUDIO.index("[[spots]]")], "")
    apart += "\n[[windows.opposite]]\nbearing_from_deg = 340\nbearing_to_deg = 60\ndistance_m = 12\n"
    apart += "top_above_ground_m = 9\n"
    assert len(parse_studio(apart).windows[0].opposite) == 1
    after = parse_studio(without(apart, "windows", 0))
    assert after.windows == ()
    assert after.spots == parse_studio(STUDIO).spots
    assert after.fit == parse_studio(STUDIO).fit


def test_a_long_text_that_looks_like_comments_is_left_alone() -> None:
    text = THREE.replace('name = "second"', 'name = """second\n# not a comment\n# nor this"""') + (
        '\n[[boards]]\nname = "white"\n\n[[boards]]\nname = """a\n#b"""\n[[boards]]\nname = "black"\n'
    )
    after = without(text, "boards", "black")
    assert [b.name for b in parse_studio(after).boards] == ["white", "a\n#b"]
    assert parse_studio(after).spots == parse_studio(text).spots


def test_line_ends_and_byte_order_mark_stay(tmp_path: Path) -> None:
    path = tmp_path / "studio.toml"
    path.write_bytes(b"\xef\xbb\xbf" + THREE.replace("\n", "\r\n").encode())
    studio = update_studio(path, [Take(("spots", 1))])
    raw = path.read_bytes()
    assert raw.startswith(b"\xef\xbb\xbfformat = 1\r\n")
    assert raw.count(b"\n") == raw.count(b"\r\n")
    assert [s.name for s in studio.spots] == ["first", "third"]


def test_a_file_without_a_last_line_end() -> None:
    after = without(THREE[: THREE.index("\n# ---- Light")].rstrip("\n"), "cameras", "the camera")
    assert parse_studio(after).cameras == ()
    assert names(after) == ["first", "second", "third"]


def test_what_hangs_on_it_is_told_and_nothing_is_written(tmp_path: Path) -> None:
    path = tmp_path / "studio.toml"
    path.write_text(STUDIO, encoding="utf-8")
    with pytest.raises(SettingsError, match="no table spot called"):
        update_studio(path, [Take(("spots", "by the window"))])  # a reading was taken there
    assert path.read_text(encoding="utf-8") == STUDIO


@pytest.mark.parametrize(
    "where", [("room",), ("spots",), ("spots", 7), ("spots", -1), ("spots", "nowhere"), ("spots", 0, "name")]
)
def test_what_is_no_item_is_refused(where: tuple[str | int, ...]) -> None:
    with pytest.raises(InputError):
        changed(THREE, (Take(where),), Studio, "studio.toml")


def test_an_item_written_on_one_line_is_told() -> None:
    text = THREE.replace("format = 1\n", 'format = 1\nboards = [{name = "white"}]\n')
    with pytest.raises(InputError, match="text editor"):
        without(text, "boards", 0)


def test_a_window_renamed_and_its_sheet_with_it_in_one_go() -> None:
    text = STUDIO + '\n[[diffusers]]\nname = "sheer"\nwindow = "kitchen window"\n'
    both = (Put(("windows", 0, "name"), "big"), Put(("diffusers", 0, "window"), "big"))
    after, _ = changed(text, both, Studio, "studio.toml")
    assert parse_studio(after).diffusers[0].window == "big"
    with pytest.raises(SettingsError):
        changed(text, both[:1], Studio, "studio.toml")


@settings(max_examples=15, deadline=None)
@given(st.lists(st.tuples(st.booleans(), st.integers(0, 9)), max_size=8))
def test_any_order_of_adding_and_taking_is_as_with_a_list(steps: list[tuple[bool, int]]) -> None:
    text, kept = THREE, ["first", "second", "third"]
    for number, (take, at) in enumerate(steps):
        change: Any
        if take and kept:
            change = Take(("spots", at % len(kept)))
            del kept[at % len(kept)]
        else:
            spot = parse_studio(THREE).spots[0]
            change = Add(("spots",), type(spot)(**{**vars(spot), "name": f"new {number}"}))
            kept.append(f"new {number}")
        text, _ = changed(text, (change,), Studio, "studio.toml")
    assert names(text) == kept
    for line in ("# ---- Gear ----", "# (weighed in spring)", "# [[readings]]"):
        assert text.count(line) == 1
    assert parse_studio(text).cameras == parse_studio(THREE).cameras
