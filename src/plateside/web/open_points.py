"""Where on the pages each thing is mended that a delivery still waits for.

What is open is decided in tasks/deliver/open_points.py alone; here each point's code gets its address.
"""

from dataclasses import dataclass
from typing import Protocol


class Open(Protocol):
    """What is open, as the task tells it."""

    @property
    def words(self) -> str: ...
    @property
    def code(self) -> str: ...
    @property
    def shot(self) -> str: ...
    @property
    def blocks(self) -> bool: ...


_MENDED = {
    "no release": ("#releases", "Say that it was given"),
    "no licence": ("#usage_terms", "Write them"),
    "recipe placeholder": ("/plan#recipe", "Mend it"),
    "maker placeholder": ("/plan#creator", "Mend it"),
    "no frame": ("/set", "Photograph it"),
    "not finished": ("/finish", "Finish it"),
    "no picture": ("/plan#shots", "Say which"),
    "left out": ("/plan#shot-{shot}", "Change that"),
    "another hero": ("/finish", "Finish it again"),
    "finish cut short": ("/finish", "Finish it again"),
    "look off": ("/finish", "Look at it"),
    "unmatched": ("/finish", "Look at it"),
    "taken again": ("/choose", "Choose another, or keep it"),
    "words": ("#alt_text-{shot}", "Mend it"),
    "food cut": ("#shot-{shot}", "See its crops"),
    "too few pixels": ("#shot-{shot}", "See its crops"),
    "too heavy": ("/plan#channels", "Mend the channel"),
    "squeezed": ("/plan#channels", "Mend the channel"),
    "no address": ("/plan#creator", "Say it"),
    "no shape": ("/plan#channels", "Add the channel"),
    "too small for search": ("/plan#channels", "Mend the channel"),
    "stale": ("#run", "Make it again"),
    "interrupted": ("#run", "Make it again"),
    "files missing": ("#run", "Make it again"),
}


@dataclass(frozen=True)
class OpenPoint:
    """One thing, and where it is mended: an address with the words of its link; both empty when there is no place."""

    words: str
    address: str = ""
    link: str = ""
    code: str = ""
    blocks: bool = False


def with_address(point: Open) -> OpenPoint:
    """The point as the page shows it."""
    address, link = _MENDED.get(point.code, ("", ""))
    return OpenPoint(point.words, address.format(shot=point.shot), link, point.code, point.blocks)
