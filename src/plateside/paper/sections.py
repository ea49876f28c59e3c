"""A sheet to print as plain sections, top to bottom: one description, which the page and the PDF both set.

sheet_html.py    sections -> HTML
as_data          sections -> plain data for the PDF's template (files/paper/call-sheet.typ)
"""

from collections.abc import Sequence
from dataclasses import dataclass, fields, is_dataclass
from typing import Any, Literal

from plateside.drawing.kit import halos_below


@dataclass(frozen=True)
class Heading:
    """A title."""

    words: str
    level: int
    """1 the sheet's, 2 a part's"""
    small: bool = False
    """over a list"""


@dataclass(frozen=True)
class Text:
    """A paragraph."""

    words: str
    role: Literal["", "lead", "soft", "caution"] = ""


@dataclass(frozen=True)
class Facts:
    """Terms with their values."""

    rows: tuple[tuple[str, str], ...]


@dataclass(frozen=True)
class Settings:
    """What is set on the camera, large."""

    words: tuple[str, ...]


@dataclass(frozen=True)
class Drawing:
    """A drawing over the whole width."""

    svg: str
    caption: str = ""


@dataclass(frozen=True)
class Drawings:
    """Drawings side by side."""

    each: tuple[Drawing, ...]


@dataclass(frozen=True)
class Item:
    """A line of a list."""

    words: str
    mind: bool = False
    """marked: not as it should be"""


@dataclass(frozen=True)
class Items:
    """A list."""

    each: tuple[Item, ...]
    columns: int = 1


@dataclass(frozen=True)
class Beside:
    """Two columns."""

    left: "tuple[Section, ...]"
    right: "tuple[Section, ...]"


@dataclass(frozen=True)
class RunRow:
    """A row of the run sheet."""

    kind: Literal["cook", "shot", "hero"]
    when: str
    name: str
    words: str
    """how"""
    note: str = ""
    """what is done with the name's shot"""
    strong: str = ""
    """before `words`, as on the camera"""
    minds: tuple[str, ...] = ()


@dataclass(frozen=True)
class Run:
    """The run sheet: what happens when."""

    head: tuple[str, ...]
    rows: tuple[RunRow, ...]


@dataclass(frozen=True)
class Table:
    """Cells in rows."""

    head: tuple[str, ...]
    short: tuple[str, ...]
    """the same for a phone; '' where a cell says by itself what it is"""
    rows: tuple[tuple[str, ...], ...]


@dataclass(frozen=True)
class Blanks:
    """Lines to be filled in by hand."""

    labels: tuple[str, ...]


@dataclass(frozen=True)
class ShotSheet:
    """A shot's own sheet, on a page of its own."""

    shot: str
    """by which links find it"""
    each: "tuple[Section, ...]"


Section = (
    Heading | Text | Facts | Settings | Drawing | Drawings | Items | Beside | Run | Table | Blanks | ShotSheet
)


def as_data(value: Any) -> Any:
    """Dicts, lists, texts and numbers: a section has its class under "is"; drawings are made fit for paper."""
    if isinstance(value, Drawing):
        return {"is": "Drawing", "svg": halos_below(value.svg), "caption": value.caption}
    if is_dataclass(value) and not isinstance(value, type):
        return {
            "is": type(value).__name__,
            **{f.name: as_data(getattr(value, f.name)) for f in fields(value)},
        }
    if isinstance(value, Sequence) and not isinstance(value, str):
        return [as_data(each) for each in value]
    return value
