"""Whether anything can be kept in the folder that is served: a disk may be read-only, or full."""

import contextlib
from pathlib import Path

from plateside.files.atomic import write_bytes
from plateside.model.errors import CouldNotError

PROBE_BYTES = 4096
"""A full disk may still take an empty file."""


def cannot_keep(home: Path) -> str:
    """Why nothing can be kept in this folder, and what does not work for it; empty when it can."""
    probe = home / ".plateside" / "can-be-written"
    try:
        write_bytes(probe, bytes(PROBE_BYTES))
    except CouldNotError as error:
        words = error.words.replace(str(probe), str(home))
        return (
            f"{words} Until then you can look at what is here, but nothing new is kept: no decision, no verdict, "
            "no change of the settings; and tablets pair again after a restart."
        )
    with contextlib.suppress(OSError):
        probe.unlink()
    return ""
