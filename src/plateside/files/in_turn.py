"""One at a time of what must not be done twice at once: another waits its turn, in whichever process it is.

The system frees the lock when its holder ends, however it ends.
"""

import contextlib
from collections.abc import Callable, Iterator, Sequence
from pathlib import Path

from filelock import FileLock, Timeout

from plateside.files.atomic import disk_faults_in_words

_LOOK_AGAIN_S = 0.1


@contextlib.contextmanager
def in_turn(lock_file: Path, waiting: Callable[[], object]) -> Iterator[None]:
    """Hold the lock while the block runs.

    waiting  asked again and again while another holds it; what it raises ends the waiting
    Raises CouldNotError on a disk fault.
    """
    lock = FileLock(lock_file, timeout=_LOOK_AGAIN_S, thread_local=False)
    with disk_faults_in_words(lock_file.parent):
        lock_file.parent.mkdir(parents=True, exist_ok=True)
    while not lock.is_locked:
        with disk_faults_in_words(lock_file.parent), contextlib.suppress(Timeout):
            lock.acquire()
        if not lock.is_locked:
            waiting()
    try:
        yield
    finally:
        lock.release()


def until_one_is_free(lock_files: Sequence[Path], waiting: Callable[[], object]) -> None:
    """Return when nobody holds one of these locks; it is not held then, so another may be faster.

    waiting  asked again and again, at least once; what it raises ends the waiting
    Raises CouldNotError on a disk fault.
    """
    while True:
        waiting()
        for path in lock_files:
            with (
                disk_faults_in_words(path.parent),
                contextlib.suppress(Timeout),
                FileLock(path, timeout=_LOOK_AGAIN_S),
            ):
                return
