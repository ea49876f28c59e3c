"""What may be written in studio.toml and shoot.toml, as pages need it: every field's meaning, unit, range and words.

A page builds its inputs from this, so that a page cannot ask for what the file does not take.
"""

import tomllib
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from plateside.files.settings.forms import form_of
from plateside.files.settings.grammar import Entry, entries, every_table
from plateside.files.settings.lines import example_line
from plateside.model.errors import InputError
from plateside.model.room import Diffuser
from plateside.model.shoot import PlacedBoard, Shoot, Shot, Step
from plateside.model.studio import Reading, Studio
from plateside.words.allowed import FORMS
from plateside.words.studio import NEITHER_FILE

ROOTS: dict[str, type] = {"studio": Studio, "shoot": Shoot}

NAMES: dict[tuple[type, str], str] = {
    (Shot, "spot"): "studio.spots",
    (Shot, "camera"): "studio.cameras",
    (Shot, "lens"): "studio.lenses",
    (Shot, "support"): "studio.supports",
    (Shot, "surface"): "studio.surfaces",
    (Shot, "props"): "studio.props",
    (Shot, "channels"): "shoot.channels",
    (PlacedBoard, "board"): "studio.boards",
    (Step, "for_shot"): "shoot.shots",
    (Diffuser, "window"): "studio.windows",
    (Reading, "spot"): "studio.spots",
}
"""Fields that name an item of an array, and which array."""


@dataclass(frozen=True)
class FieldSchema:
    """One field of one table."""

    name: str
    label: str
    """What the page calls it."""
    kind: str
    """number, integer, text, flag, texts, shares, table, tables"""
    doc: str
    empty: str
    """What is taken where it is left empty; empty when its meaning does not say."""
    unit: str
    low: float | None
    high: float | None
    words: tuple[str, ...]
    """The allowed words; empty when it is none of a few."""
    required: bool
    optional: bool
    """Left out, it is nothing at all (sent as null)."""
    default: Any
    example: str
    """The line to write, as it may stand in the file."""
    example_value: Any
    """What that line says; None for a table."""
    form: str
    """The form a text must have, as words/allowed.py names it: date, time, zone ...; empty: any text"""
    form_words: str
    """What the form allows, in words."""
    names: str
    """The array whose items it names, as 'studio.lenses'; empty when it names none."""
    table: str
    """The table of a table or of an array's items; empty for plain fields."""


@dataclass(frozen=True)
class Schema:
    """All tables of one file, by the name of their class."""

    root: str
    tables: Mapping[str, tuple[FieldSchema, ...]]


def schema_of(which: str) -> Schema:
    """The schema of 'studio' or 'shoot'. Raises InputError for another name."""
    root = _root(which)
    classes = dict.fromkeys(owner for _, owner, _ in every_table(root))
    return Schema(
        root.__name__, {c.__name__: tuple(_field(c, e) for e in entries(c).values()) for c in classes}
    )


def by_path(which: str) -> dict[str, tuple[FieldSchema, ...]]:
    """The plain fields of every table of 'studio' or 'shoot' by its path, as 'room' or 'windows.opposite'.

    '' is the top of the file. Raises InputError for another name.
    """
    tables = schema_of(which).tables
    return {
        ".".join(path): tuple(f for f in tables[owner.__name__] if not f.table)
        for path, owner, _several in every_table(_root(which))
    }


def _root(which: str) -> type:
    if which not in ROOTS:
        raise InputError(NEITHER_FILE)
    return ROOTS[which]


def _field(cls: type, entry: Entry) -> FieldSchema:
    form = form_of(cls, entry.name)
    return FieldSchema(
        name=entry.name,
        label=entry.label,
        kind=entry.kind,
        doc=entry.doc,
        empty=entry.empty,
        unit=entry.unit,
        low=entry.low,
        high=entry.high,
        words=entry.words,
        required=entry.required,
        optional=entry.optional,
        default=None if entry.is_table else entry.default,
        example=entry.example,
        example_value=None if entry.is_table else tomllib.loads(example_line(entry))[entry.name],
        form=form,
        form_words=FORMS.get(form, ""),
        names=NAMES.get((cls, entry.name), ""),
        table=entry.table.__name__ if entry.table else "",
    )
