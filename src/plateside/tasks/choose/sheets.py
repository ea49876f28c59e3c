"""The sheets of Choose: all shots and frames, short, and kept for as long as nothing they are made from changes."""

import hashlib
import time
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

from plateside.files.cache import picture_or_none
from plateside.files.folder import SHOOT_FILE
from plateside.files.thumbnails import (
    STRIP_CELLS,
    strip_groups,
    strip_key,
    strip_path,
    strips_there,
    thumbnails_there,
)
from plateside.tasks.standing import FrameStanding, ShootStanding, standing

WORDS = ("", "good", "adjust", "again")
PRESSED = ("", "kept", "again")
GUESSED, TEST_FRAME, THUMBNAIL = 1, 2, 4
BURST = 8
"""Times the place in BURSTS."""
BURSTS = ("", "one", "best", "hers")
CHART = 32
_SETTLED_S = 0.1
"""A folder's time goes in steps of some milliseconds: younger than this, another file may still come unseen."""

Mark = tuple[tuple[int, int, int], ...]


@dataclass(frozen=True)
class Sheets:
    """What the page is drawn from."""

    now: ShootStanding
    thumbnails: frozenset[str]
    """frames whose small picture is there"""
    strips: tuple[str, ...]
    """names of the strips, by the order in which their frames landed; '' where there is none yet"""
    place: dict[str, int] = field(repr=False)
    """frame id -> its place in the order of landing, which tells its strip and its place in it"""

    @property
    def style(self) -> str:
        """Names the style sheet in which these strips stand; '' when there is no strip."""
        return hashlib.sha256("\n".join(self.strips).encode()).hexdigest()[:16] if any(self.strips) else ""

    def strip_of(self, frame: str) -> tuple[str, int]:
        """Strip's name ('': none) and the frame's place in it."""
        place = self.place[frame]
        strip = self.strips[place // STRIP_CELLS] if frame in self.thumbnails else ""
        return strip, place % STRIP_CELLS

    def role(self, frame: FrameStanding) -> str:
        """select, alternate or empty."""
        return frame.role if frame.shot in {s.name for s in self.now.shots} else ""

    def packed(self) -> dict[str, Any]:
        """As the page gets it: two thousand frames are some 130 kB. choose/state.js reads it."""
        shots = [s.name for s in self.now.shots]
        shot_at = {name: n for n, name in enumerate(shots)}
        acts: dict[str, int] = {"": 0}
        rows = [
            [
                f.id, f.name, shot_at.get(f.shot, -1), WORDS.index(f.word) if f.word in WORDS else 0,
                acts.setdefault(f.act, len(acts)), PRESSED.index(f.pressed),
                GUESSED * f.guessed + TEST_FRAME * f.test_frame + THUMBNAIL * (f.id in self.thumbnails)
                + BURST * BURSTS.index(f.burst) + CHART * f.chart,
            ]
            for f in self.now.frames
        ]  # fmt: skip
        return {
            "row": self.now.row, "title": self.now.title,
            "shots": [{"name": s.name, "select": s.select, "alternate": s.alternate} for s in self.now.shots],
            "words": WORDS, "pressed": PRESSED, "acts": list(acts), "frames": rows, **self.packed_strips(),
        }  # fmt: skip

    def packed_strips(self) -> dict[str, Any]:
        """The strips alone."""
        return {"strips": self.strips, "cells": STRIP_CELLS, "style": self.style}


class LastSheets:
    """The sheets of the shoot that was asked for last: read again only when something they are made from changed."""

    def __init__(self) -> None:
        self._last: tuple[Path, Mark, Sheets] | None = None
        """One value: who asks meanwhile, on another thread, finds the sheets with their own mark."""

    def sheets(self, root: Path) -> Sheets:
        """The shoot's sheets as they are now."""
        mark = _mark(root)
        known = self._last
        if known is not None and known[:2] == (root, mark):
            return known[2]
        fresh = read_sheets(root)
        settled = time.time_ns() - max(stamp for _, stamp, _ in mark) > _SETTLED_S * 1e9
        self._last = (root, mark, fresh) if settled else None
        return fresh


def read_sheets(root: Path) -> Sheets:
    """From the journal, shoot.toml and what small pictures there are."""
    now = standing(root)
    thumbnails = thumbnails_there(root)
    there = strips_there(root)
    landed = [f.id for f in now.frames]
    keys = (strip_key(group) for group in strip_groups(landed, thumbnails))
    strips = tuple(key if key in there else "" for key in keys)
    return Sheets(now, frozenset(thumbnails), strips, {frame: n for n, frame in enumerate(landed)})


def strip_style(root: Path) -> str:
    """A style sheet with a class for each strip there is: whoever stands in the class can show its pictures."""
    return "".join(f".j-{key}{{background-image:url({key}.jpg)}}\n" for key in sorted(strips_there(root)))


def strip_picture(root: Path, key: str) -> bytes | None:
    """A strip's JPEG; None when there is none. Raises InputError for what cannot be the name of one."""
    return picture_or_none(strip_path(root, key))


def _mark(root: Path) -> Mark:
    parts = ("journal.jsonl", SHOOT_FILE, ".plateside/thumbnails", ".plateside/strips")
    return tuple(_stamp(root / part) for part in parts)


def _stamp(path: Path) -> tuple[int, int, int]:
    try:
        stat = path.stat()
    except OSError:
        return (0, 0, 0)
    return (stat.st_ino, stat.st_mtime_ns, stat.st_size)
