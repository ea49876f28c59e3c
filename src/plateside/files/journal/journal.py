"""The journal on disk: journal.jsonl, one JSON object a line.

    {"n": 12, "at": "2027-07-15T11:42:07.120000+00:00", "kind": "kept", "data": {"frame": "9f2c..."}}

A row is on disk before it is answered, or it is not there at all. One writer at a time holds the lock beside the file;
any number may read. A torn last line (power cut, full disk) is set aside in a file of its own before the next row is
written, and told. A line that is damaged is passed over and told; every other row counts (rows.py).

Numbers only grow, so what is new is read from the file's end backwards: telling or adding a row late in a long shoot
costs no more than early in it. Only where numbers do not grow (a damaged or doubled file) the whole is read each time.
"""

import contextlib
import os
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from datetime import UTC, datetime
from pathlib import Path
from typing import Any

from filelock import FileLock, Timeout

from plateside.files import damage
from plateside.files.atomic import disk_faults_in_words, write_bytes
from plateside.files.journal.rows import Damaged, Found, Row, line_of, read_lines
from plateside.files.json_text import LARGEST_BYTES
from plateside.model.errors import CouldNotError, InputError
from plateside.words.files import unread
from plateside.words.journal import said

LOCK_PATIENCE_S = 10.0
_BLOCK_BYTES = 1 << 14
_UTF_16 = (b"\xff\xfe", b"\xfe\xff")
_MOST_LISTED = 5
"""Damaged lines that are told one by one."""

_known: dict[Path, tuple[int, bool]] = {}
"""Journals read whole by this process: the size they had, and whether their numbers grew throughout."""


