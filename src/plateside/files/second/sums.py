"""Checksums of the originals, kept beside them so that a restart need not read every original again.

Of a file of this name, size and time; whoever changes a file and puts both back is not seen, as in the index. It may be
deleted at any time.
"""

import contextlib
import json
from pathlib import Path

from plateside.files.json_text import read_json_file
from plateside.files.originals.listing import ListedFile
from plateside.files.working import sweep_once, working_file


def put(path: Path, text: str) -> None:
    """Put a text in place in one step, not forced to the disk: what a power cut tears is made again, and a verdict
    that is written down meanwhile does not wait for the disk. Raises OSError."""
    path.parent.mkdir(parents=True, exist_ok=True)
    sweep_once(path.parent)
    with working_file(path.parent, path.suffix) as working:
        working.write_text(text, encoding="utf-8")
        working.replace(path)


class Sums:
    """What is known of the files of one frames folder, and what came from a memory card."""

    def __init__(self, root: Path) -> None:
        self._path = root / ".plateside" / "checksums.json"
        self._of: dict[str, tuple[str, str]] = {}
        self.from_card: dict[str, int] = {}
        """checksum -> bytes, of what was taken from a memory card: each is taken once"""
        self._changed = False
        with contextlib.suppress(OSError, ValueError, KeyError, TypeError, AttributeError):
            kept = read_json_file(self._path)
            self._of = {str(n): (str(stamp), str(s)) for n, (stamp, s) in kept["originals"].items()}
            self.from_card = {str(s): int(size) for s, size in kept["from_card"].items()}

    def of(self, one: ListedFile) -> str:
        """The checksum; empty when it is not known."""
        stamp, found = self._of.get(one.name, ("", ""))
        return found if stamp == one.stamp else ""

    def note(self, one: ListedFile, checksum: str) -> None:
        """A checksum was found."""
        self._of[one.name] = one.stamp, checksum
        self._changed = True

    def took(self, checksum: str, size: int) -> None:
        """It was taken from a memory card."""
        self._changed = True
        self.from_card[checksum] = size

    def save(self) -> None:
        """Keep them; a disk that refuses is passed over."""
        if self._changed:
            self._changed = False
            with contextlib.suppress(OSError):
                put(self._path, json.dumps({"originals": self._of, "from_card": self.from_card}) + "\n")
