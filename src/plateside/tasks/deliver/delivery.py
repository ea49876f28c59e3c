"""Deliver: each finished picture cropped, sized and encoded for its channels, with words, rights, page and manifest."""

import json
from dataclasses import dataclass
from datetime import date
from pathlib import Path

from plateside.deliver.points import Point
from plateside.deliver.rights import Rights, licence_gate, person_gate, rights_of
from plateside.deliver.words import placeholders
from plateside.files.atomic import write_text
from plateside.files.journal.state import ShootState, read_state
from plateside.files.made import sha256_of_file
from plateside.files.settings import open_shoot
from plateside.model.errors import InputError
from plateside.model.progress import Progress, silent
from plateside.model.shoot import Channel, Shoot, Shot
from plateside.paper.contact_sheet import SheetShot, contact_sheet
from plateside.paper.page_style import RECIPE
from plateside.paper.read_me import read_me, ready_words, words_sheet
from plateside.paper.recipe_page import preview_page, recipe_part
from plateside.paper.structured import recipe_object
from plateside.tasks.deliver.delivery_files import MANIFEST, DeliveredCrop, DeliveryFiles
from plateside.tasks.finish.series import FinishedShot, read_record

WORDS = "words.txt"


@dataclass(frozen=True)
class DeliverReport:
    """What was delivered, what is held back, and what stands open before it should be published."""

    folder: Path
    crops: tuple[DeliveredCrop, ...]
    made: int
    """how many picture files were made now; the others were there already"""
    removed: int
    """how many files of an earlier delivery were no longer wanted"""
    documents: tuple[str, ...]
    held_back: tuple[str, ...]
    open_points: tuple[str, ...]
    ready: bool
    """True when nothing is held back and no licence is missing"""

    def lines(self) -> list[str]:
        files = sum(len(c.files) for c in self.crops)
        size = sum(f.bytes for c in self.crops for f in c.files)
        said = [
            f"Delivered {len(self.crops)} crops as {files} files ({size / 1e6:.1f} MB) in {self.folder} "
            f"(made {self.made}, unchanged {files - self.made}, removed {self.removed})."
        ]
        for crop in self.crops:
            said.append(f"{crop.shot}, {crop.channel}: {crop.width_px} x {crop.height_px}")
            said += [f"  {r}" for r in crop.remarks]
        said += self.held_back
        said += [f"open: {p}" for p in self.open_points]
        said.append(f"Look at it: {self.folder / 'preview.html'} and {self.folder / 'contact-sheet.html'}")
        return [*said, ready_words(self.ready, len(self.open_points))]


