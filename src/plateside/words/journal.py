"""A journal that is damaged or cannot be written, in sentences."""

from collections.abc import Mapping
from typing import Any

from plateside.words.figures import filled

SAID: Mapping[str, str] = {
    "busy": "Another Plateside has been writing {name} for {seconds} s. Close it, then try again.",
    "utf-16": "{name} was saved as UTF-16. Save it as plain text in UTF-8 with a text editor; every row in it then "
    "counts again.",
    "too large": "{name} has {megabytes} MB, far more than a shoot's: put a copy of the journal back in its place.",
    "not a file": "{name} is not a file: put a copy of the journal back in its place.",
    "torn, kept": "The last line of {name} was cut short (a power cut, or a full disk) and does not count; what there "
    "is of it is kept in {aside}. Check that your last decision is there.",
    "torn": "The last line of {name} was cut short (a power cut, or a full disk) and does not count; it is set aside "
    "with your next decision. Check that your last decision is there.",
    "damaged": "{name}, {places}, cannot be read and is skipped; every other line counts. To get rid of this, take out "
    "what is damaged with a text editor (keep a copy).",
    "unknown": "{name}, {places}, is of a kind this version does not know and is skipped: update Plateside if a newer "
    "one wrote it. To get rid of this, take out what is damaged with a text editor (keep a copy).",
    "misnumbered": "{name}: the row numbers do not grow by one; rows are counted by their place, and all count.",
}


def said(code: str, **facts: Any) -> str:
    """A sentence of the table."""
    return filled(SAID[code], facts)
