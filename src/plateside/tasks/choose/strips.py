"""Small pictures joined by the strip, so that a page asks for a handful of files instead of hundreds."""

import time
from pathlib import Path

import numpy as np
from numpy.typing import NDArray

from plateside.files.journal.state import read_state
from plateside.files.originals import jpegs
from plateside.files.pictures import encode_plain
from plateside.files.thumbnails import (
    STRIP_ACROSS,
    STRIP_CELL_PX,
    STRIP_CELLS,
    strip_groups,
    strip_key,
    strip_path,
    strips_there,
    thumbnail_path,
    thumbnails_there,
)
from plateside.model.errors import CouldNotError, InputError
from plateside.model.progress import Progress, silent
from plateside.tasks.choose.make_thumbnails import write_bytes_to

GROUND = (239, 234, 225)
"""Beside an upright picture, and where none is: the colour an empty place has on the page (#efeae1)."""
QUALITY = 74
_KEPT_S = 86_400.0
"""A page that was opened before may still ask for a strip that is no longer current; a day later none does."""


def make_strips(root: Path, progress: Progress = silent) -> int:
    """Make the strips that are not there; returns how many. What no longer belongs to any is taken away after a day."""
    groups = strip_groups(list(read_state(root).landed), thumbnails_there(root))
    wanted = {key: group for group in groups if (key := strip_key(group))}
    there = strips_there(root)
    missing = [key for key in wanted if key not in there]
    for number, key in enumerate(missing):
        write_bytes_to(strip_path(root, key), encode_plain(_joined(root, wanted[key]), QUALITY))
        progress(number + 1, len(missing))
    for key in there - wanted.keys():
        _forget(root / ".plateside" / "strips" / f"{key}.jpg")
    return len(missing)


def _joined(root: Path, group: list[str]) -> NDArray[np.uint8]:
    wide, high = STRIP_CELL_PX
    strip = np.full((high * (STRIP_CELLS // STRIP_ACROSS), wide * STRIP_ACROSS, 3), GROUND, np.uint8)
    for place, frame in enumerate(group):
        if not frame:
            continue
        try:
            picture = _fitted(jpegs.read_bytes(thumbnail_path(root, frame, "thumb")))
        except (InputError, CouldNotError):
            # damaged in the cache: its place stays empty; the cache may be deleted at any time
            continue
        top = place // STRIP_ACROSS * high + (high - picture.shape[0]) // 2
        left = place % STRIP_ACROSS * wide + (wide - picture.shape[1]) // 2
        strip[top : top + picture.shape[0], left : left + picture.shape[1]] = picture
    return strip


def _fitted(data: bytes) -> NDArray[np.uint8]:
    """The small picture, inside one cell."""
    width, height = jpegs.checked_size(data, "a small picture")
    scale = min(STRIP_CELL_PX[0] / width, STRIP_CELL_PX[1] / height, 1.0)
    picture = jpegs.decode(data, "a small picture", max(round(max(width, height) * scale), 1))
    return picture[: STRIP_CELL_PX[1], : STRIP_CELL_PX[0]]


def _forget(path: Path) -> None:
    try:
        if time.time() - path.stat().st_mtime > _KEPT_S:
            path.unlink(missing_ok=True)
    except OSError:
        # a cache: what cannot be taken away now is no harm
        return
