"""The picture files of a delivery: cropped, sized, encoded; only what changed; what is no longer wanted removed."""

import json
from collections.abc import Mapping, Sequence
from dataclasses import asdict, dataclass, replace
from functools import cached_property
from pathlib import Path
from typing import Any

import numpy as np
from numpy.typing import NDArray

from plateside.deliver.crops import LEAST_PX, Crop, TooSmallError, plan_crop
from plateside.deliver.facts import DeliveredCrop
from plateside.deliver.metadata import xmp_packet
from plateside.deliver.rectangles import PixelRectangle
from plateside.deliver.renditions import File, Rendition, ShotFiles
from plateside.deliver.rights import Rights
from plateside.deliver.sizes import SSIM_FLOOR, fit, ladder, resized
from plateside.deliver.subject import Subject, dish_share, find_subject, marked
from plateside.deliver.words import words_for
from plateside.files.atomic import disk_faults_in_words, write_bytes
from plateside.files.cache import BuildRecord, key_of
from plateside.files.checksums import sha256_of, sha256_of_file
from plateside.files.journal.state import ShootState
from plateside.files.pictures import ENDINGS, QUALITY, Pixels, colour_remark, decode, encode, read_picture
from plateside.files.settings.load import OpenShoot
from plateside.files.working import sweep
from plateside.finish.render import to_8_bits
from plateside.finish.sharpen import sharpen
from plateside.ground.srgb import to_linear
from plateside.model.crop import CropRemark
from plateside.model.errors import InputError
from plateside.model.progress import Progress
from plateside.model.shoot import Channel, Shot
from plateside.paper.contact_sheet import SheetShot
from plateside.paper.read_me import unfinished_note
from plateside.tasks.deliver.open_points import MANIFEST, UNFINISHED, delivered
from plateside.tasks.finish.finished_list import FinishedNow
from plateside.words.deliver.refusals import picture_gone, too_small_to_crop
from plateside.words.finish import BY_HAND, handed_over_sentences

METHOD = 6
"""Raised when the same picture would be encoded differently: then everything is made again."""
READ_ME = "READ-ME.txt"
_TABLE_8 = to_linear(np.arange(256) / 255.0).astype(np.float32)
_TABLE_16 = to_linear(np.arange(65536) / 65535.0).astype(np.float32)


@dataclass(frozen=True, eq=False)
class Source:
    """A finished picture; read only when something must be made of it."""

    path: Path
    shot: Shot
    sha256: str
    """of the file as it is now"""

    @cached_property
    def pixels(self) -> Pixels:
        return read_picture(self.path).pixels

    @cached_property
    def subject(self) -> Subject:
        height, width = self.pixels.shape[:2]
        return find_subject(to_8_bits(self.pixels), dish_share(self.shot, width, height))

    def region(self, box: PixelRectangle) -> NDArray[np.float32]:
        """A part of it as linear light."""
        table = _TABLE_16 if self.pixels.dtype == np.uint16 else _TABLE_8
        return np.asarray(table[self.pixels[box.y : box.bottom, box.x : box.right]], np.float32)


