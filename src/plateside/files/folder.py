"""Where the parts of a shoot lie on disk."""

from dataclasses import dataclass
from pathlib import Path

from plateside.model.errors import InputError
from plateside.model.shoot import Shoot

SHOOT_FILE = "shoot.toml"
STUDIO_FILE = "studio.toml"


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
        frames_dir=(root / shoot.frames).resolve(),
        studio_file=(root / shoot.studio).resolve(),
    )


def find_shoot(given: Path) -> Path:
    """The shoot's folder from what a person typed: the folder itself, or its shoot.toml.

    Raises InputError when there is no shoot there.
    """
    root = given.parent if given.name == SHOOT_FILE else given
    if not (root / SHOOT_FILE).is_file():
        where = root if str(root) != "." else "this folder"
        raise InputError(
            f"No shoot.toml in {where}. Go to the shoot's folder, name it, or start one with: plateside new {given}"
        )
    return root
