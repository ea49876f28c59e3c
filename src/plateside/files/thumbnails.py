"""Where the pictures of frames that pages show are kept: made once, under the frame's content hash.

Small pictures are joined by the strip: one file with the small pictures of STRIP_CELLS frames side by side, so that a
sheet of two hundred is a handful of files. A strip is named by what is in it (the frames' own hashes, in order): a
strip with other frames has another name, and an old one can never stand for it.
"""

import hashlib
from collections.abc import Mapping, Sequence, Set
from pathlib import Path

from plateside.model.errors import InputError
from plateside.words.frame_files import said

SIZES: Mapping[str, tuple[int, int]] = {"thumb": (320, 80), "view": (1600, 88), "full": (12000, 92)}
"""Longest side [px] and JPEG quality."""

STRIP_CELLS, STRIP_ACROSS = 32, 8
STRIP_CELL_PX = (192, 128)
"""Frames in a strip, side by side, and one's width and height. css/choose.css knows the same numbers."""
_LEAST_IN_STRIP = 12
"""With fewer, single pictures are as quick."""
_FORMAT = "strip 1: 8 x 4 of 192 x 128"


def thumbnail_path(root: Path, frame_id: str, size: str) -> Path:
    """Where the picture of a frame is kept. Raises InputError for what cannot be a frame or a size."""
    if size not in SIZES or not (8 <= len(frame_id) <= 64 and frame_id.isascii() and frame_id.isalnum()):
        raise InputError(said("no such picture"))
    return root / ".plateside" / "thumbnails" / f"{frame_id}-{size}.jpg"


def thumbnails_there(root: Path) -> set[str]:
    """Ids of the frames whose small picture is there."""
    return {name.removesuffix("-thumb") for name in _stems(root / ".plateside" / "thumbnails", "-thumb.jpg")}


def strip_groups(landed: Sequence[str], there: Set[str]) -> list[list[str]]:
    """Frames in order of landing, by the strip; '' for one without a small picture yet.

    By landing, for that order never changes: a frame that moves to another shot moves in no strip.
    """
    ids = [frame if frame in there else "" for frame in landed]
    return [ids[at : at + STRIP_CELLS] for at in range(0, len(ids), STRIP_CELLS)]


def strip_key(group: Sequence[str]) -> str:
    """The strip's name: 32 hexadecimal digits of what is in it; '' for a group that is not worth one."""
    if sum(1 for frame in group if frame) < _LEAST_IN_STRIP:
        return ""
    return hashlib.sha256("\n".join((_FORMAT, *group)).encode()).hexdigest()[:32]


def strip_path(root: Path, key: str) -> Path:
    """Where a strip is kept. Raises InputError for what cannot be the name of one."""
    if len(key) != 32 or not set(key) <= set("0123456789abcdef"):
        raise InputError(said("no such picture"))
    return root / ".plateside" / "strips" / f"{key}.jpg"


def strips_there(root: Path) -> set[str]:
    """Names of the strips that are there."""
    return {name for name in _stems(root / ".plateside" / "strips", ".jpg") if not name.startswith(".")}


def _stems(folder: Path, ending: str) -> set[str]:
    if not folder.is_dir():
        return set()
    return {path.name.removesuffix(".jpg") for path in folder.iterdir() if path.name.endswith(ending)}
