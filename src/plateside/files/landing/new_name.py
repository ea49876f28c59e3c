"""Move a file to a name that nothing has, in one step, where the system and the disk can: no file of another is ever
replaced, and none stands there half.

Linux: renameat2 with RENAME_NOREPLACE (rename(2); FAT and exFAT know it too). macOS: renamex_np with RENAME_EXCL
(rename(2) there; from memory, never tried). Windows: renaming never replaces (MoveFileEx without its flag).
"""

import ctypes
import errno
import os
import sys
from pathlib import Path

_AT_FDCWD, _RENAME_NOREPLACE = -100, 1
"""linux/fcntl.h, linux/fs.h"""
_RENAME_EXCL = 4
"""sys/stdio.h of macOS"""


def move_to_new(source: Path, target: Path) -> bool | None:
    """True when it stands there now, False when something has that name; None where that cannot be done in one step.

    Both on one disk. Raises OSError for anything else.
    """
    if sys.platform == "win32":
        try:
            source.rename(target)
        except FileExistsError:
            return False
        return True
    library = ctypes.CDLL(None, use_errno=True)
    before, after = os.fsencode(source), os.fsencode(target)
    try:
        if sys.platform == "darwin":
            failed = library.renamex_np(before, after, _RENAME_EXCL)
        else:
            failed = library.renameat2(_AT_FDCWD, before, _AT_FDCWD, after, _RENAME_NOREPLACE)
    except AttributeError:
        return None
    if not failed:
        return True
    number = ctypes.get_errno()
    if number == errno.EEXIST:
        return False
    if number in (errno.EINVAL, errno.ENOSYS, errno.ENOTSUP, errno.EOPNOTSUPP, errno.EPERM):
        return None
    raise OSError(number, os.strerror(number), str(target))
