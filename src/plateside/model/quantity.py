"""How a field of the model says its meaning, unit, range and allowed words, once for code, checks and docs.

`studio.toml` and `shoot.toml` are read by these same fields, so what a person may write, what is
checked and what the reference page says cannot drift apart.
"""

from collections.abc import Callable
from dataclasses import MISSING, Field, field
from typing import Any


def quantity(
    doc: str,
    *,
    unit: str = "",
    low: float | None = None,
    high: float | None = None,
    words: tuple[str, ...] = (),
    default: Any = MISSING,
    factory: Callable[[], Any] | None = None,
    example: str = "",
) -> Any:
    """A dataclass field with its meaning attached.

    doc      one sentence in the user's words
    unit     "m", "mm", "deg" ... ("" when it has none)
    low, high  inclusive range allowed, or None
    words    the allowed words, when the field is one of a few
    default, factory  as in dataclasses.field; neither means the field is required
    example  what to paste into the file, as TOML
    """
    meta = {"doc": doc, "unit": unit, "low": low, "high": high, "words": words, "example": example}
    if factory is not None:
        return field(default_factory=factory, metadata=meta)
    if default is MISSING:
        return field(metadata=meta)
    return field(default=default, metadata=meta)


def is_required(f: "Field[Any]") -> bool:
    """True when the person must write this field."""
    return f.default is MISSING and f.default_factory is MISSING
