"""One change of a settings file at a time, whichever process makes it: look, decide and write as one."""

import contextlib
import time
from collections.abc import Iterator
from pathlib import Path

from plateside.files.in_turn import in_turn
from plateside.model.errors import CouldNotError
from plateside.words.files import changed_by_another

WAIT_S = 10.0


@contextlib.contextmanager
def one_writer(settings_file: Path) -> Iterator[None]:
    """Hold the file's lock while the block runs. Raises CouldNotError when another holds it for long."""
    until = time.monotonic() + WAIT_S

    def waiting() -> None:
        if time.monotonic() > until:
            raise CouldNotError(changed_by_another(settings_file.name))

    with in_turn(settings_file.parent / ".plateside" / f"{settings_file.name}.lock", waiting):
        yield