class DeliveryFiles:
    """The picture files of one delivery under way."""

    def __init__(self, opened: OpenShoot, rights: Rights, state: ShootState) -> None:
        self.folder = opened.folder.delivery_dir
        self.hashes: dict[str, str] = {}
        """file -> SHA-256 of everything this delivery holds so far"""
        self.written_now = 0
        self.done: dict[str, tuple[str, ...]] = {}
        """shot -> what was done to its picture and always travels with it"""
        self._opened = opened
        self._rights = rights
        self._state = state
        self._begun = False
        self._workplace = opened.folder.workplace
        sweep(self._workplace)
        self._record = BuildRecord(opened.folder.plateside_dir / "deliver.json")
        self._crops = BuildRecord(opened.folder.plateside_dir / "crops.json")

    def deliver_shot(
        self, now: FinishedNow, shot: Shot, channels: Sequence[Channel], progress: Progress
    ) -> tuple[SheetShot, list[DeliveredCrop]]:
        """Every channel of one shot. `progress` counts its channels."""
        path = self._opened.folder.finished_dir / now.file
        if not now.sha256:
            raise InputError(*picture_gone(path.name, self._opened.folder.root))
        source = Source(path, shot, now.sha256)
        self.done[shot.name] = (BY_HAND,) if now.by_hand else ()
        words = words_for(self._opened.shoot.recipe, shot, self._state.words.get(shot.name))
        packet = xmp_packet(words, self._rights, self._opened.shoot.recipe.keywords, self.done[shot.name])
        renditions, crops = [], []
        for done, channel in enumerate(channels):
            progress(done, len(channels))
            crop = self._crop(source, channel)
            files = self._files(source, channel, crop, packet, lambda at=done: progress(at, len(channels)))
            renditions.append(Rendition(channel, files))
            crops.append(
                DeliveredCrop(
                    shot.name, channel.name, crop.width_px, crop.height_px, (channel.width_px, channel.height_px),
                    crop.subject_whole, files, (*crop.remarks, *_crowded_remarks(files, channel)),
                )
            )  # fmt: skip
        row = _done_to(now)
        colours = colour_remark(path)
        row = (*row, colours) if colours else row
        return SheetShot(ShotFiles(shot, words, tuple(renditions)), now.one.frame, row), crops

    def _crop(self, source: Source, channel: Channel) -> Crop:
        """The crop; from the record when neither picture nor wish has changed."""
        shot = source.shot
        moved = self._state.crops.get((shot.name, channel.name))
        name = f"{shot.name} {channel.name}"
        dish = self._state.dishes.get(shot.name)
        key = key_of(METHOD, "facts", source.sha256, asdict(channel), dish_share(shot, 3, 2), moved, dish)
        entry = self._crops.get(name, key)
        if entry is not None:
            row = entry["crop"]
            return Crop(**{**row, "box": PixelRectangle(**row["box"]), "remarks": _remarks(row["remarks"])})
        subject = source.subject if dish is None else marked(source.subject, dish)
        crop = crop_for(subject, channel, moved)
        self._crops.put(name, key, crop=asdict(crop))
        return crop

    def _files(
        self, source: Source, channel: Channel, crop: Crop, packet: bytes, still_wanted: Any
    ) -> tuple[File, ...]:
        """Every size and format of one crop; only what is not there already is made."""
        widths = ladder(crop.width_px) if channel.on_page else (crop.width_px,)
        region: NDArray[np.float32] | None = None
        files = []
        for width in widths:
            height = max(round(crop.height_px * width / crop.width_px), 1)
            picture: NDArray[np.uint8] | None = None
            for kind in channel.formats:
                still_wanted()
                # an underscore stands in no shot's name, so no two files can meet
                size = "" if width == crop.width_px else f"_{width}"
                name = f"{channel.name}/{source.shot.name}{size}{ENDINGS[kind]}"
                key = key_of(
                    METHOD,
                    source.sha256,
                    asdict(crop.box),
                    width,
                    height,
                    kind,
                    channel.largest_kb,
                    packet.decode(),
                )
                entry = self._record.get(name, key)
                path = self.folder / name
                if entry is None or not path.is_file() or sha256_of_file(path) != entry["sha256"]:
                    region = source.region(crop.box) if region is None else region
                    picture = _at_size(region, width, height) if picture is None else picture
                    entry = self._write(name, key, picture, kind, packet, channel.largest_kb)
                self.hashes[name] = str(entry["sha256"])
                files.append(
                    File(name, kind, width, height, int(entry["bytes"]), int(entry["quality"]), entry["ssim"])
                )
        return tuple(files)

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
        self.begin()
        write_bytes(self.folder / name, got.data, self._workplace)
        entry: dict[str, Any] = {
            "sha256": sha256_of(got.data), "bytes": len(got.data), "quality": got.quality,
            "ssim": got.ssim,
        }  # fmt: skip
        self._record.put(name, key, **entry)
        self.written_now += 1
        return entry

    def begin(self) -> None:
        """Before the first change: from now until the new list is written the folder says that it is not finished.

        The list of what is there already stays in it, so that the next run knows what is to go.
        """
        if self._begun:
            return
        self._begun = True
        rows = {"pictures": self._listed("pictures"), "documents": self._listed("documents")}
        row = {
            "recipe": self._opened.shoot.recipe.title, "state": UNFINISHED, "ready_to_publish": False,
            "withheld": [], "open_in_these_files": [], "made_from": {}, **rows,
        }  # fmt: skip
        self.write(MANIFEST, json.dumps(row, indent=2, ensure_ascii=False) + "\n")
        self.write(READ_ME, unfinished_note(self._opened.shoot.recipe))

    def write(self, name: str, text: str) -> None:
        """A text of the delivery, when it is not there already."""
        path, data = self.folder / name, text.encode()
        if not path.is_file() or path.read_bytes() != data:
            if name != MANIFEST:
                self.begin()
            write_bytes(path, data, self._workplace)

    def remove_others(self) -> int:
        """Take away what earlier runs wrote and this one does not want; what others put there stays."""
        removed = 0
        listed = {str(row["file"]) for row in self._listed("pictures")}
        for name in sorted({*self._record.names(), *listed} - set(self.hashes)):
            path = self.folder / name
            inside = path.resolve().is_relative_to(self.folder.resolve())
            if inside and path.is_file():
                self.begin()
                with disk_faults_in_words(path):
                    path.unlink()
                    if not any(path.parent.iterdir()):
                        path.parent.rmdir()
                removed += 1
            self._record.forget(name)
        return removed

    def _listed(self, kind: str) -> list[Mapping[str, Any]]:
        """The rows of the delivery that is there."""
        there = delivered(self.folder)
        return list({"pictures": there.pictures, "documents": there.documents}[kind]) if there else []


