"""Retouched files sent from a page: begun, and sent in parts. Light to import: the server's own process does it."""

from pathlib import Path

from plateside.files.folder import shoot_folder
from plateside.files.landing import arriving
from plateside.files.settings.load import load_shoot
from plateside.finish.came_back import ENDINGS
from plateside.model.errors import InputError
from plateside.tasks.finish.finished_list import read_rows
from plateside.tasks.finish.retouched_now import FOLDER
from plateside.tasks.set.adding import Added
from plateside.tasks.set.adding import add_part as add_part_of_photograph
from plateside.words.retouched import wrong_kind

LARGEST_BYTES = 1_000_000_000
"""Of a retouched file: 100 megapixels of 16 bits, and room for what programs keep beside."""


def begin(root: Path, sender: str, name: str, size: int, changed_ms: int) -> Added:
    """Make a place for one file, or say how much of it has come. Raises InputError, CouldNotError."""
    folder = shoot_folder(root, load_shoot(root / "shoot.toml"))
    read_rows(folder)  # before anything is finished nothing can come back
    if Path(name).suffix.lower() not in ENDINGS:
        raise InputError(wrong_kind(name))
    found = arriving.begin(
        root,
        folder.finished_dir / FOLDER,
        f"retouched {sender}",
        name,
        size,
        changed_ms,
        ENDINGS,
        LARGEST_BYTES,
    )
    return Added(found.key, found.have)


def add_part(root: Path, key: str, at: int, size: int, part: bytes) -> Added:
    """Write one part down; once all have come the file can be put beside the pictures (retouched_added.py)."""
    return add_part_of_photograph(root, key, at, size, part, LARGEST_BYTES)
