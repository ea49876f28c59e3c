"""The kept picture of a frame, and which frame it is. Light: the pages ask it; seen.py makes what is not there."""

from pathlib import Path

from plateside.files.cache import picture_or_none
from plateside.files.journal.state import read_state
from plateside.files.thumbnails import thumbnail_path


def thumbnail(root: Path, frame: str, size: str) -> bytes | None:
    """A frame's JPEG as pages show it (thumb, view or full); None when it is not made yet, or was damaged.

    Raises InputError for what cannot be a frame or a size.
    """
    return picture_or_none(thumbnail_path(root, frame, size))


def landed_names(root: Path) -> dict[str, str]:
    """Frame id -> file name of every frame that has landed."""
    return dict(read_state(root).landed)
