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
from collections.abc import Collection
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
MOST_OF_ONE = 16
"""Begun and not ended, of one sender: a page sends two at a time."""
MOST_ARRIVING = 64
"""Of all senders together; from here on each may still have its own few, so that nobody holds all places."""
ALWAYS_OF_ONE = 4
IDLE_S = 600.0
"""One of the sender's own that nothing has come of for so long gives its place to another of that sender."""
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


def begin(
    shoot_dir: Path,
    frames_dir: Path,
    sender: str,
    name: str,
    size: int,
    changed_ms: int,
    endings: Collection[str] | None = None,
    most: int | None = None,
) -> Arriving:
    """Make a place for one photograph, or find the one that it has.

    sender      who sends: two devices may each have an IMG_0001
    size        [bytes]
    changed_ms  when it was last changed, as the sender has it [ms]: with name and size it tells a file again
    endings     that it may have; none named: those of photographs
    most        that it may have [bytes]; None: what a photograph may
    Raises InputError for what is no photograph by its name, empty or too large, CouldNotError when the disk has no room
    for it or too many are on their way.
    """
    safe = _safe_name(name)
    ending = Path(safe).suffix.lower()
    if ending not in endings if endings is not None else kind_of_ending(ending) not in ("display", "raw"):
        raise InputError(words.not_a_picture(safe))
    if size <= 0:
        raise InputError(words.empty(safe))
    most = LARGEST_BYTES if most is None else most
    if size > most:
        raise InputError(words.too_large(safe, size, most))
    identity = "\0".join((sender, safe, str(size), str(changed_ms)))
    mark, key = _hash(sender, 4), _hash(sender, 4) + _hash(identity, 8)
    place = _place(shoot_dir)
    path = place / key / safe
    if not path.is_file():
        _forget_old(place)
        _need_place(place, mark)
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


def append(path: Path, at: int, part: bytes, most: int | None = None) -> int:
    """Write one part down at its place; how many bytes there are now.

    A part that is there already, sent again after a broken connection, changes nothing. One that leaves a gap is not
    taken: the answer tells where to go on. Raises CouldNotError with the mend.
    """
    with disk_faults_in_words(path):
        have = length(path)
        if at != have:
            return have
        most = LARGEST_BYTES if most is None else most
        if have + len(part) > most:
            raise InputError(words.too_large(path.name, have + len(part), most))
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


def _hash(text: str, size_bytes: int) -> str:
    return hashlib.blake2b(text.encode("utf-8", "surrogatepass"), digest_size=size_bytes).hexdigest()


def _need_place(place: Path, mark: str) -> None:
    """A place for one more of the sender with this mark. Raises CouldNotError when it has all that it may have."""
    folders = [p.name for p in place.iterdir()] if place.is_dir() else []
    own = [place / name for name in folders if name.startswith(mark)]
    if len(own) < MOST_OF_ONE and (len(folders) < MOST_ARRIVING or len(own) < ALWAYS_OF_ONE):
        return
    # a page that was closed half-way leaves what it had begun: that must not shut its sender out for days
    oldest = min(own, key=_newest_s)
    if time.time() - _newest_s(oldest) < IDLE_S:
        raise CouldNotError(words.too_many(len(own)))
    shutil.rmtree(oldest, ignore_errors=True)


def _newest_s(folder: Path) -> float:
    """When something last came of one [s since 1970]; one that cannot be looked into just now counts as new."""
    with contextlib.suppress(OSError):
        return max((p.stat().st_mtime for p in folder.iterdir()), default=folder.stat().st_mtime)
    return time.time()


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
            if time.time() - _newest_s(folder) > FORGOTTEN_S:
                shutil.rmtree(folder, ignore_errors=True)
