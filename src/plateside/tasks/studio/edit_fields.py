"""Which fields of a settings file a change touches, by what the file says before and after it.

Whatever way a change takes (a field put, a whole table, an item added, taken out, moved or renamed, a step taken back,
names that follow in the other file), what counts is the difference between the two texts: so no way goes round a list.

A field's name is its path without the items' own names: 'date', 'shots.spot', 'windows.opposite.distance_m'. An array
is named itself ('shots') when an item comes, goes or moves.
"""

import tomllib
from collections.abc import Iterator, Mapping, Sequence, Set
from typing import Any

from plateside.files.settings.grammar import entries
from plateside.files.settings.write import Change
from plateside.model.errors import InputError
from plateside.tasks.studio.fields import ROOTS
from plateside.words.studio import FIX_AT_THE_LAPTOP, only_at_the_laptop

Listed = Mapping[str, Set[str]]
"""For 'studio' and 'shoot': the fields that may be changed."""


class NotListedError(InputError):
    """A field may not be changed from here."""


def refuse_named(listed: Listed | None, which: str, changes: Sequence[Change]) -> None:
    """Raise NotListedError when a change names a field that is not listed, whatever its value. None: all are."""
    if listed is not None:
        for change in changes:
            _refuse(listed, which, _named(change.where, ROOTS[which]))


def refuse_changed(listed: Listed | None, which: str, before: bytes, after: bytes) -> None:
    """Raise NotListedError when two texts of a file differ in a field that is not listed. None: all are."""
    if listed is None or before == after:
        return
    for name in changed_fields(_read(before), _read(after)):
        _refuse(listed, which, name)


def _refuse(listed: Listed, which: str, name: str) -> None:
    if name not in listed.get(which, frozenset()):
        raise NotListedError(only_at_the_laptop(name))


def changed_fields(before: Mapping[str, Any], after: Mapping[str, Any], path: str = "") -> Iterator[str]:
    """The fields in which two read files differ; a name may come more than once."""
    for key in [*before, *(k for k in after if k not in before)]:
        here = f"{path}.{_part(key)}" if path else _part(key)
        was, now = before.get(key), after.get(key)
        if _same(was, now):
            continue
        if _items(was) is not None and _items(now) is not None:
            yield from _of_items(_items(was) or [], _items(now) or [], here)
        elif isinstance(was, dict | None) and isinstance(now, dict | None):
            yield from changed_fields(was or {}, now or {}, here)
        else:
            yield here


def _of_items(was: Sequence[Any], now: Sequence[Any], here: str) -> Iterator[str]:
    """Items are the same by their name, else in their order; one that came or went tells all its fields."""
    if len(was) != len(now) or [_name(i) for i in was] != [_name(i) for i in now]:
        yield here
    old, new = list(was), list(now)
    pairs = []
    names = [_name(i) for i in old]
    for item in list(new):
        name = _name(item)
        if name is not None and names.count(name) == 1 and [_name(i) for i in new].count(name) == 1:
            match = next(i for i in old if _name(i) == name)
            old.remove(match)
            new.remove(item)
            pairs.append((match, item))
    # one more or one less in the middle: those that are whole on both sides are not told
    for item in list(new):
        match = next((i for i in old if _same(i, item)), None)
        if match is not None:
            old.remove(match)
            new.remove(item)
    shared = min(len(old), len(new)) if len(was) == len(now) else 0
    pairs += list(zip(old[:shared], new[:shared], strict=True))
    pairs += [(item, {}) for item in old[shared:]] + [({}, item) for item in new[shared:]]
    for left, right in pairs:
        yield from changed_fields(left, right, here)


def _name(item: Mapping[str, Any]) -> str | None:
    name = item.get("name")
    return name if isinstance(name, str) else None


def _same(one: Any, other: Any) -> bool:
    # 1, 1.0 and true are three different things to say
    return type(one) is type(other) and bool(one == other) and repr(one) == repr(other)


def _items(value: Any) -> list[Any] | None:
    """The tables of an array; none of them where nothing stands; None for anything else."""
    if value is None or value == []:
        return []
    return value if isinstance(value, list) and all(isinstance(each, dict) for each in value) else None


def _part(key: str | int) -> str:
    # a key with a dot in it is no path
    return str(key) if "." not in str(key) else repr(key)


def _named(where: Sequence[str | int], root: type) -> str:
    """The field's name of a change's path: what says which item of an array is left out."""
    found: list[str] = []
    owner: type | None = root
    of_array = False
    for part in where:
        if of_array:
            of_array = False
            continue
        entry = entries(owner).get(str(part)) if owner is not None else None
        found.append(_part(part))
        owner, of_array = (entry.table, entry.kind == "tables") if entry is not None else (None, False)
    return ".".join(found)


def _read(data: bytes) -> dict[str, Any]:
    try:
        return tomllib.loads(data.decode("utf-8-sig").replace("\r\n", "\n"))
    except (ValueError, RecursionError):
        raise NotListedError(FIX_AT_THE_LAPTOP) from None
