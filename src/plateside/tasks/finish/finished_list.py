"""The list that `finish` writes beside its pictures, read; and each picture's file now. Light: the pages read it."""

import math
from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from plateside.files.cache import BuildRecord, key_of
from plateside.files.checksums import hash_now
from plateside.files.folder import ShootFolder, can_lie_in
from plateside.files.json_text import read_json_file
from plateside.finish.followed import LookOff, off_said
from plateside.finish.matched import is_matched
from plateside.model.errors import InputError
from plateside.words.commands import typed

RECORD = "adjustments.json"
BUILD_RECORD = "finish.json"
"""What `finish` keeps under .plateside."""
DAMAGED = (OSError, ValueError, KeyError, TypeError, AttributeError, OverflowError, RecursionError)
"""What reading a list that was damaged may end in."""


@dataclass(frozen=True)
class FinishedEntry:
    """One finished picture, as the list tells of it."""

    shot: str
    frame: str
    frame_id: str
    file: str
    sha256: str
    by_hand: bool
    adjustments: tuple[str, ...]
    matched: bool
    """whether it was brought to the series by something that was measured"""


def read_rows(folder: ShootFolder) -> list[Mapping[str, Any]]:
    """The rows of the list, each checked. Raises InputError when there is none, or none that can be read."""
    path = folder.finished_dir / RECORD
    try:
        rows = read_json_file(path)["pictures"]
        if not isinstance(rows, list):
            raise TypeError("pictures are a list")
        return [_checked(row) for row in rows]
    except FileNotFoundError as error:
        raise InputError(
            "Nothing is finished yet: make the matched set first.",
            f"Run: plateside finish {typed(folder.root)}",
        ) from error
    except DAMAGED as error:
        raise damaged_list(folder) from error


def damaged_list(folder: ShootFolder) -> InputError:
    """That the list cannot be read, and what mends it."""
    return InputError(
        f"The list of what is finished, {RECORD}, cannot be read: make the matched set again.",
        f"Run: plateside finish {typed(folder.root)}",
    )


def said_of_look(folder: ShootFolder) -> tuple[str, str]:
    """The shot that the set follows, and how far its own look is off, in a sentence; empty when it is not."""
    try:
        told = read_json_file(folder.finished_dir / RECORD)
        reference, off = told["reference"], told.get("look_off")
        if not isinstance(reference, str) or off is None:
            return "", ""
        figures = float(off["stops"]), float(off["mired"])
        if not all(map(math.isfinite, figures)) or not any(figures):
            return "", ""
        return reference, off_said(LookOff(str(off["by"]), *figures), reference)
    except (OSError, ValueError, KeyError, TypeError, AttributeError, RecursionError):
        return "", ""


def _checked(row: dict[str, Any]) -> dict[str, Any]:
    """The row. Raises ValueError, KeyError, TypeError when `finish` did not write it."""
    for name in ("shot", "frame", "frame_id", "chosen_by", "file", "sha256", "made_from"):
        if not isinstance(row[name], str):
            raise TypeError(f"{name} is no text")
    if (
        not can_lie_in(row["file"])
        or Path(row["file"]).name != row["file"]
        or not isinstance(row["by_hand"], bool)
    ):
        raise ValueError("a list names files in its own folder")
    if not all(isinstance(row[name], int) and 0 <= row[name] < 1 << 20 for name in ("width_px", "height_px")):
        raise ValueError("sizes are numbers of pixels")
    said, match = row["adjustments"], row["match"]
    if not isinstance(said, list) or not said or not all(isinstance(words, str) for words in said):
        raise TypeError("adjustments are sentences")
    if not isinstance(match["by"], str) or not all(
        isinstance(match[name], int | float) and math.isfinite(match[name]) for name in ("stops", "mired")
    ):
        raise TypeError("a match is told by a word and two numbers")
    return row


def placed(record: BuildRecord, file: str) -> set[str]:
    """Hashes under which `file` was ever put in place by `finish`, or was about to be when a run was cut short.

    made  the record MADE under .plateside
    """
    hashes = (record.entry(f"placed {file}") or {}).get("hashes", ())
    return {str(h) for h in hashes if h} if isinstance(hashes, list) else set()


@dataclass(frozen=True)
class FinishedNow:
    """A finished picture of the list, and its file as it is now."""

    one: FinishedEntry
    sha256: str
    """of the file; empty: it is gone"""
    ours: bool
    """the file is one that `finish` wrote"""

    @property
    def cut_short(self) -> bool:
        """The file was replaced by a run that did not come to write its list."""
        return self.ours and self.sha256 != self.one.sha256

    @property
    def by_hand(self) -> bool:
        """The file was changed by hand since it was written."""
        return bool(self.sha256) and not self.ours

    @property
    def digest(self) -> str:
        """Of the picture and of what is said of it."""
        return key_of(self.sha256, self.one.frame, self.one.adjustments)


def finished_now(folder: ShootFolder) -> dict[str, FinishedNow]:
    """Shot -> its finished picture. Raises InputError when there is no list that can be read."""
    record = BuildRecord(folder.plateside_dir / BUILD_RECORD)
    found = {}
    for row in read_rows(folder):
        match = row["match"]
        one = FinishedEntry(
            row["shot"], row["frame"], row["frame_id"], row["file"], row["sha256"], row["by_hand"],
            tuple(row["adjustments"]), is_matched(match["by"], match["stops"], match["mired"]),
        )  # fmt: skip
        sha256 = hash_now(folder.finished_dir / one.file)
        own = (
            {record.last(one.file, "sha256")}
            | ({one.sha256} if not one.by_hand else set())
            | placed(record, one.file)
        )
        found[one.shot] = FinishedNow(one, sha256, bool(sha256) and sha256 in own)
    return found
