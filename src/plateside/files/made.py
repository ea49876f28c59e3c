"""What was made from what: so that a second run makes again only what changed, and an interrupted one goes on.

A small JSON file under .plateside/; it may be deleted at any time, then everything is made again.
"""

import hashlib
import json
import sys
import time
from pathlib import Path
from stat import S_ISREG
from typing import Any

from plateside.files.sealed import read_sealed_json, write_sealed_json
from plateside.model.errors import CouldNotError
from plateside.words.files import KEPT_RECORD, unread


def key_of(*parts: Any) -> str:
    """A short key for everything that a made thing depends on."""
    text = json.dumps(parts, sort_keys=True, ensure_ascii=False, default=str)
    return hashlib.blake2b(text.encode(), digest_size=16).hexdigest()


def sha256_of(data: bytes) -> str:
    """SHA-256 (FIPS 180-4) of bytes, hex."""
    return hashlib.sha256(data).hexdigest()


def sha256_of_file(path: Path) -> str:
    """SHA-256 of a file's content, hex. Raises CouldNotError when it cannot be read."""
    try:
        with path.open("rb") as file:
            return hashlib.file_digest(file, "sha256").hexdigest()
    except OSError as error:
        raise CouldNotError(unread(path, error.strerror or str(error))) from error


_hashes: dict[Path, tuple[tuple[int, ...], str]] = {}
_SETTLED_NS = 2_000_000_000
"""A file touched less than this ago may change again within the same tick of the disk's clock."""


def hash_now(path: Path) -> str:
    """SHA-256 of a file's content as it is now, hex; empty when there is no such file.

    Read again only when the file is another one or was written to: nobody can set back the time of the last change of
    its entry (ctime), as one can the time of its content. Raises CouldNotError when it cannot be read.
    """
    try:
        stat = path.stat()
    except OSError:
        return ""
    if not S_ISREG(stat.st_mode):
        return ""
    seen = (stat.st_dev, stat.st_ino, stat.st_size, stat.st_mtime_ns, stat.st_ctime_ns)
    known = _hashes.get(path)
    if known is not None and known[0] == seen:
        return known[1]
    found = sha256_of_file(path)
    if sys.platform != "win32" and time.time_ns() - stat.st_ctime_ns > _SETTLED_NS:
        _hashes[path] = seen, found
    return found


class Made:
    """The record of one kind of made things: name -> key, and what is worth keeping with it."""

    def __init__(self, path: Path) -> None:
        self._path = path
        self._entries: dict[str, dict[str, Any]] = {}
        # a damaged record only costs the time to make things again
        loaded = read_sealed_json(path, KEPT_RECORD)
        if isinstance(loaded, dict):
            self._entries = {str(k): v for k, v in loaded.items() if isinstance(v, dict) and "key" in v}

    def get(self, name: str, key: str) -> dict[str, Any] | None:
        """What was kept for `name`, when it was made from the same `key`."""
        entry = self._entries.get(name)
        return entry if entry is not None and entry["key"] == key else None

    def entry(self, name: str) -> dict[str, Any] | None:
        """What was last kept for `name`, whatever its key was."""
        return self._entries.get(name)

    def last(self, name: str, field: str) -> str:
        """What was last kept for `name`, whatever its key was; empty when nothing was."""
        return str(self._entries.get(name, {}).get(field, ""))

    def __contains__(self, name: object) -> bool:
        return name in self._entries

    def put(self, name: str, key: str, **kept: Any) -> None:
        """Note that `name` is made; on disk before this returns."""
        self._entries[name] = {"key": key, **kept}
        self._save()

    def names(self) -> list[str]:
        """Everything noted."""
        return list(self._entries)

    def forget(self, name: str) -> None:
        """Drop a note."""
        if self._entries.pop(name, None) is not None:
            self._save()

    def _save(self) -> None:
        write_sealed_json(self._path, self._entries)