def crop_for(
    subject: Subject, channel: Channel, moved: tuple[float, float, float, float] | None = None
) -> Crop:
    """`plan_crop`, its refusal in words."""
    try:
        return plan_crop(subject, channel, moved)
    except TooSmallError as error:
        raise InputError(too_small_to_crop(*error.size, LEAST_PX)) from error


def crowded(file: File, channel: Channel) -> str:
    """'too heavy' for a file larger than its channel takes, 'squeezed' for one damaged to fit; else empty."""
    if not channel.largest_kb:
        return ""
    if file.bytes > channel.largest_kb * 1000:
        return "too heavy"
    return "squeezed" if file.ssim is not None and file.ssim < SSIM_FLOOR else ""


def _crowded_remarks(files: Sequence[File], channel: Channel) -> list[CropRemark]:
    limit = (channel.largest_kb or 0.0,)
    return [
        CropRemark(
            code,
            names=(f.path,),
            got=(f.bytes / 1000 if code == "too heavy" else f.ssim or 0.0,),
            asked=limit,
        )
        for f in files
        if (code := crowded(f, channel))
    ]


def _remarks(rows: Sequence[Mapping[str, Any]]) -> tuple[CropRemark, ...]:
    """Read back from JSON, which has lists for tuples."""
    return tuple(
        CropRemark(**{**row, **{kind: tuple(row[kind]) for kind in ("names", "got", "asked")}})
        for row in rows
    )


def _done_to(now: FinishedNow) -> tuple[str, ...]:
    """What was done to a picture, for whoever gets it; why it could not be matched stays in the shoot."""
    done = now.one.adjustments
    return tuple(handed_over_sentences(replace(done, by_hand=done.by_hand or now.by_hand)))


def _at_size(region: NDArray[np.float32], width: int, height: int) -> NDArray[np.uint8]:
    reduced = region.shape[1] > width
    picture = resized(region, width, height)
    return np.asarray(sharpen(picture), np.uint8) if reduced else picture
