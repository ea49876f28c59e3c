"""From TOML to the dataclasses of the model, gathering every mistake on the way instead of stopping at the first."""

from dataclasses import dataclass, field, replace
from functools import lru_cache
from typing import Any, Generic, TypeVar

from plateside.files.settings.grammar import Entry, entries, every_table, header
from plateside.files.settings.guesses import from_other_unit, nearest_key
from plateside.files.settings.lines import example_line, pair_line, stand_in
from plateside.files.settings.positions import Positions, Where, find_positions
from plateside.files.settings.syntax import parse_toml
from plateside.files.settings.values import converted, shown
from plateside.model.mistakes import Mistake

FORMAT = 1
"""The format of both files that this version reads and writes."""

_KEPT, _KEPT_LETTERS = 16, 200_000
"""So many texts are kept as they were read, of at most so many letters each; a usual one has ten thousand."""

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
    unjudged: bool = False
    """True when the file cannot be parsed, or is of a newer format: its contents were not judged."""

    def complain(self, where: Where, mistake: Mistake, *, rests_on: tuple[Where, ...] = ()) -> None:
        """Add a mistake at a path, unless it rests on a field that is itself in doubt."""
        if any(self.is_doubtful(w) for w in (where, *rests_on)):
            return
        head, name, label = _around(self.value, self.cls, where)
        line = self.positions.line(where)
        self.mistakes.append(
            replace(
                mistake,
                file=self.file,
                line=line,
                head=head,
                name=name,
                path=where,
                label=mistake.label or label,
            )
        )

    def is_doubtful(self, where: Where) -> bool:
        return any(where[:n] in self.doubtful for n in range(1, len(where) + 1))


def read(text: str, file: str, cls: type[T]) -> ReadFile[T]:
    """Read a whole settings text into `cls` (Studio or Shoot)."""
    keep = len(text) <= _KEPT_LETTERS
    # mypy takes a class for one of its objects, which cannot be hashed
    found = _read(text, file, cls) if keep else _read.__wrapped__(text, file, cls)  # type: ignore[arg-type]
    # what is found wrong later belongs to one reading alone
    return replace(found, mistakes=list(found.mistakes), doubtful=set(found.doubtful))


@lru_cache(maxsize=_KEPT)
def _read(text: str, file: str, cls: type[T]) -> ReadFile[T]:
    # every answer of a page begins with both files, which seldom change
    parsed = parse_toml(text, file, cls)
    reader = _Reader(file, cls, find_positions(parsed.text))
    data = dict(parsed.data)
    if parsed.mistake is not None:
        reader.mistakes.append(parsed.mistake)
        reader.quiet = True
        data.pop("format", None)
    elif not reader.check_format(data):
        data = {}
        reader.quiet = True
    value: T = reader.table(cls, data, (), "", "")
    return ReadFile(file, cls, value, reader.positions, list(reader.mistakes), reader.doubtful, reader.quiet)


def read_item(raw: dict[str, Any], cls: type, file: str, path: Where) -> tuple[Any, list[Mistake]]:
    """One table's plain values into its dataclass, by the same checks as a file's, and what is wrong with them.

    path  where the table will stand, as ("windows", 2): mistakes say it
    """
    reader = _Reader(file, cls, Positions())
    names = tuple(part for part in path if isinstance(part, str))
    head = header(names, isinstance(path[-1], int))
    return reader.table(cls, raw, path, head, _name(raw)), reader.mistakes


