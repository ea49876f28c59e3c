"""Packages (BagIt, RFC 8493): what is wrong with one, and why one cannot be written."""

from collections.abc import Mapping
from typing import Any

from plateside.words.counting import plural
from plateside.words.figures import filled

SAID: Mapping[str, str] = {
    "in the way": "{path} exists and is not a package: choose another place with --to.",
    "copy differs": "The copy of {name} differs from the original: check that disk, then pack again.",
    "no package": "{path} is not a package: it has no bagit.txt.",
    "no version": "bagit.txt does not begin with BagIt-Version.",
    "fetch": "fetch.txt lists files that are elsewhere: they are not checked.",
    "no manifest": "There is no manifest that can be read ({known}).",
    "not listed": "{name} is not in {manifest}: it was added later.",
    "missing": "{name} is missing.",
    "changed": "{name} has changed since it was packed.",
    "promised": "bag-info.txt promises {promised}, there are {there}: files are missing, cut short or added.",
    "tags unread": "{name} cannot be read: {why}.",
    "line unread": "{name}, line {line}, cannot be read: {got}.",
    "line leads out": "{name}, line {line}: {got} leads out of the package and is not read.",
    "leads out": "{name} is not a path inside a package.",
}


def said(code: str, **facts: Any) -> str:
    """A sentence of the table."""
    return filled(SAID[code], facts)


def sizes(size: int, files: int) -> str:
    """'1 234 567 bytes in 3 files'."""
    return f"{size:,} bytes in ".replace(",", " ") + plural(files, "file")
