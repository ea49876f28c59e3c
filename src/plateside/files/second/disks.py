"""Whether two folders are on one disk, as far as the system says.

    same     one file system, or (Linux) parts of one physical disk
    apart    (Linux) no physical disk in common
    unknown  two file systems, and what is beneath them is not told: a network folder, another system

POSIX: st_dev tells file systems apart (IEEE Std 1003.1, sys/stat.h). Linux: /sys/dev/block/MAJOR:MINOR is the block
device of one, in the folder of the disk whose part it is; `slaves` are what an encrypted or joined one stands on, and
`loop/backing_file` (Documentation/ABI/testing/sysfs-block-loop) the file of one that is an image.
"""

import os
import stat
import sys
from pathlib import Path

_BLOCKS = Path("/sys/dev/block")
_MOUNTS = Path("/proc/self/mountinfo")


def apart(one: Path, other: Path) -> str:
    """'same', 'apart' or 'unknown'. Raises OSError when one of them is not there."""
    first, second = one.stat().st_dev, other.stat().st_dev
    if first == second:
        return "same"
    disks = [_disks_of(device) for device in (first, second)]
    if not all(disks):
        return "unknown"
    return "same" if disks[0] & disks[1] else "apart"


def _disks_of(device: int) -> frozenset[str]:
    """Names of the physical disks beneath a file system; empty when the system does not say."""
    if sys.platform != "linux":
        return frozenset()
    try:
        if (
            os.major(device) == 0
        ):  # btrfs and others have a number of their own: the list of mounts says what beneath
            device = _mounted_from(f"0:{os.minor(device)}")
        return _beneath(
            Path(os.path.realpath(_BLOCKS / f"{os.major(device)}:{os.minor(device)}", strict=True))
        )
    except (OSError, ValueError):
        return frozenset()


def _mounted_from(number: str) -> int:
    """The block device of a mount that has none of its own. Raises ValueError when it has none at all."""
    for line in _MOUNTS.read_text(encoding="utf-8", errors="surrogateescape").splitlines():
        own, _, rest = line.partition(" - ")
        fields = rest.split()
        if own.split()[2] == number and len(fields) > 1 and fields[1].startswith("/dev/"):
            found = Path(fields[1]).stat()
            if stat.S_ISBLK(found.st_mode):
                return found.st_rdev
    raise ValueError(number)


def _beneath(block: Path) -> frozenset[str]:
    slaves = block / "slaves"
    found = [_beneath(each.resolve()) for each in slaves.iterdir()] if slaves.is_dir() else []
    if found:
        return frozenset().union(*found)
    image = block / "loop" / "backing_file"
    if image.is_file():  # a disk image that is mounted: it is on the disk that its file is on
        return _disks_of(
            Path(image.read_text(encoding="utf-8", errors="surrogateescape").strip()).stat().st_dev
        )
    return frozenset({(block.parent if (block / "partition").exists() else block).name})
