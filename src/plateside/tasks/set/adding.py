"""Photographs added on a page: begun, and sent in parts. Light to import: the server's own process does it."""

import threading
from collections import defaultdict
from dataclasses import dataclass
from pathlib import Path

from plateside.files.folder import SHOOT_FILE, shoot_folder
from plateside.files.landing import arriving
from plateside.files.originals.kinds import HEIF_ENDINGS, JPEG_ENDINGS, RAW_ENDINGS
from plateside.files.settings.load import load_shoot
from plateside.model.errors import PlatesideError

_turns: defaultdict[str, threading.Lock] = defaultdict(threading.Lock)


@dataclass(frozen=True)
class Added:
    """Where one photograph is on its way."""

    key: str
    have: int
    """bytes that have come; the next part goes on there"""
    whole: bool = False
    """all have come"""


def frames_dir(root: Path) -> Path:
    """Where the frames of a shoot land."""
    return shoot_folder(root, load_shoot(root / SHOOT_FILE)).frames_dir


def addable_endings() -> list[str]:
    """'.jpg', '.dng' ...: what a page's own dialog offers, in order."""
    return sorted(JPEG_ENDINGS | HEIF_ENDINGS | RAW_ENDINGS)


def begin(root: Path, sender: str, name: str, size: int, changed_ms: int) -> Added:
    """Make a place for one photograph, or say how much of it has come. Raises InputError, CouldNotError."""
    found = arriving.begin(root, frames_dir(root), sender, name, size, changed_ms)
    return Added(found.key, found.have)


def add_part(root: Path, key: str, at: int, size: int, part: bytes, most: int | None = None) -> Added:
    """Write one part down; once all have come the photograph can be put into the frames folder (added.py).

    at    where the part begins [bytes]
    size  of the whole photograph [bytes]
    most  that it may have [bytes]; None: what a photograph may
    Raises InputError for a photograph that was not begun, CouldNotError when it cannot be written.
    """
    # one that was not begun has no turn: keys that somebody makes up must not be kept
    arriving.find(root, key)
    with _turns[key]:
        have = arriving.append(arriving.find(root, key), at, part, most)
    if have >= size:
        _turns.pop(key, None)
    return Added(key, have, whole=have >= size)


def give_up(root: Path, key: str) -> None:
    """Clear away what has come of one; nothing happens when nothing has."""
    try:
        arriving.give_up(arriving.find(root, key))
    except PlatesideError:
        return
