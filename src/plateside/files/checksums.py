"""SHA-256 (FIPS 180-4) of bytes and of files."""

import hashlib
import sys
import time
from pathlib import Path
from stat import S_ISREG

from plateside.model.errors import CouldNotError
from plateside.words.files import unread


def sha256_of(data: bytes) -> str:
    """SHA-256 (FIPS 180-4) of bytes, hex."""
    return hashlib.sha256(data).hexdigest()


def sha256_of_file(path: Path) -> str:
    """SHA-256 of a file's content, hex. Raises CouldNotError when it cannot be read."""
    try:
        with path.open("rb") as file:
            return hashlib.file_digest(file, "sha256").hexdigest()
    except OSError as error:
        raise CouldNotError(unread(path, error.strerror or str(error))) from error


_hashes: dict[Path, tuple[tuple[int, ...], str]] = {}
_SETTLED_NS = 2_000_000_000
"""A file touched less than this ago may change again within the same tick of the disk's clock."""


def hash_now(path: Path) -> str:
    """SHA-256 of a file's content as it is now, hex; empty when there is no such file.

    Read again only when the file is another one or was written to: nobody can set back the time of the last change of
    its entry (ctime), as one can the time of its content. Raises CouldNotError when it cannot be read.
    """
    try:
        stat = path.stat()
    except OSError:
        return ""
    if not S_ISREG(stat.st_mode):
        return ""
    state = (stat.st_dev, stat.st_ino, stat.st_size, stat.st_mtime_ns, stat.st_ctime_ns)
    known = _hashes.get(path)
    if known is not None and known[0] == state:
        return known[1]
    found = sha256_of_file(path)
    if sys.platform != "win32" and time.time_ns() - stat.st_ctime_ns > _SETTLED_NS:
        _hashes[path] = state, found
    return found
