"""Writing the two files: a whole one from the model, or a change to yours that leaves every other character as it was.

A change is a splice of text at a place the parser vouches for. Nothing is rewritten around it, so comments,
order, blank lines and line ends stay as they are. The changed text is read again, with all checks, before it takes
the old one's place in one step.
"""

import tomllib
from collections.abc import Iterable
from dataclasses import dataclass, is_dataclass
from pathlib import Path
from typing import Any

from plateside.files.atomic import write_bytes
from plateside.files.folder import SHOOT_FILE, STUDIO_FILE
from plateside.files.settings.blocks import array_or_value, moved
from plateside.files.settings.grammar import entries, header
from plateside.files.settings.lines import pair_line
from plateside.files.settings.load import judge_shoot, judge_studio, read_text
from plateside.files.settings.mistakes import raise_if_any
from plateside.files.settings.positions import Positions, Where, find_positions
from plateside.files.settings.reader import FORMAT, ReadFile
from plateside.model.errors import InputError
from plateside.model.shoot import Shoot
from plateside.model.studio import Studio
from plateside.words import studio as words


@dataclass(frozen=True)
class Put:
    """Set one field, or all fields of one table.

    `where` is the path: ("fit",), ("room", "floor_reflectance"), ("cameras", "the camera", "clock_offset_s");
    behind an array's name stands the item's own name, or its number from 0.
    `value` is a value of the model, a dataclass for a whole table, or None to take the line out.
    """

    where: tuple[str | int, ...]
    value: Any


@dataclass(frozen=True)
class Add:
    """Put one more item at the end of an array of tables: ("readings",), ("windows", "kitchen", "opposite")."""

    where: tuple[str | int, ...]
    item: Any


@dataclass(frozen=True)
class Take:
    """Take one item out of an array of tables, with all that belongs to it: ("windows", "kitchen"), ("shots", 2)."""

    where: tuple[str | int, ...]


@dataclass(frozen=True)
class Move:
    """Give one item of an array of tables another place among its like: ("shots", "pour"), to number 0.

    The item goes with its comments; what stands between the items stays where it is.
    """

    where: tuple[str | int, ...]
    to: int


Change = Put | Add | Take | Move


def update_studio(path: Path, changes: Iterable[Change]) -> Studio:
    """Change studio.toml in place, comments kept; returns the studio as it now is.

    Raises SettingsError (and writes nothing) when the file is wrong before or after, CouldNotError when the
    disk refuses.
    """
    path = path / STUDIO_FILE if path.is_dir() else path
    studio: Studio = _update(path, tuple(changes), Studio).value
    return studio


def update_shoot(path: Path, changes: Iterable[Change]) -> Shoot:
    """Change shoot.toml in place, comments kept; returns the shoot as it now is. Raises as update_studio."""
    path = path / SHOOT_FILE if path.is_dir() else path
    shoot: Shoot = _update(path, tuple(changes), Shoot).value
    return shoot


def _update(path: Path, changes: tuple[Change, ...], cls: type) -> ReadFile[Any]:
    read_text(path)  # what cannot be read is told in words
    data, reading = rewritten(path.read_bytes(), changes, cls, path.name)
    write_bytes(path, data)
    return reading


def rewritten(data: bytes, changes: tuple[Change, ...], cls: type, name: str) -> tuple[bytes, ReadFile[Any]]:
    """A file's bytes with the changes made, and what it now says; line ends and byte order mark stay as they are.

    Raises SettingsError when the file is wrong before or after, InputError for what no file can hold.
    """
    raw = data.decode("utf-8-sig")
    text, reading = changed(raw.replace("\r\n", "\n"), changes, cls, name)
    if "\r\n" in raw:
        text = text.replace("\n", "\r\n")
    try:
        return text.encode("utf-8-sig" if data.startswith(b"\xef\xbb\xbf") else "utf-8"), reading
    except UnicodeEncodeError:
        raise InputError(words.HALF_A_CHARACTER) from None


def changed(text: str, changes: tuple[Change, ...], cls: type, name: str) -> tuple[str, ReadFile[Any]]:
    """The text with the changes made, and what it now says. Raises SettingsError when either is wrong.

    Between two changes the text may be wrong in what it means (a window renamed, the sheet that hangs on it not
    yet), never in how it is written.
    """
    reading = _judge(text, name, cls)
    raise_if_any(reading.mistakes)
    for change in changes:
        place = _resolved(change.where, cls, reading.value)
        found = find_positions(text)
        if isinstance(change, Add):
            text = _added(text, found, place, change.item)
        elif isinstance(change, Take):
            text = _taken(text, found, place)
        elif isinstance(change, Move):
            text = moved(text, found, place, change.to)
        else:
            text = _put(text, found, place, change.value, cls)
        reading = _judge(text, name, cls)
        if not _well_formed(text):
            raise_if_any(reading.mistakes)
    raise_if_any(reading.mistakes)
    return text, reading


def _well_formed(text: str) -> bool:
    try:
        tomllib.loads(text)
    except (ValueError, RecursionError):
        return False
    return True


def _judge(text: str, name: str, cls: type) -> ReadFile[Any]:
    return judge_studio(text, name) if cls is Studio else judge_shoot(text, name, None)


def _resolved(where: tuple[str | int, ...], cls: type, root: Any) -> Where:
    """A path with items called by name turned into one with their numbers; checks that it exists."""
    thing: Any = root
    found: list[str | int] = []
    for part in where:
        if isinstance(thing, tuple):
            names = [getattr(item, "name", None) for item in thing]
            if isinstance(part, str):
                if part not in names:
                    raise InputError(words.no_such_item(str(found[-1]), part, [str(n) for n in names if n]))
                part = names.index(part)
            elif not 0 <= part < len(thing):
                raise InputError(words.no_such_number(str(found[-1]), part + 1, len(thing)))
            thing = thing[part]
        else:
            if not (is_dataclass(thing) and isinstance(part, str) and part in entries(type(thing))):
                raise InputError(words.no_such_field(cls.__name__.lower(), ".".join(map(str, where))))
            thing = getattr(thing, part)
        found.append(part)
    return tuple(found)


