"""The originals' copies on a second disk: a bag (RFC 8493) that grows by a file and a line of its manifest at a time.

    SECOND/my-shoot-originals/bagit.txt, bag-info.txt, manifest-sha512.txt, data/...

A file counts once it was read back, has its name and is listed. What a pulled cable leaves is a hidden file of ours
(working.py), cleared when the disk is back; what was put in place and not yet listed is read back and listed then.
Nothing else is ever taken away, and nothing that has a name is replaced.

The disk is known again by the bag's own identifier: where it was plugged in there may be an empty folder of the
system's disk, which must not be taken for it.
"""

import contextlib
import errno
import json
import os
import secrets
import shutil
from collections.abc import Callable, Iterator
from pathlib import Path

from plateside.files.atomic import write_text
from plateside.files.bags import ALGORITHM, bag_info, begin_bag, manifest_line, manifest_of
from plateside.files.folder import can_lie_in
from plateside.files.json_text import read_json_file
from plateside.files.safe_names import safe_names
from plateside.files.second.disks import apart
from plateside.files.second.read_back import SourceError, TakenError, copy, force_folder, sum_of
from plateside.files.working import sweep
from plateside.model.errors import CouldNotError
from plateside.words.set.safe import bag_description

_MARK = "second-disk.json"
_IDENTIFIER = "External-Identifier"
_SPARE_BYTES = 1 << 20
_CODES = {
    errno.ENOSPC: "full", errno.EDQUOT: "full", errno.EROFS: "read only",
    errno.EACCES: "not permitted", errno.EPERM: "not permitted",
}  # fmt: skip
MOST_OF_A_NAME = 10_000
READ_S = 20.0
"""What is on the disk is looked through anew after this long: somebody may have taken a copy away."""


def named_place(root: Path, named: str) -> Path:
    """The folder that a setting names: whole, or from the shoot's folder on; ~ is your own folder."""
    return Path(os.path.normpath(root / Path(named).expanduser()))


def called(place: Path) -> str:
    """A folder by its own name; a disk's root has none, and is called what it is."""
    return place.name or str(place)


def lies_within(inner: Path, outer: Path) -> bool:
    """Whether a folder is another or lies in it, links followed to their end."""
    return Path(os.path.realpath(inner)).is_relative_to(os.path.realpath(outer))


def is_same_folder_tree(place: Path, *others: Path) -> bool:
    """Whether a folder lies in one of the others, or one of them in it."""
    return any(lies_within(place, other) or lies_within(other, place) for other in others)


