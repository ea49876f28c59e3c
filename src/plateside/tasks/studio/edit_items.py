"""What a page sends as plain JSON, made into the model's own dataclasses by the settings reader's checks."""

from collections.abc import Sequence
from typing import Any

from plateside.files.settings.grammar import entries
from plateside.files.settings.mistakes import raise_if_any
from plateside.files.settings.reader import read_item
from plateside.files.settings.write import Add, Change, Put, Take
from plateside.model.errors import InputError
from plateside.model.readings import same_entries
from plateside.model.studio import Studio
from plateside.words import studio as words

_LONGEST_TEXT = 20_000
_LARGEST_NUMBER = 1e15
_DEEPEST = 5


def with_models(changes: Sequence[Change], cls: type, file: str) -> tuple[Change, ...]:
    """The changes, their dicts made into dataclasses of the model.

    Raises SettingsError when a field of an item is wrong, InputError when a change makes no sense at all.
    """
    return tuple(_with_model(change, cls, file) for change in changes)


def readings_replaced(changes: Sequence[Change], was: Studio) -> list[Take]:
    """Entries of the studio that go, because the very same reading is kept again: it counts once."""
    added = [c.item for c in changes if isinstance(c, Add) and c.where == ("readings",)]
    going = {at for reading in added for at in same_entries(was.readings, reading)}
    return [Take(("readings", at)) for at in sorted(going, reverse=True)]


def _with_model(change: Change, cls: type, file: str) -> Change:
    if isinstance(change, Add):
        owner, several = _table_at(cls, change.where)
        if owner is None or not several:
            raise InputError(words.takes_no_items(_path_words(change.where)))
        return Add(change.where, _item(change.item, owner, file, (*change.where, 0)))
    if isinstance(change, Put):
        if isinstance(change.value, dict):
            owner, several = _table_at(cls, change.where)
            if owner is None or several:
                raise InputError(words.is_one_value(_path_words(change.where)))
            return Put(change.where, _item(change.value, owner, file, change.where))
        owner, _several = _table_at(cls, change.where)
        if owner is not None and isinstance(change.value, bool | int | float | str | list | tuple):
            raise InputError(words.is_a_table(_path_words(change.where)))
        _plain(change.value)
    return change


def _item(item: Any, owner: type, file: str, path: tuple[str | int, ...]) -> Any:
    if isinstance(item, owner):
        return item
    if not isinstance(item, dict):
        raise InputError(words.fields_missing(_path_words(path)))
    _plain(item)
    given = {str(k): v for k, v in item.items() if v is not None}
    numbers = tuple(part if isinstance(part, str) else 0 for part in path)
    value, mistakes = read_item(given, owner, file, numbers)
    raise_if_any(mistakes)
    return value


def _table_at(cls: type, where: tuple[str | int, ...]) -> tuple[type | None, bool]:
    """(the dataclass at a path, or None for a plain field; whether the path names the whole array)."""
    several = False
    owner: type | None = cls
    for part in where:
        if several:  # an item, by its name or number
            several = False
            continue
        known = entries(owner) if owner is not None else {}
        if not isinstance(part, str) or part not in known:
            raise InputError(words.no_such_field(cls.__name__.lower(), _path_words(where)))
        owner, several = known[part].table, known[part].kind == "tables"
    return owner, several


def _plain(value: Any, depth: int = 0) -> None:
    """Refuse what no settings file can hold, before it costs anything."""
    if depth > _DEEPEST:
        raise InputError(words.TOO_DEEP)
    if isinstance(value, str):
        if len(value) > _LONGEST_TEXT:
            raise InputError(words.text_too_long(len(value), _LONGEST_TEXT))
    elif isinstance(value, int | float):
        if abs(value) > _LARGEST_NUMBER:
            raise InputError(words.NUMBER_TOO_LARGE)
    elif isinstance(value, dict):
        for key, each in value.items():
            _plain(str(key), depth + 1)
            _plain(each, depth + 1)
    elif isinstance(value, list | tuple):
        for each in value:
            _plain(each, depth + 1)


def _path_words(where: tuple[str | int, ...]) -> str:
    return ".".join(map(str, where))
