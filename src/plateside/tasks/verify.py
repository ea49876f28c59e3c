"""Verify: read every file of a package, or of a delivery folder, and compare it with what was written down."""

from dataclasses import dataclass
from pathlib import Path

from plateside.files.bags import check_bag
from plateside.files.made import sha256_of_file
from plateside.files.manifests import read_manifest
from plateside.model.errors import InputError
from plateside.model.progress import Progress, silent
from plateside.tasks.delivery_files import MANIFEST


@dataclass(frozen=True)
class VerifyReport:
    """What checking found."""

    path: Path
    kind: str
    """package or delivery"""
    files: int
    bytes: int
    algorithms: tuple[str, ...]
    faults: tuple[str, ...]

    @property
    def exit_status(self) -> int:
        return 1 if self.faults else 0

    def lines(self) -> list[str]:
        if not self.faults:
            return [
                f"All {self.files} files ({self.bytes / 1e6:.1f} MB) are there and unchanged "
                f"({', '.join(self.algorithms)}): {self.path}"
            ]
        return [
            f"{len(self.faults)} fault{'s' * (len(self.faults) != 1)} in {self.path}:",
            *self.faults,
            "Copy these files again from another copy.",
        ]


def verify(given: Path, progress: Progress = silent) -> VerifyReport:
    """Check a package (a folder with bagit.txt), a delivery folder, or the delivery of a shoot.

    Raises InputError when there is nothing that could be checked.
    """
    if (given / "bagit.txt").is_file():
        checked = check_bag(given, progress)
        return VerifyReport(
            given, "package", checked.files, checked.bytes, checked.algorithms, checked.faults
        )
    for folder in (given, given / "delivery"):
        if (folder / MANIFEST).is_file():
            return _delivery(folder, progress)
    raise InputError(
        f"{given.name} is neither a package nor a delivery: make the delivery first, or choose another.",
        f"{given} holds neither bagit.txt nor {MANIFEST}: name the folder of a package or of a delivery.",
    )


def _delivery(folder: Path, progress: Progress) -> VerifyReport:
    try:
        rows = [(one.file, one.sha256) for one in read_manifest(folder / MANIFEST)]
    except (OSError, ValueError) as error:
        raise InputError(
            f"The delivery's list, {MANIFEST}, cannot be read: make the delivery again.",
            f"{folder / MANIFEST}: {error}",
        ) from error
    faults, total = [], 0
    for done, (name, wanted) in enumerate(rows):
        progress(done, len(rows))
        path = folder / name
        if not path.resolve().is_relative_to(folder.resolve()):
            faults.append(f"{name} leads out of the folder and is not read.")
        elif not path.is_file():
            faults.append(f"{name} is missing.")
        else:
            total += path.stat().st_size
            if sha256_of_file(path) != wanted:
                faults.append(f"{name} has changed since it was delivered.")
    progress(len(rows), len(rows))
    return VerifyReport(folder, "delivery", len(rows), total, ("sha256",), tuple(faults))
