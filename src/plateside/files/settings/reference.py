"""What every key of the two files means, read from the model: for the page docs/files.md and for `check --fields`."""

from dataclasses import dataclass

from plateside.files.settings.forms import FORMS, form_of
from plateside.files.settings.grammar import Entry, entries, every_table, header
from plateside.files.settings.lines import example_line, value_text
from plateside.files.settings.reader import FORMAT
from plateside.words.allowed import (
    FORMAT_NUMBER,
    MUST_BE_THERE,
    ONE_FOR_EACH,
    TOP_OF_THE_FILE,
    reference_words,
)


@dataclass(frozen=True)
class Key:
    """One key; ticks mark what is typed as it stands, a star what must be there."""

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
            found.append(Table(header(path, array), f"{phrase}{ONE_FOR_EACH if array else ''}", keys))
        else:
            first = Key(
                "format",
                FORMAT_NUMBER,
                str(FORMAT),
                MUST_BE_THERE,
                f"format = {FORMAT}",
            )
            found.append(Table("", TOP_OF_THE_FILE, (first, *keys)))
    return tuple(found)


def _key(entry: Entry, cls: type) -> Key:
    return Key(entry.name, entry.doc, _allowed(entry, cls), _left_out(entry), example_line(entry))


def _allowed(entry: Entry, cls: type) -> str:
    form = form_of(cls, entry.name)
    return reference_words(
        entry.kind, low=entry.low, high=entry.high, unit=entry.unit, words=entry.words,
        form=form, may_be_empty=bool(form) and FORMS[(cls, entry.name)][1],
    )  # fmt: skip


def _left_out(entry: Entry) -> str:
    if entry.required:
        return MUST_BE_THERE
    if entry.default is None:
        return "none"
    if entry.default == "":
        return "empty"
    if entry.default == ():
        return "none"
    return f"`{value_text(entry.default)}`"
