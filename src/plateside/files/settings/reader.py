"""From TOML to the dataclasses of the model, gathering every mistake on the way instead of stopping at the first."""

import re
from dataclasses import dataclass, field, replace
from typing import Any, Generic, TypeVar

from plateside.files.settings.grammar import Entry, entries, every_table, header
from plateside.files.settings.guesses import from_other_unit, nearest_key
from plateside.files.settings.lines import example_line, pair_line, stand_in
from plateside.files.settings.mistakes import Mistake
from plateside.files.settings.positions import Positions, Where, find_positions
from plateside.files.settings.syntax import parse_toml
from plateside.files.settings.values import converted, shown

FORMAT = 1
"""The format of both files that this version reads and writes."""

T = TypeVar("T")


@dataclass
class ReadFile(Generic[T]):
    """What was read. `value` is whole even when there are mistakes: doubtful fields hold a stand-in."""

    file: str
    cls: type[T]
    value: T
    positions: Positions
    mistakes: list[Mistake] = field(default_factory=list)
    doubtful: set[Where] = field(default_factory=set)
    """Paths of fields that hold a stand-in; later checks pass over what rests on them."""
    slips: tuple[Mistake, ...] = ()
    """Slips of the pen that were mended in memory; not yet among the mistakes."""
    other_format: bool = False
    """True when the file is of a newer format: its contents were not judged."""

    def complain(self, where: Where, said: str, paste: str = "", *, rests_on: tuple[Where, ...] = ()) -> None:
        """Add a mistake at a path, unless it rests on a field that is itself in doubt."""
        if any(self.is_doubtful(w) for w in (where, *rests_on)):
            return
        line = self.positions.line(where)
        self.mistakes.append(Mistake(self.file, line, self.table_words(where), said, paste, where))

    def settle(self) -> None:
        """Join slips and mistakes: a line that has both is told of once, by the telling that mends both."""
        table_name = {m.line for m in self.mistakes}
        bare = {m.line for m in self.slips}
        self.mistakes = [
            *(m for m in self.slips if m.line not in table_name),
            *(_unquoted(m) if m.line in bare else m for m in self.mistakes),
        ]
        self.slips = ()

    def is_doubtful(self, where: Where) -> bool:
        return any(where[:n] in self.doubtful for n in range(1, len(where) + 1))

    def table_words(self, where: Where) -> str:
        """The table around a key as it is headed, with the item's name or number."""
        return _table_name(self.value, self.cls, where)


def read(text: str, file: str, cls: type[T]) -> ReadFile[T]:
    """Read a whole settings text into `cls` (Studio or Shoot)."""
    parsed = parse_toml(text, file)
    reader = _Reader(file, cls, find_positions(parsed.text), parsed.spoiled)
    data = dict(parsed.data)
    if not reader.check_format(data):
        data = {}
        reader.quiet = True
    value: T = reader.table(cls, data, (), "")
    return ReadFile(
        file,
        cls,
        value,
        reader.positions,
        list(reader.mistakes),
        reader.doubtful,
        slips=parsed.mistakes,
        other_format=reader.quiet,
    )


def read_item(raw: dict[str, Any], cls: type, file: str, path: Where) -> tuple[Any, list[Mistake]]:
    """One table's plain values into its dataclass, by the same checks as a file's, and what is wrong with them.

    path  where the table will stand, as ("windows", 2): mistakes say it
    """
    reader = _Reader(file, cls, Positions(), frozenset())
    names = tuple(part for part in path if isinstance(part, str))
    head = header(names, isinstance(path[-1], int))
    number = path[-1] if isinstance(path[-1], int) else 0
    table_name = _item_name(head, raw.get("name"), number) if isinstance(path[-1], int) else head
    return reader.table(cls, raw, path, table_name), reader.mistakes


def _unquoted(mistake: Mistake) -> Mistake:
    """A value that stood without quotes is shown as it stood."""
    return replace(mistake, said=re.sub(r' is "([^"]*)"; allowed', r" is \1; allowed", mistake.said))


