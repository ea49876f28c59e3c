"""Verify: read every file of a package, or of a delivery folder, and compare it with what was written down."""

from dataclasses import dataclass, replace
from pathlib import Path

from plateside.files.bags import bring_back, check_bag
from plateside.files.checksums import sha256_of_file
from plateside.files.folder import SHOOT_FILE
from plateside.files.journal.state import read_state
from plateside.files.settings.load import load_shoot
from plateside.model.errors import InputError, PlatesideError
from plateside.model.progress import Progress, silent
from plateside.tasks.deliver.open_points import MANIFEST, UNFINISHED, delivered, standing, what_blocks


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
    interrupted: bool = False
    """a delivery whose making was cut short: its files are of two times, and none of them need be damaged"""
    changed: tuple[str, ...] = ()
    """what a delivery was made from and is no longer as it was (see deliver.sources)"""
    not_ready: tuple[str, ...] = ()
    """what keeps the delivery of a shoot from being published"""

    @property
    def exit_status(self) -> int:
        return 1 if self.faults or self.interrupted else 0

    def lines(self) -> list[str]:
        if self.interrupted:
            return [
                f"Making this delivery was stopped before it was done: {self.path}",
                "Its files are not all of one time. Nothing needs to be damaged: make the delivery again.",
            ]
        if not self.faults:
            return [*self._whole(), *([f"Not ready to publish: {p}" for p in self.not_ready])]
        return [
            f"{len(self.faults)} fault{'s' * (len(self.faults) != 1)} in {self.path}:",
            *self.faults,
            "Make the delivery again."
            if self.kind == "delivery"
            else "Copy these files again from another copy.",
        ]

    def _whole(self) -> list[str]:
        return [
            f"All {self.files} files ({self.bytes / 1e6:.1f} MB) are there and unchanged "
            f"({', '.join(self.algorithms)}): {self.path}"
        ]


def verify(given: Path, progress: Progress = silent) -> VerifyReport:
    """Check a package (a folder with bagit.txt), a delivery folder, or the delivery of a shoot.

    A package that a killed run had set aside is put back first. Raises InputError when there is nothing that could be
    checked.
    """
    bring_back(given.absolute())
    bring_back(given / "packages" / "any")
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
    there = delivered(folder)
    try:
        if there is None:
            raise ValueError("it is no list of a delivery")
        rows = [(str(r["file"]), str(r["sha256"])) for r in (*there.pictures, *there.documents)]
    except (KeyError, ValueError) as error:
        raise InputError(
            f"The delivery's list, {MANIFEST}, cannot be read: make the delivery again.",
            f"{folder / MANIFEST}: {error}",
        ) from error
    if there.state == UNFINISHED:
        return VerifyReport(folder, "delivery", len(rows), 0, ("sha256",), (), interrupted=True)
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
    report = VerifyReport(folder, "delivery", len(rows), total, ("sha256",), tuple(faults))
    return _against_its_shoot(report)


def _against_its_shoot(report: VerifyReport) -> VerifyReport:
    """What has changed in the shoot since, and what holds the delivery back; a delivery alone knows of neither."""
    root = report.path.absolute().parent
    if not (root / SHOOT_FILE).is_file():
        return report
    try:
        now = standing(root, load_shoot(root / SHOOT_FILE), read_state(root))
    except PlatesideError:  # its settings cannot be read: that is not asked here
        return report
    return replace(report, changed=now.changed, not_ready=tuple(p.words for p in what_blocks(now)))
