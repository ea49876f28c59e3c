"""Changes of the settings as a page sends them: [{"put": ["windows", "kitchen", "width_m"], "value": 1.2}, ...]."""

from typing import Any

from plateside.files.settings.write import Add, Change, Move, Put, Take
from plateside.model.errors import InputError
from plateside.words import studio as words


def changes_from(given: Any) -> list[Change]:
    """The changes of a list of objects, each with put, add, take or move. Raises InputError for what is none."""
    if not isinstance(given, list):
        raise InputError(words.CHANGES_ARE_A_LIST)
    return [_change_of(c) for c in given]


def _change_of(change: Any) -> Change:
    if not isinstance(change, dict):
        raise InputError(words.CHANGE_IS_AN_OBJECT)
    for kind in ("put", "add", "take", "move"):
        where = change.get(kind)
        if isinstance(where, list) and where and all(isinstance(w, str) or _is_whole(w) for w in where):
            match kind:
                case "put":
                    return Put(tuple(where), _value(change.get("value")))
                case "add":
                    return Add(tuple(where), change.get("item"))
                case "move":
                    return Move(tuple(where), _place(change.get("to")))
                case _:
                    return Take(tuple(where))
    raise InputError(words.CHANGE_SAYS_WHERE)


def _place(to: Any) -> int:
    if not _is_whole(to):
        raise InputError(words.MOVE_SAYS_PLACE)
    return int(to)


def _is_whole(value: Any) -> bool:
    return isinstance(value, int) and not isinstance(value, bool)


def _value(value: Any) -> Any:
    return tuple(_value(v) for v in value) if isinstance(value, list) else value
