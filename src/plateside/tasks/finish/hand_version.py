"""When the picture that follows your hand is another: the pages ask for it by this, so nothing heavy is read here."""

from dataclasses import asdict
from pathlib import Path

from plateside.files.cache import key_of
from plateside.files.folder import ShootFolder
from plateside.files.journal.state import ShootState


def hand_version(folder: ShootFolder, state: ShootState, shot: str, made_from: str, frame: Path) -> str:
    """A short key of all that a picture depends on before what is set by hand; another whenever that changes.

    made_from  key of everything the finished picture was made from
    frame      its file, which somebody may have replaced; the studio's tells how far the lens was
    """
    square = state.squares.get(shot)
    placed = None if square is None else asdict(square)
    return key_of(made_from, state.lens, placed, file_state(frame), file_state(folder.studio_file))[:16]


def file_state(path: Path) -> tuple[int, int, int]:
    """Another whenever a file was replaced or written to; zeros when it is gone."""
    try:
        stat = path.stat()
    except OSError:
        return 0, 0, 0
    return stat.st_ino, stat.st_size, stat.st_mtime_ns
