"""Which shoot was open: a server that is started again opens it again, so that every page comes back to it."""

import contextlib
import os
from pathlib import Path

from plateside.files.atomic import write_text
from plateside.files.folder import SHOOT_FILE
from plateside.files.json_text import whole_bytes
from plateside.model.errors import CouldNotError
from plateside.words.serving import no_folder

_NAME = "open.txt"
_LARGEST = 100_000
"""Bytes of a path."""


def to_open(given: Path) -> tuple[Path, Path | None]:
    """The folder that is served, and the shoot that is open in it: itself, or the one that was open last.

    Raises CouldNotError when there is no such folder.
    """
    home = given.resolve()
    if not home.is_dir():
        raise CouldNotError(no_folder(given))
    return home, home if (home / SHOOT_FILE).is_file() else last_open(home)


def remember(home: Path, root: Path) -> None:
    """Write down that the shoot in `root` is open in the folder `home`."""
    path = home / ".plateside" / _NAME
    # a read-only folder still works: she then opens the shoot herself after a restart
    with contextlib.suppress(OSError, CouldNotError, ValueError):
        path.parent.mkdir(parents=True, exist_ok=True)
        write_text(path, Path(os.path.relpath(root, home)).as_posix() + "\n")


def last_open(home: Path) -> Path | None:
    """The shoot in `home` that was open last; None when there was none, or when it is there no more."""
    try:
        # a plain file: to open a pipe that somebody put there would take for ever
        name_there = whole_bytes(home / ".plateside" / _NAME, _LARGEST).decode("utf-8").strip()
        # whoever can write into a shared folder must not say which other one is opened
        if Path(name_there).is_absolute() or ".." in Path(name_there).parts:
            return None
        root = (home / name_there).resolve()
        return root if name_there and (root / SHOOT_FILE).is_file() else None
    except (OSError, ValueError):
        return None
