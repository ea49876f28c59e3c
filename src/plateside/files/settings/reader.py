"""From TOML to the dataclasses of the model, gathering every mistake on the way instead of stopping at the first."""

import datetime as dt
import math
import re
from dataclasses import dataclass, field, replace
from typing import Any, Generic, TypeVar

from plateside.files.settings.grammar import Entry, entries, every_table, header
from plateside.files.settings.guesses import (
    compass_deg,
    fits,
    in_another_unit,
    nearest_key,
    nearest_word,
    number_in,
)
from plateside.files.settings.lines import allowed_text, example_line, pair_line, stand_in, value_text
from plateside.files.settings.mistakes import Mistake
from plateside.files.settings.positions import Positions, Where, find_positions
from plateside.files.settings.syntax import parse_toml

FORMAT = 1
"""The format of both files that this version reads and writes."""

T = TypeVar("T")


@dataclass
class Reading(Generic[T]):
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
        self.mistakes.append(Mistake(self.file, line, self.told_table(where), said, paste))

    def settle(self) -> None:
        """Join slips and mistakes: a line that has both is told of once, by the telling that mends both."""
        told = {m.line for m in self.mistakes}
        bare = {m.line for m in self.slips}
        self.mistakes = [
            *(m for m in self.slips if m.line not in told),
            *(_unquoted(m) if m.line in bare else m for m in self.mistakes),
        ]
        self.slips = ()

    def is_doubtful(self, where: Where) -> bool:
        return any(where[:n] in self.doubtful for n in range(1, len(where) + 1))

    def told_table(self, where: Where) -> str:
        """The table around a key as it is headed, with the item's name or number."""
        return _told_table(self.value, self.cls, where)


def read(text: str, file: str, cls: type[T]) -> Reading[T]:
    """Read a whole settings text into `cls` (Studio or Shoot)."""
    parsed = parse_toml(text, file)
    reader = _Reader(file, cls, find_positions(parsed.text), parsed.spoiled)
    data = dict(parsed.data)
    if not reader.check_format(data):
        data = {}
        reader.quiet = True
    value: T = reader.table(cls, data, (), "")
    return Reading(
        file,
        cls,
        value,
        reader.positions,
        list(reader.mistakes),
        reader.doubtful,
        slips=parsed.mistakes,
        other_format=reader.quiet,
    )


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
            self.mistakes.append(Mistake(self.file, line, table, said, paste))

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
            said = f"format is {value_text(number)}; allowed: {FORMAT}, a whole number without quotes."
            self.mistakes.append(Mistake(self.file, line, "", said, f"format = {FORMAT}"))
            return True
        if number > FORMAT:
            said = (
                f"format is {number}, and this version of Plateside reads format {FORMAT}: the file was written "
                "by a newer one. Update Plateside: pip install --upgrade plateside"
            )
            self.mistakes.append(Mistake(self.file, line, "", said))
            return False
        return True

    def table(self, cls: type, raw: dict[str, Any], where: Where, told: str) -> Any:
        """One table into its dataclass."""
        known = entries(cls)
        raw = dict(raw)
        values: dict[str, Any] = {}
        for key in [k for k in raw if k not in known]:
            self._unknown(cls, key, raw, where, told)
        for entry in known.values():
            here = (*where, entry.name)
            if entry.table is not None:
                values[entry.name] = self._tables(entry, raw, here)
            elif here in self.doubtful:
                values[entry.name] = self._usual(entry)
            elif entry.name in raw:
                values[entry.name] = self._value(entry, raw[entry.name], here, told)
            elif entry.required:
                values[entry.name] = self._missing(entry, here, told)
        return cls(**values)

    def _usual(self, entry: Entry) -> Any:
        return stand_in(entry) if entry.required else entry.default

    def _missing(self, entry: Entry, here: Where, told: str) -> Any:
        if entry.name in self.spoiled:
            self.doubtful.add(here)  # it is there, and already told of
        else:
            self.complain(here, told, f"{entry.name} is missing: {entry.doc}.", example_line(entry))
        return stand_in(entry)

    def _unknown(self, cls: type, key: str, raw: dict[str, Any], where: Where, told: str) -> None:
        """Tell of a key or table that is not in the model; when it is like one that is, read it as that one."""
        known = entries(cls)
        value, here = raw[key], (*where, key)
        table = isinstance(value, dict) or (
            isinstance(value, list) and bool(value) and all(isinstance(v, dict) for v in value)
        )
        thing = f"unknown {'table' if table else 'key'} {key!r}" + ("" if told else " at the top of the file")
        near = nearest_key(key, [k for k, e in known.items() if e.is_table == table])
        if near is not None:
            entry = known[near]
            said, paste = f"{thing}. Did you mean {near}?", ""
            if table:
                paste = header((*(w for w in where if isinstance(w, str)), near), entry.kind == "tables")
            else:
                good, wrong, paste = _converted(entry, value)
                if good is not None:
                    paste = pair_line(near, list(good) if isinstance(good, tuple) else good)
                else:
                    said += f" There, {wrong}"
                    self.doubtful.add((*where, near))
            self.complain(here, told, said, paste)
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
            place = told or "the top of the file"
            self.complain(
                here, told, f"{key!r} does not belong in {place}; it belongs in {' or '.join(homes)}."
            )
            return
        allowed = ", ".join(k for k, e in known.items() if e.is_table == table) or "none"
        self.complain(here, told, f"{thing}. Allowed here: {allowed}.")

    def _tables(self, entry: Entry, raw: dict[str, Any], here: Where) -> Any:
        """A [table] or the items of an [[array]]."""
        owner = entry.table
        if owner is None:
            raise TypeError(entry.name)
        path = tuple(w for w in here if isinstance(w, str))
        if entry.kind == "table":
            told = header(path, False)
            value = raw.get(entry.name, {} if entry.required else None)
            if value is None:
                return entry.default
            if entry.required and entry.name not in raw and entry.name not in self.spoiled:
                return self._missing_table(entry, here, told)
            if isinstance(value, list) and len(value) == 1 and isinstance(value[0], dict):
                self.complain(here, told, f"there is one {entry.name} only: write single brackets.", told)
                self.positions.also_known((*here, 0), here)
                return self.table(owner, value[0], here, told)
            if not isinstance(value, dict):
                self.complain(here, told, f"{entry.name} must be a table, headed {told}.", told)
                return self.table_stand_in(owner)
            return self.table(owner, value, here, told)
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
            self.table(owner, v, (*here, n), _told_item(head, v.get("name"), n)) for n, v in enumerate(value)
        )

    def _missing_table(self, entry: Entry, here: Where, told: str) -> Any:
        owner = entry.table
        if owner is None:
            raise TypeError(entry.name)
        lines = [told, *(example_line(e) for e in entries(owner).values() if e.required and not e.is_table)]
        self.complain(here, told, f"the table {told} is missing: {entry.doc}.", "\n".join(lines))
        return self.table_stand_in(owner)

    def table_stand_in(self, cls: type) -> Any:
        values = {
            e.name: self.table_stand_in(e.table) if e.table and e.kind == "table" else stand_in(e)
            for e in entries(cls).values()
            if e.required
        }
        return cls(**values)

    def _value(self, entry: Entry, raw: Any, where: Where, told: str) -> Any:
        value, said, paste = _converted(entry, raw)
        if value is None:
            self.complain(where, told, said, paste)
            return stand_in(entry) if entry.required else entry.default
        return value


