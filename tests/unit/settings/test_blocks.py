"""One item moved, a list kept one a line: comments and everything around stay hers."""

import tomllib
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from plateside.files.settings.blocks import array_or_value, moved
from plateside.files.settings.positions import find_positions
from plateside.files.settings.write import Move, Put, changed
from plateside.model.errors import InputError, SettingsError
from plateside.model.shoot import Shoot

TEXT = """format = 1
date = "2027-07-15"

[creator]
name = "Ana Prado"

[recipe]
title = "Plum tart"
ingredients = [
    "400 g plums",  # from the garden
    # the coarse one
    "80 g rye flour",
]

# ---- The pictures wanted ----

[[shots]]
name = "whole"
channels = ["wide"]

# the board is the large one
[[shots.boards]]
board = "white"
# side = "left"

# only when the light is low
[[shots]]
name = "slice"  # cut last

[[shots]]
name = "crumbs"

# ---- Where they go ----

[[channels]]
name = "wide"
"""


def names(text: str) -> list[str]:
    return [shot["name"] for shot in tomllib.loads(text)["shots"]]


def test_an_item_moves_with_its_comments_and_its_own_tables() -> None:
    text = moved(TEXT, find_positions(TEXT), ("shots", 0), 2)
    assert names(text) == ["slice", "crumbs", "whole"]
    assert tomllib.loads(text)["shots"][2]["boards"] == [{"board": "white"}]
    assert '# the board is the large one\n[[shots.boards]]\nboard = "white"\n# side = "left"\n' in text
    assert (
        '# ---- The pictures wanted ----\n\n# only when the light is low\n[[shots]]\nname = "slice"  # cut last'
        in text
    )
    assert text.endswith('# ---- Where they go ----\n\n[[channels]]\nname = "wide"\n')


@given(st.integers(0, 2), st.integers(0, 2))
def test_moving_there_and_back_gives_the_same_text(start: int, to: int) -> None:
    there = moved(TEXT, find_positions(TEXT), ("shots", start), to)
    expected = ["whole", "slice", "crumbs"]
    expected.insert(to, expected.pop(start))
    assert names(there) == expected
    assert moved(there, find_positions(there), ("shots", to), start) == TEXT
    assert sorted(there.split("\n")) == sorted(TEXT.split("\n"))


@pytest.mark.parametrize(("where", "to"), [(("shots", 0), 3), (("shots", 7), 0), (("recipe",), 0)])
def test_no_such_place_is_told(where: tuple[Any, ...], to: int) -> None:
    with pytest.raises(InputError):
        moved(TEXT, find_positions(TEXT), where, to)


def test_a_list_stays_one_a_line_and_keeps_its_comments() -> None:
    value = ("80 g rye flour", "2 eggs", "400 g plums")
    text, reading = changed(TEXT, (Put(("recipe", "ingredients"), value),), Shoot, "shoot.toml")
    assert reading.value.recipe.ingredients == value
    assert (
        'ingredients = [\n    # the coarse one\n    "80 g rye flour",\n    "2 eggs",\n'
        '    "400 g plums",  # from the garden\n]\n' in text
    )


def test_a_short_list_on_one_line_stays_on_one_line() -> None:
    assert array_or_value('["a"]', ("a", "b")) == '["a", "b"]'
    assert array_or_value("[]", ()) == "[]"
    long = tuple(f"{n} g of a thing" for n in range(12))
    written = array_or_value("[]", long)
    assert tuple(tomllib.loads(f"x = {written}")["x"]) == long
    assert written.count("\n") == 13


@given(st.lists(st.text(st.characters(exclude_categories=["Cs"]), max_size=20), max_size=6))
def test_any_texts_are_read_back_as_written(texts: list[str]) -> None:
    written = array_or_value("[\n \"a#b\", # note\n 'c'\n]", tuple(texts))
    assert tomllib.loads(f"x = {written}")["x"] == texts


def test_a_thing_that_others_name_can_be_called_anew_in_one_go() -> None:
    changes = (Put(("channels", 0, "name"), "broad"), Put(("shots", 0, "channels"), ("broad",)))
    _, reading = changed(TEXT, changes, Shoot, "shoot.toml")
    assert reading.value.channels[0].name == "broad"
    with pytest.raises(SettingsError):
        changed(TEXT, changes[:1], Shoot, "shoot.toml")


def test_a_move_is_a_change_like_others() -> None:
    _, reading = changed(TEXT, (Move(("shots", "crumbs"), 0),), Shoot, "shoot.toml")
    assert [s.name for s in reading.value.shots] == ["crumbs", "whole", "slice"]
