"""What every task hands back: facts as lines for people and as one object for programs."""

import math
import sys
from dataclasses import fields, is_dataclass
from datetime import date, datetime
from enum import Enum
from functools import cache
from pathlib import PurePath
from typing import Any, Protocol


class Report(Protocol):
    """The result of one task: a frozen dataclass with words of its own."""

    def lines(self) -> list[str]:
        """One line per fact, for people."""
        ...


_AS_THEY_ARE = frozenset({str, int, bool, type(None)})


@cache
def _field_names(kind: type) -> tuple[str, ...] | None:
    """Of a dataclass; None: it is none. Asked for once of each: an answer holds tens of thousands of values."""
    return tuple(f.name for f in fields(kind)) if is_dataclass(kind) else None


def as_json(value: Any) -> Any:
    """Turn a report (dataclasses, tuples, dates, arrays, paths) into what `json.dumps` takes.

    Numbers that are not finite become None: JSON has no word for them.
    """
    kind = type(value)
    if kind in _AS_THEY_ARE:
        return value
    names = _field_names(kind)  # type: ignore[arg-type]  # mypy takes a class for one of its objects
    if names is not None:
        return {name: as_json(getattr(value, name)) for name in names}
    if isinstance(value, dict):
        return {str(k): as_json(v) for k, v in value.items()}
    if isinstance(value, list | tuple | set | frozenset):
        return [as_json(v) for v in value]
    # where nothing has loaded numpy no value is an array, and the pages' server does without its memory
    np = sys.modules.get("numpy")
    if np is not None and isinstance(value, np.ndarray):
        return as_json(value.tolist())
    if np is not None and isinstance(value, np.generic):
        return as_json(value.item())
    if isinstance(value, datetime | date):
        return value.isoformat()
    if isinstance(value, PurePath):
        return value.as_posix()
    if isinstance(value, Enum):
        return value.value
    if isinstance(value, float):
        return value if math.isfinite(value) else None
    return value
