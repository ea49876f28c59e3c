"""Drawn pictures and their cache on disk.

A drawn picture says in its EXIF that it is a drawing. The cache holds linear light by content hash, under the shoot's
`.plateside` folder; it may be deleted at any time.
"""

import io
from collections.abc import Iterator, MutableMapping
from pathlib import Path
from typing import Any

import numpy as np
from numpy.typing import NDArray
from PIL import Image

from plateside import __version__
from plateside.files.atomic import write_bytes
from plateside.files.cache import Cache
from plateside.files.tiff_tags import ASCII, Directory, Tag, file_bytes
from plateside.words import frame_files
from plateside.words.files import KEPT_DRAWING

DRAWN = frame_files.SAID["drawn"]
MOST_CACHED = 200
"""Pictures kept in the cache; the oldest go first."""
_ENDING = ".npy"


def write_drawn(path: Path, picture: NDArray[np.uint8], *, quality: int = 92) -> None:
    """Write a drawn picture as JPEG (or PNG, by the name), saying what it is. Raises CouldNotError."""
    out = io.BytesIO()
    image = Image.fromarray(picture)
    if path.suffix.lower() == ".png":
        image.save(out, "PNG", optimize=True)
    else:
        who = [Tag(270, ASCII, DRAWN), Tag(305, ASCII, f"Plateside {__version__} ({DRAWN})")]
        image.save(out, "JPEG", quality=quality, subsampling=0, exif=b"Exif\0\0" + file_bytes(Directory(who)))
    write_bytes(path, out.getvalue())


class DrawnCache(MutableMapping[str, NDArray[Any]]):
    """Arrays by key in a folder; a file that cannot be read counts as not there."""

    def __init__(self, folder: Path, most: int = MOST_CACHED) -> None:
        self._cache = Cache(folder, most, KEPT_DRAWING)

    def __contains__(self, key: object) -> bool:
        return isinstance(key, str) and self._read(key) is not None

    def __getitem__(self, key: str) -> NDArray[Any]:
        found = self._read(key)
        if found is None:
            raise KeyError(key)
        return found

    def _read(self, key: str) -> NDArray[Any] | None:
        content = self._cache.get_bytes(key, _ENDING)
        try:
            return None if content is None else np.asarray(np.load(io.BytesIO(content), allow_pickle=False))
        except (OSError, ValueError, EOFError):
            return None

    def __setitem__(self, key: str, value: NDArray[Any]) -> None:
        out = io.BytesIO()
        np.save(out, value, allow_pickle=False)
        # a full or read-only disk: it is drawn again next time
        self._cache.put_bytes(key, _ENDING, out.getvalue())

    def __delitem__(self, key: str) -> None:
        if key not in self:
            raise KeyError(key)
        self._cache.path(key, _ENDING).unlink(missing_ok=True)

    def __iter__(self) -> Iterator[str]:
        return (p.stem for p in sorted(self._cache.folder.glob(f"*{_ENDING}")))

    def __len__(self) -> int:
        return sum(1 for _ in self)
