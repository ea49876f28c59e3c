"""Pack: a delivery to hand over, or the whole shoot to keep, as a folder whose every file can be checked later."""

import json
from dataclasses import dataclass, replace
from datetime import date
from pathlib import Path

from plateside.files.bags import write_bag
from plateside.files.checksums import sha256_of, sha256_of_file
from plateside.files.journal.state import read_state
from plateside.files.originals.unreadable import can_be_shown, shown
from plateside.files.safe_names import safe_names
from plateside.files.settings.load import OpenShoot, open_shoot
from plateside.model.errors import InputError
from plateside.model.progress import Progress, silent
from plateside.paper.read_me import package_note
from plateside.tasks.deliver.delivery import WORDS
from plateside.tasks.deliver.delivery_files import READ_ME
from plateside.tasks.deliver.open_points import MANIFEST, UNFINISHED, delivered, standing, what_blocks
from plateside.words.commands import typed


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
    ready: bool | None = None
    """whether what was packed may be published as it is; None for an archive"""
    not_ready: tuple[str, ...] = ()
    """what holds it back; it is not in the package"""

    def lines(self) -> list[str]:
        said = [f"Packed {self.files} files ({self.bytes / 1e6:.1f} MB) as {self.kind}: {self.path}"]
        said += self.left_out
        said += [
            f"{was!a} is called {now} in the package: other computers refuse that name."
            for was, now in self.renamed
        ]
        said.append(
            f"Every file was read back and compared. Check it again at any time: plateside verify {typed(self.path)}"
        )
        if self.ready is False:
            said += ["Not ready to publish (none of this is in the package):", *self.not_ready]
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
    report = PackReport(bag.path, kind, bag.files, bag.bytes, tuple(left_out), renamed)
    if archive:
        return report
    now = standing(root, opened.shoot, read_state(root))
    return replace(report, ready=now.ready, not_ready=tuple(p.in_full() for p in what_blocks(now)))


def _not_within_what_is_packed(opened: OpenShoot, folder: Path) -> None:
    """A package in one of these folders would be uploaded, finished or packed with it the next time."""
    for taken in (opened.folder.delivery_dir, opened.folder.finished_dir, opened.folder.frames_dir):
        if folder.resolve().is_relative_to(taken.resolve()):
            raise InputError(
                f"The package cannot be kept in the folder {taken.name}, which is packed itself: choose another."
            )


def _delivery(opened: OpenShoot, channels: tuple[str, ...]) -> dict[str, Path | bytes]:
    """Exactly what the delivery's list names, each file as it was delivered; of some channels, or all.

    The note and the list are written anew for whoever gets them: what was done to the pictures goes with them, what is
    still open stays in the shoot.
    """
    folder, again = opened.folder.delivery_dir, f"Run: plateside deliver {typed(opened.folder.root)}"
    there = delivered(folder)
    if there is None and not (folder / MANIFEST).exists():
        raise InputError("Nothing is delivered yet: make the delivery first.", again)
    try:
        pictures, documents = (there.pictures, there.documents) if there else ((), ())
        sums = {str(r["file"]): str(r["sha256"]) for r in (*pictures, *documents)}
        if there is None or not sums or not all(isinstance(r["channel"], str) for r in pictures):
            raise ValueError("no list")
    except (KeyError, ValueError) as error:
        raise InputError(
            f"The delivery's list, {MANIFEST}, cannot be read: make the delivery again.", again
        ) from error
    if there.state == UNFINISHED:
        raise InputError("Making the delivery was stopped before it was done: make it again.", again)
    if channels:
        known = sorted({str(r["channel"]) for r in pictures})
        if unknown := [c for c in channels if c not in known]:
            raise InputError(
                f"{unknown[0]!r} is no channel of this delivery; delivered are {', '.join(known)}."
            )
        pictures = tuple(r for r in pictures if r["channel"] in channels)
        documents = tuple(r for r in documents if r["file"] == WORDS)
    creator = opened.shoot.creator
    if not (creator.licence_url or creator.usage_terms):
        raise InputError(
            "No licence is stated, so nothing is handed over: write your terms, then make the delivery again.",
            "Under [creator] in shoot.toml write usage_terms or licence_url with your own terms, then run: "
            f"plateside deliver {typed(opened.folder.root)}",
        )
    for row in (*pictures, *documents):
        name = str(row["file"])
        inside = (folder / name).resolve().is_relative_to(folder.resolve())
        if not inside or not (folder / name).is_file() or sha256_of_file(folder / name) != sums[name]:
            raise InputError(
                f"{name} is gone or has changed since it was delivered: make the delivery again.", again
            )
    documents_left = [dict(r) for r in documents if r["file"] != READ_ME]
    payload: dict[str, Path | bytes] = {
        str(r["file"]): folder / r["file"] for r in (*pictures, *documents_left)
    }
    done = {str(r["shot"]): [str(said) for said in r.get("done", ())] for r in pictures}
    note = package_note(
        opened.shoot.recipe.title,
        pictures,
        [str(r["file"]) for r in documents_left] + [MANIFEST] * (not channels),
        done,
    )
    payload[READ_ME] = note.encode()
    if not channels:
        names = safe_names([*payload, MANIFEST])
        documents_left.append({"file": READ_ME, "sha256": sha256_of(note.encode())})
        rows = {"pictures": pictures, "documents": documents_left}
        manifest = {kind: [{**r, "file": names[str(r["file"])]} for r in of] for kind, of in rows.items()}
        text = (
            json.dumps({"recipe": opened.shoot.recipe.title, **manifest}, indent=2, ensure_ascii=False) + "\n"
        )
        payload[MANIFEST] = text.encode()
    return payload


def _everything(opened: OpenShoot, left_out: list[str]) -> dict[str, Path | bytes]:
    folder = opened.folder
    payload: dict[str, Path | bytes] = {"shoot.toml": folder.shoot_file, "studio.toml": folder.studio_file}
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
