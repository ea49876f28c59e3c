"""Frames of the shoot in which something was marked, whose files are there as they were."""

import contextlib
from collections.abc import Iterator, Mapping
from pathlib import Path
from typing import TypeVar

from plateside.files.journal.state import ShootState
from plateside.files.originals.identity import content_hash
from plateside.files.originals.metadata import read_settings
from plateside.files.settings.load import OpenShoot
from plateside.model.errors import CouldNotError
from plateside.model.frame import Settings

Mark = TypeVar("Mark")


def marked_frames(
    opened: OpenShoot, state: ShootState, marks: Mapping[str, Mark]
) -> Iterator[tuple[str, Path, Mark, Settings]]:
    """Of each frame in `marks` whose file is there as it was: its id, where it is, its mark, its settings."""
    for frame, mark in marks.items():
        name = state.landed.get(frame, "")
        path = opened.folder.frames_dir / name
        with contextlib.suppress(CouldNotError, OSError):
            if name and path.is_file() and content_hash(path) == frame:
                yield frame, path, mark, read_settings(path)
