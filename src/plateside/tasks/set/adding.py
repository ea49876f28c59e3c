"""Photographs added on a page: begun, sent in parts, put into the frames folder whole."""

import threading
from collections import defaultdict
from dataclasses import dataclass
from pathlib import Path

from plateside.files.landing import arriving
from plateside.files.originals.kinds import HEIF_ENDINGS, JPEG_ENDINGS, RAW_ENDINGS
from plateside.model.errors import PlatesideError
from plateside.tasks.studio.edit import frames_folder
from plateside.words.set.adding import added_sentence, already_sentence

_turns: defaultdict[str, threading.Lock] = defaultdict(threading.Lock)


@dataclass(frozen=True)
class Added:
    """Where one photograph is on its way."""

    key: str
    have: int
    """bytes that have come; the next part goes on there"""
    done: bool = False
    name: str = ""
    """As it stands in the frames folder, when it is done."""
    already: bool = False
    said: str = ""
    """One sentence, when it is done."""


def addable_endings() -> list[str]:
    """'.jpg', '.dng' ...: what a page's own dialog offers, in order."""
    return sorted(JPEG_ENDINGS | HEIF_ENDINGS | RAW_ENDINGS)


def begin(root: Path, sender: str, name: str, size: int, changed_ms: int) -> Added:
    """Make a place for one photograph, or say how much of it has come. Raises InputError, CouldNotError."""
    found = arriving.begin(root, frames_folder(root), sender, name, size, changed_ms)
    return Added(found.key, found.have)


def add_part(root: Path, key: str, at: int, size: int, part: bytes) -> Added:
    """Write one part down; with the last one the photograph goes into the frames folder.

    at    where the part begins [bytes]
    size  of the whole photograph [bytes]
    Raises InputError when it is no picture, CouldNotError when it cannot be written.
    """
    with _turns[key]:
        path = arriving.find(root, key)
        have = arriving.append(path, at, part)
        if have < size:
            return Added(key, have)
        try:
            arrived = arriving.arrive(path, frames_folder(root), size)
        finally:
            _turns.pop(key, None)
    sentence = (
        already_sentence(arrived.name) if arrived.already else added_sentence(arrived.name, arrived.asked)
    )
    return Added(key, have, True, arrived.name, arrived.already, sentence)


def give_up(root: Path, key: str) -> None:
    """Clear away what has come of one; nothing happens when nothing has."""
    try:
        arriving.give_up(arriving.find(root, key))
    except PlatesideError:
        return
