"""A shoot with a folder that counts as one of a second disk, and a run of the copying on a clock of its own."""

import hashlib
import os
from pathlib import Path

import pytest
from PIL import Image

from plateside.files.second import second_disk
from plateside.files.settings.load import open_shoot
from plateside.tasks.set.folders import name_folders
from plateside.tasks.set.safe import SafeNow, safe_now
from plateside.tasks.set.safe_run import SafeRun
from tests.shoots.bowl import shoot_folder, taken
from tests.unit.originals.sample_files import gradient

OLD_S = 1_700_000_000
"""A time long ago: a file that has it has stood still."""


def picture(path: Path, n: int) -> Path:
    path.parent.mkdir(parents=True, exist_ok=True)
    Image.fromarray(gradient(120 + n, 90)).save(path, quality=90, exif=taken(n % 60))
    os.utime(path, (OLD_S + n, OLD_S + n))
    return path


def make_root(folder: Path) -> Path:
    root = shoot_folder(folder / "soup")
    for n in range(2):
        picture(root / "frames" / f"{n}.jpg", n)
    return root


def make_disk(root: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    monkeypatch.setattr(second_disk, "apart", lambda one, other: "apart")
    disk = root.parent / "backup"
    disk.mkdir()
    name_folders(root, {"second_disk": str(disk)})
    return disk


class Copying:
    """A run on a clock of its own."""

    def __init__(self, root: Path) -> None:
        self.now_s = 0.0
        self.root = root
        self.run = SafeRun(open_shoot(root), lambda: self.now_s)

    def on(self, seconds: float = 30.0) -> SafeNow:
        """Look until so much time has passed and nothing is left to do."""
        end_s = self.now_s + seconds
        while self.run.look() or self.now_s < end_s:
            self.now_s += 1.5
        return self.told()

    def told(self) -> SafeNow:
        found = safe_now(self.root)
        assert found is not None
        return found


def kept(disk: Path) -> dict[str, str]:
    """Name -> SHA-256 of every copy under its final name."""
    data = disk / "soup-originals" / "data"
    return {
        p.relative_to(data).as_posix(): hashlib.sha256(p.read_bytes()).hexdigest()
        for p in data.rglob("*")
        if p.is_file()
    }


def sums(folder: Path) -> dict[str, str]:
    return {p.name: hashlib.sha256(p.read_bytes()).hexdigest() for p in folder.iterdir() if p.is_file()}
