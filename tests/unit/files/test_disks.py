"""Whether two folders are on one disk, by a system's own list of block devices, drawn small.

Layout of sysfs (Linux, Documentation/ABI: sysfs-block, sysfs-block-loop; from memory): a part of a disk lies in the
disk's folder and has a file `partition`; `slaves` links to what an encrypted or joined one stands on.
"""

import os
import sys
from pathlib import Path

import pytest

from plateside.files.second import disks

pytestmark = pytest.mark.skipif(sys.platform != "linux", reason="only Linux tells")


@pytest.fixture
def blocks(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """Disks sda (parts 8:1, 8:2) and sdb (8:17), an encrypted 253:0 on 8:2, an image 7:0 on sdb, a network 0:50."""
    devices = tmp_path / "devices"
    blocks = tmp_path / "block"
    blocks.mkdir()
    for number, where in {
        "8:1": "sda/sda1",
        "8:2": "sda/sda2",
        "8:17": "sdb/sdb1",
        "253:0": "dm-0",
        "7:0": "loop0",
    }.items():
        (devices / where).mkdir(parents=True)
        (blocks / number).symlink_to(devices / where)
        if where.startswith("sd"):
            (devices / where / "partition").write_text("1")
    (devices / "dm-0" / "slaves").mkdir()
    (devices / "dm-0" / "slaves" / "sda2").symlink_to(devices / "sda" / "sda2")
    (devices / "loop0" / "loop").mkdir()
    (devices / "loop0" / "loop" / "backing_file").write_text("/image\n")
    mounts = tmp_path / "mountinfo"
    mounts.write_text("30 20 0:50 / /mnt/nas rw - nfs nas:/pictures rw\n")
    monkeypatch.setattr(disks, "_BLOCKS", blocks)
    monkeypatch.setattr(disks, "_MOUNTS", mounts)
    return devices


@pytest.mark.parametrize(
    ("one", "other", "found"),
    [((8, 1), (8, 1), "same"), ((8, 1), (8, 2), "same"), ((8, 1), (8, 17), "apart"), ((253, 0), (8, 1), "same"),
     ((253, 0), (8, 17), "apart"), ((0, 50), (8, 1), "unknown"), ((9, 9), (8, 1), "unknown"),
     ((7, 0), (8, 17), "same"), ((7, 0), (8, 1), "apart")],
)  # fmt: skip
def test_by_the_systems_own_list(
    blocks: Path, monkeypatch: pytest.MonkeyPatch, one: tuple[int, int], other: tuple[int, int], found: str
) -> None:
    stats = {"/one": os.makedev(*one), "/other": os.makedev(*other), "/image": os.makedev(8, 17)}

    class Stat:
        def __init__(self, device: int) -> None:
            self.st_dev = device

    real = Path.stat
    monkeypatch.setattr(
        Path,
        "stat",
        lambda self, **more: Stat(stats[str(self)]) if str(self) in stats else real(self, **more),
    )
    assert disks.apart(Path("/one"), Path("/other")) == found
    assert disks.apart(Path("/other"), Path("/one")) == found


def test_a_folder_and_one_in_it_are_on_one_disk(tmp_path: Path) -> None:
    (tmp_path / "in it").mkdir()
    assert disks.apart(tmp_path, tmp_path / "in it") == "same"
    with pytest.raises(OSError):
        disks.apart(tmp_path, tmp_path / "nowhere")
