"""A finished picture's retouched file as it is now: the one recognised, changed since, gone, or of an older picture."""

from dataclasses import dataclass

from plateside.files.checksums import hash_now
from plateside.files.folder import ShootFolder
from plateside.files.journal.state import ShootState
from plateside.finish.came_back import is_made_from

FOLDER = "retouched"
"""Under finished/: where retouched files are put."""
GONE, CHANGED, OLDER = "gone", "changed", "older"


@dataclass(frozen=True)
class RetouchedNow:
    """A retouched file that counts for a picture."""

    file: str
    """under finished/"""
    sha256: str
    """as it is now; empty: it is gone"""
    known_sha256: str
    """as it was when it was last looked at"""
    wrong: str
    """GONE, CHANGED (not looked at since), OLDER (the picture was made anew since); empty: all is well"""
    width_px: int
    height_px: int


def retouched_now(
    folder: ShootFolder, state: ShootState, name: str, frame: str, made_from: str
) -> RetouchedNow | None:
    """The retouched file of a picture; None: the picture counts as it was made.

    frame      id of the frame that the picture is of
    made_from  key of everything that the picture was made from, as it is now
    """
    known = state.retouched_of(name)
    if known is None or known.frame != frame:
        return None
    sha256 = hash_now(folder.finished_dir / known.file)
    wrong = "" if is_made_from(known.made_from, made_from) else OLDER
    if sha256 != known.sha256:
        wrong = CHANGED if sha256 else GONE
    return RetouchedNow(known.file, sha256, known.sha256, wrong, known.width_px, known.height_px)
