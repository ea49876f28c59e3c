"""One watcher a shoot: whoever holds this lock judges what lands; others follow the journal.

The system frees the lock when its holder ends, however it ends.
"""

from pathlib import Path

from filelock import FileLock, Timeout

from plateside.files.atomic import disk_faults_in_words


class WatchLock:
    """The watcher's lock of one shoot folder, never waited for."""

    def __init__(self, folder: Path) -> None:
        self._path = folder / ".plateside" / "watch.lock"
        self._lock = FileLock(str(self._path), blocking=False, thread_local=False)

    def take(self) -> bool:
        """Take it when it is free; True when it is (or already was) ours. Raises CouldNotError on a disk fault."""
        if self._lock.is_locked:
            return True
        with disk_faults_in_words(self._path):
            self._path.parent.mkdir(parents=True, exist_ok=True)
            try:
                self._lock.acquire()
            except Timeout:
                return False
        return True

    def free(self) -> None:
        """Give it up."""
        self._lock.release()
