"""Settings made at will: a small right text to spoil, and whole studios and shoots drawn from the model's ranges."""

from typing import Any

from hypothesis import strategies as st

from plateside.files.settings.grammar import Entry, entries

STUDIO = """\
# my studio
format = 1

[place]
latitude_deg = 38.7223
longitude_deg = -9.1393
timezone = "Europe/Lisbon"      # on the mainland

[room]
width_m = 4.2
depth_m = 3.1

# the light
[[windows]]
name = "kitchen window"
bearing_deg = 20
width_m = 1.2
height_m = 1.2
sill_m = 0.78

[[windows.opposite]]
bearing_from_deg = 340
bearing_to_deg = 60
distance_m = 12
top_above_ground_m = 9

[[spots]]
name = "by the window"
from_left_m = 2.1
from_front_m = 0.6

[[boards]]
name = "white"

[[lenses]]
name = "35"
focal_length_mm = 35

[[cameras]]
name = "the camera"

[[readings]]
at = "2027-07-10T13:30"
spot = "by the window"
illuminance_lx = 900            # lamps off

# ---- what they taught ----
[fit]
light_factor = 1.1
"""

SHOOT = """\
format = 1
date = "2027-07-15"

[recipe]
title = "Soup"

[[recipe.steps]]
name = "cook"
takes = "PT8M"

[creator]
name = "Ines Valadao"

[[shots]]
name = "whole"
spot = "by the window"
lens = "35"
channels = ["wide"]

[[shots.boards]]
board = "white"
side = "left"

[[channels]]
name = "wide"
"""


def spoiled(text: str, old: str, new: str) -> str:
    """The text with one line changed; the line must be there exactly once."""
    lines = text.split("\n")
    assert lines.count(old) == 1, old
    return "\n".join(new if line == old else line for line in lines)


# what XML 1.0 (section 2.2, Char) takes: these texts go into XMP packets and pages; control characters are refused
_TEXT = st.text(
    st.characters(codec="utf-8", exclude_characters=[*map(chr, range(32)), "\x7f"]) | st.sampled_from("\t\n"),
    max_size=12,
)


def any_value(entry: Entry) -> st.SearchStrategy[Any]:
    """Any value that a field of this entry may have."""
    drawn: st.SearchStrategy[Any]
    if entry.kind == "table" and entry.table is not None:
        drawn = any_table(entry.table)
    elif entry.kind == "tables" and entry.table is not None:
        drawn = st.lists(any_table(entry.table), max_size=2).map(tuple)
    elif entry.kind == "flag":
        drawn = st.booleans()
    elif entry.words:
        word = st.sampled_from(entry.words)
        # none of what stands there unless you say otherwise is refused
        some = st.lists(word, min_size=1 if entry.default else 0, max_size=3).map(tuple)
        drawn = some if entry.kind == "texts" else word
    elif entry.kind == "texts":
        drawn = st.lists(_TEXT, max_size=3).map(tuple)
    elif entry.kind == "text":
        drawn = _TEXT
    elif entry.kind == "integer":
        drawn = st.integers(int(entry.low or 0), int(entry.high or 10**6))
    else:
        number = st.floats(entry.low, entry.high, allow_nan=False)
        drawn = st.one_of(number, st.tuples(number, number, number)) if entry.kind == "shares" else number
    return st.one_of(st.none(), drawn) if entry.optional else drawn


def any_table(cls: type) -> st.SearchStrategy[Any]:
    """Any instance of a table's dataclass within its ranges; what fields mean together is not looked at."""
    return st.builds(cls, **{e.name: any_value(e) for e in entries(cls).values()})
