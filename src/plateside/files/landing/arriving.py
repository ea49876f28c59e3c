"""Photographs on their way from a browser into the frames folder: kept in parts until all has come (then: arrived.py).

A part stands in the shoot's own folder under a name made from who sends it and what it is, so that a broken connection
goes on where it stopped, after a restart too. It comes into the frames folder only when it is all there and is a
picture by its content, under a name that nothing has; what lies there is never touched.

    .plateside/arriving/<key>/<name>    what has come so far
"""

import contextlib
import hashlib
import shutil
import time
from dataclasses import dataclass
from pathlib import Path

from plateside.files.atomic import disk_faults_in_words
from plateside.files.originals.kinds import kind_of_ending
from plateside.files.safe_names import LONGEST_BYTES, safe_names
from plateside.model.errors import CouldNotError, InputError
from plateside.words.set import adding as words

LARGEST_BYTES = 200_000_000
SPARE_BYTES = 500_000_000
"""Left free on the disk beside what is to come."""
MOST_ARRIVING = 64
"""Begun and not ended, of all senders together."""
FORGOTTEN_S = 7 * 24 * 3600.0
"""What nobody has gone on with for so long is taken away."""


@dataclass(frozen=True)
class Arriving:
    """One photograph on its way."""

    key: str
    name: str
    size: int
    have: int
    """bytes that have come"""
    path: Path


def begin(shoot_dir: Path, frames_dir: Path, sender: str, name: str, size: int, changed_ms: int) -> Arriving:
    """Make a place for one photograph, or find the one that it has.

    sender      who sends: two devices may each have an IMG_0001
    size        [bytes]
    changed_ms  when it was last changed, as the sender has it [ms]: with name and size it tells a file again
    Raises InputError for what is no photograph by its name, empty or too large, CouldNotError when the disk has no room
    for it or too many are on their way.
    """
    safe = _safe_name(name)
    if kind_of_ending(Path(safe).suffix.lower()) not in ("display", "raw"):
        raise InputError(words.not_a_picture(safe))
    if size <= 0:
        raise InputError(words.empty(safe))
    if size > LARGEST_BYTES:
        raise InputError(words.too_large(safe, size, LARGEST_BYTES))
    identity = "\0".join((sender, safe, str(size), str(changed_ms)))
    key = hashlib.blake2b(identity.encode("utf-8", "surrogatepass"), digest_size=12).hexdigest()
    place = _place(shoot_dir)
    path = place / key / safe
    if not path.is_file():
        _forget_old(place)
        if place.is_dir() and sum(1 for _ in place.iterdir()) >= MOST_ARRIVING:
            raise CouldNotError(words.too_many(MOST_ARRIVING))
        _need_room(frames_dir, size, safe)
        with disk_faults_in_words(path):
            path.parent.mkdir(parents=True, exist_ok=True)
            path.touch()
    return Arriving(key, safe, size, length(path), path)


def find(shoot_dir: Path, key: str) -> Path:
    """Where a photograph that was begun stands. Raises InputError when there is none."""
    folder = _place(shoot_dir) / key
    # what is hidden is a note of ours: no photograph's name begins so
    there = folder.iterdir() if _is_key(key) and folder.is_dir() else ()
    found = sorted(p for p in there if p.is_file() and not p.name.startswith("."))
    if not found:
        raise InputError(words.NOT_BEGUN)
    return found[0]


def append(path: Path, at: int, part: bytes) -> int:
    """Write one part down at its place; how many bytes there are now.

    A part that is there already, sent again after a broken connection, changes nothing. One that leaves a gap is not
    taken: the answer tells where to go on. Raises CouldNotError with the mend.
    """
    with disk_faults_in_words(path):
        have = length(path)
        if at != have:
            return have
        if have + len(part) > LARGEST_BYTES:
            raise InputError(words.too_large(path.name, have + len(part), LARGEST_BYTES))
        with path.open("r+b") as file:
            file.seek(at)
            file.write(part)
        return have + len(part)


def give_up(path: Path) -> None:
    """Clear the place of one photograph."""
    shutil.rmtree(path.parent, ignore_errors=True)


def _safe_name(name: str) -> str:
    """What it may be called: the last part of what was sent, without what some system refuses."""
    last = name.replace("\\", "/").rsplit("/", 1)[-1].strip().lstrip(".")
    if not last or last == ".":
        raise InputError(words.NO_SUCH_NAME)
    while len(last.encode("utf-8", "replace")) > LONGEST_BYTES - 8:
        stem, ending = Path(last).stem, Path(last).suffix[:12]
        if not stem[:-1]:
            raise InputError(words.NO_SUCH_NAME)
        last = stem[:-1] + ending
    return safe_names([last])[last]


def _place(shoot_dir: Path) -> Path:
    return shoot_dir / ".plateside" / "arriving"


def _is_key(key: str) -> bool:
    return len(key) == 24 and all(c in "0123456789abcdef" for c in key)


def length(path: Path) -> int:
    return path.stat().st_size


def _need_room(frames_dir: Path, size: int, name: str) -> None:
    there = frames_dir
    while not there.exists() and there != there.parent:
        there = there.parent
    with disk_faults_in_words(frames_dir):
        free = shutil.disk_usage(there).free
    if free < size + SPARE_BYTES:
        raise CouldNotError(words.no_room(name, size, free))


def _forget_old(place: Path) -> None:
    with contextlib.suppress(OSError):
        for folder in place.iterdir():
            with contextlib.suppress(OSError):
                newest = max((p.stat().st_mtime for p in folder.iterdir()), default=folder.stat().st_mtime)
                if time.time() - newest > FORGOTTEN_S:
                    shutil.rmtree(folder, ignore_errors=True)
