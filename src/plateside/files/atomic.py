"""Writing a file whole or not at all: a neighbour is written, forced to disk, and put in place in one step."""

import contextlib
import errno
import os
import shutil
import time
from collections.abc import Callable, Iterator
from pathlib import Path

from plateside.files.working import sweep_once, working_file
from plateside.model.errors import CouldNotError
from plateside.words import files as words

_SENTENCES = {
    errno.ENOSPC: words.DISK_FULL,
    errno.EDQUOT: words.QUOTA,
    errno.EACCES: words.NOT_PERMITTED,
    errno.EPERM: words.NOT_PERMITTED,
    errno.EROFS: words.READ_ONLY,
}
_HELD = (5, 32, 33)
"""What Windows answers when another program holds the file that is to be replaced: ERROR_ACCESS_DENIED,
ERROR_SHARING_VIOLATION and ERROR_LOCK_VIOLATION (Microsoft, "System Error Codes")."""
_WAITS_S = (0.05, 0.1, 0.2, 0.4)
"""Those that look at every new file (indexers, virus scanners) let go of it within a moment: ours."""


@contextlib.contextmanager
def disk_faults_in_words(path: Path) -> Iterator[None]:
    """Turn the operating system's refusals about `path` into one sentence that says how to mend it."""
    try:
        yield
    except OSError as error:
        sentence = words.IN_USE if _in_use(error) else _SENTENCES.get(error.errno or 0, words.NOT_WRITTEN)
        raise CouldNotError(sentence.format(path=path, reason=error.strerror or error)) from error


@contextlib.contextmanager
def replacing(
    path: Path,
    workplace: Path | None = None,
    wanted: Callable[[Path], bool] | None = None,
    *,
    private: bool = False,
) -> Iterator[Path]:
    """Hand out a working file's path to write to; put it in `path`'s place when the block ends well.

    workplace  folder for the working file; none: beside `path`. To be given where whatever lies beside is handed on
    wanted     asked with the written file just before it is put in place; where it says no, `path` stays as it is
    private    readable by its owner alone, from its first moment
    When the block raises, the working file is removed and `path` is as it was.
    """
    with disk_faults_in_words(path):
        path.parent.mkdir(parents=True, exist_ok=True)
        place = path.parent if workplace is None else workplace
        place.mkdir(parents=True, exist_ok=True)
        sweep_once(place)
        with working_file(place, path.suffix) as neighbour:
            yield neighbour
            _finish(neighbour, private)
            if wanted is None or wanted(neighbour):
                _put_in_place(neighbour, path, private)


def _finish(neighbour: Path, private: bool) -> None:
    with neighbour.open("rb+") as file:
        os.fsync(file.fileno())
    # a working file is private; a finished picture is as readable as any other new file
    if not private:
        neighbour.chmod(0o666 & ~_umask())


def _put_in_place(neighbour: Path, path: Path, private: bool) -> None:
    try:
        _replace(neighbour, path)
    except OSError as error:
        if error.errno != errno.EXDEV:
            raise
        # the place lies on another disk than the workplace: then the last step has to be taken beside it
        sweep_once(path.parent)
        with working_file(path.parent, path.suffix) as beside:
            shutil.copyfile(neighbour, beside)
            _finish(beside, private)
            _replace(beside, path)


def _in_use(error: OSError) -> bool:
    return getattr(error, "winerror", None) in _HELD


def _replace(neighbour: Path, path: Path) -> None:
    """Put it in place, also over a file that somebody reads: on Windows that one has to be let go of first."""
    for wait_s in _WAITS_S:
        try:
            neighbour.replace(path)
        except OSError as error:
            if not _in_use(error):
                raise
            time.sleep(wait_s)
        else:
            return
    neighbour.replace(path)


def write_bytes(path: Path, data: bytes, workplace: Path | None = None, *, private: bool = False) -> None:
    """Write `data` to `path`, whole or not at all. Raises CouldNotError with the mend."""
    with replacing(path, workplace, private=private) as neighbour:
        neighbour.write_bytes(data)


def write_text(path: Path, text: str, workplace: Path | None = None, *, private: bool = False) -> None:
    """Write `text` as UTF-8 with plain line ends, whole or not at all. Raises CouldNotError with the mend."""
    write_bytes(path, text.encode("utf-8"), workplace, private=private)


def _umask() -> int:
    current = os.umask(0)
    os.umask(current)
    return current
