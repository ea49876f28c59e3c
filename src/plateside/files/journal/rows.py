"""One line of the journal to a row whose fields are what its kind must have, and numbers for rows that lost theirs.

A line can be damaged and still be JSON: a flipped bit makes another key, another type, another number. What is not as
Plateside writes it is refused here, in one place, so that whoever replays rows can lean on their fields.
"""

import bisect
import itertools
import json
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import datetime
from typing import Any

from plateside.files.folder import can_lie_in
from plateside.files.json_text import read_json
from plateside.finish.extra import USES
from plateside.finish.hand import LIMITS
from plateside.finish.square import MOST_SHAPE

LARGEST_NUMBER = 10**12
"""Far above any journal's, far below what a page's numbers hold exactly (2**53)."""
LONGEST_LINE_BYTES = 4 * 1024 * 1024
_LINES_AT_ONCE = 200
"""Lines decoded in one go where one of them is damaged."""


@dataclass(frozen=True)
class Row:
    """One line of the journal."""

    number: int
    at: datetime
    kind: str
    data: Mapping[str, Any]


@dataclass(frozen=True)
class Damaged:
    """A line that is passed over."""

    line: int
    """Its number in the file, from 1."""
    why: str


@dataclass(frozen=True)
class Found:
    """Rows, each with the line it came from, and the lines that are none."""

    rows: list[tuple[Row, bytes]]
    damaged: list[Damaged]
    grows: bool
    """False when a row's number does not follow from the one before it: then rows are numbered by their place."""
    unknown: list[Damaged]
    """Rows of a kind that this version does not know: they are kept, and add up to nothing."""


def read_lines(lines: Sequence[bytes]) -> Found:
    """Every row there is in these lines; damaged ones are passed over, empty ones say nothing."""
    rows: list[tuple[Row, bytes]] = []
    damaged: list[Damaged] = []
    step = len(lines) if (whole := _all_at_once(lines)) is not None else _LINES_AT_ONCE
    for start in range(0, len(lines), max(step, 1)):
        part = lines[start : start + step]
        found = whole if whole is not None else _all_at_once(part)
        if found is None:
            found, bad = _one_by_one(part, start)
            damaged += bad
        rows += found
    numbers = [row.number for row, _line in rows]
    grows = all(a < b for a, b in itertools.pairwise(numbers))
    if not grows:
        rows = [(replace(row, number=n), line) for (row, line), n in zip(rows, mended(numbers), strict=True)]
    unknown = []
    if any(row.kind not in FIELDS for row, _line in rows):
        place_of = {id(line): place for place, line in enumerate(lines, 1)}
        unknown = [Damaged(place_of[id(n)], row.kind) for row, n in rows if row.kind not in FIELDS]
    return Found(rows, damaged, grows, unknown)


def mended(numbers: Sequence[int]) -> list[int]:
    """Growing numbers for rows of which some have a number that repeats, goes back or is far off.

    Plateside counts rows one by one, so a sound number is as far from its neighbours' as the rows are apart, or
    farther (where a line was taken out). The most rows that agree in this keep their number; the others get the
    number after the one before them.
    """
    offsets = [number - place for place, number in enumerate(numbers, 1)]
    ends: list[int] = []  # the smallest last offset of an agreeing run of each length
    at_end: list[int] = []
    before: list[int] = [-1] * len(offsets)
    for at, offset in enumerate(offsets):
        if offset < 0:
            continue  # fewer rows than stand before it
        length = bisect.bisect_right(ends, offset)
        before[at] = at_end[length - 1] if length else -1
        if length == len(ends):
            ends.append(offset)
            at_end.append(at)
        else:
            ends[length], at_end[length] = offset, at
    keep = set()
    at = at_end[-1] if at_end else -1
    while at >= 0:
        keep.add(at)
        at = before[at]
    out: list[int] = []
    for at, number in enumerate(numbers):
        out.append(number if at in keep else (out[-1] if out else 0) + 1)
    return out


