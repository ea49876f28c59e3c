"""One thing left to fix, or worth a remark, as a fact: `words/deliver/points.py` says it, and what mends it.

Whoever leads to where a point is fixed, or decides by it, goes by its code.
"""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, fields
from typing import Any


@dataclass(frozen=True)
class Point:
    """One thing: what kind it is, of what, and the figures and names that are said of it."""

    code: str
    """What kind of point it is; one of CODES."""
    shot: str = ""
    """Of which shot; empty: of none."""
    channel: str = ""
    """Of which channel; empty: of none."""
    blocks: bool = False
    """Whether it keeps the delivery from being ready."""
    what: str = ""
    """Which of a kind: the field that is a placeholder, what is wrong with an alt text, by what a look is off."""
    text: str = ""
    """What you wrote there, or what was advised."""
    names: tuple[str, ...] = ()
    """Channels, files or sources."""
    got: tuple[float, ...] = ()
    """Figures as they are."""
    asked: tuple[float, ...] = ()
    """Figures as they should be."""


CODES = (
    "no release", "no licence", "recipe placeholder", "maker placeholder", "no frame", "not finished", "left out",
    "no picture", "another select", "unmatched", "look off", "finish cut short", "taken again", "better again",
    "words", "food cut", "too few pixels", "too heavy", "squeezed", "no address", "no shape", "small for search",
    "stale", "interrupted", "files missing", "hand changed",
    "retouched older", "retouched changed", "retouched gone", "retouched waiting", "retouched unknown",
)  # fmt: skip


def holds_back(points: Iterable[Point]) -> bool:
    """Whether any of them keeps the delivery from being called ready."""
    return any(point.blocks for point in points)


def point_from(written: Mapping[str, Any]) -> Point:
    """A point read back from a delivery's list. Raises KeyError, TypeError or ValueError for what is none."""
    row = {field.name: written[field.name] for field in fields(Point) if field.name in written}
    if row["code"] not in CODES:
        raise ValueError("code")
    for name in ("shot", "channel", "what", "text"):
        if not isinstance(row.get(name, ""), str):
            raise TypeError(name)
    names = tuple(str(name) for name in row.pop("names", ()))
    got, asked = (tuple(float(v) for v in row.pop(kind, ())) for kind in ("got", "asked"))
    return Point(**{**row, "blocks": row.get("blocks") is True}, names=names, got=got, asked=asked)
