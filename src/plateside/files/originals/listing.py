"""What lies in a frames folder, by names alone: files that may be frames, files of other kinds, what cannot be opened.

One walk, one `stat` a file, nothing opened: it is done again at every look of a watcher. Hidden files, sidecars and
what systems leave behind are passed over without a word. Links are followed within the folder only, pipes never opened.
"""

import os
import stat
from dataclasses import dataclass, field
from pathlib import Path

from plateside.files.originals.kinds import (
    SILENT_FOLDERS,
    SILENT_NAMES,
    content_kind,
    kind_by_ending,
    kind_of_ending,
)
from plateside.files.originals.unreadable import Unreadable, can_be_shown, shown, unread
from plateside.words.frame_files import ending_hint, picture_hint, unknown_kind
from plateside.words.frame_files import said as sentence


@dataclass(frozen=True, slots=True)
class ListedFile:
    """One file as the folder's list has it."""

    name: str
    """within the frames folder, with forward slashes"""
    size: int
    mtime_ns: int
    kind: str
    """display (JPEG, HEIF), raw, or other"""

    @property
    def stamp(self) -> str:
        """Changes when the file does."""
        return f"{self.size} {self.mtime_ns}"


@dataclass
class Listing:
    """Sorted by name."""

    frames: list[ListedFile] = field(default_factory=list)
    others: list[ListedFile] = field(default_factory=list)
    """of kinds that are not read"""
    refused: list[Unreadable] = field(default_factory=list)
    """what cannot even be opened, or written down"""
    is_there: bool = True
    """False: the folder itself cannot be listed"""
    by_name: dict[str, ListedFile] = field(default_factory=dict)
    """frames and others"""


def list_folder(folder: Path, before: Listing | None = None) -> Listing:
    """Everything in `folder` and its subfolders that is not hidden.

    before  an earlier list of the same folder: what has not changed since is the same object in this one
    """
    found = Listing()
    known = before.by_name if before is not None else {}
    root = str(folder)
    real_root = os.path.realpath(root)
    todo = [""]
    while todo:
        inside = todo.pop()
        try:
            with os.scandir(os.path.join(root, inside) if inside else root) as entries:  # noqa: PTH118 - as text: quick
                for entry in entries:
                    old = known.get(inside + entry.name)
                    # thousands of files, several times a second: one question to the system for each, and no more
                    if old is None or entry.is_symlink() or not _is_as_before(entry, old, found):
                        _take(entry, inside, real_root, found, todo)
        except OSError as error:
            if not inside:
                found.is_there = False
            elif not isinstance(error, FileNotFoundError):
                said = unread(inside.rstrip("/"), error)
                found.refused.append(Unreadable(shown(inside.rstrip("/")), str(said), said.code))
    found.frames.sort(key=lambda one: one.name)
    found.others.sort(key=lambda one: one.name)
    found.refused.sort(key=lambda one: one.name)
    return found


def _is_as_before(entry: "os.DirEntry[str]", old: ListedFile, found: Listing) -> bool:
    try:
        entry_stat = entry.stat(follow_symlinks=False)
    except OSError:
        return False
    if (
        entry_stat.st_size != old.size
        or entry_stat.st_mtime_ns != old.mtime_ns
        or not stat.S_ISREG(entry_stat.st_mode)
    ):
        return False
    _add(found, old)
    return True


def _add(found: Listing, one: ListedFile) -> None:
    found.by_name[one.name] = one
    (found.others if one.kind == "other" else found.frames).append(one)


def _take(entry: "os.DirEntry[str]", inside: str, real_root: str, found: Listing, todo: list[str]) -> None:
    own = entry.name
    lower = own.lower()
    if own.startswith(".") or lower in SILENT_NAMES:
        return
    name = inside + own
    try:
        if entry.is_dir(follow_symlinks=False):
            if lower not in SILENT_FOLDERS:
                todo.append(name + "/")
            return
        kind = kind_of_ending(lower[lower.rfind(".") :] if "." in lower else "")
        if kind == "silent" or lower.endswith("~"):
            return
        if entry.is_symlink() and (why := _why_not_followed(entry, name, real_root)):
            found.refused.append(why)
            return
        entry_stat = entry.stat()
    except FileNotFoundError:
        return
    except OSError as error:
        said = unread(own, error)
        found.refused.append(Unreadable(shown(name), str(said), said.code))
        return
    if not stat.S_ISREG(entry_stat.st_mode):
        words = sentence("pipe", name=shown(name))
        found.refused.append(Unreadable(shown(name), words, "no file"))
    elif not can_be_shown(name):
        words = sentence("name", name=shown(name))
        found.refused.append(Unreadable(shown(name), words, "name"))
    else:
        _add(found, ListedFile(name, entry_stat.st_size, entry_stat.st_mtime_ns, kind))


def _why_not_followed(entry: "os.DirEntry[str]", name: str, real_root: str) -> Unreadable | None:
    try:
        target = os.path.realpath(entry.path, strict=True)
    except OSError:  # dangling, or in a circle
        words = sentence("link to nothing", name=shown(name))
        return Unreadable(shown(name), words, "link")
    if os.path.commonpath([target, real_root]) != real_root:
        words = sentence("link out", name=shown(name))
        return Unreadable(shown(name), words, "link")
    if os.path.isdir(target):  # noqa: PTH112 - as text
        words = sentence("link to a folder", name=shown(name))
        return Unreadable(shown(name), words, "link")
    return None


def of_other_kind(folder: Path, one: ListedFile) -> Unreadable:
    """What is said of a file of a kind that is not read: its name and what it is."""
    ending = os.path.splitext(one.name)[1]  # noqa: PTH122 - as text
    kind = kind_by_ending(ending)
    hint = picture_hint(kind)
    if not kind:
        try:
            with (folder / one.name).open("rb") as file:
                known = content_kind(file.read(64))
        except OSError:
            known = ""
        kind = known or unknown_kind(ending)
        hint = ending_hint({"JPEG": ".jpg", "HEIC": ".heic"}.get(known, "")) or picture_hint(known)
    words = sentence("other kind", name=one.name, kind=kind, hint=hint)
    return Unreadable(one.name, words, "other kind")


def stamp_of(folder: Path, fact: Unreadable) -> str:
    """The stamp with which a fact is written down: a file's own; empty for what has none, told by its name alone."""
    if fact.code in ("link", "no file", "name"):
        return ""
    try:
        entry_stat = (folder / fact.name).stat()
    except OSError:
        return ""
    return f"{entry_stat.st_size} {entry_stat.st_mtime_ns}"
