"""Reading one number from one cell of a table, with an error that names line and mend."""

import math

from plateside.model.errors import InputError


def number(text: str, what: str, line: int, low: float, high: float) -> float:
    """The number in a cell; raises InputError with the line when it is none or out of range."""
    try:
        value = float(text)
    except ValueError:
        raise InputError(
            f"Line {line}: {what} is {text.strip()!r}, which is not a number; write a number from {low:g} to {high:g}."
        ) from None
    if not math.isfinite(value) or not low <= value <= high:
        raise InputError(f"Line {line}: {what} is {text.strip()}; it must be from {low:g} to {high:g}.")
    return value
