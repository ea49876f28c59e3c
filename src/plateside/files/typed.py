"""Plain values, as JSON gives them, into the dataclasses they were written from: every field of its type, or refused.

A record beside somebody's pictures can be damaged, or changed by hand, and still be JSON. What is read through here is
what its annotations say, so that whoever uses it need not ask again.
"""

from dataclasses import MISSING, fields, is_dataclass
from functools import cache
from types import NoneType, UnionType
from typing import Any, TypeVar, Union, get_args, get_origin, get_type_hints

T = TypeVar("T")
_MOST = 1e300
"""Beyond every quantity of ours, and a sum of some is still finite; false of NaN."""


def typed(cls: type[T], value: object, where: str = "") -> T:
    """`value` (an object of JSON) as an instance of the dataclass `cls`.

    Fields that `cls` does not have are refused, those with a default may be left out.
    Raises ValueError that names the field.
    """
    if not isinstance(value, dict):
        raise ValueError(f"{where or cls.__name__}: not an object")
    hints = _hints(cls)  # type: ignore[arg-type]
    if unknown := [key for key in value if key not in hints]:
        raise ValueError(f"{where or cls.__name__} has no {unknown[0]!r}")
    found: dict[str, Any] = {}
    for f in fields(cls):  # type: ignore[arg-type]
        if f.name in value:
            found[f.name] = _as(hints[f.name], value[f.name], f.name)
        elif f.default is MISSING and f.default_factory is MISSING:
            raise ValueError(f"{where or cls.__name__} lacks {f.name}")
    return cls(**found)


@cache
def _hints(cls: type) -> dict[str, Any]:
    return get_type_hints(cls)


def _as(hint: Any, value: object, where: str) -> Any:
    origin, args = get_origin(hint), get_args(hint)
    if origin in (Union, UnionType):
        if value is None and NoneType in args:
            return None
        (kind,) = [a for a in args if a is not NoneType]
        return _as(kind, value, where)
    if origin is tuple and isinstance(value, list):
        kinds = [args[0]] * len(value) if args[-1] is Ellipsis else list(args)
        if len(kinds) == len(value):
            return tuple(_as(kind, v, where) for kind, v in zip(kinds, value, strict=True))
    elif is_dataclass(hint) and isinstance(hint, type):
        return typed(hint, value, where)
    elif hint is float and isinstance(value, int | float) and type(value) is not bool and abs(value) < _MOST:
        return float(value)
    elif (hint is int and type(value) is int and abs(value) < 2**53) or (
        hint in (str, bool) and type(value) is hint
    ):
        return value
    raise ValueError(f"{where}: wrong kind")
