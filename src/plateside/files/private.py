"""What is secret, or cannot be made again, and belongs to no shoot: in a folder of the user's own account.

Not in the served folder: that may lie on a stick or in a folder that is shared or copied, where file rights mean
nothing, and its `.plateside` may be deleted at any time. `PLATESIDE_STATE` names another place.
"""

import contextlib
import hashlib
import os
import re
import sys
import tempfile
from pathlib import Path

from plateside.files.atomic import disk_faults_told


def state_folder(home: Path) -> Path:
    """Where the private files of the served folder `home` lie: by its name, and a hash of its whole path."""
    place = home.resolve()
    name = re.sub(r"[^A-Za-z0-9-]+", "-", place.name)[:40].strip("-") or "folder"
    mark = hashlib.blake2b(os.fsencode(place), digest_size=8).hexdigest()
    return _base() / "served" / f"{name}-{mark}"


def write_private(path: Path, text: str) -> None:
    """Write a file that nobody but its owner can read, from its first byte on; whole or not at all.

    Raises CouldNotError with the mend.
    """
    with disk_faults_told(path):
        path.parent.mkdir(parents=True, exist_ok=True, mode=0o700)
        handle, name = tempfile.mkstemp(prefix=".plateside-", dir=path.parent)  # made with the rights 0600
        try:
            with os.fdopen(handle, "w", encoding="utf-8") as file:
                file.write(text)
                file.flush()
                os.fsync(file.fileno())
            Path(name).replace(path)
        except BaseException:
            with contextlib.suppress(OSError):
                Path(name).unlink(missing_ok=True)
            raise


def _base() -> Path:
    named = os.environ.get("PLATESIDE_STATE", "")
    if named:
        return Path(named)
    if sys.platform == "win32":
        return Path(os.environ.get("LOCALAPPDATA") or Path.home() / "AppData" / "Local") / "Plateside"
    if sys.platform == "darwin":
        return Path.home() / "Library" / "Application Support" / "Plateside"
    return Path(os.environ.get("XDG_STATE_HOME") or Path.home() / ".local" / "state") / "plateside"
