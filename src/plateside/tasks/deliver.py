"""Deliver: each finished picture cropped, sized and encoded for its channels, with words, rights, page and manifest."""

import json
from dataclasses import dataclass
from datetime import date
from pathlib import Path
from typing import Any

import numpy as np
from numpy.typing import NDArray

from plateside.deliver.contact_sheet import SheetShot, contact_sheet
from plateside.deliver.crops import Crop, plan_crop
from plateside.deliver.metadata import xmp_packet
from plateside.deliver.page import preview_page, recipe_part
from plateside.deliver.page_style import RECIPE
from plateside.deliver.renditions import File, Rendition, ShotFiles
from plateside.deliver.rights import Rights, licence_gate, person_gate, rights_of
from plateside.deliver.sizes import fit, ladder, resized
from plateside.deliver.structured import recipe_object
from plateside.deliver.subject import dish_share, find_subject
from plateside.deliver.words import Words, words_for
from plateside.deliver.written import read_me, words_sheet
from plateside.files.atomic import disk_faults_told, write_bytes, write_text
from plateside.files.journal.state import ShootState, read_state
from plateside.files.made import Made, key_of, sha256_of_file
from plateside.files.pictures import ENDINGS, QUALITY, decode, encode, read_picture
from plateside.files.settings import OpenShoot, open_shoot
from plateside.finish.colour import to_linear
from plateside.finish.render import to_8_bits
from plateside.finish.sharpen import sharpen
from plateside.model.errors import InputError
from plateside.model.progress import Progress, silent
from plateside.model.shoot import Channel, Shot
from plateside.tasks.finish import FinishedShot, read_record

METHOD = 1
"""Raised when the same picture would be encoded differently: then everything is made again."""
MANIFEST = "manifest.json"
WORDS = "words.txt"
_TABLE_8 = to_linear(np.arange(256) / 255.0).astype(np.float32)
_TABLE_16 = to_linear(np.arange(65536) / 65535.0).astype(np.float32)


@dataclass(frozen=True)
class DeliveredCrop:
    """One shot in one channel."""

    shot: str
    channel: str
    width_px: int
    height_px: int
    asked_px: tuple[int, int]
    subject_whole: bool
    files: tuple[File, ...]
    remarks: tuple[str, ...]


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
        said += [f"held back: {h}" for h in self.held_back]
        said += [f"open: {p}" for p in self.open_points]
        said.append(f"Look at it: {self.folder / 'preview.html'} and {self.folder / 'contact-sheet.html'}")
        said.append(
            "Ready to publish." if self.ready else "Not ready to publish: see what is held back or open."
        )
        return said


def deliver(given: Path, progress: Progress = silent) -> DeliverReport:
    """Deliver what is finished of the shoot in `given`.

    A second run makes only what changed; files of an earlier run that are no longer wanted are removed, others in the
    folder are left alone. Raises InputError (nothing finished, no channels), CouldNotError (disk), Cancelled.
    """
    opened = open_shoot(given)
    shoot = opened.shoot
    if not shoot.channels:
        raise InputError(
            "shoot.toml has no channels, so nothing says where the pictures go; add for each place:\n"
            '[[channels]]\nname = "page-wide"\nwidth_px = 1600\nheight_px = 900'
        )
    rights = rights_of(shoot.creator, date.fromisoformat(shoot.date).year)
    state = read_state(opened.folder.root)
    finished = {one.shot: one for one in read_record(opened)}
    work = _Work(opened, rights, state, Made(opened.folder.plateside_dir / "deliver.json"))

    held, open_points, todo = [], [], []
    if gate := licence_gate(rights):
        open_points.append(gate)
    for shot in shoot.shots:
        if (gate := person_gate(shot)) is not None:
            held.append(gate)
        elif shot.name not in finished:
            open_points.append(f"{shot.name} is not finished: plateside finish {opened.folder.root}")
        else:
            todo.append((shot, finished[shot.name]))
            open_points += _stale(shot, finished[shot.name], state)
    steps = sum(len(_channels(shot, shoot.channels)) for shot, _ in todo) + 1

    done, sheets, crops = 0, [], []
    for shot, one in todo:
        sheet, made_crops = work.shot(shot, one, lambda d, _t, base=done: progress(base + d, steps))
        done += len(made_crops)
        sheets.append(sheet)
        crops += made_crops
        open_points += sheet.files.words.remarks
    removed = work.remove_others()
    ready = not held and licence_gate(rights) is None
    documents, said = _write_documents(work, sheets, held, open_points, ready)
    progress(steps, steps)
    return DeliverReport(
        opened.folder.delivery_dir, tuple(crops), work.made_now, removed, documents, tuple(held),
        (*open_points, *said), ready,
    )  # fmt: skip


