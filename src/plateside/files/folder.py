"""Where the parts of a shoot lie on disk."""

import os
from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path

from plateside.model.errors import InputError
from plateside.model.shoot import Shoot
from plateside.words import files as words
from plateside.words.studio import not_a_toml_name

SHOOT_FILE = "shoot.toml"
STUDIO_FILE = "studio.toml"
UNDO_FOLDER = "undo"
"""The settings files as they were before each change made on a page: what Undo brings back."""


def can_lie_in(name: str) -> bool:
    """Whether a file of this name (with forward slashes) can lie in a folder, and not outside of it.

    No part is longer than 255 bytes (NAME_MAX of Linux and macOS): asking the disk for such a one is an error.
    """
    if not 0 < len(name) <= 1_000 or "\0" in name or name[0] in "/\\":
        return False
    parts = name.replace("\\", "/").split("/")
    return all(part not in ("", ".", "..") and len(part.encode()) <= 255 for part in parts)


@dataclass(frozen=True)
class ShootFolder:
    """The paths of one shoot; nothing here is read or written."""

    root: Path
    frames_dir: Path
    studio_file: Path

    @property
    def shoot_file(self) -> Path:
        return self.root / SHOOT_FILE

    @property
    def journal_file(self) -> Path:
        return self.root / "journal.jsonl"

    @property
    def finished_dir(self) -> Path:
        return self.root / "finished"

    @property
    def delivery_dir(self) -> Path:
        return self.root / "delivery"

    @property
    def plateside_dir(self) -> Path:
        """Index and caches; may be deleted at any time."""
        return self.root / ".plateside"

    @property
    def workplace(self) -> Path:
        """Where files are written that are then put in place: nothing half-made lies among what is handed on."""
        return self.plateside_dir / "making"


def shoot_folder(root: Path, shoot: Shoot) -> ShootFolder:
    """The folder of a shoot whose settings are already read."""
    return ShootFolder(
        root=root,
        # not Path.resolve: a link that leads to itself is an error to it
        frames_dir=Path(os.path.realpath(root / shoot.frames)),
        studio_file=Path(os.path.realpath(root / shoot.studio)),
    )


def refuse_elsewhere(root: Path, was: Shoot, now: Shoot, within: Sequence[Path]) -> None:
    """Raise InputError when `now` puts the studio's file or the frames to a place outside the folders `within`.

    Links, '..' and absolute paths are followed to their end first. What stays as it was is not looked at.
    """
    if now.studio != was.studio and not now.studio.lower().endswith(".toml"):
        raise InputError(not_a_toml_name(repr(now.studio)))
    for said, old, new in (
        (words.THE_STUDIO, was.studio, now.studio),
        (words.THE_FRAMES, was.frames, now.frames),
    ):
        # a backslash steps down on one system and is a character on the others: no page needs it
        plain = "\\" not in new and "\0" not in new
        if new != old and not (plain and is_within(root / new, within)):
            raise InputError(words.only_nearby(said, SHOOT_FILE))


def is_within(path: Path, folders: Sequence[Path]) -> bool:
    """Whether a path, followed to its end, lies in one of these folders."""
    try:
        end = path.resolve()
        return any(end.is_relative_to(folder.resolve()) for folder in folders)
    except (OSError, ValueError, RuntimeError):
        return False


def find_shoot(given: Path) -> Path:
    """The shoot's folder from what a person typed: the folder itself, or its shoot.toml.

    Raises InputError when there is no shoot there.
    """
    root = given.parent if given.name == SHOOT_FILE else given
    if not (root / SHOOT_FILE).is_file():
        raise InputError(words.no_shoot(root if str(root) != "." else words.THIS_FOLDER, given))
    return root
