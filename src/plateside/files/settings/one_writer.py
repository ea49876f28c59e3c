"""One change of a settings file at a time, whichever process makes it: look, decide and write as one."""

import contextlib
from collections.abc import Iterator
from pathlib import Path

from filelock import FileLock, Timeout

from plateside.files.atomic import disk_faults_in_words
from plateside.model.errors import CouldNotError
from plateside.words.files import changed_by_another

WAIT_S = 10.0


@contextlib.contextmanager
def one_writer(settings_file: Path) -> Iterator[None]:
    """Hold the file's lock while the block runs. Raises CouldNotError when another holds it for long."""
    folder = settings_file.parent / ".plateside"
    with disk_faults_in_words(folder):
        folder.mkdir(parents=True, exist_ok=True)
    lock = FileLock(folder / f"{settings_file.name}.lock", timeout=WAIT_S, thread_local=False)
    with disk_faults_in_words(settings_file):
        try:
            lock.acquire()
        except Timeout as error:
            raise CouldNotError(changed_by_another(settings_file.name)) from error
    try:
        yield
    finally:
        lock.release()
