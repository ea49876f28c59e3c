"""Whether anything can be kept in the folder that is served: a disk may be read-only, or full, or nearly so."""

import contextlib
import itertools
import os
import shutil
import statistics
import time
from collections.abc import Callable
from pathlib import Path

from plateside.files.atomic import write_bytes
from plateside.files.landing.arriving import SPARE_BYTES
from plateside.model.errors import CouldNotError
from plateside.tasks.serve.shoots import frames_folder_said
from plateside.words.serving import little_room, nothing_kept

PROBE_BYTES = 4096
"""A full disk may still take an empty file."""
FRAMES_TO_COME = 40
"""With less room than for so many the day may not be got through."""
FRAME_BYTES = 25_000_000
"""One frame, before there is any: a raw of 24 megapixels."""
ASKED = 50
"""Files whose size is asked: enough to know what a frame of this camera takes."""


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


def room_left(frames_dir: Path) -> str:
    """That the frames' disk is nearly full, and how much it still takes; empty when there is room enough.

    What is put in by the page or from a card leaves SPARE_BYTES free: less than that counts as no room.
    """
    try:
        free = shutil.disk_usage(frames_dir).free
        with os.scandir(frames_dir) as files:
            sizes = [f.stat().st_size for f in itertools.islice(files, ASKED) if f.is_file()]
    except OSError:
        # a folder that is not there has its own words
        return ""
    one = max(1.0, statistics.median(sizes)) if sizes else FRAME_BYTES
    frames = int(max(0, free - SPARE_BYTES) / one)
    return little_room(free // 1_000_000, frames) if frames < FRAMES_TO_COME else ""


class Keeping:
    """Whether anything can be kept, for every page that is drawn: the disk is tried again after a while."""

    GOOD_S, BAD_S = 10.0, 2.0
    """What was found counts for so long; a disk that has room again is soon believed."""

    def __init__(self, clock: Callable[[], float] = time.monotonic) -> None:
        self._clock = clock
        self._found: tuple[Path, str, float] | None = None
        """folder, why not, and until when that counts"""

    def why_not(self, folder: Path) -> str:
        """As `cannot_keep`, or that the disk is nearly full, as of the last seconds."""
        now_s, found = self._clock(), self._found
        if found is not None and found[0] == folder and now_s < found[2]:
            return found[1]
        words = cannot_keep(folder) or room_left(frames_folder_said(folder))
        self._found = folder, words, now_s + (self.BAD_S if words else self.GOOD_S)
        return words

    def look_again(self, folder: Path) -> str:
        """As `why_not`, for asking all day: nothing is written while the disk itself says that it takes more."""
        fine = False
        with contextlib.suppress(OSError):
            fine = shutil.disk_usage(folder).free >= SPARE_BYTES and os.access(folder, os.W_OK)
        if fine and self._found is not None and self._found[:2] == (folder, ""):
            return room_left(frames_folder_said(folder))
        return self.why_not(folder)
