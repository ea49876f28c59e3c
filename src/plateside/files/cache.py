"""A shoot's cache: what took time, kept by a key of all it depends on; may be deleted at any time.

`Cache`         a folder of it; the oldest go when there are too many
`oldest_go`     that rule alone, for who keeps several files under one key
`BuildRecord`   what was made from what: a second run makes again only what changed, an interrupted one goes on
`write_sealed`  content with a seal, `read_sealed` back

Every file has a seal, so that a single flipped bit is found before anybody leans on it: one line after the content,
where readers of pictures have stopped. What is damaged is noted and counts as not there: it is made again.
"""

import hashlib
import json
import shutil
from collections.abc import Callable
from pathlib import Path
from typing import Any

from plateside.files import damage
from plateside.files.atomic import write_bytes
from plateside.files.json_text import read_json, whole_bytes
from plateside.model.errors import CouldNotError
from plateside.words.files import KEPT_ANSWER, KEPT_COPY, KEPT_RECORD

_MARK = b"\n#sealed "
_HEX = 32
_LENGTH = len(_MARK) + _HEX + 1


def key_of(*parts: Any) -> str:
    """A short key for everything that a made thing depends on."""
    text = json.dumps(parts, sort_keys=True, ensure_ascii=False, default=str)
    return hashlib.blake2b(text.encode(), digest_size=16).hexdigest()


def sealed(data: bytes) -> bytes:
    """The content with its seal."""
    return data + _MARK + digest(data).encode() + b"\n"


def unsealed(data: bytes) -> bytes | None:
    """The content without its seal; None when the seal is not there or does not fit."""
    content, seal = data[:-_LENGTH], data[-_LENGTH:]
    return content if len(data) >= _LENGTH and seal == sealed(content)[-_LENGTH:] else None


def digest(data: bytes) -> str:
    """32 hexadecimal digits (BLAKE2b, RFC 7693) that change with any bit."""
    return hashlib.blake2b(data, digest_size=_HEX // 2).hexdigest()


def write_sealed(path: Path, data: bytes) -> None:
    """Write content with its seal, whole or not at all. Raises CouldNotError with the mend."""
    write_bytes(path, sealed(data))


def read_sealed(path: Path, what: str) -> bytes | None:
    """The content; None when it is not there. A damaged file is noted (as `what`), and None as well."""
    try:
        content = unsealed(whole_bytes(path))
    except FileNotFoundError:
        return None
    except (OSError, ValueError):
        content = None
    if content is None:
        damage.note_rebuilt(path, what)
    return content


def write_sealed_json(path: Path, value: Any) -> None:
    """Write a value as sealed JSON. Raises CouldNotError; ValueError for what JSON has no word for."""
    write_sealed(path, json.dumps(value, ensure_ascii=False, allow_nan=False, separators=(",", ":")).encode())


def read_sealed_json(path: Path, what: str) -> Any:
    """The value; None when the file is not there, or damaged (which is noted)."""
    content = read_sealed(path, what)
    if content is None:
        return None
    try:
        return read_json(content)
    except ValueError:  # sealed by hand
        damage.note_rebuilt(path, what)
        return None


def picture_or_none(path: Path) -> bytes | None:
    """A kept JPEG's bytes; None when it is not there, or damaged: then it is noted and taken away to be made again."""
    try:
        data = whole_bytes(path)
    except FileNotFoundError:
        return None
    except (OSError, ValueError):
        data = b""
    content = unsealed(data)
    if (
        content is None
        and _MARK not in data[-_LENGTH:]
        and data[:2] == b"\xff\xd8"
        and data[-2:] == b"\xff\xd9"
    ):
        content = data  # put there by somebody else
    if content is None:
        damage.note_rebuilt(path, KEPT_COPY)
        try:
            path.unlink()
        except OSError:
            return None
    return content


class Cache:
    """A folder of answers by key; one that cannot be read counts as not there.

    what  how one of them is called, when it is found damaged
    """

    def __init__(self, folder: Path, most: int = 200, what: str = KEPT_ANSWER) -> None:
        self.folder, self._most, self._what = folder, most, what

    def path(self, key: str, ending: str = ".json") -> Path:
        """Where an answer lies."""
        return self.folder / f"{key}{ending}"

    def get(self, key: str) -> Any:
        """The answer, or None."""
        return read_sealed_json(self.path(key), self._what)

    def put(self, key: str, value: Any) -> None:
        """Keep an answer of JSON. A disk that refuses is passed over: the answer is made again next time."""
        self._keep(lambda: write_sealed_json(self.path(key), value))

    def get_bytes(self, key: str, ending: str) -> bytes | None:
        """Bytes kept under a key, or None."""
        return read_sealed(self.path(key, ending), self._what)

    def put_bytes(self, key: str, ending: str, data: bytes) -> None:
        """Keep bytes."""
        self._keep(lambda: write_sealed(self.path(key, ending), data))

    def make_room(self) -> None:
        """Let the oldest go when there are too many."""
        oldest_go(self.folder, self._most)

    def _keep(self, write: Callable[[], None]) -> None:
        try:
            self.folder.mkdir(parents=True, exist_ok=True)
            write()
            self.make_room()
        except (CouldNotError, OSError):
            return


def oldest_go(folder: Path, most: int, ending: str = "", beside: tuple[str, ...] = ()) -> None:
    """Take the oldest files and folders away until `most` are left.

    ending  only names that end so count; empty: all
    beside  endings of what lies beside each of these and goes with it
    """
    if not folder.is_dir():
        return
    there = sorted((p for p in folder.iterdir() if p.name.endswith(ending)), key=lambda p: p.lstat().st_mtime)
    for old in there[: max(0, len(there) - most)]:
        if old.is_dir():
            shutil.rmtree(old, ignore_errors=True)
            continue
        for path in (old, *(old.with_suffix(other) for other in beside)):
            path.unlink(missing_ok=True)


class BuildRecord:
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

    def put(self, name: str, key: str, **values: Any) -> None:
        """Note that `name` is made; on disk before this returns."""
        self._entries[name] = {"key": key, **values}
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
