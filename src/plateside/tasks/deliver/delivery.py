"""Deliver: each finished picture cropped, sized and encoded for its channels, with words, rights, page and manifest."""

import json
from dataclasses import asdict, dataclass
from datetime import date
from pathlib import Path

from plateside.deliver.facts import DeliveredCrop, DeliverFacts
from plateside.deliver.points import Point, holds_back
from plateside.deliver.renditions import File
from plateside.deliver.rights import Rights, rights_of
from plateside.files.checksums import sha256_of_file
from plateside.files.journal.extra_shots import with_delivered
from plateside.files.journal.state import read_state
from plateside.files.printing import with_letters
from plateside.files.settings.load import open_shoot
from plateside.model.errors import InputError
from plateside.model.progress import Progress, silent
from plateside.model.shoot import Channel, Shoot, Shot
from plateside.paper.contact_sheet import SheetShot, contact_sheet
from plateside.paper.page_style import RECIPE
from plateside.paper.read_me import read_me, words_sheet
from plateside.paper.recipe_page import preview_page, recipe_part
from plateside.paper.structured import Structured, recipe_object
from plateside.tasks.deliver.delivery_files import READ_ME, DeliveryFiles, crowded
from plateside.tasks.deliver.open_points import (
    MANIFEST,
    WHOLE,
    first_what_blocks,
    is_delivered,
    points_before,
    sources_now,
    told_apart,
)
from plateside.tasks.finish.finished_list import finished_now, selects_of
from plateside.tasks.finish.retouched import take_in
from plateside.words.deliver.points import point_sentence
from plateside.words.deliver.refusals import NO_CHANNELS

WORDS = "words.txt"


@dataclass(frozen=True, kw_only=True)
class DeliverReport(DeliverFacts):
    """What was delivered, and where."""

    folder: Path


def deliver(given: Path, progress: Progress = silent) -> DeliverReport:
    """Deliver what is finished of the shoot in `given`.

    A second run makes only what changed; files of an earlier run that are no longer wanted are removed, others in the
    folder are left alone. From its first change to its last the delivery says of itself that it is not finished.
    Raises InputError (nothing finished, no channels), CouldNotError (disk), Cancelled.
    """
    opened = open_shoot(given)
    if not opened.shoot.channels:
        raise InputError(*NO_CHANNELS)
    take_in(opened)
    state = read_state(opened.folder.root)
    finished = finished_now(opened.folder, state)
    shoot = with_delivered(opened.shoot, state, selects_of(finished))
    rights = rights_of(shoot.creator, date.fromisoformat(shoot.date).year)
    made_from = sources_now(shoot, state, finished)
    files = DeliveryFiles(opened, rights, state)

    withheld, open_points = points_before(shoot, state, finished, opened.folder.root)
    todo = [(s, finished[s.name]) for s in shoot.shots if s.name in finished and is_delivered(s)]
    steps = sum(len(_channels(shot, shoot.channels)) for shot, _ in todo) + 1

    done, sheets, crops = 0, [], []
    found_in_files: list[Point] = []
    for shot, one in todo:
        channels = _channels(shot, shoot.channels)
        sheet, of_shot = files.deliver_shot(
            one, shot, channels, lambda d, _t, base=done: progress(base + d, steps)
        )
        done += len(of_shot)
        sheets.append(sheet)
        crops += of_shot
        found_in_files += _of_files(shot, channels, of_shot)
    removed = files.remove_others()
    shots = [s.files for s in sheets]
    structured = recipe_object(shoot.recipe, shots, rights, shoot.creator.page_url)
    found_in_files += structured.remarks
    licence, withheld = ([p for p in withheld if (p.code == "no licence") is it] for it in (True, False))
    points = first_what_blocks([*licence, *open_points, *found_in_files])
    fix_first, remarks = told_apart((*withheld, *points))
    ready = not holds_back(fix_first)
    documents = _write_texts(shoot, rights, files, sheets, structured, (fix_first, remarks, ready))
    _write_list(shoot, files, sheets, documents, (withheld, points, found_in_files), ready, made_from)
    progress(steps, steps)
    return DeliverReport(
        folder=opened.folder.delivery_dir, crops=tuple(crops), written=files.written_now, removed=removed,
        documents=(*documents, MANIFEST), withheld=tuple(withheld), ready=ready, fix_first=tuple(fix_first),
        remarks=tuple(remarks),
    )  # fmt: skip


