"""How a field of the model says its meaning, unit, range and allowed words, once for code, checks and docs.

`studio.toml` and `shoot.toml` are read by these same fields, so what you may write, what is
checked and what the reference page says cannot drift apart.
"""

import re
from collections.abc import Callable
from dataclasses import MISSING, Field, field
from typing import Any


def quantity(
    doc: str,
    *,
    label: str = "",
    unit: str = "",
    low: float | None = None,
    high: float | None = None,
    words: tuple[str, ...] = (),
    default: Any = MISSING,
    factory: Callable[[], Any] | None = None,
    example: str = "",
    empty: str = "",
) -> Any:
    """A dataclass field with its meaning attached.

    doc      one sentence in the user's words
    label    what a page calls it; left out, its name in words without the unit
    unit     "m", "mm", "deg" ... ("" when it has none)
    low, high  inclusive range allowed, or None
    words    the allowed words, when the field is one of a few
    default, factory  as in dataclasses.field; neither means the field is required
    example  what to paste into the file, as TOML
    empty    what is taken where it is left empty
    """
    meta = {
        "doc": f"{doc}; empty: {empty}" if empty else doc,
        "empty": empty,
        "label": label,
        "unit": unit,
        "low": low,
        "high": high,
        "words": words,
        "example": example,
    }
    if factory is not None:
        return field(default_factory=factory, metadata=meta)
    if default is MISSING:
        return field(metadata=meta)
    return field(default=default, metadata=meta)


_UNIT_TAIL = re.compile(r"_(m|mm|deg|lx|s|kg|px|kb|percent|stops)$")


def label_of(f: "Field[Any]") -> str:
    """What a page calls a field: its label, else its name in words: 'frame_width_mm' -> 'Frame width'."""
    if label := str(f.metadata.get("label", "")):
        return label
    words = _UNIT_TAIL.sub("", f.name).replace("_", " ")
    words = re.sub(r"\biso\b", "ISO", words)
    return words[:1].upper() + words[1:]


def is_required(f: "Field[Any]") -> bool:
    """True when you must write this field."""
    return f.default is MISSING and f.default_factory is MISSING
