"""The index: identities of files already hashed, and facts already computed, each under the key it depends on.

Nothing here is the truth: a deleted, damaged or unwritable index costs time, never a result. When the folder is
read-only the index lives in memory for the one run.
"""

import contextlib
import json
import sqlite3
from collections.abc import Iterator
from pathlib import Path
from typing import Any

SCHEMA_VERSION = 1
_SCHEMA = """
CREATE TABLE IF NOT EXISTS identity (
    name TEXT PRIMARY KEY, size INTEGER NOT NULL, mtime_ns INTEGER NOT NULL, id TEXT NOT NULL
);
CREATE TABLE IF NOT EXISTS facts (
    id TEXT NOT NULL, kind TEXT NOT NULL, version TEXT NOT NULL, value TEXT NOT NULL, PRIMARY KEY (id, kind)
);
"""


class Index:
    """One open index; use `with Index.open(folder) as index:`."""

    def __init__(self, connection: sqlite3.Connection, in_memory: bool) -> None:
        self._db = connection
        self._gathered: list[tuple[str, tuple[Any, ...]]] | None = None
        self.in_memory = in_memory
        """True when nothing will be remembered after this run."""

    @classmethod
    @contextlib.contextmanager
    def open(cls, folder: Path) -> Iterator["Index"]:
        """Open the index of a shoot folder, making it anew when it is missing or damaged."""
        index = cls._open(folder / ".plateside" / "index.sqlite")
        try:
            yield index
        finally:
            index._db.close()

    @classmethod
    def _open(cls, path: Path) -> "Index":
        for _attempt in range(2):
            try:
                path.parent.mkdir(parents=True, exist_ok=True)
                return cls(_connect(str(path)), in_memory=False)
            except sqlite3.DatabaseError as error:
                if isinstance(error, sqlite3.OperationalError) and "unable to open" in str(error):
                    break
                with contextlib.suppress(OSError):
                    path.unlink(missing_ok=True)
            except OSError:
                break
        return cls(_connect(":memory:"), in_memory=True)

    def identity(self, name: str, size: int, mtime_ns: int) -> str | None:
        """The content hash of a file that has not changed since it was last hashed, else None."""
        return self._read(
            "SELECT id FROM identity WHERE name = ? AND size = ? AND mtime_ns = ?", (name, size, mtime_ns)
        )

    def put_identity(self, name: str, size: int, mtime_ns: int, frame_id: str) -> None:
        """Remember a file's content hash."""
        self._write("INSERT OR REPLACE INTO identity VALUES (?, ?, ?, ?)", (name, size, mtime_ns, frame_id))

    def last(self, name: str) -> tuple[str, int] | None:
        """The content hash and size [bytes] that a file of this name had when it was last hashed."""
        try:
            row = self._db.execute("SELECT id, size FROM identity WHERE name = ?", (name,)).fetchone()
            return None if row is None else (str(row[0]), int(row[1]))
        except (sqlite3.DatabaseError, TypeError, ValueError):
            return None

    def forget_identity(self, name: str) -> None:
        """The file changed while it was read."""
        self._write("DELETE FROM identity WHERE name = ?", (name,))

    def facts(self, frame_id: str, kind: str = "facts", version: str = "1") -> dict[str, Any] | None:
        """Facts computed earlier, when they were computed by the same `version` of the code, else None."""
        text = self._read(
            "SELECT value FROM facts WHERE id = ? AND kind = ? AND version = ?", (frame_id, kind, version)
        )
        return None if text is None else dict(json.loads(text))

    def put_facts(
        self, frame_id: str, value: dict[str, Any], kind: str = "facts", version: str = "1"
    ) -> None:
        """Remember facts of a frame (anything `json` takes)."""
        text = json.dumps(value, ensure_ascii=False)
        self._write("INSERT OR REPLACE INTO facts VALUES (?, ?, ?, ?)", (frame_id, kind, version, text))

    def _read(self, statement: str, values: tuple[Any, ...]) -> str | None:
        try:
            row = self._db.execute(statement, values).fetchone()
        except sqlite3.DatabaseError:
            # damaged somewhere inside: what cannot be read is computed again
            return None
        return None if row is None else str(row[0])

    @contextlib.contextmanager
    def gathered(self) -> Iterator[None]:
        """What is put meanwhile is written at the end, in one go: thousands of files cost one write, not one each."""
        self._gathered = []
        try:
            yield
        finally:
            gathered, self._gathered = self._gathered, None
            with contextlib.suppress(sqlite3.DatabaseError), self._db:
                for statement, values in gathered:
                    self._db.execute(statement, values)

    def _write(self, statement: str, values: tuple[Any, ...]) -> None:
        if self._gathered is not None:
            self._gathered.append((statement, values))
            return
        try:
            with self._db:
                self._db.execute(statement, values)
        except sqlite3.DatabaseError:
            # a full or read-only disk, or damage: the next run computes it again
            return


def _connect(path: str) -> sqlite3.Connection:
    db = sqlite3.connect(path, timeout=10.0)
    try:
        db.execute("PRAGMA journal_mode = WAL")
        db.execute("PRAGMA synchronous = NORMAL")
        (version,) = db.execute("PRAGMA user_version").fetchone()
        if version not in (0, SCHEMA_VERSION):
            db.executescript("DROP TABLE IF EXISTS identity; DROP TABLE IF EXISTS facts;")
        db.executescript(_SCHEMA)
        db.execute(f"PRAGMA user_version = {SCHEMA_VERSION}")
    except BaseException:
        db.close()
        raise
    return db