def _converted(entry: Entry, raw: Any) -> tuple[Any, str, str]:
    """(value, "", "") when it is right, else (None, what is wrong, the line to paste)."""
    wrong = f"{entry.name} is {_shown(raw)}; allowed: {allowed_text(entry)}."
    if entry.kind == "flag":
        if isinstance(raw, bool):
            return raw, "", ""
        meant = {"yes": True, "true": True, "on": True, "no": False, "false": False, "off": False}.get(
            str(raw).strip().lower(), {1: True, 0: False}.get(raw) if isinstance(raw, int) else None
        )
        return None, wrong, pair_line(entry.name, meant if meant is not None else bool(entry.default))
    if entry.kind == "text":
        return _text(entry, raw, wrong)
    if entry.kind == "texts":
        return _texts(entry, raw, wrong)
    if entry.kind == "shares" and isinstance(raw, list):
        return _three(entry, raw, wrong)
    return _number(entry, raw, wrong)


def _text(entry: Entry, raw: Any, wrong: str) -> tuple[Any, str, str]:
    if isinstance(raw, dt.datetime | dt.date | dt.time):
        raw = _time_text(raw)
    if not isinstance(raw, str):
        plain = isinstance(raw, int | float) and not isinstance(raw, bool) and not entry.words
        return None, wrong, pair_line(entry.name, value_text(raw)) if plain else _example(entry)
    if entry.words and raw not in entry.words:
        near = nearest_word(raw, entry.words)
        hint = f' Did you mean "{near}"?' if near else ""
        return None, wrong + hint, pair_line(entry.name, near) if near else _example(entry)
    return raw, "", ""


