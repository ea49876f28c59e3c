"""A shoot's cache: what took time, kept by a key of all it depends on; may be deleted at any time.

`Cache`      a folder of it; the oldest go when there are too many
`oldest_go`  that rule alone, for who keeps several files under one key
"""

import shutil
from collections.abc import Callable
from pathlib import Path
from typing import Any

from plateside.files.sealed import read_sealed, read_sealed_json, write_sealed, write_sealed_json
from plateside.model.errors import CouldNotError
from plateside.words.files import KEPT_ANSWER


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