class SecondDisk:
    """The second disk of one shoot, for one thread."""

    def __init__(self, root: Path, frames_dir: Path, named: str) -> None:
        self.place = named_place(root, named)
        self.state = "starting"
        """ok, starting; away, other disk, not a folder, inside; full, read only, not permitted, failed"""
        self.reason = ""
        """of failed: the system's own words"""
        self.disks = "unknown"
        """whether it is another disk than that of the frames: disks.apart"""
        self.renamed: dict[str, str] = {}
        """original -> the name that it was kept under, as another file had its own"""
        self.bag = self.place / _own_name(root)
        self._root, self._frames_dir = root, frames_dir
        self._trouble: tuple[str, str, int] | None = None
        self._read_s = 0.0
        self._held: dict[str, int] = {}
        """checksum -> bytes, of what is listed and there"""
        self._listed: dict[str, str] = {}

    @property
    def ok(self) -> bool:
        return self.state == "ok"

    def look(self, now_s: float) -> None:
        """See whether it is there, and what it has; never raises. `now_s`: by any steady clock."""
        was_there = self.state not in ("starting", "away", "other disk", "not a folder", "inside")
        try:
            code, reason = self._why_not(), ""
            if not code:
                if not was_there:
                    sweep(self.place)
                    sweep(self.bag)
                if not was_there or now_s - self._read_s >= READ_S:
                    self._read()
                    self._read_s = now_s
                    self.disks = apart(self.place, _nearest(self._frames_dir))
        except (OSError, CouldNotError) as error:
            code, reason = self._code_of(error)
        if not code and self._trouble is not None:
            code, reason, needed = self._trouble
            if code == "full" and self._free() >= needed:
                code, self._trouble = "", None
        self.state, self.reason = code or "ok", reason

    def holds(self, checksum: str, size: int) -> bool:
        """Whether a file of this content is on it: listed, and there in its full length, as of the last look."""
        return self._held.get(checksum) == size

    def is_disk_of(self, folder: Path) -> bool:
        """Whether another folder is on this very disk."""
        try:
            return apart(folder, self.place) == "same"
        except OSError:
            return False

    def has_size(self, size: int) -> bool:
        """Whether any file of this length is on it: then one may be there already, under another name."""
        return size in self._held.values()

    def keep(self, source: Path, name: str, size: int, go_on: Callable[[], None]) -> str | None:
        """Copy an original; its checksum. None when the disk refuses, which `state` then tells.

        name  of the original within the frames folder
        Raises SourceError and ChangedError of the original, DiffersError, and whatever `go_on` raises.
        """
        try:
            if self._free() < size + _SPARE_BYTES:
                raise OSError(errno.ENOSPC, "")
            return self._keep(source, name, size, go_on)
        except SourceError:
            raise
        except TakenError:
            self._fail("failed", "", size)
        except (OSError, CouldNotError) as error:
            self._fail(*self._code_of(error), size)
        return None

    def retry(self) -> None:
        """Try again after a refusal: the next look says whether it goes."""
        if self._trouble is not None and self._trouble[0] != "full":
            self._trouble = None

    def _fail(self, code: str, reason: str, size: int) -> None:
        self.state, self.reason = code, reason
        self._trouble = None if code == "away" else (code, reason, size + _SPARE_BYTES)

    def _keep(self, source: Path, name: str, size: int, go_on: Callable[[], None]) -> str:
        safe, checksum = safe_names([name])[name], ""
        for candidate in _numbered(safe):
            target = self.bag / "data" / candidate
            if os.path.lexists(target):
                checksum = checksum or sum_of(source, go_on)
                if not _is(target, size, checksum, go_on):
                    continue
            else:
                self._make_folders(candidate)
                try:
                    checksum = copy(source, target, self.bag, go_on)
                except TakenError:
                    continue
            self._list(candidate, checksum)
            self._held[checksum] = size
            if candidate != safe:
                self.renamed[name] = candidate
            return checksum
        raise TakenError

    def _make_folders(self, name: str) -> None:
        """Folders within data/; data/ itself is never made here: then the disk is gone."""
        folder = self.bag / "data"
        for part in name.split("/")[:-1]:
            folder = folder / part
            folder.mkdir(exist_ok=True)

    def _list(self, name: str, checksum: str) -> None:
        if self._listed.get(f"data/{name}") == checksum:
            return
        if f"data/{name}" in self._listed:
            # it was listed with another content and is now what it is: the whole list is written anew
            self._listed = manifest_of(self.bag) | {f"data/{name}": checksum}
            lines = (manifest_line(n, s) for n, s in sorted(self._listed.items()))
            write_text(self._manifest, "".join(lines))
            return
        with self._manifest.open("ab", buffering=0) as file:
            file.write(manifest_line(f"data/{name}", checksum).encode())
            os.fsync(file.fileno())
        self._listed[f"data/{name}"] = checksum

    @property
    def _manifest(self) -> Path:
        return self.bag / f"manifest-{ALGORITHM}.txt"

    def _why_not(self) -> str:
        """Why nothing can be kept there, as a code; begins the bag where there is none. Raises OSError."""
        try:
            if not os.path.isdir(self.place):  # noqa: PTH112 - as a link is followed
                return "not a folder" if self.place.exists() else "away"
        except OSError:
            return "away"
        within = (self._root, self._frames_dir)
        if any(lies_within(self.place, one) or lies_within(one, self.bag) for one in within):
            return "inside"
        mark = self._root / ".plateside" / _MARK
        known, name = _mark_of(mark, self.place)
        if known:
            self.bag = self.place / name
            there = _identifier(self.bag)
            return "" if there == known else "other disk" if there else "away"
        # a folder of that name which is not ours stays as it is
        own = _own_name(self._root)
        self.bag = next(
            b for b in map(self.place.joinpath, _numbered(own)) if not b.exists() or _identifier(b)
        )
        there = _identifier(self.bag)
        if not there:
            there = secrets.token_hex(8)
            begin_bag(self.bag, {_IDENTIFIER: there, "External-Description": bag_description(own)})
            # before the shoot remembers it: a bag that a power cut took would be waited for
            force_folder(self.place)
        write_text(mark, json.dumps({"place": str(self.place), "id": there, "bag": self.bag.name}) + "\n")
        return ""

    def _read(self) -> None:
        """What is listed and there. A line cut short in its writing is taken off the list."""
        if self._manifest.is_file():
            data = self._manifest.read_bytes()
            if data and not data.endswith(b"\n"):
                os.truncate(self._manifest, data.rfind(b"\n") + 1)
        self._listed = manifest_of(self.bag)
        there = dict(_sizes(self.bag / "data", "data/"))
        self._held = {s: there[name] for name, s in self._listed.items() if name in there}

    def _code_of(self, error: Exception) -> tuple[str, str]:
        cause = error if isinstance(error, OSError) else error.__cause__
        number = cause.errno if isinstance(cause, OSError) else None
        if number in _CODES:
            return _CODES[number], ""
        if not self.place.is_dir() or not (self.bag / "bagit.txt").is_file():
            return "away", ""
        return "failed", (cause.strerror if isinstance(cause, OSError) else "") or str(error)

    def _free(self) -> int:
        return shutil.disk_usage(self.place).free


