"""Pack: a delivery to hand over, or the whole shoot to keep, as a folder whose every file can be checked later."""

from dataclasses import dataclass
from datetime import date
from pathlib import Path

from plateside.files.bags import write_bag
from plateside.files.json_text import read_json_file
from plateside.files.made import sha256_of_file
from plateside.files.originals.unreadable import can_be_shown, shown
from plateside.files.settings import OpenShoot, open_shoot
from plateside.model.errors import InputError
from plateside.model.progress import Progress, silent
from plateside.tasks.deliver.delivery import WORDS
from plateside.tasks.deliver.delivery_files import MANIFEST


@dataclass(frozen=True)
class PackReport:
    """What was packed."""

    path: Path
    kind: str
    """delivery or archive"""
    files: int
    bytes: int
    left_out: tuple[str, ...]
    renamed: tuple[tuple[str, str], ...] = ()
    """(name as it was, name in the package) where another system could not keep the name"""

    def lines(self) -> list[str]:
        said = [f"Packed {self.files} files ({self.bytes / 1e6:.1f} MB) as {self.kind}: {self.path}"]
        said += self.left_out
        said += [
            f"{was!a} is called {now} in the package: other computers refuse that name."
            for was, now in self.renamed
        ]
        said.append(
            f"Every file was read back and compared. Check it again at any time: plateside verify {self.path}"
        )
        if self.kind == "archive":
            said.append("Keep a second copy on another device, and one elsewhere; then check each of them.")
        return said


def pack(
    given: Path,
    archive: bool = False,
    channels: tuple[str, ...] = (),
    to: Path | None = None,
    progress: Progress = silent,
) -> PackReport:
    """Pack the shoot in `given`.

    archive  False: what was delivered, to hand over: no originals, no studio (it says where you live), no journal.
             True: everything, to keep: originals, settings, journal, finished and delivered pictures.
    channels  only these channels' pictures, with the words: for one client; not with `archive`
    to       folder that receives the package; left out, `packages` in the shoot's folder
    Raises InputError (nothing delivered, a file changed since, no licence stated), CouldNotError (disk), Cancelled.
    """
    opened = open_shoot(given)
    kind = "archive" if archive else "delivery"
    left_out: list[str] = []
    if archive and channels:
        raise InputError(
            "An archive holds every channel, so it cannot be of some channels alone.",
            "Leave out either --archive or --channel.",
        )
    payload = _everything(opened, left_out) if archive else _delivery(opened, channels)
    root = opened.folder.root.resolve()
    folder = to if to is not None else root / "packages"
    _not_within_what_is_packed(opened, folder)
    target = folder / "-".join([root.name, kind, *channels])
    creator = opened.shoot.creator
    info = {
        "Source-Organization": creator.name,
        "External-Description": f"{opened.shoot.recipe.title}: {kind} of the photographs of {opened.shoot.date}",
        "External-Identifier": "-".join([root.name, opened.shoot.date, kind, *channels]),
        "Bagging-Date": date.today().isoformat(),
        "Rights": creator.usage_terms,
        "Licence-URL": creator.licence_url,
    }
    bag = write_bag(target, payload, info, progress)
    renamed = tuple(bag.renamed.items())
    return PackReport(bag.path, kind, bag.files, bag.bytes, tuple(left_out), renamed)


def _not_within_what_is_packed(opened: OpenShoot, folder: Path) -> None:
    """A package in one of these folders would be uploaded, finished or packed with it the next time."""
    for taken in (opened.folder.delivery_dir, opened.folder.finished_dir, opened.folder.frames_dir):
        if folder.resolve().is_relative_to(taken.resolve()):
            raise InputError(
                f"The package cannot be kept in the folder {taken.name}, which is packed itself: choose another."
            )


def _delivery(opened: OpenShoot, channels: tuple[str, ...]) -> dict[str, Path]:
    """Exactly what the delivery's manifest lists, each file as it was delivered; of some channels, or all."""
    folder = opened.folder.delivery_dir
    path = folder / MANIFEST
    try:
        manifest = read_json_file(path)
        sums = {str(r["file"]): str(r["sha256"]) for r in (*manifest["pictures"], *manifest["documents"])}
        of_channel = {str(r["file"]): str(r["channel"]) for r in manifest["pictures"]}
    except FileNotFoundError as error:
        raise InputError(
            "Nothing is delivered yet: make the delivery first.",
            f"Run: plateside deliver {opened.folder.root}",
        ) from error
    except (OSError, ValueError, KeyError, TypeError) as error:
        raise InputError(
            f"The delivery's list, {path.name}, cannot be read: make the delivery again.",
            f"Run: plateside deliver {opened.folder.root}",
        ) from error
    if channels:
        there = sorted(set(of_channel.values()))
        if unknown := [c for c in channels if c not in there]:
            raise InputError(
                f"{unknown[0]!r} is no channel of this delivery; delivered are {', '.join(there)}."
            )
        sums = {n: s for n, s in sums.items() if n == WORDS or of_channel.get(n) in channels}
    creator = opened.shoot.creator
    if not (creator.licence_url or creator.usage_terms):
        raise InputError(
            "No licence is stated, so nothing is handed over: write your terms, then make the delivery again.",
            "Under [creator] in shoot.toml write usage_terms or licence_url with your own terms, then run: "
            f"plateside deliver {opened.folder.root}",
        )
    for name, wanted in sums.items():
        if not (folder / name).is_file() or sha256_of_file(folder / name) != wanted:
            raise InputError(
                f"{name} is gone or has changed since it was delivered: make the delivery again.",
                f"Run: plateside deliver {opened.folder.root}",
            )
    return {name: folder / name for name in (sums if channels else (*sums, MANIFEST))}


def _everything(opened: OpenShoot, left_out: list[str]) -> dict[str, Path]:
    folder = opened.folder
    payload = {"shoot.toml": folder.shoot_file, "studio.toml": folder.studio_file}
    if folder.journal_file.is_file():
        payload["journal.jsonl"] = folder.journal_file
    else:
        left_out.append("There is no journal yet, so none is packed.")
    for name, source in (
        ("frames", folder.frames_dir),
        ("finished", folder.finished_dir),
        ("delivery", folder.delivery_dir),
    ):
        files = (
            sorted(p for p in source.rglob("*") if p.is_file() and not _hidden(p, source))
            if source.is_dir()
            else []
        )
        for path in [p for p in files if not can_be_shown(p.relative_to(source).as_posix())]:
            # a manifest is UTF-8, a line for each file (RFC 8493, 2.1.3)
            left_out.append(f"{shown(path.name)} is not packed: give it a name that can be written down.")
            files.remove(path)
        if not files:
            left_out.append(f"{source} holds nothing, so nothing of it is packed.")
        payload |= {f"{name}/{p.relative_to(source).as_posix()}": p for p in files}
    return payload


def _hidden(path: Path, within: Path) -> bool:
    return any(part.startswith(".") for part in path.relative_to(within).parts)