def line_of(row: Row) -> bytes:
    """A row as it is written."""
    value = {"n": row.number, "at": row.at.isoformat(), "kind": row.kind, "data": row.data}
    text = json.dumps(value, ensure_ascii=False, allow_nan=False, separators=(", ", ": "))
    return text.encode("utf-8") + b"\n"


def _all_at_once(lines: Sequence[bytes]) -> list[tuple[Row, bytes]] | None:
    """All rows decoded in one go, several times quicker; None when a line is damaged, which is then looked for."""
    if any(len(line) > LONGEST_LINE_BYTES for line in lines):
        return None
    try:
        got = read_json(b"[" + b",".join(lines) + b"]", quick=True)
        if len(got) != len(lines):
            return None
        return [(_row(one), line) for one, line in zip(got, lines, strict=True)]
    except (ValueError, OverflowError):
        return None


def _one_by_one(lines: Sequence[bytes], start: int) -> tuple[list[tuple[Row, bytes]], list[Damaged]]:
    rows, damaged = [], []
    for place, line in enumerate(lines, start + 1):
        try:
            if len(line) > LONGEST_LINE_BYTES:
                raise ValueError("too long")
            if line.strip():
                rows.append((_row(read_json(line)), line))
        except (json.JSONDecodeError, UnicodeDecodeError):
            damaged.append(Damaged(place, "not whole"))
        except (ValueError, OverflowError) as error:
            damaged.append(Damaged(place, str(error)))
    return rows, damaged


def _row(got: Any) -> Row:
    """Raises ValueError for what is no row as Plateside writes them."""
    if not isinstance(got, dict):
        raise ValueError("not a row")
    number, at, kind, data = got.get("n"), got.get("at"), got.get("kind"), got.get("data")
    if type(number) is not int:
        raise ValueError("no number")
    if not isinstance(kind, str) or not isinstance(data, dict) or not isinstance(at, str):
        raise ValueError("a part missing")
    kind = FORMER_KINDS.get(kind, kind)
    when = datetime.fromisoformat(at)
    if when.tzinfo is None or not 1970 < when.year < 9999:
        raise ValueError("wrong time")
    for field, needed, is_right in _FIELDS.get(kind, ()):
        if field in data:
            if not is_right(data[field]):
                raise ValueError(f"wrong {field}")
        elif needed:
            raise ValueError(f"no {field}")
    # a number far off is given again by the row's place
    return Row(number if 0 < number <= LARGEST_NUMBER else 0, when, kind, data)


def _text(value: object) -> bool:
    return isinstance(value, str) and len(value) <= 100_000


def _named(value: object) -> bool:
    return isinstance(value, str) and 0 < len(value) <= 4_096


def _flag(value: object) -> bool:
    return isinstance(value, bool)


def _number(value: object) -> bool:
    return isinstance(value, int | float) and type(value) is not bool and abs(value) < 1e9  # false of NaN


def _share(value: object) -> bool:
    return _number(value) and 0 <= value <= 1  # type: ignore[operator]


def _file_name(value: object) -> bool:
    """A name within the frames' folder, never one that leads out of it."""
    return isinstance(value, str) and can_lie_in(value)


def _facts(value: object) -> bool:
    """Codes and numbers; what they mean is read where they are said."""
    return isinstance(value, dict) and len(value) <= 40


def _within(limit: float) -> Callable[[object], bool]:
    return lambda value: _number(value) and abs(value) <= limit  # type: ignore[arg-type]


def _names(value: object) -> bool:
    return isinstance(value, list) and bool(value) and all(_named(v) for v in value)


def _box(value: object) -> bool:
    if value is None:
        return True
    if not isinstance(value, list) or len(value) != 4 or not all(_number(v) for v in value):
        return False
    x, y, w, h = value
    return bool(x >= -0.01 and y >= -0.01 and w > 0 and h > 0 and x + w <= 1.01 and y + h <= 1.01)


