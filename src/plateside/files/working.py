"""Working files and folders, hidden beside what they will replace: a killed run's go with the next, a living's stay.

Whoever works on one holds a lock of the operating system on it, which ends with its process however that ends. So a
name of ours that can be locked has no maker any more. Where locks are not to be had, age decides.

    .plateside-work-1a2b3c4d5e6f7081.tif     a file that is being written
    .plateside-work-1a2b3c4d5e6f7081/        a folder that is being filled: `new` is to come in place, `old` was there
    .plateside-work-1a2b3c4d5e6f7081.lock    the folder's lock: made before it, taken away after it
"""

import contextlib
import errno
import os
import re
import secrets
import shutil
import sys
import time
from collections.abc import Iterator
from pathlib import Path

if sys.platform == "win32":
    import msvcrt
else:
    import fcntl

_PREFIX = ".plateside-work-"
_OURS = re.compile(r"\.plateside-work-[0-9a-f]{16}(\.[A-Za-z0-9]{1,8})?")
_LOCK = ".lock"
_UNLOCKED_AGE_S = 24 * 3600.0
"""What cannot be locked is left alone unless it has not been touched for a day."""
_OPEN_STAYS = sys.platform == "win32"
"""Whether a file that is open can be neither moved nor taken away: a working file is held by its age alone there."""
_swept: set[Path] = set()


@contextlib.contextmanager
def working_file(folder: Path, suffix: str = "") -> Iterator[Path]:
    """An empty file of our own in `folder` to write to; it is gone afterwards unless it was moved away."""
    path, handle = _new_file(folder, suffix if re.fullmatch(r"\.[A-Za-z0-9]{1,8}", suffix) else "")
    if _OPEN_STAYS:
        os.close(handle)
    try:
        yield path
    finally:
        with contextlib.suppress(OSError):
            path.unlink(missing_ok=True)
        if not _OPEN_STAYS:
            os.close(handle)


@contextlib.contextmanager
def replacing_folder(target: Path) -> Iterator[Path]:
    """Hand out a new folder to fill; put it in `target`'s place when the block ends well.

    Killed at any step, the old or the new folder is in its place, or `sweep` brings the old one back.
    """
    target.parent.mkdir(parents=True, exist_ok=True)
    with _working_folder(target) as new:
        yield new
        if os.path.lexists(target):
            old = new.parents[1] / "old" / target.name
            old.parent.mkdir()
            target.rename(old)
            new.rename(target)
            # from here on it is not wanted back, even if this run ends before it is taken away
            old.parent.rename(new.parents[1] / "gone")
        else:
            new.rename(target)


@contextlib.contextmanager
def new_folder(target: Path) -> Iterator[Path]:
    """Hand out a new folder to fill; it becomes `target`, whole, when the block ends well.

    No folder above is made, and nothing that is there is replaced. Raises OSError.
    """
    with _working_folder(target) as new:
        yield new
        if os.path.lexists(target):
            raise FileExistsError(errno.EEXIST, os.strerror(errno.EEXIST), str(target))
        new.rename(target)


@contextlib.contextmanager
def _working_folder(target: Path) -> Iterator[Path]:
    """A folder of `target`'s name in a hidden one of ours beside it, which goes with all that is in it."""
    sweep(target.parent)
    lock, handle = _new_file(target.parent, _LOCK)
    work = lock.with_suffix("")
    try:
        new = work / "new" / target.name
        new.mkdir(parents=True)
        yield new
    finally:
        _take_away(work)
        _let_go(lock, handle, work)


def sweep(folder: Path) -> None:
    """Bring back what a killed run had set aside from `folder`, and take away what it left behind in it.

    Only names of ours whose maker is gone; whatever the disk refuses is left for the next time.
    """
    with contextlib.suppress(OSError), os.scandir(folder) as entries:
        ours = [Path(e.path) for e in entries if _OURS.fullmatch(e.name)]
        for path in ours:
            if path.suffix == _LOCK:
                _sweep_one(path, folder=path.with_suffix(""))
            elif path.is_dir() and not path.is_symlink():
                # its lock was taken away by somebody else
                if path.with_suffix(_LOCK) not in ours and _old(path):
                    _take_away(path)
            else:
                _sweep_one(path)


def sweep_once(folder: Path) -> None:
    """Sweep a folder when this process first writes into it."""
    if folder not in _swept:
        _swept.add(folder)
        sweep(folder)


def _sweep_one(path: Path, folder: Path | None = None) -> None:
    with contextlib.suppress(OSError):
        handle = os.open(path, os.O_RDWR)
        gone = False
        try:
            gone = _old(path) if folder is None and _OPEN_STAYS else _abandoned(handle, path)
            if gone and folder is not None:
                _take_away(folder)
        finally:
            _let_go(path, handle, folder, gone)


def _let_go(path: Path, handle: int, folder: Path | None = None, remove: bool = True) -> None:
    """End our hold of a file, which goes too; it stays with anything left of its folder, for the next run."""
    remove = remove and (folder is None or not os.path.lexists(folder))
    if _OPEN_STAYS:
        os.close(handle)
    if remove:
        with contextlib.suppress(OSError):
            path.unlink(missing_ok=True)
    if not _OPEN_STAYS:
        os.close(handle)


def _take_away(work: Path) -> None:
    """Bring back what is still wanted, then remove the folder; what cannot be brought back stays in it."""
    try:
        for old in sorted((work / "old").iterdir()) if (work / "old").is_dir() else ():
            if not os.path.lexists(work.parent / old.name):
                old.rename(work.parent / old.name)
    except OSError:
        return
    shutil.rmtree(work, ignore_errors=True)


def _new_file(folder: Path, suffix: str) -> tuple[Path, int]:
    """A new file in `folder`, locked by us, with its handle."""
    while True:
        path = folder / f"{_PREFIX}{secrets.token_hex(8)}{suffix}"
        handle = os.open(path, os.O_RDWR | os.O_CREAT | os.O_EXCL, 0o600)
        # a sweep of another process may have been quicker than our lock
        if _lock(handle) is not False and _is_at(handle, path):
            return path, handle
        os.close(handle)


def _lock(handle: int) -> bool | None:
    """Take the lock: whether it is ours now; None where there are no locks."""
    try:
        if sys.platform == "win32":
            msvcrt.locking(handle, msvcrt.LK_NBLCK, 1)
        else:
            fcntl.flock(handle, fcntl.LOCK_EX | fcntl.LOCK_NB)
    except (BlockingIOError, PermissionError):
        return False
    except OSError:
        return None
    return True


def _abandoned(handle: int, path: Path) -> bool:
    locked = _lock(handle)
    return locked is not False and _is_at(handle, path) and (locked is True or _old(path))


def _is_at(handle: int, path: Path) -> bool:
    try:
        return os.path.samestat(os.fstat(handle), path.stat())
    except OSError:
        return False


def _old(path: Path) -> bool:
    return time.time() - path.stat().st_mtime > _UNLOCKED_AGE_S
