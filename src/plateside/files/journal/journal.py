"""The journal on disk: journal.jsonl, one JSON object a line.

    {"n": 12, "at": "2027-07-15T11:42:07.120000+00:00", "kind": "kept", "data": {"frame": "9f2c..."}}

A row is on disk before it is answered. One writer at a time holds the lock beside the file; any number may read.
A torn last line (power cut, full disk) is set aside in a file of its own before the next row is written, and told.

Numbers only grow, so what is new is read from the file's end backwards: telling or adding a row late in a long shoot
costs no more than early in it, and nothing is remembered between reads that the file could belie.
"""

import json
import os
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from datetime import UTC, datetime
from pathlib import Path
from typing import Any

from filelock import FileLock, Timeout

from plateside.files.atomic import disk_faults_told
from plateside.model.errors import CouldNotError, InputError

LOCK_PATIENCE_S = 10.0
_BLOCK_BYTES = 1 << 14
_BEGIN = b'{"n": '


@dataclass(frozen=True)
class Row:
    """One line of the journal."""

    number: int
    at: datetime
    kind: str
    data: Mapping[str, Any]


@dataclass(frozen=True)
class Journal:
    """A journal file; make one with `Journal.open`."""

    path: Path

    @classmethod
    def open(cls, folder: Path) -> "Journal":
        """The journal of a shoot folder; the file is made by the first row."""
        return cls(folder / "journal.jsonl")

    def rows(self, after: int = 0) -> list[Row]:
        """All rows with a number above `after`. A torn last line is passed over.

        Raises InputError when a line before the last cannot be read.
        """
        if after <= 0:
            lines, place = self._split()[0], 1
        else:
            lines, place = self._tail(after), 0
        rows = _parse_all(lines) or [self._parse(line, place and place + n) for n, line in enumerate(lines)]
        return [row for row in rows if row.number > after]

    def lines(self, after: int = 0) -> list[tuple[int, bytes]]:
        """The same rows as they are written, each with its number: for who passes them on without reading them."""
        found = self._split()[0] if after <= 0 else self._tail(after)
        numbered = [(self._number(line), line) for line in found]
        return [(number, line) for number, line in numbered if number > after]

    def _number(self, line: bytes) -> int:
        begin, comma = line[: len(_BEGIN)], line.find(b",")
        told = line[len(_BEGIN) : comma]
        return int(told) if begin == _BEGIN and told.isdigit() else self._parse(line, 0).number

    def last_number(self) -> int:
        """The number of the last whole row; 0 when there is none yet."""
        last, _torn, _size = self._last_line()
        return self._parse(last, 0).number if last else 0

    def append(self, kind: str, **data: Any) -> Row:
        """Write one row and return it once it is on disk."""
        return self.append_many([(kind, data)])[0]

    def append_many(self, entries: Iterable[tuple[str, Mapping[str, Any]]]) -> list[Row]:
        """Write several rows in one go; all are on disk when this returns.

        Raises CouldNotError when the disk refuses or another program holds the journal too long.
        """
        lock = FileLock(str(self.path) + ".lock", timeout=LOCK_PATIENCE_S)
        with disk_faults_told(self.path):
            self.path.parent.mkdir(parents=True, exist_ok=True)
            try:
                lock.acquire()
            except Timeout as error:
                raise CouldNotError(
                    f"Another Plateside has been writing {self.path.name} for {LOCK_PATIENCE_S:.0f} s. "
                    "Close it, then do this again."
                ) from error
            try:
                return self._append_locked(entries)
            finally:
                lock.release()

    def _append_locked(self, entries: Iterable[tuple[str, Mapping[str, Any]]]) -> list[Row]:
        last, torn, size = self._last_line()
        if torn:
            self._set_aside(torn)
        number = self._parse(last, 0).number if last else 0
        rows = []
        for kind, data in entries:
            number += 1
            rows.append(Row(number, datetime.now(UTC), kind, dict(data)))
        text = b"".join(_line(row) for row in rows)
        before = size - len(torn)
        with self.path.open("ab") as file:
            try:
                file.write(text)
                file.flush()
                os.fsync(file.fileno())
            except OSError:
                # half a row must not stay behind as if it had been answered
                file.truncate(before)
                raise
        return rows

    def _split(self) -> tuple[list[bytes], bytes]:
        """Whole lines, and what comes after the last line end."""
        if not self.path.exists():
            return [], b""
        *whole, torn = self.path.read_bytes().split(b"\n")
        return whole, torn

    def _tail(self, after: int) -> list[bytes]:
        """The last whole lines, back to one whose number is `after` or less (or to the first)."""
        for lines, _torn, whole_file in self._from_the_end():
            if whole_file or (lines and self._parse(lines[0], 0).number <= after):
                return lines
        return []

    def _last_line(self) -> tuple[bytes, bytes, int]:
        """The last whole line, what is torn after it, and the file's size [bytes]."""
        for lines, torn, whole_file in self._from_the_end():
            if lines or whole_file:
                return (lines[-1] if lines else b""), torn, self.path.stat().st_size
        return b"", b"", 0

    def _from_the_end(self) -> Iterator[tuple[list[bytes], bytes, bool]]:
        """Growing ends of the file: its whole lines, what is torn after them, whether this is the whole file."""
        if not self.path.exists():
            return
        with self.path.open("rb") as file:
            size = file.seek(0, os.SEEK_END)
            length = _BLOCK_BYTES
            while True:
                start = max(size - length, 0)
                file.seek(start)
                *lines, torn = file.read(size - start).split(b"\n")
                # the block begins inside a line, unless it begins with the file
                yield (lines if start == 0 else lines[1:]), torn, start == 0
                if start == 0:
                    return
                length *= 4

    def _set_aside(self, torn: bytes) -> None:
        aside = self.path.with_name(f"journal-torn-{datetime.now(UTC):%Y%m%dT%H%M%S}.txt")
        aside.write_bytes(torn)
        with self.path.open("rb+") as file:
            file.truncate(self.path.stat().st_size - len(torn))

    def _parse(self, line: bytes, place: int) -> Row:
        """One row. `place` is the line's number in the file, 0 when it is not known: it is looked for to be told."""
        try:
            return _row(json.loads(line))
        except (ValueError, KeyError, TypeError) as error:
            whole = [] if place else self._split()[0]
            place = whole.index(line) + 1 if line in whole else place
            raise InputError(
                f"{self.path.name}, line {place}, cannot be read: {line[:60].decode('utf-8', 'replace')!r}. "
                "Take that line out with a text editor (keep a copy); the other lines are whole."
            ) from error

    def torn_line(self) -> str:
        """What stands after the last whole line: empty unless a write was cut short."""
        return self._split()[1].decode("utf-8", "replace")


def _row(got: Mapping[str, Any]) -> Row:
    return Row(int(got["n"]), datetime.fromisoformat(got["at"]), str(got["kind"]), dict(got["data"]))


def _parse_all(lines: list[bytes]) -> list[Row]:
    """All rows decoded in one go, several times quicker; nothing when a line is damaged, which is then looked for."""
    try:
        got = json.loads(b"[" + b",".join(lines) + b"]")
        return [_row(one) for one in got] if len(got) == len(lines) else []
    except (ValueError, KeyError, TypeError):
        return []


def _line(row: Row) -> bytes:
    value = {"n": row.number, "at": row.at.isoformat(), "kind": row.kind, "data": row.data}
    return json.dumps(value, ensure_ascii=False, separators=(", ", ": ")).encode("utf-8") + b"\n"