class _Reader:
    def __init__(self, file: str, root: type, positions: Positions) -> None:
        self.file = file
        self.root = root
        self.positions = positions
        self.mistakes: list[Mistake] = []
        self.doubtful: set[Where] = set()
        self.quiet = False
        """True when the file is of another format, or cannot be parsed: its contents are not judged."""

    def complain(self, where: Where, head: str, name: str, mistake: Mistake) -> None:
        self.doubtful.add(where)
        if not self.quiet:
            line = self.positions.line(where)
            self.mistakes.append(
                replace(mistake, file=self.file, line=line, head=head, name=name, path=where)
            )

    def check_format(self, data: dict[str, Any]) -> bool:
        """Take the format number out of `data`; False when the file is not of a format we can judge."""
        right = f"format = {FORMAT}"
        if "format" not in data:
            self.mistakes.append(Mistake("no format", self.file, 1, path=("format",), fix=right))
            return True
        number = data.pop("format")
        mistake = Mistake(
            "wrong format", self.file, self.positions.line(("format",)), path=("format",), got=shown(number),
            highest=FORMAT, fix=right,
        )  # fmt: skip
        if isinstance(number, bool) or not isinstance(number, int) or number < 1:
            self.mistakes.append(mistake)
            return True
        if number > FORMAT:
            self.mistakes.append(replace(mistake, code="newer format", fix=""))
            return False
        return True

    def table(self, cls: type, raw: dict[str, Any], where: Where, head: str, name: str) -> Any:
        """One table into its dataclass."""
        known = entries(cls)
        raw = dict(raw)
        values: dict[str, Any] = {}
        for key in [k for k in raw if k not in known]:
            self._unknown(cls, key, raw, where, (head, name))
        for entry in known.values():
            here = (*where, entry.name)
            if entry.table is not None:
                values[entry.name] = self._tables(entry, raw, here)
            elif here in self.doubtful:
                values[entry.name] = self._usual(entry)
            elif entry.name in raw:
                values[entry.name] = self._value(entry, raw[entry.name], here, head, name)
            elif entry.required:
                values[entry.name] = self._missing(entry, here, head, name)
        return cls(**values)

    def _usual(self, entry: Entry) -> Any:
        return stand_in(entry) if entry.required else entry.default

    def _missing(self, entry: Entry, here: Where, head: str, name: str) -> Any:
        missing = Mistake("missing", label=entry.label, fix=example_line(entry), facts={"doc": entry.doc})
        self.complain(here, head, name, missing)
        return stand_in(entry)

    def _unknown(self, cls: type, key: str, raw: dict[str, Any], where: Where, at: tuple[str, str]) -> None:
        """Tell of a key or table that is not in the model; when it is like one that is, read it as that one."""
        known = entries(cls)
        value, here = raw[key], (*where, key)
        table = isinstance(value, dict) or (
            isinstance(value, list) and bool(value) and all(isinstance(v, dict) for v in value)
        )
        allowed = tuple(k for k, e in known.items() if e.is_table == table)
        mistake = Mistake(f"unknown {'table' if table else 'key'}", got=key, allowed=allowed)
        near = nearest_key(key, allowed)
        if near is not None:
            self._meant(known[near], raw, here, at, replace(mistake, meant=f'"{near}"'), table=table)
            return
        homes = [
            header(path, array) if path else ""
            for path, owner, array in every_table(self.root)
            if owner is not cls and key in entries(owner)
        ]
        if homes:
            mistake = replace(mistake, code="wrong table", allowed=(), facts={"homes": homes})
        self.complain(here, *at, mistake)

    def _meant(
        self,
        entry: Entry,
        raw: dict[str, Any],
        here: Where,
        at: tuple[str, str],
        mistake: Mistake,
        *,
        table: bool,
    ) -> None:
        """Tell of a key that is misspelt, with the right line, and read it as the one that is meant."""
        value, near, where = raw[here[-1]] if isinstance(here[-1], str) else None, entry.name, here[:-1]
        if table:
            names = tuple(part for part in where if isinstance(part, str))
            fix = header((*names, near), entry.kind == "tables")
        else:
            good, bad = converted(entry, from_other_unit(value, str(here[-1]), near, entry.unit))
            fix = bad.fix if bad else pair_line(near, list(good) if isinstance(good, tuple) else good)
            if bad is not None:
                mistake = replace(mistake, example=bad.example)
                self.doubtful.add((*where, near))
        self.complain(here, *at, replace(mistake, fix=fix))
        if near in raw:
            return
        written, meant = here, (*where, near)
        if table and entry.kind == "tables" and isinstance(value, dict):
            value, meant = [value], (*meant, 0)  # the brackets are told of already
        elif table and entry.kind == "table" and isinstance(value, list):
            value, written = value[0], (*here, 0)
        self.positions.also_known(written, meant)
        raw[near] = value

    def _tables(self, entry: Entry, raw: dict[str, Any], here: Where) -> Any:
        """A [table] or the items of an [[array]]."""
        owner = entry.table
        if owner is None:
            raise TypeError(entry.name)
        path = tuple(w for w in here if isinstance(w, str))
        return (
            self._one_table(entry, owner, raw, here, header(path, False))
            if entry.kind == "table"
            else self._several(entry, owner, raw, here, header(path, True))
        )

    def _one_table(self, entry: Entry, owner: type, raw: dict[str, Any], here: Where, head: str) -> Any:
        value = raw.get(entry.name, {} if entry.required else None)
        if value is None:
            return entry.default
        if entry.required and entry.name not in raw:
            return self._missing_table(entry, owner, here, head)
        if isinstance(value, list) and len(value) == 1 and isinstance(value[0], dict):
            self.complain(here, head, "", Mistake("one only", fix=head))
            self.positions.also_known((*here, 0), here)
            return self.table(owner, value[0], here, head, "")
        if not isinstance(value, dict):
            self.complain(here, head, "", Mistake("not a table", got=shown(value), fix=head))
            return self.table_stand_in(owner)
        return self.table(owner, value, here, head, "")

    def _several(self, entry: Entry, owner: type, raw: dict[str, Any], here: Where, head: str) -> Any:
        value = raw.get(entry.name, [])
        if isinstance(value, dict):
            self.complain(here, head, "", Mistake("several", fix=head))
            self.positions.also_known(here, (*here, 0))
            value = [value]
        if not isinstance(value, list) or not all(isinstance(v, dict) for v in value):
            texts = [v for v in value if isinstance(v, str)] if isinstance(value, list) else []
            first = next(e for e in entries(owner).values() if not e.is_table)
            lines = "\n\n".join(f"{head}\n{pair_line(first.name, text)}" for text in texts)
            self.complain(here, head, "", Mistake("not tables", got=shown(value), fix=lines or head))
            return ()
        return tuple(self.table(owner, v, (*here, n), head, _name(v)) for n, v in enumerate(value))

    def _missing_table(self, entry: Entry, owner: type, here: Where, head: str) -> Any:
        lines = [head, *(example_line(e) for e in entries(owner).values() if e.required and not e.is_table)]
        mistake = Mistake("no table", label=entry.label, fix="\n".join(lines), facts={"doc": entry.doc})
        self.complain(here, head, "", mistake)
        return self.table_stand_in(owner)

    def table_stand_in(self, cls: type) -> Any:
        values = {
            e.name: self.table_stand_in(e.table) if e.table and e.kind == "table" else stand_in(e)
            for e in entries(cls).values()
            if e.required
        }
        return cls(**values)

    def _value(self, entry: Entry, raw: Any, where: Where, head: str, name: str) -> Any:
        value, bad = converted(entry, raw)
        if bad is not None:
            self.complain(where, head, name, bad)
            return stand_in(entry) if entry.required else entry.default
        return value


def _name(raw: dict[str, Any]) -> str:
    name = raw.get("name")
    return name if isinstance(name, str) else ""


def _around(root: Any, cls: type, where: Where) -> tuple[str, str, str]:
    """The head of the table around a field, the name of its item, and the field's label."""
    names: list[str] = []
    head, name, label = "", "", ""
    thing: Any = root
    for part in where:
        if isinstance(part, int):
            thing = thing[part] if isinstance(thing, tuple) and part < len(thing) else None
            name = str(getattr(thing, "name", "") or "")
            continue
        entry = entries(cls).get(part)
        if entry is None or entry.table is None:
            label = entry.label if entry is not None else ""
            break
        names.append(part)
        cls, name = entry.table, ""
        thing = getattr(thing, part, None)
        head = header(tuple(names), entry.kind == "tables")
    return head, name, label
