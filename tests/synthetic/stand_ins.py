"""What may stand in the place of a file and is none: a folder, a pipe, links to nowhere, itself or somewhere else."""

import contextlib
import os
import random
import shutil
from collections.abc import Callable
from pathlib import Path


def _folder(path: Path) -> None:
    path.mkdir()
    (path / "inside.jpg").write_bytes(b"nothing")


def _pipe(path: Path) -> None:
    getattr(os, "mkfifo", Path.mkdir)(path)


def _link_to(target: str) -> Callable[[Path], None]:
    return lambda path: path.symlink_to(target.replace("ITSELF", path.name))


KINDS: dict[str, Callable[[Path], None]] = {
    "a folder": _folder,
    "a pipe": _pipe,
    "a link to nowhere": _link_to("nowhere/at all"),
    "a link to itself": _link_to("ITSELF"),
    "a link to a folder": _link_to(".."),
    "a link to what never ends": _link_to("/dev/zero"),
}


def stand_in(path: Path, dice: random.Random) -> str:
    """Put one in the place of a file; what it is."""
    what = dice.choice(list(KINDS))
    path.unlink()
    KINDS[what](path)
    return what


def take_away(path: Path) -> None:
    """Whatever stands at a path; who still waits at a pipe is let go."""
    if path.is_fifo():
        with contextlib.suppress(OSError):
            os.close(os.open(path, os.O_RDWR | os.O_NONBLOCK))
    if path.is_dir() and not path.is_symlink():
        shutil.rmtree(path)
    else:
        path.unlink(missing_ok=True)
