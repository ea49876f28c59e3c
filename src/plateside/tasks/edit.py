"""Change studio.toml or shoot.toml from a page: saved at once, never over somebody else's change, undone by steps.

Before each change the file as it was is laid into `.plateside/edits/`; taking a change back puts that text in
place again (unless the file was changed by other means since).
"""

import hashlib
from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from plateside.files.atomic import write_bytes
from plateside.files.folder import find_shoot, shoot_folder
from plateside.files.settings import Change, load_shoot, load_studio, update_shoot, update_studio
from plateside.files.settings.load import judge_both, read_text
from plateside.model.errors import CouldNotError

KEPT = 200
"""Steps that can be taken back."""


class ChangedElsewhereError(CouldNotError):
    """The file is not what the page last saw."""

    def __init__(self, name: str, version: str) -> None:
        super().__init__(
            f"{name} was changed elsewhere since this page read it. What is there now is shown; make your change again."
        )
        self.version = version


@dataclass(frozen=True)
class Edited:
    """A settings file as it now is."""

    file: str
    version: str
    """Hash of the text: sent back with the next change."""
    value: Any
    """The Studio or the Shoot."""
    can_undo: bool


def version_of(path: Path) -> str:
    """Short hash of a file's content."""
    return hashlib.blake2b(path.read_bytes(), digest_size=8).hexdigest()


def settings_file(root: Path, which: str) -> Path:
    """Path of 'studio' or 'shoot' of the shoot in `root`."""
    root = find_shoot(root)
    if which == "shoot":
        return root / "shoot.toml"
    folder, _studio, _shoot = judge_both(root)
    return folder.studio_file


def read_settings(root: Path, which: str) -> Edited:
    """The file as it is. Raises SettingsError with every mistake."""
    path = settings_file(root, which)
    value: Any = load_studio(path) if which == "studio" else load_shoot(path)
    return Edited(path.name, version_of(path), value, bool(_steps(root, which)))


def change_settings(root: Path, which: str, changes: Sequence[Change], seen: str) -> Edited:
    """Make changes to 'studio' or 'shoot'; all or none.

    seen  the version the page last saw
    Raises ChangedElsewhereError, SettingsError (the file then stays as it was), CouldNotError.
    """
    path = settings_file(root, which)
    if version_of(path) != seen:
        raise ChangedElsewhereError(path.name, version_of(path))
    before = path.read_bytes()
    value: Any = update_studio(path, changes) if which == "studio" else update_shoot(path, changes)
    after = version_of(path)
    if after != seen:
        _keep_step(root, which, before, after)
    return Edited(path.name, after, value, True)


def undo_change(root: Path, which: str, seen: str) -> Edited:
    """Put the text before the latest change back. Raises ChangedElsewhereError when the file has changed since."""
    path = settings_file(root, which)
    steps = _steps(root, which)
    now = version_of(path)
    if now != seen:
        raise ChangedElsewhereError(path.name, now)
    if steps and steps[-1].stem.split("-")[-1] == now:
        write_bytes(path, steps[-1].read_bytes())
        steps[-1].unlink()
    return read_settings(root, which)


def shoot_text(root: Path, which: str) -> str:
    """The file's text, for who wants to see it."""
    return read_text(settings_file(root, which))


def frames_folder(root: Path) -> Path:
    """Where the frames of a shoot land."""
    root = find_shoot(root)
    return shoot_folder(root, load_shoot(root / "shoot.toml")).frames_dir


def _edits(root: Path) -> Path:
    return find_shoot(root) / ".plateside" / "edits"


def _steps(root: Path, which: str) -> list[Path]:
    return sorted(_edits(root).glob(f"{which}-*.toml"))


def _keep_step(root: Path, which: str, before: bytes, after: str) -> None:
    steps = _steps(root, which)
    number = int(steps[-1].stem.split("-")[1]) + 1 if steps else 1
    _edits(root).mkdir(parents=True, exist_ok=True)
    write_bytes(_edits(root) / f"{which}-{number:06d}-{after}.toml", before)
    for old in steps[: max(0, len(steps) + 1 - KEPT)]:
        old.unlink(missing_ok=True)
