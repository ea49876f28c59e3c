"""Deliver: each finished picture cropped, sized and encoded for its channels, with words, rights, page and manifest."""

import json
from dataclasses import asdict, dataclass, replace
from datetime import date
from pathlib import Path

from plateside.deliver.points import Point, holds_back
from plateside.deliver.rights import Rights, rights_of
from plateside.deliver.sizes import SSIM_FLOOR
from plateside.files.checksums import sha256_of_file
from plateside.files.journal.state import read_state
from plateside.files.settings.load import open_shoot
from plateside.model.errors import InputError
from plateside.model.progress import Progress, silent
from plateside.model.shoot import Channel, Shoot, Shot
from plateside.paper.contact_sheet import SheetShot, contact_sheet
from plateside.paper.page_style import RECIPE
from plateside.paper.read_me import read_me, ready_words, words_sheet
from plateside.paper.recipe_page import preview_page, recipe_part
from plateside.paper.structured import Structured, recipe_object
from plateside.tasks.deliver.delivery_files import READ_ME, DeliveredCrop, DeliveryFiles
from plateside.tasks.deliver.open_points import (
    MANIFEST,
    WHOLE,
    first_what_blocks,
    is_delivered,
    points_before,
    sources_now,
    told_apart,
)
from plateside.tasks.finish.finished_list import finished_now

WORDS = "words.txt"


@dataclass(frozen=True)
class DeliverReport:
    """What was delivered, what is held back, and what stands open before it should be published."""

    folder: Path
    crops: tuple[DeliveredCrop, ...]
    written: int
    """how many picture files were made now; the others were there already"""
    removed: int
    """how many files of an earlier delivery were no longer wanted"""
    documents: tuple[str, ...]
    withheld: tuple[str, ...]
    open_points: tuple[str, ...]
    ready: bool
    """True when there is nothing to fix first"""
    fix_first: tuple[str, ...] = ()
    """of what is held back and open: what keeps it from being published"""
    remarks: tuple[str, ...] = ()
    """of what is open: what would only make it better"""

    def lines(self) -> list[str]:
        files = sum(len(c.files) for c in self.crops)
        size = sum(f.bytes for c in self.crops for f in c.files)
        said = [
            f"Delivered {len(self.crops)} crops as {files} files ({size / 1e6:.1f} MB) in {self.folder} "
            f"(made {self.written}, unchanged {files - self.written}, removed {self.removed})."
        ]
        for crop in self.crops:
            said.append(f"{crop.shot}, {crop.channel}: {crop.width_px} x {crop.height_px}")
            said += [f"  {r}" for r in crop.remarks]
        said += [f"fix first: {p}" for p in self.fix_first]
        said += [f"remark: {p}" for p in self.remarks]
        said.append(f"Look at it: {self.folder / 'preview.html'} and {self.folder / 'contact-sheet.html'}")
        return [*said, ready_words(self.ready, len(self.remarks))]


def deliver(given: Path, progress: Progress = silent) -> DeliverReport:
    """Deliver what is finished of the shoot in `given`.

    A second run makes only what changed; files of an earlier run that are no longer wanted are removed, others in the
    folder are left alone. From its first change to its last the delivery says of itself that it is not finished.
    Raises InputError (nothing finished, no channels), CouldNotError (disk), Cancelled.
    """
    opened = open_shoot(given)
    shoot = opened.shoot
    if not shoot.channels:
        raise InputError(
            "There are no channels, so nothing says where the pictures go: add one for each place.",
            'In shoot.toml:\n[[channels]]\nname = "page-wide"\nwidth_px = 1600\nheight_px = 900',
        )
    rights = rights_of(shoot.creator, date.fromisoformat(shoot.date).year)
    state = read_state(opened.folder.root)
    finished = finished_now(opened.folder)
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
    told = told_apart((*withheld, *points))
    ready = not holds_back(told[0])
    documents = _write_texts(shoot, rights, files, sheets, structured, (*told, ready))
    _write_list(shoot, files, sheets, documents, (withheld, points, found_in_files), ready, made_from)
    progress(steps, steps)
    return DeliverReport(
        opened.folder.delivery_dir, tuple(crops), files.written_now, removed, (*documents, MANIFEST),
        tuple(p.in_full() for p in withheld), tuple(p.in_full() for p in points), ready,
        *(tuple(p.in_full() for p in of) for of in told),
    )  # fmt: skip


def _channels(shot: Shot, channels: tuple[Channel, ...]) -> list[Channel]:
    return [c for c in channels if not shot.channels or c.name in shot.channels]


def _of_files(shot: Shot, channels: list[Channel], crops: list[DeliveredCrop]) -> list[Point]:
    """What the files of one shot leave open."""
    name, found = shot.name, []
    if cut := [c.channel for c in crops if not c.subject_whole]:
        found.append(
            Point(
                f"{name}: the food is cut in {', '.join(cut)}; beside each crop stands why.",
                code="food cut", shot=name,
            )
        )  # fmt: skip
    for channel, crop in zip(channels, crops, strict=True):
        asked, got = crop.asked_px, (crop.width_px, crop.height_px)
        if got != asked and "fewer pixels" not in shot.deliberate:
            found.append(
                Point(
                    f"{name}: too few pixels for {channel.name}, which asks {asked[0]} x {asked[1]}; the crop has "
                    f"{got[0]} x {got[1]}. To hand it over smaller, mark the shot “fewer pixels” on the Plan page.",
                    'To hand it over smaller: deliberate = ["fewer pixels"] under the shot in shoot.toml.',
                    "too few pixels", name, channel.name, True,
                )
            )  # fmt: skip
        most = (channel.largest_kb or 0) * 1000
        for file in crop.files if most else ():
            if file.bytes > most:
                found.append(
                    Point(
                        f"{file.path} has {file.bytes / 1000:.0f} kB, and {channel.name} takes {channel.largest_kb:g} "
                        "kB: ask for fewer pixels there, or allow more.",
                        "", "too heavy", name, channel.name, True,
                    )
                )  # fmt: skip
            elif file.ssim is not None and file.ssim < SSIM_FLOOR:
                found.append(
                    Point(
                        f"{file.path} shows damage, squeezed under {channel.largest_kb:g} kB.",
                        "", "squeezed", name, channel.name,
                    )
                )  # fmt: skip
    return found


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
        "preview.html": preview_page(shoot.recipe, part, rights, RECIPE),
        "recipe.jsonld": structured.text() + "\n",
        "contact-sheet.html": contact_sheet(shoot.recipe.title, shoot.date, sheets, rights.language),
        WORDS: words_sheet(shoot.recipe, [(s.shot, s.words) for s in shots], rights),
        # read where nobody has her settings before her: the words alone
        READ_ME: read_me(
            shoot.recipe, shots, files.done, [p.words for p in first], [p.words for p in remarks], ready
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
        "withheld": [p.words for p in withheld], "open": [p.words for p in points],
        "fix_first": [p.words for p in first], "remarks": [p.words for p in remarks],
        # without the lines for her settings: whoever reads this list has none before him
        "open_in_these_files": [asdict(replace(p, in_files="")) for p in found_in_files],
        "made_from": made_from,
        "pictures": rows,
        "documents": [{"file": n, "sha256": sha256_of_file(files.folder / n)} for n in documents],
    }  # fmt: skip
    files.write(MANIFEST, json.dumps(manifest, indent=2, ensure_ascii=False) + "\n")
