"""Photographs that have come whole from a browser: put into the frames folder when they are pictures by their content.

Under a name that nothing has; what lies there is never touched.
"""

import contextlib
import os
import shutil
from dataclasses import dataclass
from pathlib import Path

from plateside.files.atomic import disk_faults_in_words, replacing
from plateside.files.landing.arriving import give_up, length
from plateside.files.landing.new_name import move_to_new
from plateside.files.originals.identity import content_hash
from plateside.files.originals.kinds import kind_of_ending
from plateside.files.originals.pixels import size_and_settings
from plateside.files.originals.unreadable import stem_key
from plateside.files.originals.whole import check_whole
from plateside.files.safe_names import LONGEST_BYTES
from plateside.model.errors import CouldNotError, InputError, PlatesideError
from plateside.model.frame import Settings
from plateside.words.set import adding as words

NOTE = ".taking"
"""Beside a photograph on its way: the name that it is about to take."""
SAME_PRESS_S = 2.0
"""A raw and its JPEG bear the same time; files of one name further apart are of two cameras."""


@dataclass(frozen=True)
class Arrived:
    """One photograph that has come whole."""

    name: str
    """As it stands in the frames folder."""
    asked: str
    """As it was sent."""
    already: bool = False
    """It had been there before, byte for byte."""


def arrive(path: Path, frames_dir: Path, size: int) -> Arrived:
    """Put a photograph that has come into the frames folder, whole; its place on the way is cleared.

    Raises InputError when it is no picture that can be read, CouldNotError when it cannot be written: then what has
    come stays, and is put there when it is added again.
    """
    try:
        if length(path) != size:
            raise InputError(words.not_all_there(path.name))
        check_whole(path)
        settings = size_and_settings(path)[2]
        with disk_faults_in_words(frames_dir / path.name):
            frames_dir.mkdir(parents=True, exist_ok=True)
            with path.open("rb+") as file:
                os.fsync(file.fileno())
            found = _put(path, frames_dir, settings)
    except InputError:
        give_up(path)
        raise
    give_up(path)
    return found


def _put(path: Path, frames_dir: Path, settings: Settings) -> Arrived:
    for name in names_for(path.name):
        target = frames_dir / name
        _NameTaken(path, target).give_back()
        if _is_same(path, target):
            return Arrived(name, path.name, already=True)
        if os.path.lexists(target) or _is_another_cameras(target, settings):
            continue
        if _link(path, target):
            return Arrived(name, path.name)
    raise CouldNotError(words.names_taken(path.name))


def names_for(name: str) -> list[str]:
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
        # another disk, or one that knows no links: copied beside, hidden, and put in place in one step
        return _copy(path, target)
    return True


def _copy(path: Path, target: Path) -> bool:
    name = _NameTaken(path, target)
    moved: list[bool | None] = []

    def wanted(neighbour: Path) -> bool:
        moved.append(move_to_new(neighbour, target))
        # a disk that can only replace: then the name has to be taken first
        return moved[0] is None and name.take(neighbour)

    try:
        with replacing(target, wanted=wanted) as neighbour:
            shutil.copyfile(path, neighbour)
    except BaseException:
        name.give_back()
        raise
    return name.is_ours or moved == [True]


class _NameTaken:
    """A name that nothing had, taken by an empty file just before the whole one takes its place.

    Said beforehand in a note beside the photograph on its way: an empty file that a killed run left is ours.
    """

    def __init__(self, path: Path, target: Path) -> None:
        self._note, self._target, self.is_ours = path.with_name(NOTE), target, False

    def take(self, _written: Path) -> bool:
        """Whether the name is ours now."""
        self._note.write_text(self._target.name, encoding="utf-8")
        try:
            os.close(os.open(self._target, os.O_WRONLY | os.O_CREAT | os.O_EXCL, 0o666))
        except FileExistsError:
            return False
        self.is_ours = True
        return True

    def give_back(self) -> None:
        """Take the empty file away, whoever of ours left it."""
        with contextlib.suppress(OSError, UnicodeDecodeError):
            if self._note.read_text(encoding="utf-8") == self._target.name and not length(self._target):
                self._target.unlink()