def _numbers(value: object) -> bool:
    return isinstance(value, list) and len(value) == 2 and all(_number(v) for v in value)


def _corners(value: object) -> bool:
    """None, taken back; or x and y of four, which may lie a little outside."""
    return isinstance(value, list) and len(value) in (0, 8) and all(_number(v) and -2 < v < 3 for v in value)


def _shape(value: object) -> bool:
    """None known, or width over height."""
    return _number(value) and (value == 0 or 1 / MOST_SHAPE <= value <= MOST_SHAPE)  # type: ignore[operator]


def _row_number(value: object) -> bool:
    return type(value) is int and 0 < value <= LARGEST_NUMBER


def _word(value: object) -> bool:
    return value in ("good", "adjust", "again")


def _pixels(value: object) -> bool:
    return type(value) is int and 0 < value < 1 << 20


def _use(value: object) -> bool:
    return value in USES


FIELDS: Mapping[str, Mapping[str, Callable[[object], bool]]] = {
    "shot current": {"shot": _text, "by?": _text},
    "set card": {"frame": _named},
    "chart seen": {"frame": _named},
    "frame landed": {"frame": _named, "name": _file_name, "shot?": _text, "replaces?": _text},
    "frame renamed": {"frame": _named, "name": _file_name},
    "file set aside": {"name": _named, "code": _text, "reason": _text, "stamp?": _text},
    "file gone": {"name": _named},
    "frame belongs": {"frame": _named, "shot": _text, "guess?": _flag, "by?": _text},
    "verdict": {
        "frame": _named, "shot?": _text, "word": _word, "act?": _text, "change?": _facts, "confidence?": _share,
        "light?": _facts,
    },
    "judge again": {"frame": _named},
    "kept": {"frame": _named},
    "again": {"frame": _named},
    "test frame": {"shot": _text, "frame": _named},
    "layer": {"shot": _text, "frame": _named},
    "lamp check": {"shot": _text, "frame": _named},
    "lamp settled": {
        "shot": _text, "frame": _named, "against": _named, "lamp": _flag, "share": _number,
        "warmer_mired?": _number, "at": _numbers,
    },
    "burst": {"shot?": _text, "frames": _names, "best": _text, "reason?": _text, "why?": _facts},
    "best": {"frame": _named},
    "select": {"shot": _text, "frame": _named},
    "alternate": {"shot": _text, "frame": _named},
    "crop": {"shot": _text, "channel": _named, "box": _box},
    "dish": {"shot": _text, "box": _box},
    "grey card": {"shot": _text, "frame?": _text, "box": _box},
    "as taken": {"shot": _text, "frame": _named},
    "extra": {"frame": _named, "name": _named, "use": _use},
    "retouched": {"shot": _text, "frame": _named, "file": _file_name, "sha256": _named, "made_from": _text,
                  "width_px": _pixels, "height_px": _pixels},
    "retouched kept": {"shot": _text, "made_from": _named},
    "as made": {"shot": _text, "sha256": _named},
    "colour chart": {"frame": _named, "corners": _corners},
    "lens": {"use": _named},
    "square": {"shot": _named, "corners": _corners, "shape?": _shape, "card?": _text},
    "look": {"shot": _text, **{name: _within(limit) for name, limit in LIMITS.items()}},
    "words": {"shot": _text, "field": _named, "text": _text},
    "camera clock": {"camera": _text, "offset_s": _number},
    "undo": {"row": _row_number},
}  # fmt: skip
"""The kinds of row (state.py tells what each means) and what each field must be; with ?, it may be left out."""

FORMER_KINDS: Mapping[str, str] = {"hero": "select", "reference": "test frame"}
"""Kinds of row under the names that shoots begun earlier have for them."""

_FIELDS = {
    kind: tuple((name.rstrip("?"), not name.endswith("?"), is_right) for name, is_right in fields.items())
    for kind, fields in FIELDS.items()
}
