"""Pack: a delivery to hand over, or the whole shoot to keep, as a folder whose every file can be checked later."""

from dataclasses import dataclass
from datetime import date
from pathlib import Path

from plateside import __version__
from plateside.files.bags import write_bag
from plateside.files.made import sha256_of_file
from plateside.files.manifests import read_manifest
from plateside.files.settings import OpenShoot, open_shoot
from plateside.model.errors import InputError
from plateside.model.progress import Progress, silent
from plateside.tasks.deliver import WORDS
from plateside.tasks.delivery_files import MANIFEST


@dataclass(frozen=True)
class PackReport:
    """What was packed."""

    path: Path
    kind: str
    """delivery or archive"""
    files: int
    bytes: int
    left_out: tuple[str, ...]

    def lines(self) -> list[str]:
        said = [f"Packed {self.files} files ({self.bytes / 1e6:.1f} MB) as {self.kind}: {self.path}"]
        said += self.left_out
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
    target = (to if to is not None else root / "packages") / "-".join([root.name, kind, *channels])
    creator = opened.shoot.creator
    info = {
        "Source-Organization": creator.name,
        "External-Description": f"{opened.shoot.recipe.title}: {kind} of the photographs of {opened.shoot.date}",
        "External-Identifier": "-".join([root.name, opened.shoot.date, kind, *channels]),
        "Bagging-Date": date.today().isoformat(),
        "Bag-Software-Agent": f"Plateside {__version__}",
        "Rights": creator.usage_terms,
        "Licence-URL": creator.licence_url,
    }
    bag = write_bag(target, payload, info, progress)
    return PackReport(bag.path, kind, bag.files, bag.bytes, tuple(left_out))


def _delivery(opened: OpenShoot, channels: tuple[str, ...]) -> dict[str, Path]:
    """Exactly what the delivery's manifest lists, each file as it was delivered; of some channels, or all."""
    folder = opened.folder.delivery_dir
    path = folder / MANIFEST
    try:
        listed = read_manifest(path)
        sums = {one.file: one.sha256 for one in listed}
        of_channel = {one.file: one.channel for one in listed if one.channel}
    except FileNotFoundError as error:
        raise InputError(
            "Nothing is delivered yet: make the delivery first.",
            f"Run: plateside deliver {opened.folder.root}",
        ) from error
    except (OSError, ValueError) as error:
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
        if not files:
            left_out.append(f"{source} holds nothing, so nothing of it is packed.")
        payload |= {f"{name}/{p.relative_to(source).as_posix()}": p for p in files}
    return payload


def _hidden(path: Path, within: Path) -> bool:
    return any(part.startswith(".") for part in path.relative_to(within).parts)
