"""Writing a file whole or not at all: a neighbour is written, forced to disk, and put in place in one step."""

import contextlib
import errno
import os
import tempfile
from collections.abc import Iterator
from pathlib import Path

from plateside.model.errors import CouldNotError

_SENTENCES = {
    errno.ENOSPC: "The disk is full: {path} could not be written. Free some space and run the same command again.",
    errno.EDQUOT: "Your share of the disk is used up: {path} could not be written. Free some space, then again.",
    errno.EACCES: "{path} may not be written: change the folder's permissions, or choose another folder.",
    errno.EPERM: "{path} may not be written: change the folder's permissions, or choose another folder.",
    errno.EROFS: "{path} lies on a read-only disk: choose another folder.",
}


@contextlib.contextmanager
def disk_faults_told(path: Path) -> Iterator[None]:
    """Turn the operating system's refusals about `path` into one sentence that says how to mend it."""
    try:
        yield
    except OSError as error:
        sentence = _SENTENCES.get(error.errno or 0, "{path} could not be written: {reason}.")
        raise CouldNotError(sentence.format(path=path, reason=error.strerror or error)) from error


@contextlib.contextmanager
def replacing(path: Path, *, private: bool = False) -> Iterator[Path]:
    """Hand out a neighbour's path to write to; put it in `path`'s place when the block ends well.

    private  readable by its owner alone, from its first moment
    When the block raises, the neighbour is removed and `path` is as it was.
    """
    with disk_faults_told(path):
        path.parent.mkdir(parents=True, exist_ok=True)
        handle, name = tempfile.mkstemp(prefix=".plateside-", suffix=path.suffix, dir=path.parent)
        os.close(handle)
        neighbour = Path(name)
        try:
            yield neighbour
            with neighbour.open("rb+") as file:
                os.fsync(file.fileno())
            # mkstemp makes it private; a finished picture is as readable as any other new file
            if not private:
                neighbour.chmod(0o666 & ~_umask())
            neighbour.replace(path)
        except BaseException:
            neighbour.unlink(missing_ok=True)
            raise


def write_bytes(path: Path, data: bytes, *, private: bool = False) -> None:
    """Write `data` to `path`, whole or not at all. Raises CouldNotError with the mend."""
    with replacing(path, private=private) as neighbour:
        neighbour.write_bytes(data)


def write_text(path: Path, text: str, *, private: bool = False) -> None:
    """Write `text` as UTF-8 with plain line ends, whole or not at all. Raises CouldNotError with the mend."""
    write_bytes(path, text.encode("utf-8"), private=private)


def _umask() -> int:
    current = os.umask(0)
    os.umask(current)
    return current
