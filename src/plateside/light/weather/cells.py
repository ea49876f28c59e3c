"""Reading one number from one cell of a table, with an error that names line and mend."""

import math

from plateside.model.errors import RefusedError

LONGEST_LINE = 10_000
"""An hour of any layout is some hundred characters; a longer line is damage."""
_DAYS = (31, 29, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31)


def lines_of(text: str) -> list[str]:
    """The lines of a file, whichever system's line ends it has. Raises InputError for a line that cannot be one."""
    lines = text.replace("\r\n", "\n").replace("\r", "\n").split("\n")
    for index, line in enumerate(lines, start=1):
        if len(line) > LONGEST_LINE:
            raise RefusedError("line too long", line=index, characters=len(line))
        if "\0" in line:
            raise RefusedError("line with a NUL", line=index)
    return lines


def short(text: str) -> str:
    """What stood in a cell, so that it can be shown."""
    plain = text.strip()
    return repr(plain if len(plain) <= 40 else plain[:37] + "...")


def check_day(month: int, day: int, line: int) -> None:
    """Raises InputError for a day that no year has."""
    if day > _DAYS[month - 1]:
        raise RefusedError("no such day", line=line, day=day, month=month)


def number(text: str, what: str, line: int, low: float, high: float) -> float:
    """The number in a cell; raises InputError with the line when it is none or out of range."""
    try:
        value = float(text)
    except ValueError:
        raise RefusedError(
            "cell no number", line=line, what=what, got=short(text), lowest=low, highest=high
        ) from None
    if not math.isfinite(value) or not low <= value <= high:
        raise RefusedError(
            "cell out of range", line=line, what=what, got=short(text), lowest=low, highest=high
        )
    return value