class _Reader:
    def __init__(self, file: str, root: type, positions: Positions, spoiled: frozenset[str]) -> None:
        self.file = file
        self.root = root
        self.positions = positions
        self.spoiled = spoiled
        self.mistakes: list[Mistake] = []
        self.doubtful: set[Where] = set()
        self.quiet = False
        """True when the file is of another format: its contents are not judged."""

    def complain(self, where: Where, table: str, said: str, paste: str = "", line: int | None = None) -> None:
        self.doubtful.add(where)
        if not self.quiet:
            line = line if line is not None else self.positions.line(where)
            self.mistakes.append(Mistake(self.file, line, table, said, paste, where))

    def check_format(self, data: dict[str, Any]) -> bool:
        """Take the format number out of `data`; False when the file is not of a format we can judge."""
        if "format" not in data:
            if "format" not in self.spoiled:
                said = (
                    "the format number is missing. It is the first line of the file, above the first [table]."
                )
                self.mistakes.append(Mistake(self.file, 1, "", said, f"format = {FORMAT}"))
            return True
        number = data.pop("format")
        line = self.positions.line(("format",))
        if isinstance(number, bool) or not isinstance(number, int) or number < 1:
            said = f"format is {shown(number)}; allowed: {FORMAT}, a whole number without quotes."
            self.mistakes.append(Mistake(self.file, line, "", said, f"format = {FORMAT}"))
            return True
        if number > FORMAT:
            said = (
                f"format is {shown(number)}, and this version of Plateside reads format {FORMAT}: the file was written "
                "by a newer one. Update Plateside: pip install --upgrade plateside"
            )
            self.mistakes.append(Mistake(self.file, line, "", said))
            return False
        return True

    def table(self, cls: type, raw: dict[str, Any], where: Where, table_name: str) -> Any:
        """One table into its dataclass."""
        known = entries(cls)
        raw = dict(raw)
        values: dict[str, Any] = {}
        for key in [k for k in raw if k not in known]:
            self._unknown(cls, key, raw, where, table_name)
        for entry in known.values():
            here = (*where, entry.name)
            if entry.table is not None:
                values[entry.name] = self._tables(entry, raw, here)
            elif here in self.doubtful:
                values[entry.name] = self._usual(entry)
            elif entry.name in raw:
                values[entry.name] = self._value(entry, raw[entry.name], here, table_name)
            elif entry.required:
                values[entry.name] = self._missing(entry, here, table_name)
        return cls(**values)

    def _usual(self, entry: Entry) -> Any:
        return stand_in(entry) if entry.required else entry.default

    def _missing(self, entry: Entry, here: Where, table_name: str) -> Any:
        if entry.name in self.spoiled:
            self.doubtful.add(here)  # it is there, and already told of
        else:
            self.complain(here, table_name, f"{entry.name} is missing: {entry.doc}.", example_line(entry))
        return stand_in(entry)

    def _unknown(self, cls: type, key: str, raw: dict[str, Any], where: Where, table_name: str) -> None:
        """Tell of a key or table that is not in the model; when it is like one that is, read it as that one."""
        known = entries(cls)
        value, here = raw[key], (*where, key)
        table = isinstance(value, dict) or (
            isinstance(value, list) and bool(value) and all(isinstance(v, dict) for v in value)
        )
        thing = f"unknown {'table' if table else 'key'} {key!r}" + (
            "" if table_name else " at the top of the file"
        )
        near = nearest_key(key, [k for k, e in known.items() if e.is_table == table])
        if near is not None:
            entry = known[near]
            said, paste = f"{thing}. Did you mean {near}?", ""
            if table:
                paste = header((*(w for w in where if isinstance(w, str)), near), entry.kind == "tables")
            else:
                good, wrong, paste = converted(entry, from_other_unit(value, key, near, entry.unit))
                if good is not None:
                    paste = pair_line(near, list(good) if isinstance(good, tuple) else good)
                else:
                    said += f" There, {wrong}"
                    self.doubtful.add((*where, near))
            self.complain(here, table_name, said, paste)
            if near not in raw:
                written, meant = here, (*where, near)
                if table and entry.kind == "tables" and isinstance(value, dict):
                    value, meant = [value], (*meant, 0)  # the brackets are told of already
                elif table and entry.kind == "table" and isinstance(value, list):
                    value, written = value[0], (*here, 0)
                self.positions.also_known(written, meant)
                raw[near] = value
            return
        homes = [
            header(path, array) if path else "the top of the file"
            for path, owner, array in every_table(self.root)
            if owner is not cls and key in entries(owner)
        ]
        if homes:
            place = table_name or "the top of the file"
            self.complain(
                here, table_name, f"{key!r} does not belong in {place}; it belongs in {' or '.join(homes)}."
            )
            return
        allowed = ", ".join(k for k, e in known.items() if e.is_table == table) or "none"
        self.complain(here, table_name, f"{thing}. Allowed here: {allowed}.")

    def _tables(self, entry: Entry, raw: dict[str, Any], here: Where) -> Any:
        """A [table] or the items of an [[array]]."""
        owner = entry.table
        if owner is None:
            raise TypeError(entry.name)
        path = tuple(w for w in here if isinstance(w, str))
        if entry.kind == "table":
            table_name = header(path, False)
            value = raw.get(entry.name, {} if entry.required else None)
            if value is None:
                return entry.default
            if entry.required and entry.name not in raw and entry.name not in self.spoiled:
                return self._missing_table(entry, here, table_name)
            if isinstance(value, list) and len(value) == 1 and isinstance(value[0], dict):
                self.complain(
                    here, table_name, f"there is one {entry.name} only: write single brackets.", table_name
                )
                self.positions.also_known((*here, 0), here)
                return self.table(owner, value[0], here, table_name)
            if not isinstance(value, dict):
                self.complain(
                    here, table_name, f"{entry.name} must be a table, headed {table_name}.", table_name
                )
                return self.table_stand_in(owner)
            return self.table(owner, value, here, table_name)
        head = header(path, True)
        value = raw.get(entry.name, [])
        if isinstance(value, dict):
            self.complain(here, head, f"there may be several {entry.name}: write double brackets.", head)
            self.positions.also_known(here, (*here, 0))
            value = [value]
        if not isinstance(value, list) or not all(isinstance(v, dict) for v in value):
            texts = [v for v in value if isinstance(v, str)] if isinstance(value, list) else []
            first = next(e for e in entries(owner).values() if not e.is_table)
            blocks = "\n\n".join(f"{head}\n{pair_line(first.name, text)}" for text in texts)
            said = f"{entry.name} must be tables, each headed {head}, below the lines of its own table."
            self.complain(here, head, said, blocks or head)
            return ()
        return tuple(
            self.table(owner, v, (*here, n), _item_name(head, v.get("name"), n)) for n, v in enumerate(value)
        )

    def _missing_table(self, entry: Entry, here: Where, table_name: str) -> Any:
        owner = entry.table
        if owner is None:
            raise TypeError(entry.name)
        lines = [
            table_name,
            *(example_line(e) for e in entries(owner).values() if e.required and not e.is_table),
        ]
        self.complain(here, table_name, f"the table {table_name} is missing: {entry.doc}.", "\n".join(lines))
        return self.table_stand_in(owner)

    def table_stand_in(self, cls: type) -> Any:
        values = {
            e.name: self.table_stand_in(e.table) if e.table and e.kind == "table" else stand_in(e)
            for e in entries(cls).values()
            if e.required
        }
        return cls(**values)

    def _value(self, entry: Entry, raw: Any, where: Where, table_name: str) -> Any:
        value, said, paste = converted(entry, raw)
        if value is None:
            self.complain(where, table_name, said, paste)
            return stand_in(entry) if entry.required else entry.default
        return value


def _item_name(head: str, name: Any, number: int) -> str:
    return f'{head} "{name}"' if isinstance(name, str) and name else f"{head} number {number + 1}"


def _table_name(root: Any, cls: type, where: Where) -> str:
    names: list[str] = []
    table_name = ""
    thing: Any = root
    for part in where:
        if isinstance(part, int):
            thing = thing[part] if isinstance(thing, tuple) and part < len(thing) else None
            table_name = _item_name(header(tuple(names), True), getattr(thing, "name", None), part)
            continue
        entry = entries(cls).get(part)
        if entry is None or entry.table is None:
            break
        names.append(part)
        cls = entry.table
        thing = getattr(thing, part, None)
        table_name = header(tuple(names), entry.kind == "tables")
    return table_name
