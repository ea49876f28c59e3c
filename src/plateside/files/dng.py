"""Made frames to disk: DNG 1.4 with an embedded JPEG preview, and JPEG, both with full EXIF."""

from pathlib import Path

from plateside.picture.made.frame import MadeFrame


def write_dng(path: Path, frame: MadeFrame) -> None:
    """Write the frame's mosaic as DNG (uncompressed, 16-bit words, 14 bits used), preview and EXIF inside."""
    raise NotImplementedError


def write_jpeg(path: Path, frame: MadeFrame, *, quality: int = 92) -> None:
    """Write the camera's own picture as JPEG with the same EXIF."""
    raise NotImplementedError