def deliver(given: Path, progress: Progress = silent) -> DeliverReport:
    """Deliver what is finished of the shoot in `given`.

    A second run makes only what changed; files of an earlier run that are no longer wanted are removed, others in the
    folder are left alone. Raises InputError (nothing finished, no channels), CouldNotError (disk), Cancelled.
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
    finished = {one.shot: one for one in read_record(opened)}
    files = DeliveryFiles(opened, rights, state)

    held: list[Point] = []
    open_points: list[Point] = []
    todo = []
    if gate := licence_gate(rights):
        open_points.append(gate)
    open_points += placeholders(shoot.recipe, shoot.creator.name)
    for shot in shoot.shots:
        if (gate := person_gate(shot)) is not None:
            held.append(gate)
        elif shot.name not in finished:
            open_points.append(not_finished(shot, opened.folder.root))
        else:
            todo.append((shot, finished[shot.name]))
            open_points += _stale(shot, finished[shot.name], state, opened.folder.root)
    steps = sum(len(_channels(shot, shoot.channels)) for shot, _ in todo) + 1

    done, sheets, crops = 0, [], []
    told_by_files: list[Point] = []
    for shot, one in todo:
        channels = _channels(shot, shoot.channels)
        sheet, of_shot = files.deliver_shot(
            one, shot, channels, lambda d, _t, base=done: progress(base + d, steps)
        )
        done += len(of_shot)
        sheets.append(sheet)
        crops += of_shot
        open_points += sheet.files.words.remarks
        if cut := [c.channel for c in of_shot if not c.subject_whole]:
            told_by_files.append(
                Point(f"{shot.name}: the food is cut in {', '.join(cut)}; beside each crop stands why.")
            )
    removed = files.remove_others()
    ready = not held and licence_gate(rights) is None
    documents, points = _write_documents(
        shoot, rights, files, sheets, held, open_points, told_by_files, ready
    )
    progress(steps, steps)
    return DeliverReport(
        opened.folder.delivery_dir, tuple(crops), files.made_now, removed, documents,
        tuple(p.in_full() for p in held), tuple(p.in_full() for p in points), ready,
    )  # fmt: skip


def _channels(shot: Shot, channels: tuple[Channel, ...]) -> list[Channel]:
    return [c for c in channels if not shot.channels or c.name in shot.channels]


def not_finished(shot: Shot, root: Path) -> Point:
    """That a shot of the list is not among the pictures."""
    return Point(f"{shot.name} is not finished.", f"Run: plateside finish {root}")


def _stale(shot: Shot, one: FinishedShot, state: ShootState, root: Path) -> list[Point]:
    now = state.heroes.get(shot.name)
    if now is None or now == one.frame_id:
        return []
    return [
        Point(
            f"{shot.name} has another hero now than the finished picture: finish it again, then deliver again.",
            f"Run: plateside finish {root}",
        )
    ]


def _write_documents(
    shoot: Shoot,
    rights: Rights,
    files: DeliveryFiles,
    sheets: list[SheetShot],
    held: list[Point],
    open_points: list[Point],
    told_by_files: list[Point],
    ready: bool,
) -> tuple[tuple[str, ...], list[Point]]:
    """Page, structured data, contact sheet, words, manifest and the note of what is what."""
    shots = [s.files for s in sheets]
    structured = recipe_object(shoot.recipe, shots, rights, shoot.creator.page_url)
    by_files = [*told_by_files, *structured.remarks]
    points = [*open_points, *by_files]
    # these papers are read where nobody has her settings before her: the words alone
    held_words, words = [p.words for p in held], [p.words for p in points]
    part = recipe_part(shoot.recipe, shots, rights, structured)
    texts = {
        "recipe.html": part,
        "preview.html": preview_page(shoot.recipe, part, rights, RECIPE),
        "recipe.jsonld": structured.text() + "\n",
        "contact-sheet.html": contact_sheet(
            shoot.recipe.title, shoot.date, sheets, held_words, words, rights.language
        ),
        WORDS: words_sheet(shoot.recipe, [(s.shot, s.words) for s in shots], rights),
        "READ-ME.txt": read_me(shoot.recipe, shots, held_words, words, ready),
    }
    for name, text in texts.items():
        path = files.folder / name
        if not path.is_file() or path.read_bytes() != text.encode():
            write_text(path, text)
    rows = [
        {
            "file": f.path, "shot": s.files.shot.name, "channel": r.channel.name, "kind": f.kind,
            "width_px": f.width_px, "height_px": f.height_px, "bytes": f.bytes, "sha256": files.hashes[f.path],
        }
        for s in sheets for r in s.files.renditions for f in r.files
    ]  # fmt: skip
    documents = [{"file": n, "sha256": sha256_of_file(files.folder / n)} for n in texts]
    manifest = {
        "recipe": shoot.recipe.title, "ready_to_publish": ready, "held_back": held_words, "open": words,
        "open_in_these_files": [p.words for p in by_files],
        "pictures": rows, "documents": documents,
    }  # fmt: skip
    write_text(files.folder / MANIFEST, json.dumps(manifest, indent=2, ensure_ascii=False) + "\n")
    return (*texts, MANIFEST), points
