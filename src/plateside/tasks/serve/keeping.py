"""Whether anything can be kept in the folder that is served: a disk may be read-only, or full."""

import contextlib
import time
from collections.abc import Callable
from pathlib import Path

from plateside.files.atomic import write_bytes
from plateside.model.errors import CouldNotError
from plateside.words.serving import nothing_kept

PROBE_BYTES = 4096
"""A full disk may still take an empty file."""


def cannot_keep(home: Path) -> str:
    """Why nothing can be kept in this folder, and what does not work for it; empty when it can."""
    probe = home / ".plateside" / "can-be-written"
    try:
        write_bytes(probe, bytes(PROBE_BYTES))
    except CouldNotError as error:
        return nothing_kept(error.words.replace(str(probe), str(home)))
    with contextlib.suppress(OSError):
        probe.unlink()
    return ""


class Keeping:
    """Whether anything can be kept, for every page that is drawn: the disk is tried again after a while."""

    GOOD_S, BAD_S = 10.0, 2.0
    """What was found counts for so long; a disk that has room again is soon believed."""

    def __init__(self, clock: Callable[[], float] = time.monotonic) -> None:
        self._clock = clock
        self._found: tuple[Path, str, float] | None = None
        """folder, why not, and until when that counts"""

    def why_not(self, folder: Path) -> str:
        """As `cannot_keep`, as of the last seconds."""
        now_s, found = self._clock(), self._found
        if found is not None and found[0] == folder and now_s < found[2]:
            return found[1]
        words = cannot_keep(folder)
        self._found = folder, words, now_s + (self.BAD_S if words else self.GOOD_S)
        return words
