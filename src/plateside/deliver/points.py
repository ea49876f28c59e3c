"""One thing that stands open, said so that it can be read anywhere; how it is mended in her files stands apart.

A page and the note in the delivery show the words alone: nobody there has shoot.toml before her. Whoever leads to
where a point is mended, or decides by it, goes by its code, never by its words.
"""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from typing import Any


@dataclass(frozen=True)
class Point:
    """What stands open."""

    words: str
    """What it is and what would mend it, in sentences without the names of files and fields."""
    in_files: str = ""
    """The line to write in her settings, or the command to run; empty: there is none."""
    code: str = ""
    """What kind of point it is; one of CODES."""
    shot: str = ""
    """Of which shot; empty: of none."""
    channel: str = ""
    """Of which channel; empty: of none."""
    blocks: bool = False
    """Whether it keeps the delivery from being called ready."""

    def in_full(self) -> str:
        """Both, for who works by commands."""
        return f"{self.words} {self.in_files}" if self.in_files else self.words


CODES = (
    "no release", "no licence", "recipe placeholder", "maker placeholder", "no frame", "not finished", "left out",
    "no picture", "another hero", "unmatched", "look off", "finish cut short", "taken again", "words", "food cut",
    "too few pixels", "too heavy", "squeezed",
    "no address", "no shape", "too small for search", "stale", "interrupted", "files missing",
)  # fmt: skip


def holds_back(points: Iterable[Point]) -> bool:
    """Whether any of them keeps the delivery from being called ready."""
    return any(point.blocks for point in points)


def point_from(written: str | Mapping[str, Any]) -> Point:
    """A point read back from a delivery's list. Raises KeyError or TypeError for what is none."""
    if isinstance(written, str):
        return Point(written)
    texts = {name: written.get(name, "") for name in ("in_files", "code", "shot", "channel")}
    if not all(isinstance(text, str) for text in (written["words"], *texts.values())):
        raise TypeError("a point is told in texts")
    return Point(written["words"], **texts, blocks=written.get("blocks") is True)
