"""Where keys stand: the letters at each place, read by Python's own TOML parser, are the value."""

import tomllib
from importlib.resources import files

import pytest
import tomlkit
from hypothesis import given, settings
from hypothesis import strategies as st

from plateside.files.settings.positions import find_positions
from tests.unit.settings.sample_settings import SHOOT, STUDIO

HARD = '''\
# a comment with [brackets] and "quotes"
"quoted key" = 1
a.b.c = "dotted"   # tail ] }
text = """
many [lines]
with "quotes" and = signs and a last one""""
raw = \'\'\'C:\\no \\escape # no comment\'\'\'
escaped = "a \\" quote and a \\\\"
list = [ 1, 2,   # one
  [3, "four]"],
  {x = 5, y = {z = "six}"}},
]
odt = 1979-05-27T07:32:00Z
[table]   # head
k = 1
[table.inner]
k = 2
[[array]]
k = 3
[[array.inner]]
k = 4
[[array.inner]]
k = 5
[[array]]
k = 6
[array.inner2]
k = 7
'''


def value_at(data: object, where: tuple[str | int, ...]) -> object:
    for part in where:
        data = data[part]  # type: ignore[index]
    return data


def check(text: str) -> None:
    data = tomllib.loads(text)
    found = find_positions(text)
    assert found.keys
    for where, span in found.keys.items():
        letters = text[span.start : span.end]
        assert tomllib.loads(f"v = {letters}")["v"] == value_at(data, where), where
        newlines = text.count("\n", 0, span.start) + 1
        assert span.line <= newlines
        assert "=" in text.split("\n")[span.line - 1] or isinstance(where[-1], int)


@pytest.mark.parametrize("text", [STUDIO, SHOOT, HARD])
def test_the_letters_at_each_place_are_the_value(text: str) -> None:
    check(text)


@pytest.mark.parametrize(
    "name", ["studio.toml", "shoot.toml", "melbourne/shoot.toml", "edinburgh/studio.toml"]
)
def test_demo_files(name: str) -> None:
    check(files("plateside.demo").joinpath(name).read_text(encoding="utf-8"))


def test_every_leaf_is_found() -> None:
    def leaves(data: object, where: tuple[str | int, ...] = ()) -> set[tuple[str | int, ...]]:
        if isinstance(data, dict):
            return {leaf for k, v in data.items() for leaf in leaves(v, (*where, k))}
        if isinstance(data, list) and data:
            return {leaf for n, v in enumerate(data) for leaf in leaves(v, (*where, n))}
        return {where}

    assert leaves(tomllib.loads(HARD)) <= set(find_positions(HARD).keys)


_KEY = st.from_regex(r"[A-Za-z0-9_-]{1,6}", fullmatch=True)
_LEAF = st.one_of(
    st.integers(-(10**9), 10**9),
    st.booleans(),
    st.text(st.characters(exclude_categories=("Cs", "Cc")), max_size=8),
)
_VALUE = st.recursive(
    _LEAF,
    lambda inner: st.one_of(st.lists(inner, max_size=3), st.dictionaries(_KEY, inner, max_size=3)),
    max_leaves=8,
)


@settings(max_examples=60, deadline=None)
@given(st.dictionaries(_KEY, _VALUE, min_size=1, max_size=5))
def test_whatever_tomlkit_writes(data: dict[str, object]) -> None:
    text = tomlkit.dumps(data)
    if find_positions(text).keys:
        check(text)


def test_lines_of_heads() -> None:
    found = find_positions(HARD)
    lines = HARD.split("\n")
    assert lines[found.heads[("array", 1)] - 1] == "[[array]]"
    assert found.line(("array", 1, "k", "none such")) == lines.index("k = 6") + 1
    assert found.line(("nothing",)) is None