@dataclass(frozen=True)
class Journal:
    """A journal file; make one with `Journal.open`."""

    path: Path
    _answered: dict[tuple[int, ...], int] = field(default_factory=dict, init=False, repr=False, compare=False)
    """The last row's number by what the file system said of the file when it was read: at most one."""

    @classmethod
    def open(cls, folder: Path) -> "Journal":
        """The journal of a shoot folder; the file is made by the first row."""
        return cls(folder / "journal.jsonl")

    def rows(self, after: int = 0) -> list[Row]:
        """All rows with a number above `after`. Damaged lines and a torn last one are passed over, and noted.

        Raises CouldNotError when the file cannot be read, InputError when it is none of text.
        """
        return [row for row, _line in self._found(after)]

    def lines(self, after: int = 0) -> list[tuple[int, bytes]]:
        """The same rows as they are written, each with its number: for who passes them on without reading them."""
        return [(row.number, line) for row, line in self._found(after)]

    def last_number(self) -> int:
        """The number of the last whole row; 0 when there is none yet. A file that has not changed is not read again."""
        stamp = self._stamp()
        if stamp in self._answered:
            return self._answered[stamp]
        last, torn, _size = self._last()
        self._answered.clear()
        # a torn line may be about to be whole, or to be told: it is looked at each time
        if stamp and last and not torn:
            self._answered[stamp] = last.number
        return last.number if last else 0

    def append(self, kind: str, **data: Any) -> Row:
        """Write one row and return it once it is on disk."""
        return self.append_many([(kind, data)])[0]

    def append_many(self, entries: Iterable[tuple[str, Mapping[str, Any]]]) -> list[Row]:
        """Write several rows in one go; all are on disk when this returns, and none when it raises.

        Raises CouldNotError when the disk refuses or another program holds the journal too long.
        """
        with disk_faults_in_words(self.path):
            self.path.parent.mkdir(parents=True, exist_ok=True)
            lock = self._lock(LOCK_PATIENCE_S)
            try:
                lock.acquire()
            except Timeout as error:
                raise CouldNotError(said("busy", name=self.path.name, seconds=LOCK_PATIENCE_S)) from error
            try:
                return self._append_locked(entries)
            finally:
                lock.release()

    def torn_line(self) -> str:
        """What stands after the last whole line: empty unless a write was cut short."""
        return _split(self._bytes())[1].decode("utf-8", "replace")

    def _lock(self, patience_s: float) -> FileLock:
        return FileLock(str(self.path) + ".lock", timeout=patience_s)

    def _append_locked(self, entries: Iterable[tuple[str, Mapping[str, Any]]]) -> list[Row]:
        last, torn, size = self._last()
        lacks_its_end = bool(torn) and bool(read_lines([torn]).rows)
        if torn and not lacks_its_end:
            self._set_aside(torn, size)
            size -= len(torn)
        number = last.number if last else 0
        rows = []
        for kind, data in entries:
            number += 1
            rows.append(Row(number, datetime.now(UTC), kind, dict(data)))
        text = (b"\n" if lacks_its_end else b"") + b"".join(line_of(row) for row in rows)
        _write_at_end(self.path, text, size)
        return rows

    def _found(self, after: int) -> list[tuple[Row, bytes]]:
        """Rows above `after` with their lines: from the end backwards where numbers grow, else from the whole file."""
        if after > 0 and self._grows():
            for lines, _torn, whole_file in self._from_the_end():
                if whole_file:
                    break
                found = read_lines(lines)
                if found.rows and found.grows and found.rows[0][0].number <= after:
                    return [(row, line) for row, line in found.rows if row.number > after]
        return [(row, line) for row, line in self._whole() if row.number > after]

    def _whole(self) -> list[tuple[Row, bytes]]:
        data = self._bytes()
        if data.startswith(_UTF_16):
            raise InputError(said("utf-16", name=self.path.name))
        lines, torn = _split(data)
        found = read_lines([*lines, torn] if torn else lines)
        if torn and found.damaged and found.damaged[-1].line == len(lines) + 1:
            found.damaged.pop()
            self._note_torn(torn)
        _known[self.path] = (len(data), found.grows)
        self._note(found)
        if found.grows:
            return found.rows
        return [(row, line_of(row).rstrip(b"\n")) for row, _line in found.rows]

    def _grows(self) -> bool:
        size, grows = _known.get(self.path, (0, True))
        if self.path not in _known or self._size() < size:
            self._whole()
            size, grows = _known[self.path]
        return grows

    def _last(self) -> tuple[Row | None, bytes, int]:
        """The last whole row, what is torn after the last line, and the file's size [bytes]."""
        if self._grows():
            for lines, torn, whole_file in self._from_the_end():
                found = read_lines([*lines[-1:], torn] if torn else lines[-1:])
                if found.rows and not whole_file:
                    return found.rows[-1][0], torn, self._size()
        rows = self._whole()
        return (rows[-1][0] if rows else None), _split(self._bytes())[1], self._size()

    def _from_the_end(self) -> Iterator[tuple[list[bytes], bytes, bool]]:
        """Growing ends of the file: its whole lines, what is torn after them, whether this is the whole file."""
        if not self._size():
            return
        with self._readable(), self.path.open("rb") as file:
            size = file.seek(0, os.SEEK_END)
            length = _BLOCK_BYTES
            while True:
                start = max(size - length, 0)
                file.seek(start)
                lines, torn = _split(file.read(size - start))
                # the block begins inside a line, unless it begins with the file
                yield (lines if start == 0 else lines[1:]), torn, start == 0
                if start == 0:
                    return
                length *= 4

    def _stamp(self) -> tuple[int, ...]:
        """What tells one state of the file from another, or nothing where there is none; who reads it says why."""
        try:
            told = self.path.stat()
        except OSError:
            return ()
        return told.st_size, told.st_mtime_ns, told.st_ctime_ns, told.st_ino

    def _size(self) -> int:
        with self._readable():
            return self.path.stat().st_size if self.path.exists() else 0

    def _bytes(self) -> bytes:
        with self._readable():
            if not self.path.exists():
                return b""
            size = self.path.stat().st_size
            if not self.path.is_file() or size > LARGEST_BYTES:
                code = "too large" if self.path.is_file() else "not a file"
                raise InputError(said(code, name=self.path.name, megabytes=round(size / 1e6)))
            return self.path.read_bytes()

    @contextlib.contextmanager
    def _readable(self) -> Iterator[None]:
        try:
            yield
        except OSError as error:
            raise CouldNotError(unread(self.path, error.strerror or str(error))) from error

    def _set_aside(self, torn: bytes, size: int) -> None:
        name, number = f"journal-torn-{datetime.now(UTC):%Y%m%dT%H%M%S}", 1
        aside = self.path.with_name(f"{name}.txt")
        while aside.exists():
            number += 1
            aside = self.path.with_name(f"{name}-{number}.txt")
        write_bytes(aside, torn)
        os.truncate(self.path, size - len(torn))
        damage.note(self._torn_key, said("torn, kept", name=self.path.name, aside=aside.name))

    @property
    def _torn_key(self) -> str:
        return f"{self.path}: torn"

    def _note_torn(self, torn: bytes) -> None:
        """Say that the last line is torn, unless somebody is writing it this very moment."""
        lock = self._lock(0)
        with contextlib.suppress(OSError):  # a folder that cannot be written has no writer
            try:
                lock.acquire()
            except Timeout:
                return
        try:
            if self._bytes().endswith(torn):
                damage.note(self._torn_key, said("torn", name=self.path.name))
        finally:
            lock.release()

    def _note(self, found: Found) -> None:
        name = self.path.name
        if found.damaged:
            damage.note(self.path, said("damaged", name=name, places=_places(found.damaged)))
        elif found.unknown:
            damage.note(self.path, said("unknown", name=name, places=_places(found.unknown)))
        elif not found.grows:
            damage.note(self.path, said("misnumbered", name=name))
        else:
            damage.clear(self.path)


def _places(damaged: Sequence[Damaged]) -> str:
    listed = [f"line {one.line} ({one.why[:120]})" for one in damaged[:_MOST_LISTED]]
    more = len(damaged) - len(listed)
    return ", ".join(listed) + (f" and {more} more" if more else "")


def _split(data: bytes) -> tuple[list[bytes], bytes]:
    """Whole lines, and what comes after the last line end. A carriage return ends a line too: no row holds one."""
    if b"\r" in data:
        data = data.replace(b"\r\n", b"\n").replace(b"\r", b"\n")
    *whole, torn = data.split(b"\n")
    return whole, torn


def _write_at_end(path: Path, text: bytes, size: int) -> None:
    """All of `text` after the first `size` bytes, forced to the disk; when that fails the file is as it was."""
    # without a buffer: what a full disk refuses must not be tried once more when the file is shut
    with path.open("ab", buffering=0) as file:
        try:
            left = memoryview(text)
            while left:
                left = left[file.write(left) or 0 :]
            os.fsync(file.fileno())
        except BaseException:
            # half a row must not stay behind as if it had been answered
            os.ftruncate(file.fileno(), size)
            raise
