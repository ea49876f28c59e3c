"""Pack: a delivery to hand over, or the whole shoot to keep, as a folder whose every file can be checked later."""

import json
from dataclasses import dataclass, replace
from datetime import date
from pathlib import Path

from plateside.deliver.facts import NotPacked, PackFacts
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
from plateside.words.deliver import refusals
from plateside.words.deliver.checks import bag_phrase


@dataclass(frozen=True, kw_only=True)
class PackReport(PackFacts):
    """What was packed, and where."""

    path: Path


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
    left_out: list[NotPacked] = []
    if archive and channels:
        raise InputError(*refusals.ARCHIVE_IS_WHOLE)
    payload = _everything(opened, left_out) if archive else _delivery(opened, channels)
    root = opened.folder.root.resolve()
    folder = to if to is not None else root / "packages"
    _not_within_what_is_packed(opened, folder)
    target = folder / "-".join([root.name, kind, *channels])
    creator = opened.shoot.creator
    info = {
        "Source-Organization": creator.name,
        "External-Description": bag_phrase(opened.shoot.recipe.title, kind, opened.shoot.date),
        "External-Identifier": "-".join([root.name, opened.shoot.date, kind, *channels]),
        "Bagging-Date": date.today().isoformat(),
        "Rights": creator.usage_terms,
        "Licence-URL": creator.licence_url,
    }
    bag = write_bag(target, payload, info, progress)
    renamed = tuple(bag.renamed.items())
    report = PackReport(
        path=bag.path, kind=kind, files=bag.files, bytes=bag.bytes, left_out=tuple(left_out), renamed=renamed
    )
    if archive:
        return report
    now = standing(root, opened.shoot, read_state(root))
    return replace(report, ready=now.ready, not_ready=tuple(what_blocks(now)))


def _not_within_what_is_packed(opened: OpenShoot, folder: Path) -> None:
    """A package in one of these folders would be uploaded, finished or packed with it the next time."""
    for taken in (opened.folder.delivery_dir, opened.folder.finished_dir, opened.folder.frames_dir):
        if folder.resolve().is_relative_to(taken.resolve()):
            raise InputError(refusals.within_packed(taken.name))


def _delivery(opened: OpenShoot, channels: tuple[str, ...]) -> dict[str, Path | bytes]:
    """Exactly what the delivery's list names, each file as it was delivered; of some channels, or all.

    The note and the list are written anew for whoever gets them: what was done to the pictures goes with them, what is
    left to fix stays in the shoot.
    """
    folder, root = opened.folder.delivery_dir, opened.folder.root
    there = delivered(folder)
    if there is None and not (folder / MANIFEST).exists():
        raise InputError(*refusals.nothing_delivered(root))
    try:
        pictures, documents = (there.pictures, there.documents) if there else ((), ())
        sums = {str(r["file"]): str(r["sha256"]) for r in (*pictures, *documents)}
        if there is None or not sums or not all(isinstance(r["channel"], str) for r in pictures):
            raise ValueError(MANIFEST)
    except (KeyError, ValueError) as error:
        raise InputError(*refusals.list_unread(MANIFEST, root)) from error
    if there.state == UNFINISHED:
        raise InputError(*refusals.stopped_half_way(root))
    if channels:
        known = sorted({str(r["channel"]) for r in pictures})
        if unknown := [c for c in channels if c not in known]:
            raise InputError(refusals.not_a_channel(unknown[0], known))
        pictures = tuple(r for r in pictures if r["channel"] in channels)
        documents = tuple(r for r in documents if r["file"] == WORDS)
    creator = opened.shoot.creator
    if not (creator.licence_url or creator.usage_terms):
        raise InputError(*refusals.no_terms(root))
    for row in (*pictures, *documents):
        name = str(row["file"])
        inside = (folder / name).resolve().is_relative_to(folder.resolve())
        if not inside or not (folder / name).is_file() or sha256_of_file(folder / name) != sums[name]:
            raise InputError(*refusals.file_changed(name, root))
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


def _everything(opened: OpenShoot, left_out: list[NotPacked]) -> dict[str, Path | bytes]:
    folder = opened.folder
    payload: dict[str, Path | bytes] = {"shoot.toml": folder.shoot_file, "studio.toml": folder.studio_file}
    if folder.journal_file.is_file():
        payload["journal.jsonl"] = folder.journal_file
    else:
        left_out.append(NotPacked("no journal"))
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
            left_out.append(NotPacked("name", shown(path.name)))
            files.remove(path)
        if not files:
            left_out.append(NotPacked("empty", name))
        payload |= {f"{name}/{p.relative_to(source).as_posix()}": p for p in files}
    return payload


def _hidden(path: Path, within: Path) -> bool:
    return any(part.startswith(".") for part in path.relative_to(within).parts)
