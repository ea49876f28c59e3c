"""Photographs on their way from a browser into the frames folder: kept in parts, put there whole or not at all.

A part stands in the shoot's own folder under a name made from who sends it and what it is, so that a broken connection
goes on where it stopped, after a restart too. It comes into the frames folder only when it is all there and is a
picture by its content, under a name that nothing has; what lies there is never touched.

    .plateside/arriving/<key>/<name>    what has come so far
"""

import contextlib
import hashlib
import os
import shutil
import time
from dataclasses import dataclass
from pathlib import Path

from plateside.files.atomic import disk_faults_in_words
from plateside.files.originals.identity import content_hash
from plateside.files.originals.kinds import kind_of_ending
from plateside.files.originals.pixels import size_and_settings
from plateside.files.originals.unreadable import stem_key
from plateside.files.originals.whole import check_whole
from plateside.files.safe_names import LONGEST_BYTES, safe_names
from plateside.model.errors import CouldNotError, InputError, PlatesideError
from plateside.model.frame import Settings
from plateside.words.set import adding as words

LARGEST_BYTES = 200_000_000
SPARE_BYTES = 500_000_000
"""Left free on the disk beside what is to come."""
MOST_ARRIVING = 64
"""Begun and not ended, of all senders together."""
FORGOTTEN_S = 7 * 24 * 3600.0
"""What nobody has gone on with for so long is taken away."""
SAME_PRESS_S = 2.0
"""A raw and its JPEG bear the same time; files of one name further apart are of two cameras."""


@dataclass(frozen=True)
class Arriving:
    """One photograph on its way."""

    key: str
    name: str
    size: int
    have: int
    """bytes that have come"""
    path: Path


@dataclass(frozen=True)
class Arrived:
    """One photograph that has come whole."""

    name: str
    """As it stands in the frames folder."""
    asked: str
    """As it was sent."""
    already: bool = False
    """It had been there before, byte for byte."""


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
    told = "\0".join((sender, safe, str(size), str(changed_ms)))
    key = hashlib.blake2b(told.encode("utf-8", "surrogatepass"), digest_size=12).hexdigest()
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
    return Arriving(key, safe, size, _length(path), path)


def find(shoot_dir: Path, key: str) -> Path:
    """Where a photograph that was begun stands. Raises InputError when there is none."""
    folder = _place(shoot_dir) / key
    found = sorted(p for p in folder.iterdir() if p.is_file()) if _is_key(key) and folder.is_dir() else []
    if not found:
        raise InputError(words.NOT_BEGUN)
    return found[0]


def append(path: Path, at: int, part: bytes) -> int:
    """Write one part down at its place; how many bytes there are now.

    A part that is there already, sent again after a broken connection, changes nothing. One that leaves a gap is not
    taken: the answer tells where to go on. Raises CouldNotError with the mend.
    """
    with disk_faults_in_words(path):
        have = _length(path)
        if at != have:
            return have
        if have + len(part) > LARGEST_BYTES:
            raise InputError(words.too_large(path.name, have + len(part), LARGEST_BYTES))
        with path.open("r+b") as file:
            file.seek(at)
            file.write(part)
        return have + len(part)


def arrive(path: Path, frames_dir: Path, size: int) -> Arrived:
    """Put a photograph that has come into the frames folder, whole; its place on the way is cleared.

    Raises InputError when it is no picture that can be read, CouldNotError when it cannot be written.
    """
    try:
        if _length(path) != size:
            raise InputError(words.not_all_there(path.name))
        check_whole(path)
        settings = size_and_settings(path)[2]
        with disk_faults_in_words(frames_dir / path.name):
            frames_dir.mkdir(parents=True, exist_ok=True)
            with path.open("rb+") as file:
                os.fsync(file.fileno())
            return _put(path, frames_dir, settings)
    finally:
        give_up(path)


def give_up(path: Path) -> None:
    """Clear the place of one photograph."""
    shutil.rmtree(path.parent, ignore_errors=True)


def _put(path: Path, frames_dir: Path, settings: Settings) -> Arrived:
    for name in _names(path.name):
        target = frames_dir / name
        if _is_same(path, target):
            return Arrived(name, path.name, already=True)
        if os.path.lexists(target) or _is_another_cameras(target, settings):
            continue
        if _link(path, target):
            return Arrived(name, path.name)
    raise CouldNotError(words.names_taken(path.name))


def _names(name: str) -> list[str]:
    """The name itself, then with -2, -3 ...: no two of them one on a disk that knows no capitals."""
    stem, ending = Path(name).stem, Path(name).suffix
    room = LONGEST_BYTES - len(ending.encode()) - 6
    while len(stem.encode()) > room:
        stem = stem[:-1]
    return [name, *(f"{stem}-{number}{ending}" for number in range(2, 10_000))]


def _is_same(path: Path, target: Path) -> bool:
    try:
        if target.stat().st_size != path.stat().st_size:
            return False
        return content_hash(target) == content_hash(path)
    except (OSError, PlatesideError):
        return False


def _is_another_cameras(target: Path, settings: Settings) -> bool:
    """Whether a file of this name but another ending is there that was not made by the same press.

    It would be taken for this one's raw, or this one for its JPEG.
    """
    key = stem_key(target)
    with contextlib.suppress(OSError):
        for other in target.parent.iterdir():
            if stem_key(other) != key or kind_of_ending(other.suffix.lower()) not in ("display", "raw"):
                continue
            try:
                theirs = size_and_settings(other)[2]
            except PlatesideError:
                continue
            if theirs.camera_model and settings.camera_model and theirs.camera_model != settings.camera_model:
                return True
            if theirs.taken_at is not None and settings.taken_at is not None:
                apart = abs((theirs.taken_at - settings.taken_at).total_seconds())
                if apart > SAME_PRESS_S:
                    return True
    return False


def _link(path: Path, target: Path) -> bool:
    """Whether the file now stands under a name that nothing had; another's that came meanwhile is never replaced."""
    try:
        os.link(path, target)
    except FileExistsError:
        return False
    except OSError:
        # another disk, or one that knows no links
        try:
            handle = os.open(target, os.O_WRONLY | os.O_CREAT | os.O_EXCL | getattr(os, "O_BINARY", 0), 0o666)
        except FileExistsError:
            return False
        try:
            with os.fdopen(handle, "wb") as into, path.open("rb") as file:
                shutil.copyfileobj(file, into, 1 << 20)
                into.flush()
                os.fsync(into.fileno())
        except BaseException:
            target.unlink(missing_ok=True)
            raise
    return True


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


def _length(path: Path) -> int:
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
