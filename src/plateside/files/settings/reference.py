"""What every key of the two files means, read from the model: for the page docs/files.md and for `check --fields`."""

from dataclasses import dataclass

from plateside.files.settings.forms import FORMS, form_words
from plateside.files.settings.grammar import Entry, entries, every_table, header
from plateside.files.settings.lines import example_line, number_text, value_text
from plateside.files.settings.reader import FORMAT


@dataclass(frozen=True)
class Key:
    """One key as it is told; ticks mark what is written as it stands, a star what must be written."""

    name: str
    meaning: str
    allowed: str
    left_out: str
    example: str


@dataclass(frozen=True)
class Table:
    """One table of a file."""

    head: str
    """as it stands in the file, [room] or [[windows]]; empty for the top of the file"""
    meaning: str
    keys: tuple[Key, ...]


def tables_of(root: type) -> tuple[Table, ...]:
    """Every table of a file, `root` being Studio or Shoot, in the file's order."""
    found = []
    for path, cls, array in every_table(root):
        keys = tuple(_key(entry, cls) for entry in entries(cls).values() if not entry.is_table)
        if path:
            phrase = (cls.__doc__ or "").strip().splitlines()[0]
            found.append(Table(header(path, array), f"{phrase}{' One for each.' if array else ''}", keys))
        else:
            first = Key(
                "format",
                "number of this file's format",
                str(FORMAT),
                "*must be written*",
                f"format = {FORMAT}",
            )
            found.append(Table("", "At the top of the file", (first, *keys)))
    return tuple(found)


def _key(entry: Entry, cls: type) -> Key:
    return Key(entry.name, entry.doc, _allowed(entry, cls), _left_out(entry), example_line(entry))


def _allowed(entry: Entry, cls: type) -> str:
    if entry.words:
        words = ", ".join(f"`{w}`" for w in entry.words)
        return f"a list of {words}" if entry.kind == "texts" else words
    if (cls, entry.name) in FORMS:
        phrase = form_words(cls, entry.name)
        return f'{phrase}; or `""`' if FORMS[(cls, entry.name)][1] else phrase
    if entry.kind in ("number", "integer", "shares"):
        span = ""
        if entry.low is not None and entry.high is not None:
            span = f"{number_text(entry.low)} to {number_text(entry.high)}"
        unit = f" {entry.unit}" if entry.unit else ""
        kind = {"integer": "whole number, ", "shares": "one number or `[red, green, blue]`, "}.get(
            entry.kind, ""
        )
        return f"{kind}{span}{unit}"
    return {"flag": "`true`, `false`", "text": "text", "texts": "list of texts"}[entry.kind]


def _left_out(entry: Entry) -> str:
    if entry.required:
        return "*must be written*"
    if entry.default is None:
        return "as said" if "left out" in entry.doc else "none"
    if entry.default == "":
        return "empty"
    if entry.default == ():
        return "none"
    return f"`{value_text(entry.default)}`"
