"""The fields of the two files as a page needs them: words, unit, range, usual value, what a new item begins with.

Everything is read off the model, so that a page says what the files' reference says.
"""

import re
import tomllib
from dataclasses import dataclass
from typing import Any

from plateside.files.settings.forms import FORMS
from plateside.files.settings.grammar import Entry, entries, every_table
from plateside.files.settings.lines import example_line
from plateside.model.shoot import Shoot
from plateside.model.studio import Studio

_UNIT_BEHIND = r"_(m|mm|deg|kg|s|lx|stops|px|kb|percent)$"
_SPELT = {"iso": "ISO", "exif": "EXIF"}


@dataclass(frozen=True)
class FieldWords:
    """One field."""

    name: str
    label: str
    """The key in words, without its unit."""
    doc: str
    unit: str
    kind: str
    """number, integer, text, flag, texts or shares (one number, or three for red, green, blue)"""
    low: float | None
    high: float | None
    words: tuple[str, ...]
    required: bool
    optional: bool
    """May be left out."""
    usual: Any
    """What holds when it is left out."""
    form: str
    """date, time, zone, colour ... when the text must have one"""
    example: Any


@dataclass(frozen=True)
class TableWords:
    """One table, or the items of one list of tables."""

    doc: str
    several: bool
    fields: tuple[FieldWords, ...]


def editable(which: str) -> dict[str, TableWords]:
    """Tables of 'studio' or 'shoot' by their path, as 'room' or 'windows.opposite'; '' is the top of the file."""
    root: type = Studio if which == "studio" else Shoot
    found = {}
    for path, cls, several in every_table(root):
        fields = tuple(_field(entry, cls) for entry in entries(cls).values() if not entry.is_table)
        found[".".join(path)] = TableWords((cls.__doc__ or "").strip().splitlines()[0], several, fields)
    return found


def _field(entry: Entry, cls: type) -> FieldWords:
    form = FORMS.get((cls, entry.name))
    return FieldWords(
        name=entry.name,
        label=label(entry.name),
        doc=entry.doc,
        unit=entry.unit,
        kind=entry.kind,
        low=entry.low,
        high=entry.high,
        words=entry.words,
        required=entry.required,
        optional=entry.optional,
        usual=entry.default,
        form=re.sub("^an?_", "", form[0].__name__) if form else "",
        example=tomllib.loads(example_line(entry))[entry.name],
    )


def label(name: str) -> str:
    """A key in words: 'from_left_m' is 'from left'."""
    words = re.sub(_UNIT_BEHIND, "", name).split("_")
    return " ".join(_SPELT.get(w, w) for w in words)
