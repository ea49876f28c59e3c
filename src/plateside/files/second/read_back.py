"""Copying one file so that it is on the other disk: written beside, forced there, read back, then given its name.

What is read back comes from the disk as far as the system allows it: its own memory of the file is let go of first
(posix_fadvise, IEEE Std 1003.1: POSIX_FADV_DONTNEED; macOS: fcntl F_NOCACHE). A disk's own memory cannot be asked.
Under its name a file is whole or not there, and nothing that has the name already is replaced.
"""

import contextlib
import hashlib
import os
import sys
from collections.abc import Callable
from pathlib import Path

from plateside.files.bags import ALGORITHM
from plateside.files.working import working_file

_CHUNK = 1 << 22
_F_NOCACHE = 48
"""<sys/fcntl.h> of macOS."""


class SourceError(OSError):
    """The original could not be read."""


class ChangedError(Exception):
    """The original was written to while it was copied."""


class DiffersError(Exception):
    """What was read back is not what was written."""


class TakenError(Exception):
    """The name is taken by another file."""


def go_on_always() -> None:
    """Nothing is waited for between two parts."""


def sum_of(path: Path, go_on: Callable[[], None] = go_on_always, *, from_disk: bool = False) -> str:
    """Checksum of a file's content (SHA-512, FIPS 180-4), hex. Raises OSError.

    go_on      called for each part
    from_disk  what the system remembers of the file is let go of first
    """
    digest = hashlib.new(ALGORITHM)
    with path.open("rb", buffering=0) as file:
        if from_disk:
            _forget(file.fileno())
        while chunk := file.read(_CHUNK):
            digest.update(chunk)
            go_on()
    return digest.hexdigest()


def copy(
    source: Path, target: Path, workplace: Path | None = None, go_on: Callable[[], None] = go_on_always
) -> str:
    """Copy `source` to `target`, which must not be there; its checksum (SHA-512).

    workplace  folder of the same disk for what is not whole yet (none: beside `target`)
    go_on      called for each part; whatever it raises ends the copying, and nothing stays
    Raises SourceError, ChangedError, DiffersError, TakenError; OSError of the other disk.
    """
    place = target.parent if workplace is None else workplace
    with working_file(place, target.suffix) as working:
        found = _written(source, working, go_on)
        if sum_of(working, go_on, from_disk=True) != found:
            raise DiffersError
        with contextlib.suppress(OSError):  # a disk may keep no permissions
            working.chmod(0o644)
        put_in_place(working, target)
    force_folder(target.parent)
    return found


def _written(source: Path, working: Path, go_on: Callable[[], None]) -> str:
    digest = hashlib.new(ALGORITHM)
    with contextlib.ExitStack() as files:
        try:
            read = files.enter_context(source.open("rb", buffering=0))
            before = os.fstat(read.fileno())
        except OSError as error:
            raise SourceError(error.errno, error.strerror) from error
        write = files.enter_context(working.open("r+b", buffering=0))
        while True:
            go_on()
            try:
                chunk = read.read(_CHUNK)
            except OSError as error:
                raise SourceError(error.errno, error.strerror) from error
            if not chunk:
                break
            digest.update(chunk)
            left = memoryview(chunk)
            while left:
                left = left[write.write(left) or 0 :]
        try:
            after = source.stat()
        except OSError as error:
            raise SourceError(error.errno, error.strerror) from error
        if (before.st_size, before.st_mtime_ns) != (after.st_size, after.st_mtime_ns):
            raise ChangedError
        with contextlib.suppress(OSError):  # a disk may keep no times
            os.utime(working, ns=(before.st_atime_ns, before.st_mtime_ns))
        os.fsync(write.fileno())
    return digest.hexdigest()


def put_in_place(working: Path, target: Path) -> None:
    """Give a finished file its name. Raises TakenError when something has it, OSError."""
    try:
        os.link(working, target)
    except FileExistsError:
        raise TakenError from None
    except FileNotFoundError:
        raise
    except OSError:
        # a disk that knows no links: nobody else writes here under a name of ours, so looking first is enough
        if os.path.lexists(target):
            raise TakenError from None
        working.rename(target)


def force_folder(folder: Path) -> None:
    """Force a folder's list of names to the disk, where the system can."""
    if sys.platform == "win32":
        return
    handle = os.open(folder, os.O_RDONLY)
    try:
        with contextlib.suppress(OSError):  # some network folders refuse it
            os.fsync(handle)
    finally:
        os.close(handle)


def _forget(handle: int) -> None:
    with contextlib.suppress(OSError):
        if sys.platform == "darwin":
            import fcntl

            fcntl.fcntl(handle, _F_NOCACHE, 1)
        elif hasattr(os, "posix_fadvise"):
            os.posix_fadvise(handle, 0, 0, os.POSIX_FADV_DONTNEED)
