"""Whether anything can be kept in the folder that is served: a disk may be read-only, or full."""

import contextlib
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
