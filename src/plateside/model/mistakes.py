"""A mistake as a value: what is wrong, where, what was typed, what is allowed, the fix. words/mistakes.py says it."""

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Any

Path = tuple[str | int, ...]


@dataclass(frozen=True)
class Mistake:
    """One thing to fix in a settings file, in an answer of the first run, or in what a page sent."""

    code: str
    """What kind it is: a key of the tables in words/mistakes.py and words/room_mistakes.py."""
    file: str = ""
    """The file's name; empty when no file is meant."""
    line: int | None = None
    """Line number, from 1; None when the whole file is meant."""
    head: str = ""
    """The table around it, as it is headed: [room], [[windows]]; empty at the top of a file."""
    name: str = ""
    """The name of the thing it is about: kitchen window."""
    path: Path = ()
    """The field, as keys and item numbers from 0: windows, 0, from_left_m. Empty when no field is meant."""
    label: str = ""
    """What pages call the field."""
    got: str = ""
    """What was typed, as it stands in a file, shortened."""
    lowest: float | None = None
    highest: float | None = None
    unit: str = ""
    """Of lowest and highest."""
    allowed: tuple[str, ...] = ()
    """The allowed words."""
    meant: str = ""
    """What was probably meant."""
    fix: str = ""
    """The line, or lines, of the file that would be right."""
    example: bool = False
    """The fix is an example only: nobody can tell what was meant."""
    facts: Mapping[str, Any] = field(default_factory=dict, hash=False)
    """What else its sentence needs: the figures that clash."""

    @property
    def key(self) -> str:
        """The field's name in the file."""
        return next((part for part in reversed(self.path) if isinstance(part, str)), "")
