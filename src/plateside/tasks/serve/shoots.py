"""The shoots of a served folder, and where the files of one are."""

import tomllib
from collections.abc import Iterable
from pathlib import Path

from plateside.files.folder import SHOOT_FILE, STUDIO_FILE, is_within, shoot_folder
from plateside.files.second.second_disk import named_place
from plateside.files.settings.load import read_text
from plateside.files.settings.reader import read
from plateside.model.errors import PlatesideError
from plateside.model.shoot import Shoot


def is_shoot(folder: Path) -> bool:
    """Whether a folder is a shoot's."""
    return (folder / SHOOT_FILE).is_file()


def shoots_in(home: Path) -> list[Path]:
    """Folders with a shoot: `home` itself, and up to two levels below."""
    found = [home] if is_shoot(home) else []
    for pattern in (f"*/{SHOOT_FILE}", f"*/*/{SHOOT_FILE}"):
        found += sorted(p.parent for p in home.glob(pattern) if ".plateside" not in p.parts)
    return found


def frames_folder_said(root: Path) -> Path:
    """The folder from which frames are taken, whole, by what shoot.toml says of it alone; mistakes are passed over."""
    try:
        named = tomllib.loads((root / SHOOT_FILE).read_text(encoding="utf-8-sig")).get("frames")
    except (OSError, ValueError, RecursionError):
        named = None
    return (root / (named if isinstance(named, str) else "frames")).resolve()


class NamedFiles:
    """Where files of the shoot that was asked for last are: read again when shoot.toml changes."""

    def __init__(self) -> None:
        self._cached: tuple[object, tuple[Path, Path], tuple[Path, ...]] | None = None

    def of(self, root: Path) -> tuple[Path, Path]:
        """As shoot.toml has them, mistakes and all; the usual places while it cannot be read."""
        return self._read(root)[0]

    def disks_of(self, root: Path) -> tuple[Path, ...]:
        """The second disk's folder and the memory card's, those that are named."""
        return self._read(root)[1]

    def _read(self, root: Path) -> tuple[tuple[Path, Path], tuple[Path, ...]]:
        path = root / SHOOT_FILE
        try:
            stat = path.stat()
            mark = (root, stat.st_mtime_ns, stat.st_size, stat.st_ino)
            if self._cached is None or self._cached[0] != mark:
                # as the pages read it, mistakes and all
                shoot = read(read_text(path), SHOOT_FILE, Shoot).value
                folder = shoot_folder(root, shoot)
                disks = tuple(
                    named_place(root, named) for named in (shoot.second_disk, shoot.memory_card) if named
                )
                self._cached = mark, (folder.studio_file, folder.frames_dir), disks
        except (OSError, ValueError, RuntimeError, PlatesideError):
            return (root / STUDIO_FILE, root / "frames"), ()
        return self._cached[1:]

    def outside(self, root: Path, folders: Iterable[Path]) -> list[Path]:
        """Which of the two lie in none of these folders, links followed to their end."""
        allowed = tuple(folders)
        return [path for path in self.of(root) if not is_within(path, allowed)]