def _channels(shot: Shot, channels: tuple[Channel, ...]) -> list[Channel]:
    return [c for c in channels if not shot.channels or c.name in shot.channels]


def _stale(shot: Shot, one: FinishedShot, state: ShootState) -> list[str]:
    now = state.heroes.get(shot.name)
    if now is None or now == one.frame_id:
        return []
    return [
        f"{shot.name} has another hero now than the finished picture: run plateside finish, then deliver again."
    ]


class _Work:
    """One delivery under way: what is needed for every shot, and what was written so far."""

    def __init__(self, opened: OpenShoot, rights: Rights, state: ShootState, made: Made) -> None:
        self.opened = opened
        self.rights = rights
        self.state = state
        self.record = made
        self.folder = opened.folder.delivery_dir
        self.hashes: dict[str, str] = {}
        self.made_now = 0

    def shot(
        self, shot: Shot, one: FinishedShot, progress: Progress
    ) -> tuple[SheetShot, list[DeliveredCrop]]:
        """Every channel of one shot."""
        path = self.opened.folder.finished_dir / one.file
        words = words_for(self.opened.shoot.recipe, shot, self.state.words.get(shot.name))
        packet = xmp_packet(words, self.rights, self.opened.shoot.recipe.keywords)
        pixels = read_picture(path).pixels
        height, width = pixels.shape[:2]
        subject = find_subject(to_8_bits(pixels), dish_share(shot, width, height))
        renditions, crops, remarks = [], [], {}
        for done, channel in enumerate(_channels(shot, self.opened.shoot.channels)):
            progress(done, 0)
            crop = plan_crop(subject, channel, self.state.crops.get((shot.name, channel.name)))
            files, said = self._files(
                shot, channel, crop, one.sha256, pixels, packet, lambda _d, _t, at=done: progress(at, 0)
            )
            notes = (*crop.remarks, *said)
            renditions.append(Rendition(channel, files))
            remarks[channel.name] = notes
            crops.append(
                DeliveredCrop(
                    shot.name, channel.name, crop.width_px, crop.height_px, (channel.width_px, channel.height_px),
                    crop.subject_whole, files, notes,
                )
            )  # fmt: skip
        sheet = SheetShot(ShotFiles(shot, words, tuple(renditions)), one.frame, one.adjustments, remarks)
        return sheet, crops

    def _files(
        self, shot: Shot, channel: Channel, crop: Crop, source: str, pixels: NDArray[np.uint8] | NDArray[np.uint16],
        packet: bytes, progress: Progress,
    ) -> tuple[tuple[File, ...], list[str]]:  # fmt: skip
        """Every size and format of one crop; only what is not there already is made."""
        widths = ladder(crop.width_px) if channel.on_page else (crop.width_px,)
        box = crop.box
        region: NDArray[np.float32] | None = None
        files, said = [], []
        for width in widths:
            height = max(round(crop.height_px * width / crop.width_px), 1)
            picture: NDArray[np.uint8] | None = None
            for kind in channel.formats:
                progress(0, 0)
                ending = "" if width == crop.width_px else f"-{width}"
                name = f"{channel.name}/{shot.name}{ending}{ENDINGS[kind]}"
                key = key_of(METHOD, source, box, width, height, kind, channel.largest_kb, packet.decode())
                kept = self.record.get(name, key)
                path = self.folder / name
                if kept is None or not path.is_file() or sha256_of_file(path) != kept["sha256"]:
                    if region is None:
                        table = _TABLE_16 if pixels.dtype == np.uint16 else _TABLE_8
                        region = table[pixels[box.y : box.bottom, box.x : box.right]]
                    if picture is None:
                        picture = _at_size(region, width, height)
                    kept = self._write(name, key, picture, kind, packet, channel.largest_kb)
                self.hashes[name] = str(kept["sha256"])
                files.append(
                    File(name, kind, width, height, int(kept["bytes"]), int(kept["quality"]), kept["ssim"])
                )
                if kept["remark"]:
                    said.append(f"{name}: {kept['remark']}")
        return tuple(files), said

    def _write(
        self,
        name: str,
        key: str,
        picture: NDArray[np.uint8],
        kind: str,
        packet: bytes,
        largest_kb: float | None,
    ) -> dict[str, Any]:
        got = fit(picture, lambda q: encode(picture, kind, q, packet), decode, QUALITY[kind], largest_kb)
        write_bytes(self.folder / name, got.data)
        kept: dict[str, Any] = {
            "sha256": sha256_of_file(self.folder / name), "bytes": len(got.data), "quality": got.quality,
            "ssim": got.ssim, "remark": got.remark,
        }  # fmt: skip
        self.record.put(name, key, **kept)
        self.made_now += 1
        return kept

    def remove_others(self) -> int:
        """Take away what earlier runs wrote and this one does not want; what others put there stays."""
        removed = 0
        for name in {*self.record.names(), *self._listed()} - set(self.hashes):
            path = self.folder / name
            inside = path.resolve().is_relative_to(self.folder.resolve())
            if inside and path.is_file():
                with disk_faults_told(path):
                    path.unlink()
                removed += 1
                if not any(path.parent.iterdir()):
                    path.parent.rmdir()
            self.record.forget(name)
        return removed

    def _listed(self) -> list[str]:
        try:
            listed = json.loads((self.folder / MANIFEST).read_text(encoding="utf-8"))["pictures"]
            return [str(row["file"]) for row in listed]
        except (OSError, ValueError, KeyError, TypeError):
            return []


