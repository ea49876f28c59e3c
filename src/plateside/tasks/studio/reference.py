"""Reference: what every line of studio.toml and shoot.toml means, printed wherever the program is installed."""

import difflib
import textwrap
from dataclasses import dataclass

from plateside.files.folder import SHOOT_FILE, STUDIO_FILE
from plateside.files.settings.reference import Table, tables_of
from plateside.model.errors import InputError
from plateside.model.shoot import Shoot
from plateside.model.studio import Studio
from plateside.words.allowed import key_words
from plateside.words.studio import nothing_called

_WIDE = 100
"""Characters in a line."""


@dataclass(frozen=True)
class FileFields:
    """One file's tables."""

    file: str
    tables: tuple[Table, ...]


@dataclass(frozen=True)
class FieldsReport:
    """Every table and key that was asked for."""

    files: tuple[FileFields, ...]

    def lines(self) -> list[str]:
        """The key, what it means, what is allowed, what holds when it is left out, and a line to copy."""
        found: list[str] = []
        for one in self.files:
            for table in one.tables:
                found += ["", f"{one.file}  {table.head}".rstrip(), f"  {table.meaning}"]
                for key in table.keys:
                    facts = key_words(key.meaning, key.allowed, key.left_out)
                    found += ["", f"  {_plain(key.example)}"]
                    found += textwrap.wrap(
                        _plain(facts), _WIDE, initial_indent="      ", subsequent_indent="      "
                    )
        return found[1:]


def fields(name: str = "") -> FieldsReport:
    """The fields of both files; with `name`, of the file, the table or the key of that name.

    Raises InputError when nothing is called so.
    """
    files = tuple(FileFields(f, tables_of(root)) for f, root in ((STUDIO_FILE, Studio), (SHOOT_FILE, Shoot)))
    if not name:
        return FieldsReport(files)
    wanted = name.strip("[] ")
    found = []
    for one in files:
        tables = [t for table in one.tables if (t := _named(table, wanted, one.file)) is not None]
        if tables:
            found.append(FileFields(one.file, tuple(tables)))
    if not found:
        known = {t.head.strip("[]") for f in files for t in f.tables} | {
            k.name for f in files for t in f.tables for k in t.keys
        }
        near = difflib.get_close_matches(wanted, sorted(known - {""}), n=3)
        raise InputError(nothing_called(name, near))
    return FieldsReport(tuple(found))


def _named(table: Table, wanted: str, file: str) -> Table | None:
    if wanted in (file, file.removesuffix(".toml"), table.head.strip("[]")):
        return table
    keys = tuple(k for k in table.keys if k.name == wanted)
    return Table(table.head, table.meaning, keys) if keys else None


def _plain(text: str) -> str:
    return text.replace("`", "").replace("*", "")
