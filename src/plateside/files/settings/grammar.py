"""What may stand in the two files, read off the dataclasses of the model: one entry for each field.

The reader, the writer, the suggestions and the reference page all use these entries, so that what is
read, what is written and what is documented cannot drift apart.
"""

from dataclasses import MISSING, dataclass, fields
from functools import cache
from types import UnionType
from typing import Any, Literal, Union, get_args, get_origin, get_type_hints

from plateside.model.quantity import is_required, label_of

Kind = Literal["number", "integer", "text", "flag", "texts", "shares", "table", "tables"]
"""shares: one number or a list of three. texts: a list of texts. tables: an array of tables."""


@dataclass(frozen=True)
class Entry:
    """One field of one table."""

    name: str
    kind: Kind
    label: str
    """What pages call it."""
    doc: str
    unit: str
    low: float | None
    high: float | None
    words: tuple[str, ...]
    required: bool
    optional: bool
    """True when the field may be None, which is written by leaving the line out."""
    default: Any
    """The value when the line is left out; None for a required field."""
    example: str
    """A line to paste, as TOML."""
    empty: str
    """What is taken where it is left empty, when its meaning says so."""
    table: type | None
    """The dataclass of a table or of an array's items."""

    @property
    def is_table(self) -> bool:
        return self.kind in ("table", "tables")


def entries(cls: type) -> dict[str, Entry]:
    """The entries of one table's dataclass, by key, in the order of the model."""
    return _entries(cls)


@cache
def _entries(cls: type) -> dict[str, Entry]:
    hints = get_type_hints(cls)
    found: dict[str, Entry] = {}
    for f in fields(cls):
        kind, table, optional = _kind_of(hints[f.name])
        default: Any = None
        if f.default is not MISSING:
            default = f.default
        elif f.default_factory is not MISSING:
            default = f.default_factory()
        meta = f.metadata
        found[f.name] = Entry(
            name=f.name,
            kind=kind,
            label=label_of(f),
            doc=meta.get("doc", ""),
            unit=meta.get("unit", ""),
            low=meta.get("low"),
            high=meta.get("high"),
            words=meta.get("words", ()),
            required=is_required(f),
            optional=optional,
            default=default,
            example=meta.get("example", ""),
            empty=meta.get("empty", ""),
            table=table,
        )
    return found


def _kind_of(hint: Any) -> tuple[Kind, type | None, bool]:
    """Kind, table class and whether None is allowed, from a type annotation."""
    origin, args = get_origin(hint), get_args(hint)
    if origin in (Union, UnionType):
        members = [a for a in args if a is not type(None)]
        optional = len(members) < len(args)
        if len(members) == 2 and float in members:
            return "shares", None, optional
        kind, table, _ = _kind_of(members[0])
        return kind, table, optional
    if origin is tuple:
        item = args[0]
        return ("texts", None, False) if item is str else ("tables", item, False)
    simple: dict[Any, Kind] = {float: "number", int: "integer", str: "text", bool: "flag"}
    if hint in simple:
        return simple[hint], None, False
    return "table", hint, False


def header(path: tuple[str, ...], array: bool) -> str:
    """How a table is headed in the file: [room], [[windows.opposite]]."""
    name = ".".join(path)
    return f"[[{name}]]" if array else f"[{name}]"


@cache
def every_table(root: type) -> tuple[tuple[tuple[str, ...], type, bool], ...]:
    """All tables of one file as (path, dataclass, whether it is an array), outermost first."""
    found: list[tuple[tuple[str, ...], type, bool]] = [((), root, False)]

    def walk(cls: type, path: tuple[str, ...]) -> None:
        for entry in entries(cls).values():
            if entry.table is not None:
                here = (*path, entry.name)
                found.append((here, entry.table, entry.kind == "tables"))
                walk(entry.table, here)

    walk(root, ())
    return tuple(found)
