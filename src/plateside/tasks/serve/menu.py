"""Plateside without a terminal: an entry in the system's menu, and what a press of it does.

Light to import: the server's own process asks whether the entry is there.
"""

import sys
from dataclasses import dataclass
from pathlib import Path

from plateside.files.menu_entry import entry_path, take_entry, write_entry
from plateside.files.running import Announced, RunningServer, Starting, last_served, running_servers
from plateside.model.errors import CouldNotError

__all__ = [
    "Announced",
    "MenuEntry",
    "Starting",
    "folder_to_serve",
    "in_menu",
    "leave_menu",
    "put_into_menu",
    "server_of",
]

DEFAULT_NAME = "Plateside"
"""Of the folder in the account's home that is made when none was served before."""


@dataclass(frozen=True)
class MenuEntry:
    """The entry as it was written or taken away."""

    path: str
    there: bool


def command() -> list[str]:
    """What a press of the entry runs."""
    return [sys.executable, "-m", "plateside", "open"]


def in_menu() -> bool:
    """Whether the entry is there."""
    try:
        return entry_path().exists()
    except OSError:
        return False


def put_into_menu() -> MenuEntry:
    """Write the entry (again). Raises CouldNotError with the mend."""
    return MenuEntry(str(write_entry(command())), there=True)


def leave_menu() -> MenuEntry:
    """Take the entry away; there: whether there was one."""
    return MenuEntry(str(entry_path()), there=take_entry())


def server_of(folder: Path | None) -> RunningServer | None:
    """The server that runs already: of this folder; without one, of the folder served last, else any."""
    found = running_servers()
    wanted = folder.resolve() if folder is not None else last_served()
    mine = [one for one in found if one.home == wanted]
    return next(iter(mine or (found if folder is None else [])), None)


def folder_to_serve(folder: Path | None) -> Path:
    """The folder given, else the one served last, else a new one at home. Raises CouldNotError."""
    if folder is not None:
        return folder
    last = last_served()
    if last is not None:
        return last
    home = Path.home() / DEFAULT_NAME
    try:
        home.mkdir(parents=True, exist_ok=True)
    except OSError as error:
        raise CouldNotError(f"{home}: {error.strerror}") from error
    return home
