"""A folder of this account alone, for what no other account of the machine may read.

Never in a shoot's folder: that may be on a shared disk, or on one that knows no permissions. A file is made readable
by its owner alone from its first moment; one that others could have read or written counts as not there.

Where: PLATESIDE_STATE when it is set, else XDG_STATE_HOME or ~/.local/state (XDG Base Directory Specification 0.8),
~/Library/Application Support on macOS, %LOCALAPPDATA% on Windows, whose rights there are the account's own.
"""

import hashlib
import os
import re
import secrets
import stat
import sys
from pathlib import Path

from plateside.files.atomic import disk_faults_in_words

_POSIX = os.name == "posix"
_LARGEST = 1_000_000


def own_place() -> Path:
    """The folder; it need not be there yet."""
    given = os.environ.get("PLATESIDE_STATE")
    if given:
        return Path(given)
    if os.name == "nt":
        return Path(os.environ.get("LOCALAPPDATA") or Path.home() / "AppData" / "Local") / "Plateside"
    if sys.platform == "darwin":
        return Path.home() / "Library" / "Application Support" / "Plateside"
    state = os.environ.get("XDG_STATE_HOME", "")
    # the specification: a relative path there is to be ignored
    return (Path(state) if Path(state).is_absolute() else Path.home() / ".local" / "state") / "plateside"


def served_place(home: Path) -> Path:
    """Where what belongs to the served folder `home` is kept: by its name, and a hash of its whole path."""
    place = home.resolve()
    name = re.sub(r"[^A-Za-z0-9-]+", "-", place.name)[:40].strip("-") or "folder"
    mark = hashlib.blake2b(os.fsencode(place), digest_size=8).hexdigest()
    return own_place() / "served" / f"{name}-{mark}"


def read_own(name: str) -> str | None:
    """A file's text; None when it is not there, or when another account could have read or written it."""
    try:
        handle = os.open(own_place() / name, os.O_RDONLY | getattr(os, "O_NOFOLLOW", 0))
        with os.fdopen(handle, "rb") as file:
            file_stat = os.fstat(file.fileno())
            if not stat.S_ISREG(file_stat.st_mode) or (_POSIX and not _is_ours_alone(file_stat)):
                return None
            return file.read(_LARGEST).decode("utf-8")
    except (OSError, UnicodeDecodeError):
        return None


def write_own(name: str, text: str) -> Path:
    """Write a file of that name, whole or not at all; its path. Raises CouldNotError with the mend."""
    path = own_place() / name
    write_private(path, text)
    return path


def write_private(path: Path, text: str) -> None:
    """Write a file that nobody but its owner can read, from its first byte on; whole or not at all.

    path  within `own_place()`
    Raises CouldNotError with the mend.
    """
    with disk_faults_in_words(path):
        folder = path.parent
        folder.mkdir(mode=0o700, parents=True, exist_ok=True)
        if _POSIX and not _is_ours_alone(folder.stat()):
            # made by an earlier hand with wider rights; of another account's it fails
            folder.chmod(0o700)
        neighbour = folder / f".{path.name}.{secrets.token_hex(8)}"
        handle = os.open(
            neighbour, os.O_WRONLY | os.O_CREAT | os.O_EXCL | getattr(os, "O_NOFOLLOW", 0), 0o600
        )
        try:
            with os.fdopen(handle, "wb") as file:
                file.write(text.encode("utf-8"))
                file.flush()
                os.fsync(file.fileno())
            neighbour.replace(path)
        except BaseException:
            neighbour.unlink(missing_ok=True)
            raise


def _is_ours_alone(file_stat: os.stat_result) -> bool:
    return sys.platform == "win32" or (file_stat.st_uid == os.geteuid() and not file_stat.st_mode & 0o077)