def _at_size(region: NDArray[np.float32], width: int, height: int) -> NDArray[np.uint8]:
    reduced = region.shape[1] > width
    picture = resized(region, width, height)
    return np.asarray(sharpen(picture), np.uint8) if reduced else picture


def _write_documents(
    work: _Work, sheets: list[SheetShot], held: list[str], open_points: list[str], ready: bool
) -> tuple[tuple[str, ...], list[str]]:
    """Page, structured data, contact sheet, words, manifest and the note of what is what."""
    shoot = work.opened.shoot
    shots = [s.files for s in sheets]
    structured = recipe_object(shoot.recipe, shots, work.rights, shoot.creator.page_url)
    points = [*open_points, *structured.remarks]
    part = recipe_part(shoot.recipe, shots, work.rights, structured)
    words: list[tuple[Shot, Words]] = [(s.shot, s.words) for s in shots]
    texts = {
        "recipe.html": part,
        "preview.html": preview_page(shoot.recipe, part, work.rights, RECIPE),
        "recipe.jsonld": structured.text() + "\n",
        "contact-sheet.html": contact_sheet(
            shoot.recipe.title, shoot.date, sheets, held, points, work.rights.language
        ),
        WORDS: words_sheet(shoot.recipe, words, work.rights),
        "READ-ME.txt": read_me(shoot.recipe, shots, held, points, ready),
    }
    for name, text in texts.items():
        path = work.folder / name
        if not path.is_file() or path.read_bytes() != text.encode():
            write_text(path, text)
    rows = [
        {
            "file": f.path, "shot": s.files.shot.name, "channel": r.channel.name, "kind": f.kind,
            "width_px": f.width_px, "height_px": f.height_px, "bytes": f.bytes, "sha256": work.hashes[f.path],
        }
        for s in sheets for r in s.files.renditions for f in r.files
    ]  # fmt: skip
    documents = [{"file": n, "sha256": sha256_of_file(work.folder / n)} for n in texts]
    manifest = {
        "recipe": shoot.recipe.title, "ready_to_publish": ready, "held_back": held, "open": points,
        "pictures": rows, "documents": documents,
    }  # fmt: skip
    write_text(work.folder / MANIFEST, json.dumps(manifest, indent=2, ensure_ascii=False) + "\n")
    return (*texts, MANIFEST), list(structured.remarks)
