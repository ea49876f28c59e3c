"""Where the pictures of frames that pages show are kept: made once, under the frame's content hash."""

from collections.abc import Mapping
from pathlib import Path

from plateside.model.errors import InputError

SIZES: Mapping[str, tuple[int, int]] = {"thumb": (320, 80), "view": (1600, 88), "full": (12000, 92)}
"""Longest side [px] and JPEG quality."""


def seen_path(root: Path, frame_id: str, size: str) -> Path:
    """Where the picture of a frame is kept. Raises InputError for what cannot be a frame or a size."""
    if size not in SIZES or not (8 <= len(frame_id) <= 64 and frame_id.isascii() and frame_id.isalnum()):
        raise InputError("There is no such picture.")
    return root / ".plateside" / "seen" / f"{frame_id}-{size}.jpg"