def _time_text(raw: dt.datetime | dt.date | dt.time) -> str:
    if isinstance(raw, dt.datetime):
        return raw.isoformat(timespec="minutes" if not raw.second else "auto")
    if isinstance(raw, dt.time):
        return raw.isoformat(timespec="minutes" if not raw.second else "auto")
    return raw.isoformat()


def _texts(entry: Entry, raw: Any, wrong: str) -> tuple[Any, str, str]:
    if isinstance(raw, str):
        parts = [part.strip() for part in raw.split(",") if part.strip()]
        if entry.words:
            parts = [near for p in parts if (near := p if p in entry.words else nearest_word(p, entry.words))]
        return None, wrong, pair_line(entry.name, parts) if parts or not entry.words else _example(entry)
    if not isinstance(raw, list) or not all(isinstance(v, str) for v in raw):
        texts = [v if isinstance(v, str) else value_text(v) for v in raw] if isinstance(raw, list) else []
        return None, wrong, pair_line(entry.name, texts)
    if entry.words:
        odd = [v for v in raw if v not in entry.words]
        if odd:
            mended = [v if v in entry.words else nearest_word(v, entry.words) for v in raw]
            return None, wrong, pair_line(entry.name, [v for v in mended if v])
    return tuple(raw), "", ""


def _three(entry: Entry, raw: list[Any], wrong: str) -> tuple[Any, str, str]:
    numbers = [v for v in raw if isinstance(v, int | float) and not isinstance(v, bool)]
    if len(raw) == 3 and len(numbers) == 3 and all(fits(v, entry) for v in numbers):
        return tuple(float(v) for v in numbers), "", ""
    if len(raw) == 3 and len(numbers) == 3 and all(0 <= v <= 100 for v in numbers) and max(numbers) > 1:
        shares = [v / 100 for v in numbers]
        return None, f"{wrong} Shares go from 0 to 1, not per cent.", pair_line(entry.name, shares)
    return None, wrong, _example(entry)


def _number(entry: Entry, raw: Any, wrong: str) -> tuple[Any, str, str]:
    if isinstance(raw, str):
        meant = number_in(raw, entry.unit)
        if meant is None or not fits(meant, entry):
            return None, wrong, _example(entry)
        meant = float(f"{meant:.6g}")
        reason = "" if entry.unit == "deg" and compass_deg(raw) is not None else " Write the number alone"
        reason += f", in {entry.unit}" if reason and entry.unit else ""
        return None, f"{wrong}{reason + '.' if reason else ''}", pair_line(entry.name, meant)
    if isinstance(raw, list) and len(raw) == 1 and entry.kind == "shares":
        raw = raw[0]
    if isinstance(raw, bool) or not isinstance(raw, int | float) or not math.isfinite(raw):
        return None, wrong, _example(entry)
    if not fits(raw, entry):
        other = in_another_unit(float(raw), entry)
        if other is not None:
            value, words = other
            said = f"{wrong} Did you mean {pair_line(entry.name, value).split(' = ')[1]} ({words})?"
            return None, said, pair_line(entry.name, value)
        return None, wrong, _example(entry)
    if entry.kind == "integer":
        if float(raw) != int(raw):
            return None, wrong, pair_line(entry.name, round(raw))
        return int(raw), "", ""
    return float(raw), "", ""


def _example(entry: Entry) -> str:
    """An example to paste where nobody can tell what was meant."""
    return f"{example_line(entry)}  # for example"


def _shown(raw: Any) -> str:
    """A value as it was written, shortened."""
    if isinstance(raw, dict):
        return "a table"
    if isinstance(raw, list) and any(isinstance(v, dict) for v in raw):
        return "a list of tables"
    if isinstance(raw, float) and not math.isfinite(raw):
        return str(raw)
    if isinstance(raw, dt.datetime | dt.date | dt.time):
        return _time_text(raw)
    text = value_text(raw)
    return text if len(text) <= 60 else text[:57] + "..."


def _told_item(head: str, name: Any, number: int) -> str:
    return f'{head} "{name}"' if isinstance(name, str) and name else f"{head} number {number + 1}"


def _told_table(root: Any, cls: type, where: Where) -> str:
    names: list[str] = []
    told = ""
    thing: Any = root
    for part in where:
        if isinstance(part, int):
            thing = thing[part] if isinstance(thing, tuple) and part < len(thing) else None
            told = _told_item(header(tuple(names), True), getattr(thing, "name", None), part)
            continue
        entry = entries(cls).get(part)
        if entry is None or entry.table is None:
            break
        names.append(part)
        cls = entry.table
        thing = getattr(thing, part, None)
        told = header(tuple(names), entry.kind == "tables")
    return told
