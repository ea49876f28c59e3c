"""What was made from what: so that a second run makes again only what changed, and an interrupted one goes on.

A small JSON file under .plateside/; it may be deleted at any time, then everything is made again.
"""

import hashlib
import json
from pathlib import Path
from typing import Any

from plateside.files.sealed import read_sealed_json, write_sealed_json
from plateside.model.errors import CouldNotError


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
        raise CouldNotError(f"{path} could not be read: {error.strerror or error}.") from error


class Made:
    """The record of one kind of made things: name -> key, and what is worth keeping with it."""

    def __init__(self, path: Path) -> None:
        self._path = path
        self._entries: dict[str, dict[str, Any]] = {}
        # a damaged record only costs the time to make things again
        loaded = read_sealed_json(path, "The record of what was made")
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
