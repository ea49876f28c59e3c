"""The set that was asked for last, its files read: while an hour is dragged on the page, they are read once."""

from pathlib import Path

from plateside.files.folder import SHOOT_FILE
from plateside.files.settings import open_shoot
from plateside.tasks.light.asked import Asked, asked_of
from plateside.tasks.light.choice import Choice
from plateside.tasks.light.place import Stand

_Marks = tuple[tuple[int, int], ...]


class LastStand:
    """Called with a shoot's folder and a choice: what is asked, and where that is. Reads again when a file changed."""

    def __init__(self) -> None:
        self._last: tuple[tuple[Path, Choice, _Marks], Asked, Stand] | None = None

    def __call__(self, root: Path, choice: Choice) -> tuple[Asked, Stand]:
        """Raises SettingsError with every mistake in the files, InputError for what they do not have."""
        if self._last is not None:
            key, asked, stand = self._last
            if key == (root, choice, _marks(root, stand.studio_file)):
                return asked, stand
        asked = asked_of(root, choice)
        # the marks come first: a file changed while it is read is read again next time
        studio_file = open_shoot(root).folder.studio_file
        marks = _marks(root, studio_file)
        stand = asked.stand()
        self._last = ((root, choice, marks), asked, stand)
        return asked, stand


def _marks(root: Path, studio_file: Path) -> _Marks:
    """Changes when one of the two files does."""
    return _stat(root / SHOOT_FILE), _stat(studio_file)


def _stat(path: Path) -> tuple[int, int]:
    try:
        told = path.stat()
    except OSError:
        return 0, 0
    return told.st_mtime_ns, told.st_size
