"""The index: identities of files already hashed, and facts already computed, each under the key it depends on.

Nothing here is the truth: a deleted, damaged or unwritable index costs time, never a result. A damaged one is made
anew, and noted; every row carries a check, since a flipped bit inside it is none that the database would find. When
the folder is read-only the index lives in memory for the one run.
"""

import contextlib
import json
import sqlite3
from collections.abc import Iterator
from pathlib import Path
from typing import Any

from plateside.files import damage
from plateside.files.cache import digest
from plateside.files.json_text import read_json
from plateside.words.files import KEPT_INDEX

SCHEMA_VERSION = 2
_SCHEMA = """
CREATE TABLE IF NOT EXISTS identity (
    name TEXT PRIMARY KEY, size INTEGER NOT NULL, mtime_ns INTEGER NOT NULL, id TEXT NOT NULL, mark TEXT NOT NULL
);
CREATE TABLE IF NOT EXISTS facts (
    id TEXT NOT NULL, kind TEXT NOT NULL, version TEXT NOT NULL, value TEXT NOT NULL, mark TEXT NOT NULL,
    PRIMARY KEY (id, kind)
);
"""
_NO_DAMAGE = frozenset(
    {
        sqlite3.SQLITE_BUSY, sqlite3.SQLITE_LOCKED, sqlite3.SQLITE_READONLY, sqlite3.SQLITE_FULL,
        sqlite3.SQLITE_IOERR, sqlite3.SQLITE_CANTOPEN, sqlite3.SQLITE_PERM, sqlite3.SQLITE_NOMEM,
    }
)  # fmt: skip
"""What the disk or another program refuses; the index itself is whole."""


class Index:
    """One open index; use `with Index.open(folder) as index:`."""

    def __init__(self, connection: sqlite3.Connection, path: Path | None) -> None:
        self._db = connection
        self._path = path
        self._renewed = False
        self._gathered: list[tuple[str, tuple[Any, ...]]] | None = None

    @property
    def in_memory(self) -> bool:
        """True when nothing will be remembered after this run."""
        return self._path is None

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
                return cls(_connect(str(path)), path)
            except sqlite3.DatabaseError as error:
                if not _is_damage(error) or not _taken_away(path):
                    break
            except OSError:
                break
        return cls(_connect(":memory:"), None)

    def identity(self, name: str, size: int, mtime_ns: int) -> str | None:
        """The content hash of a file that has not changed since it was last hashed, else None."""
        key = (name, size, mtime_ns)
        return self._read("SELECT id, mark FROM identity WHERE name = ? AND size = ? AND mtime_ns = ?", key)

    def put_identity(self, name: str, size: int, mtime_ns: int, frame_id: str) -> None:
        """Remember a file's content hash."""
        key = (name, size, mtime_ns)
        row = (*key, frame_id, _mark(key, frame_id))
        self._write("INSERT OR REPLACE INTO identity VALUES (?, ?, ?, ?, ?)", row)

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
        key = (frame_id, kind, version)
        text = self._read("SELECT value, mark FROM facts WHERE id = ? AND kind = ? AND version = ?", key)
        try:
            found = None if text is None else read_json(text)
        except ValueError:
            return None
        return found if isinstance(found, dict) else None

    def put_facts(
        self, frame_id: str, value: dict[str, Any], kind: str = "facts", version: str = "1"
    ) -> None:
        """Remember facts of a frame (anything `json` takes)."""
        key, text = (frame_id, kind, version), json.dumps(value, ensure_ascii=False)
        row = (*key, text, _mark(key, text))
        self._write("INSERT OR REPLACE INTO facts VALUES (?, ?, ?, ?, ?)", row)

    def _read(self, statement: str, key: tuple[Any, ...]) -> str | None:
        try:
            row = self._db.execute(statement, key).fetchone()
        except (sqlite3.DatabaseError, UnicodeError) as error:
            self._refused(error)
            return None
        if row is None:
            return None
        if not isinstance(row[0], str) or row[1] != _mark(key, row[0]):
            self._said()
            return None
        return str(row[0])

    @contextlib.contextmanager
    def gathered(self) -> Iterator[None]:
        """What is put meanwhile is written at the end, in one go: thousands of files cost one write, not one each."""
        self._gathered = []
        try:
            yield
        finally:
            gathered, self._gathered = self._gathered, None
            self._write_all(gathered)

    def _write(self, statement: str, values: tuple[Any, ...]) -> None:
        if self._gathered is not None:
            self._gathered.append((statement, values))
            return
        self._write_all([(statement, values)])

    def _write_all(self, rows: list[tuple[str, tuple[Any, ...]]]) -> None:
        try:
            with self._db:
                for statement, values in rows:
                    self._db.execute(statement, values)
        except (sqlite3.DatabaseError, UnicodeError) as error:
            # a full or read-only disk: the next run computes it again
            self._refused(error)

    def _refused(self, error: Exception) -> None:
        """After a refusal: a damaged index is made anew, once, so that what is computed now is remembered again."""
        if not isinstance(error, sqlite3.DatabaseError) or not _is_damage(error) or self._renewed:
            return
        self._renewed = True
        self._db.close()
        path = self._path
        fresh = self._open(path) if path is not None and _taken_away(path) else None
        self._db, self._path = (fresh._db, fresh._path) if fresh else (_connect(":memory:"), None)

    def _said(self) -> None:
        if self._path is not None:
            damage.note_rebuilt(self._path, KEPT_INDEX)


def _mark(key: tuple[Any, ...], value: str) -> str:
    return digest(json.dumps([*key, value]).encode())


def _is_damage(error: sqlite3.DatabaseError) -> bool:
    # extended codes hold the plain one in their low byte; an error of Python's own has none
    code = getattr(error, "sqlite_errorcode", None)
    return code is None or (code & 0xFF) not in _NO_DAMAGE


def _taken_away(path: Path) -> bool:
    damage.note_rebuilt(path, KEPT_INDEX)
    try:
        for each in (path, path.with_name(f"{path.name}-wal"), path.with_name(f"{path.name}-shm")):
            each.unlink(missing_ok=True)
    except OSError:
        return False
    return True


def _connect(path: str) -> sqlite3.Connection:
    db = sqlite3.connect(path, timeout=10.0)
    try:
        db.execute("PRAGMA journal_mode = WAL")
        db.execute("PRAGMA synchronous = NORMAL")
        (version,) = db.execute("PRAGMA user_version").fetchone()
        if version not in (0, SCHEMA_VERSION):
            db.executescript("DROP TABLE IF EXISTS identity; DROP TABLE IF EXISTS facts;")
        db.executescript(_SCHEMA)
        # tables of these names with other columns are none of ours
        db.execute("SELECT name, size, mtime_ns, id, mark FROM identity LIMIT 1").fetchone()
        db.execute("SELECT id, kind, version, value, mark FROM facts LIMIT 1").fetchone()
        db.execute(f"PRAGMA user_version = {SCHEMA_VERSION}")
    except BaseException:
        db.close()
        raise
    return db
