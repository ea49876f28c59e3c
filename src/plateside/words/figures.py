"""A number as you would type it, and sentences filled in with such numbers."""

import math
import string
from collections.abc import Mapping
from typing import Any

from plateside.words.counting import listed


def number_text(value: float) -> str:
    """A number as you would write it, without losing any of it: 4.2, 100, 0.00025."""
    if float(value).is_integer() and abs(value) < 1e15:
        return str(int(value))
    short = format(value, ".12g")
    text = short if float(short) == value else repr(float(value))
    if "e" not in text:
        return text
    digits, power = text.split("e")
    plain = format(value, f".{max(0, 15 - int(power)) if int(power) < 0 else 0}f").rstrip("0").rstrip(".")
    return plain if math.isclose(float(plain), value, rel_tol=0) else f"{digits}e{int(power)}"


class _Plain(string.Formatter):
    def format_field(self, value: Any, format_spec: str) -> str:
        if isinstance(value, float) and not format_spec:
            return number_text(round(value, 3))
        if isinstance(value, list | tuple):
            return listed([str(v) for v in value], format_spec or "and")
        return str(super().format_field(value, format_spec))


def filled(sentence: str, facts: Mapping[str, Any]) -> str:
    """A sentence with its gaps filled: numbers as you would type them, lists as 'a, b and c' ({shots:or} for 'or')."""
    return str(_Plain().vformat(sentence, (), dict(facts)))