def forget_mark(root: Path) -> None:
    """The folder was named anew: what is there now is the second disk."""
    with contextlib.suppress(OSError):
        (root / ".plateside" / _MARK).unlink(missing_ok=True)


def _mark_of(mark: Path, place: Path) -> tuple[str, str]:
    """Identifier and folder of the bag that was begun or found at this place; empty when there was none."""
    try:
        found = read_json_file(mark)
        identifier, bag = str(found["id"]), str(found["bag"])
        return (identifier, bag) if found["place"] == str(place) and can_lie_in(bag) else ("", "")
    except (OSError, ValueError, KeyError, TypeError):
        return "", ""


def _nearest(folder: Path) -> Path:
    """The folder, or the nearest above it that is there."""
    while not folder.exists() and folder != folder.parent:
        folder = folder.parent
    return folder


def _own_name(root: Path) -> str:
    own = f"{Path(os.path.realpath(root)).name or 'shoot'}-originals"
    return safe_names([own])[own]


def _identifier(bag: Path) -> str:
    return bag_info(bag).get(_IDENTIFIER.lower(), "") if (bag / "bag-info.txt").is_file() else ""


def _is(target: Path, size: int, checksum: str, go_on: Callable[[], None]) -> bool:
    if not target.is_file() or target.stat().st_size != size:
        return False
    return sum_of(target, go_on, from_disk=True) == checksum


def _numbered(name: str) -> Iterator[str]:
    yield name
    folder, slash, own = name.rpartition("/")
    stem, dot, ending = own.rpartition(".")
    if not stem:
        stem, dot, ending = own, "", ""
    for number in range(2, MOST_OF_A_NAME):
        yield f"{folder}{slash}{stem}-{number}{dot}{ending}"


def _sizes(folder: Path, within: str) -> Iterator[tuple[str, int]]:
    with os.scandir(folder) as entries:
        for entry in entries:
            if entry.is_dir(follow_symlinks=False):
                yield from _sizes(Path(entry.path), f"{within}{entry.name}/")
            elif entry.is_file(follow_symlinks=False):
                yield f"{within}{entry.name}", entry.stat(follow_symlinks=False).st_size
