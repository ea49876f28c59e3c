"""What may be written in studio.toml and shoot.toml, as pages need it: every field's meaning, unit, range and words.

`schema_of`   all tables of one file with their fields, read off the model
`item_of`     a JSON object sent by a page as the dataclass of the table that it is added to

A page builds its inputs from this, so that a page cannot ask for what the file does not take.
"""

import re
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from plateside.files.settings import forms
from plateside.files.settings.grammar import Entry, entries, every_table
from plateside.model.errors import InputError
from plateside.model.shoot import Placed, Shoot, Shot, Step
from plateside.model.studio import Diffuser, Reading, Studio

ROOTS: dict[str, type] = {"studio": Studio, "shoot": Shoot}

NAMES: dict[tuple[type, str], str] = {
    (Shot, "spot"): "studio.spots",
    (Shot, "camera"): "studio.cameras",
    (Shot, "lens"): "studio.lenses",
    (Shot, "support"): "studio.supports",
    (Shot, "surface"): "studio.surfaces",
    (Shot, "props"): "studio.props",
    (Shot, "channels"): "shoot.channels",
    (Placed, "board"): "studio.boards",
    (Step, "for_shot"): "shoot.shots",
    (Diffuser, "window"): "studio.windows",
    (Reading, "spot"): "studio.spots",
}
"""Fields that name an item of an array, and which array."""

_FORM_NAMES = {
    forms.a_date: "date",
    forms.a_time: "time",
    forms.a_moment: "moment",
    forms.a_duration: "duration",
    forms.a_colour: "colour",
    forms.a_zone: "zone",
    forms.an_address: "address",
    forms.a_short_name: "short name",
    forms.a_language: "language",
    forms.a_country: "country",
}
_UNIT_TAIL = re.compile(r"_(m|mm|deg|lx|s|kg|px|kb|percent|stops)$")


@dataclass(frozen=True)
class FieldSchema:
    """One field of one table."""

    name: str
    label: str
    """The name in words, without its unit."""
    kind: str
    """number, integer, text, flag, texts, shares, table, tables"""
    doc: str
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
    form: str
    """date, time, moment, duration, colour, zone, address, short name, language, country; empty: any text"""
    form_told: str
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


def item_of(which: str, where: tuple[str | int, ...], told: Any) -> Any:
    """What a page sent (a JSON object) as an item of the array of tables at `where`.

    Only names are judged here: values are judged, in the file's own words, when the file is written.
    Raises InputError when `where` is no array of tables or a field is not the table's.
    """
    cls = _root(which)
    entry: Entry | None = None
    for part in where:
        if isinstance(part, str) and part in entries(cls):
            entry = entries(cls)[part]
            if entry.table is None:
                break
            cls = entry.table
    if entry is None or entry.kind != "tables":
        raise InputError(f"Nothing can be added to {'.'.join(map(str, where))}.")
    return _filled(cls, told)


def _root(which: str) -> type:
    if which not in ROOTS:
        raise InputError("The settings are 'studio' and 'shoot'.")
    return ROOTS[which]


def _filled(cls: type, told: Any) -> Any:
    if not isinstance(told, dict):
        raise InputError(f"A new {cls.__name__.lower()} is sent as an object of its fields.")
    known = entries(cls)
    odd = [key for key in told if key not in known]
    missing = [key for key, e in known.items() if e.required and key not in told]
    if odd:
        raise InputError(f"A {cls.__name__.lower()} has no field '{odd[0]}'; it has: {', '.join(known)}.")
    if missing:
        raise InputError(f"A new {cls.__name__.lower()} needs {', '.join(missing)}.")
    values = {}
    for key, value in told.items():
        entry = known[key]
        if entry.kind == "tables" and entry.table is not None:
            if not isinstance(value, list):
                raise InputError(f"{key} is a list of objects.")
            values[key] = tuple(_filled(entry.table, v) for v in value)
        elif entry.kind == "table" and entry.table is not None:
            values[key] = _filled(entry.table, value)
        else:
            values[key] = tuple(value) if isinstance(value, list) else value
    return cls(**values)


def _field(cls: type, entry: Entry) -> FieldSchema:
    form = forms.FORMS.get((cls, entry.name))
    return FieldSchema(
        name=entry.name,
        label=label_of(entry.name),
        kind=entry.kind,
        doc=entry.doc,
        unit=entry.unit,
        low=entry.low,
        high=entry.high,
        words=entry.words,
        required=entry.required,
        optional=entry.optional,
        default=None if entry.is_table else entry.default,
        example=entry.example,
        form=_FORM_NAMES.get(form[0], "") if form else "",
        form_told=forms.form_told(cls, entry.name),
        names=NAMES.get((cls, entry.name), ""),
        table=entry.table.__name__ if entry.table else "",
    )


def label_of(name: str) -> str:
    """A field's name in words: 'frame_width_mm' -> 'Frame width'."""
    words = _UNIT_TAIL.sub("", name).replace("_", " ")
    for short, shown in (("iso", "ISO"), ("exif", "EXIF"), ("url", "address")):
        words = re.sub(rf"\b{short}\b", shown, words)
    return words[:1].upper() + words[1:]


__all__ = ["NAMES", "ROOTS", "FieldSchema", "Schema", "item_of", "label_of", "schema_of"]
