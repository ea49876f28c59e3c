"""What of a shoot's originals is on two disks, as the one that copies (safe_run.py) last wrote it down.

Light to import: the server's own process asks it for each screen.
"""

import os
from collections.abc import Mapping
from dataclasses import dataclass, fields
from pathlib import Path
from typing import Any

from plateside.files.folder import SHOOT_FILE
from plateside.files.json_text import read_json_file
from plateside.files.second.second_disk import called
from plateside.files.settings.load import load_shoot
from plateside.model.errors import PlatesideError

MOST_NAMED = 20
"""Of files that are on one disk only, told one by one; all are counted."""


@dataclass(frozen=True)
class NotSafe:
    """A file that is on one disk only, or was not taken from the memory card."""

    name: str
    code: str
    """of the originals: waiting, still coming, incomplete, unread, differs; of the memory card's: waiting, not a
    picture, unread, incomplete, in before (taken once, and no longer in the frames folder), no room, differs"""
    reason: str = ""
    """a sentence, where the code alone does not say it"""


@dataclass(frozen=True)
class CardSafe:
    """The memory card."""

    folder: str
    """the last part of its path"""
    state: str
    """starting, ok, away, not a folder, inside, unread"""
    pictures: int = 0
    landed: int = 0
    """in the frames folder"""
    on_two: int = 0
    """in the frames folder and on the second disk, both read back"""
    left: tuple[NotSafe, ...] = ()
    """what cannot be taken, or is no picture; then what waits"""
    left_count: int = 0
    may_be_cleared: bool = False
    """every file on it is a picture that is on two other disks"""
    second_is_card: bool = False
    """the second disk is this very card"""


@dataclass(frozen=True)
class SafeNow:
    """Where the originals are."""

    folder: str
    """the last part of the second disk's path; empty when none was named"""
    state: str
    """none, starting, ok, away, other disk, not a folder, inside, full, read only, not permitted, failed"""
    reason: str = ""
    disks: str = "unknown"
    """same, apart, unknown: is it another disk than that of the frames"""
    total: int = 0
    on_two: int = 0
    left: tuple[NotSafe, ...] = ()
    left_count: int = 0
    kept_as: tuple[tuple[str, str], ...] = ()
    """(original, the name of its copy), where another file had its name"""
    card: CardSafe | None = None

    @property
    def all_on_two(self) -> bool:
        """Whether every original is on two disks."""
        return self.state == "ok" and self.disks != "same" and 0 < self.total == self.on_two


@dataclass(frozen=True)
class Places:
    """The two folders as shoot.toml names them; empty: none."""

    second_disk: str
    memory_card: str


def places_of(root: Path) -> Places:
    """The folders that the shoot names. Raises SettingsError and InputError when shoot.toml cannot be read."""
    shoot = load_shoot(root / SHOOT_FILE)
    return Places(shoot.second_disk, shoot.memory_card)


def record_file(root: Path) -> Path:
    """Where it is written down: it may be deleted at any time."""
    return root / ".plateside" / "two-disks.json"


def stamp_of(root: Path) -> tuple[int, int]:
    """Changes with what is written down; zeros when nothing is."""
    try:
        found = os.stat(record_file(root))  # noqa: PTH116 - asked for several times a second
    except OSError:
        return 0, 0
    return found.st_mtime_ns, found.st_size


def safe_now(root: Path) -> SafeNow | None:
    """As of what was last written down; None when the shoot names neither a second disk nor a memory card.

    What is written of other folders than those named now says nothing: then it is starting.
    """
    try:
        places = places_of(root)
    except PlatesideError:
        return None
    if not places.second_disk and not places.memory_card:
        return None
    try:
        kept = read_json_file(record_file(root))
        if kept["places"] == [places.second_disk, places.memory_card]:
            return _read(kept["now"])
    except (OSError, ValueError, KeyError, TypeError):
        pass
    card = CardSafe(called(Path(places.memory_card)), "starting") if places.memory_card else None
    return SafeNow(
        called(Path(places.second_disk)) if places.second_disk else "",
        "starting" if places.second_disk else "none",
        card=card,
    )


def _read(got: Mapping[str, Any]) -> SafeNow:
    card = got.get("card")
    return SafeNow(
        **_known(SafeNow, got) | {
            "left": _left(got["left"]),
            "kept_as": tuple((str(a), str(b)) for a, b in got["kept_as"]),
            "card": None if card is None else CardSafe(**_known(CardSafe, card) | {"left": _left(card["left"])}),
        }
    )  # fmt: skip


def _known(kind: type, got: Mapping[str, Any]) -> dict[str, Any]:
    return {f.name: got[f.name] for f in fields(kind) if f.name in got}


def _left(got: Any) -> tuple[NotSafe, ...]:
    return tuple(NotSafe(**_known(NotSafe, one)) for one in got)