def _channels(shot: Shot, channels: tuple[Channel, ...]) -> list[Channel]:
    return [c for c in channels if not shot.channels or c.name in shot.channels]


def _of_files(shot: Shot, channels: list[Channel], crops: list[DeliveredCrop]) -> list[Point]:
    """What the files of one shot leave open."""
    name, found = shot.name, []
    if cut := [c.channel for c in crops if not c.subject_whole]:
        found.append(Point("food cut", name, names=tuple(cut)))
    for channel, crop in zip(channels, crops, strict=True):
        asked, got = crop.asked_px, (crop.width_px, crop.height_px)
        if got != asked and "fewer pixels" not in shot.deliberate:
            found.append(Point("too few pixels", name, channel.name, True, got=got, asked=asked))
        for file in crop.files:
            if (code := crowded(file, channel)) == "too heavy":
                found.append(_crowded_point(code, name, channel, file, file.bytes / 1000))
            elif code:
                found.append(_crowded_point(code, name, channel, file, file.ssim or 0.0))
    return found


def _crowded_point(code: str, shot: str, channel: Channel, file: File, got: float) -> Point:
    limit = (channel.largest_kb or 0.0,)
    return Point(code, shot, channel.name, code == "too heavy", names=(file.path,), got=(got,), asked=limit)


def _write_texts(
    shoot: Shoot,
    rights: Rights,
    files: DeliveryFiles,
    sheets: list[SheetShot],
    structured: Structured,
    open_of_all: tuple[list[Point], list[Point], bool],
) -> tuple[str, ...]:
    """Page, structured data, contact sheet, words and the note of what is what; returns their names."""
    shots = [s.files for s in sheets]
    first, remarks, ready = open_of_all
    part = recipe_part(shoot.recipe, shots, rights, structured)
    texts = {
        "recipe.html": part,
        "preview.html": with_letters(preview_page(shoot.recipe, part, rights, RECIPE)),
        "recipe.jsonld": structured.text() + "\n",
        "contact-sheet.html": with_letters(
            contact_sheet(shoot.recipe.title, shoot.date, sheets, rights.language)
        ),
        WORDS: words_sheet(shoot.recipe, [(s.shot, s.words) for s in shots], rights),
        # read by people who have no settings before them: without the lines for those
        READ_ME: read_me(
            shoot.recipe,
            shots,
            files.done,
            [point_sentence(p) for p in first],
            [point_sentence(p) for p in remarks],
            ready,
        ),
    }
    for name, text in texts.items():
        files.write(name, text)
    return tuple(texts)


def _write_list(
    shoot: Shoot,
    files: DeliveryFiles,
    sheets: list[SheetShot],
    documents: tuple[str, ...],
    open_of_all: tuple[list[Point], list[Point], list[Point]],
    ready: bool,
    made_from: dict[str, str],
) -> None:
    """The list of the whole delivery: written last, and what says whether it is ready."""
    withheld, points, found_in_files = open_of_all
    first, remarks = told_apart((*withheld, *points))
    rows = [
        {
            "file": f.path, "shot": s.files.shot.name, "channel": r.channel.name, "kind": f.kind,
            "width_px": f.width_px, "height_px": f.height_px, "bytes": f.bytes, "sha256": files.hashes[f.path],
            "done": list(files.done[s.files.shot.name]),
        }
        for s in sheets for r in s.files.renditions for f in r.files
    ]  # fmt: skip
    manifest = {
        "recipe": shoot.recipe.title, "state": WHOLE, "ready_to_publish": ready,
        "withheld": [point_sentence(p) for p in withheld],
        "fix_first": [point_sentence(p) for p in first], "remarks": [point_sentence(p) for p in remarks],
        "open_in_these_files": [asdict(p) for p in found_in_files],
        "made_from": made_from,
        "pictures": rows,
        "documents": [{"file": n, "sha256": sha256_of_file(files.folder / n)} for n in documents],
    }  # fmt: skip
    files.write(MANIFEST, json.dumps(manifest, indent=2, ensure_ascii=False) + "\n")
