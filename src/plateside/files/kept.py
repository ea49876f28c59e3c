"""Answers that took seconds, kept in a shoot's cache by a key of all they depend on; may be deleted at any time."""

import shutil
from collections.abc import Callable
from pathlib import Path
from typing import Any

from plateside.files.sealed import read_sealed, read_sealed_json, write_sealed, write_sealed_json
from plateside.model.errors import CouldNotError

_WHAT = "An answer that was kept"


class Kept:
    """A folder of answers by key; one that cannot be read counts as not there."""

    def __init__(self, folder: Path, most: int = 200) -> None:
        self.folder, self._most = folder, most

    def path(self, key: str, ending: str = ".json") -> Path:
        """Where an answer lies."""
        return self.folder / f"{key}{ending}"

    def get(self, key: str) -> Any:
        """The answer, or None."""
        return read_sealed_json(self.path(key), _WHAT)

    def put(self, key: str, value: Any) -> None:
        """Keep an answer of JSON. A disk that refuses is passed over: the answer is made again next time."""
        self._keep(lambda: write_sealed_json(self.path(key), value))

    def get_bytes(self, key: str, ending: str) -> bytes | None:
        """Bytes kept under a key, or None."""
        return read_sealed(self.path(key, ending), _WHAT)

    def put_bytes(self, key: str, ending: str, data: bytes) -> None:
        """Keep bytes."""
        self._keep(lambda: write_sealed(self.path(key, ending), data))

    def make_room(self) -> None:
        """Let the oldest go when there are too many."""
        there = (
            sorted(self.folder.iterdir(), key=lambda p: p.lstat().st_mtime) if self.folder.is_dir() else []
        )
        for old in there[: max(0, len(there) - self._most)]:
            if old.is_dir():
                shutil.rmtree(old, ignore_errors=True)
            else:
                old.unlink(missing_ok=True)

    def _keep(self, write: Callable[[], None]) -> None:
        try:
            self.folder.mkdir(parents=True, exist_ok=True)
            write()
            self.make_room()
        except (CouldNotError, OSError):
            return
