"""Verify: read every file of a package, or of a delivery folder, and compare it with what was written down."""

from dataclasses import dataclass, replace
from pathlib import Path

from plateside.deliver.facts import FileFault, VerifyFacts
from plateside.files.bags import bring_back, check_bag
from plateside.files.checksums import sha256_of_file
from plateside.files.folder import SHOOT_FILE
from plateside.files.journal.state import read_state
from plateside.files.settings.load import load_shoot
from plateside.model.errors import InputError, PlatesideError
from plateside.model.progress import Progress, silent
from plateside.tasks.deliver.open_points import MANIFEST, UNFINISHED, delivered, standing, what_blocks
from plateside.words.deliver import refusals


@dataclass(frozen=True, kw_only=True)
class VerifyReport(VerifyFacts):
    """What checking found, and where."""

    path: Path

    @property
    def exit_status(self) -> int:
        return 1 if self.faults or self.interrupted else 0


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
            path=given, kind="package", files=checked.files, bytes=checked.bytes, algorithms=checked.algorithms,
            faults=checked.faults,
        )  # fmt: skip
    for folder in (given, given / "delivery"):
        if (folder / MANIFEST).is_file():
            return _delivery(folder, progress)
    raise InputError(*refusals.nothing_to_check(given, given.name, MANIFEST))


def _delivery(folder: Path, progress: Progress) -> VerifyReport:
    there = delivered(folder)
    try:
        if there is None:
            raise ValueError(MANIFEST)
        rows = [(str(r["file"]), str(r["sha256"])) for r in (*there.pictures, *there.documents)]
    except (KeyError, ValueError) as error:
        raise InputError(*refusals.list_unread(MANIFEST, folder.parent)) from error
    if there.state == UNFINISHED:
        return VerifyReport(
            path=folder,
            kind="delivery",
            files=len(rows),
            bytes=0,
            algorithms=("sha256",),
            faults=(),
            interrupted=True,
        )
    faults: list[FileFault] = []
    total = 0
    for done, (name, wanted) in enumerate(rows):
        progress(done, len(rows))
        path = folder / name
        if not path.resolve().is_relative_to(folder.resolve()):
            faults.append(FileFault("outside", name))
        elif not path.is_file():
            faults.append(FileFault("missing", name))
        else:
            total += path.stat().st_size
            if sha256_of_file(path) != wanted:
                faults.append(FileFault("changed", name, "delivered"))
    progress(len(rows), len(rows))
    report = VerifyReport(
        path=folder,
        kind="delivery",
        files=len(rows),
        bytes=total,
        algorithms=("sha256",),
        faults=tuple(faults),
    )
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
    return replace(report, changed=now.changed, not_ready=tuple(what_blocks(now)))
