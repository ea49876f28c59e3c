"""Functions that can be sent to another process: what jobs do in these tests. Each writes what it did, whole."""

import os
import signal
import time
from pathlib import Path

from plateside.model.errors import InputError


def write_one(name: str, folder: str) -> str:
    """Write that it was done, and by whom."""
    (Path(folder) / f"{name}-{os.getpid()}-{time.monotonic_ns()}").touch()
    return name.upper()


def slowly(name: str, folder: str) -> str:
    """The same, no sooner than somebody lets it go on."""
    write_one(name, folder)
    while not (Path(folder) / "go").exists():
        time.sleep(0.01)
    return name.upper()


def end_once(name: str, folder: str, who: str) -> str:
    """Its process is ended the first time that it comes to `who`."""
    mark = Path(folder) / "ended"
    if name == who and not mark.exists():
        mark.touch()
        os.kill(os.getpid(), signal.SIGKILL)
    return write_one(name, folder)


def end_always(name: str, folder: str, who: str) -> str:
    """Its process is ended whenever it comes to `who`."""
    if name == who:
        os.kill(os.getpid(), signal.SIGKILL)
    return write_one(name, folder)


def refuse(name: str, folder: str) -> str:
    raise InputError(f"{name} in {folder}")
