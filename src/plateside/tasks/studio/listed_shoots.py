"""The shoots that the start page lists."""

import os
from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path

from plateside.files.folder import SHOOT_FILE, shoot_folder
from plateside.files.settings.load import load_shoot, load_studio
from plateside.model.errors import PlatesideError


@dataclass(frozen=True)
class ListedShoot:
    """One shoot of the list on the start page."""

    key: str
    """The folder, from home; '.' is home itself."""
    title: str
    date: str
    place: str
    frames: int
    wrong: str
    """Why it cannot be read, in one sentence; empty when it can."""


def shoots_listed(home: Path, roots: Sequence[Path]) -> list[ListedShoot]:
    """The shoots in these folders, as the start page lists them: latest day first, those to mend last."""
    given = [_listed_shoot(home, root) for root in roots]
    return sorted(given, key=lambda t: (not t.wrong, t.date), reverse=True)


def shoot_key(home: Path, root: Path) -> str:
    """What a shoot of the list is called by: its folder, from home."""
    return Path(os.path.relpath(root, home)).as_posix()


def _listed_shoot(home: Path, root: Path) -> ListedShoot:
    key = shoot_key(home, root)
    try:
        shoot = load_shoot(root / SHOOT_FILE)
        folder = shoot_folder(root, shoot)
        place = load_studio(folder.studio_file).place.name
        frames = (
            sum(1 for p in folder.frames_dir.iterdir() if p.is_file()) if folder.frames_dir.is_dir() else 0
        )
        return ListedShoot(key, shoot.recipe.title, shoot.date, place, frames, "")
    except (PlatesideError, OSError) as error:
        return ListedShoot(key, root.name, "", "", 0, str(error).splitlines()[0])