def _put(text: str, found: Positions, where: Where, value: Any, cls: type) -> str:
    if is_dataclass(value):
        if where not in found.heads and where not in found.keys:
            return _block_at_end(text, table_lines(value, where))
        for entry in entries(type(value)).values():
            if entry.is_table:
                continue
            wanted = getattr(value, entry.name)
            here = (*where, entry.name)
            found = find_positions(text)
            if here in found.keys or entry.required or wanted != entry.default:
                text = _put(text, found, here, wanted, cls)
        return text
    if where in found.keys:
        span = found.keys[where]
        if value is None:
            begin = text.rfind("\n", 0, span.start) + 1
            newline = text.find("\n", span.end)
            return text[:begin] + ("" if newline < 0 else text[newline + 1 :])
        return text[: span.start] + array_or_value(text[span.start : span.end], value) + text[span.end :]
    if value is None:
        return text
    table, key = where[:-1], str(where[-1])
    if table in found.keys:
        raise InputError(words.on_one_line(_path_words(table), header(_names(table), False)))
    if table and table not in found.heads:
        return _block_at_end(text, [header(_names(table), False), pair_line(key, value)])
    at = found.ends[table] if table else found.root_end
    return _spliced(text, at, pair_line(key, value) + "\n")


def _added(text: str, found: Positions, where: Where, item: Any) -> str:
    if where in found.keys:
        span = found.keys[where]
        if text[span.start : span.end].strip("[] \t\r\n"):
            raise InputError(words.items_on_one_line(_path_words(where), header(_names(where), True)))
        begin = text.rfind("\n", 0, span.start) + 1
        newline = text.find("\n", span.end)
        text = text[:begin] + ("" if newline < 0 else text[newline + 1 :])
        found = find_positions(text)
    lines = table_lines(item, where, array=True)
    inside = [end for head, end in found.ends.items() if head[: len(where)] == where]
    if not inside and len(where) > 1:
        parent = where[:-1]
        inside = [end for head, end in found.ends.items() if head[: len(parent)] == parent]
    if not inside:
        return _block_at_end(text, lines)
    at = max(inside)
    gap = "" if not text[at:] or text[at] == "\n" else "\n"
    return _spliced(text, at, "\n" + "\n".join(lines) + "\n" + gap)


def _taken(text: str, found: Positions, where: Where) -> str:
    """Without one item's tables, wherever they stand; the comments of its neighbours stay.

    Its own are those that follow its last line directly, up to an empty line, and (but for the first of an array,
    whose comment may head them all) those right above it. Those right above the next table are that table's.
    """
    own = {head: found.heads[head] for head in found.ends if head[: len(where)] == where}
    if where not in own or not isinstance(where[-1], int):
        raise InputError(words.not_a_table(_path_words(where)))
    lines = text.split("\n")
    for head, line in sorted(own.items(), key=lambda each: -each[1]):
        begin, end = line - 1, text.count("\n", 0, found.ends[head])
        if not text[: found.ends[head]].endswith("\n"):
            end += 1
        after = end
        while after < len(lines) and lines[after].lstrip().startswith("#"):
            after += 1
        if after == len(lines) or not lines[after].strip():
            end = after
        if where[-1] > 0:
            written = [e for e in (found.root_end, *found.ends.values()) if text.count("\n", 0, e) <= begin]
            floor = max((text.count("\n", 0, e) for e in written), default=0)
            while begin > floor and lines[begin - 1].lstrip().startswith("#"):
                begin -= 1
        if begin == 0 or not lines[begin - 1].strip():
            # the empty line below goes with it, so that none is left over
            while end < len(lines) - 1 and not lines[end].strip():
                end += 1
        del lines[begin:end]
    left = "\n".join(lines)
    return left.rstrip("\n") + "\n" if left.endswith("\n\n") else left


def _spliced(text: str, at: int, piece: str) -> str:
    before = text[:at]
    if before and not before.endswith("\n"):
        before += "\n"
    return before + piece + text[at:]


def _block_at_end(text: str, lines: list[str]) -> str:
    return text.rstrip("\n") + "\n\n" + "\n".join(lines) + "\n"


def _names(where: Where) -> tuple[str, ...]:
    return tuple(part for part in where if isinstance(part, str))


def _path_words(where: Where) -> str:
    return ".".join(_names(where))


def table_lines(item: Any, where: Where, *, array: bool = False) -> list[str]:
    """One table with its head: the fields that must be written or differ from their default, then its own tables."""
    names = _names(where)
    lines = [header(names, array)] if names else []
    nested: list[str] = []
    for entry in entries(type(item)).values():
        value = getattr(item, entry.name)
        if entry.kind == "table":
            if entry.required or value != entry.default:
                nested += ["", *table_lines(value, (*names, entry.name))]
        elif entry.kind == "tables":
            for each in value:
                nested += ["", *table_lines(each, (*names, entry.name), array=True)]
        elif value is not None and (entry.required or value != entry.default):
            lines.append(pair_line(entry.name, value))
    return lines + nested


def dump(thing: Studio | Shoot) -> str:
    """A whole settings file: what must be written and what differs from the defaults."""
    return "\n".join([f"format = {FORMAT}", *table_lines(thing, ())]) + "\n"
