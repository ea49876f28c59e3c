"""Work behind the pages Choose, Finish and Deliver."""

from dataclasses import replace
from functools import lru_cache
from pathlib import Path
from typing import Any

import cv2
import numpy as np

from plateside.deliver.boxes import Box
from plateside.deliver.crops import Crop, plan_crop
from plateside.deliver.subject import Subject, marked
from plateside.files.journal.state import read_state
from plateside.files.originals.pixels import linear_picture
from plateside.files.pictures import encode, read_picture
from plateside.files.settings import open_shoot
from plateside.finish.develop import develop
from plateside.finish.render import highlight, render, to_8_bits
from plateside.finish.tone import set_curve
from plateside.finish.white_balance import NONE
from plateside.model.errors import InputError
from plateside.model.progress import Progress
from plateside.model.shoot import Channel, Shot
from plateside.tasks.choose.seen import write_bytes_to
from plateside.tasks.choose.selects import choose_frames
from plateside.tasks.deliver.delivery import deliver
from plateside.tasks.deliver.delivery_files import Source
from plateside.tasks.deliver.pack import pack
from plateside.tasks.deliver.verify import verify
from plateside.tasks.finish.series import finish
from plateside.web.hands.names import Work

SIZES = {"row": (720, 82), "view": (1600, 88), "full": (12000, 92)}
"""A finished picture as a page shows it: longest side [px] and JPEG quality."""
_SMALL = ("row", "view")


def choose_all(args: dict[str, Any], progress: Progress) -> Any:
    """What the tool would choose, and why: {"root"} -> a ChooseReport. Asking writes nothing down."""
    return choose_frames(Path(args["root"]), progress=progress, record=False)


def finish_all(args: dict[str, Any], progress: Progress) -> Any:
    """The matched set: {"root", "kind", "reference"} -> its lines."""
    report = finish(Path(args["root"]), args["kind"], args["reference"], progress=progress)
    return {
        "made": report.made,
        "finished": len(report.finished),
        "missing": report.missing,
        "reference": report.reference,
    }


def show_finished(args: dict[str, Any], _progress: Progress) -> Any:
    """A finished picture made small for a page: {"root", "file", "version", "size"} -> nothing; the file is there."""
    root, size = Path(args["root"]), args["size"]
    folder = root / ".plateside" / "shown" / args["file"]
    pixels = to_8_bits(read_picture(root / "finished" / args["file"]).pixels)
    # small ones are asked for together; a full one only when somebody looks closely
    for name in _SMALL if size in _SMALL else (size,):
        longest, quality = SIZES[name]
        write_bytes_to(
            folder / f"{args['version']}-{name}.jpg", encode(_fitted(pixels, longest), "jpeg", quality)
        )
    for old in folder.glob("*.jpg"):
        if not old.name.startswith(f"{args['version']}-"):
            old.unlink(missing_ok=True)
    return {}


def show_plain(args: dict[str, Any], _progress: Progress) -> Any:
    """A raw as it is before the set is matched, for a page: {"root", "frame", "size"} -> nothing; the file is there.

    As the finished picture is made, but with the camera's own white balance, no gains, and a curve for it alone: so
    what differs between the two is what was done, not whose development it is.
    """
    opened, size = open_shoot(Path(args["root"])), args["size"]
    name = read_state(opened.folder.root).landed.get(args["frame"], "")
    path = opened.folder.frames_dir / name
    if not name or not path.is_file():
        raise InputError(
            f"The frame {name or args['frame'][:12]} is gone: copy it back into the folder of frames."
        )
    linear = develop(linear_picture(path, half=size in _SMALL))
    curve = set_curve([highlight(linear, NONE)], scene_referred=True)
    longest, quality = SIZES[size]
    pixels = _fitted(to_8_bits(render(linear, NONE, curve)), longest)
    shown = opened.folder.root / ".plateside" / "shown" / "plain" / f"{args['frame']}-{size}.jpg"
    write_bytes_to(shown, encode(pixels, "jpeg", quality))
    return {}


def _fitted(pixels: Any, longest: int) -> Any:
    height, width = pixels.shape[:2]
    if max(height, width) <= longest:
        return pixels
    scale = longest / max(height, width)
    size = (max(round(width * scale), 1), max(round(height * scale), 1))
    return np.asarray(cv2.resize(pixels, size, interpolation=cv2.INTER_AREA), np.uint8)


def crops_of(args: dict[str, Any], _progress: Progress) -> Any:
    """Where the dish is in a finished picture, and the tool's own crop for each channel.

    {"root", "shot", "file", "version"} -> shares of the picture, (x, y, width, height) each
    """
    shot, channels = _shot(args)
    subject, hers = _dish(args)
    return {
        "dish": _shares(subject.core, subject),
        "dish_is_hers": hers,
        "around": _shares(subject.box, subject),
        "channels": {c.name: _told(plan_crop(subject, c), subject) for c in channels},
        "shot": shot.name,
    }


def crop_said(args: dict[str, Any], _progress: Progress) -> Any:
    """What is to be said of her crop: {"root", "shot", "file", "version", "channel", "box"} -> remarks and size."""
    _of, channels = _shot(args)
    found = [c for c in channels if c.name == args["channel"]]
    if not found:
        raise InputError(f"There is no channel called {args['channel']!r} for this shot.")
    x, y, w, h = (float(v) for v in args["box"])
    subject, _hers = _dish(args)
    return _told(plan_crop(subject, found[0], (x, y, w, h)), subject)


def _told(crop: Crop, subject: Subject) -> dict[str, Any]:
    return {
        "box": _shares(crop.box, subject),
        "width_px": crop.width_px,
        "height_px": crop.height_px,
        "whole": crop.subject_whole,
        "remarks": crop.remarks,
    }


def _shares(box: Box, subject: Subject) -> list[float]:
    wide, high = subject.width_px, subject.height_px
    return [round(v, 6) for v in (box.x / wide, box.y / high, box.width / wide, box.height / high)]


def _shot(args: dict[str, Any]) -> tuple[Shot, list[Channel]]:
    opened = open_shoot(Path(args["root"]))
    for shot in opened.shoot.shots:
        if shot.name == args["shot"]:
            return shot, [c for c in opened.shoot.channels if not shot.channels or c.name in shot.channels]
    raise InputError(f"There is no shot called {args['shot']!r}.")


def _dish(args: dict[str, Any]) -> tuple[Subject, bool]:
    """Where the dish is, and whether she said so: her mark, else what the tool finds."""
    found = _subject(*_key(args))
    hers = read_state(Path(args["root"])).dishes.get(args["shot"])
    return (found, False) if hers is None else (marked(found, hers), True)


def _key(args: dict[str, Any]) -> tuple[str, str, Shot]:
    shot, _channels = _shot(args)
    # words do not move the dish
    bare = replace(shot, title="", caption="", alt_text="")
    return str(Path(args["root"]) / "finished" / args["file"]), str(args["version"]), bare


@lru_cache(maxsize=24)
def _subject(path: str, _version: str, shot: Shot) -> Subject:
    return Source(Path(path), shot, "").subject


def deliver_all(args: dict[str, Any], progress: Progress) -> Any:
    """The delivery: {"root"} -> counts and what is open."""
    report = deliver(Path(args["root"]), progress)
    files = [f for crop in report.crops for f in crop.files]
    return {
        "crops": len(report.crops), "files": len(files), "bytes": sum(f.bytes for f in files), "made": report.made,
        "removed": report.removed, "ready": report.ready,
    }  # fmt: skip


def pack_up(args: dict[str, Any], progress: Progress) -> Any:
    """A package: {"root", "archive", "channels"} -> a PackReport's facts."""
    root = Path(args["root"])
    report = pack(root, bool(args["archive"]), tuple(args["channels"]), progress=progress)
    return {
        "package": report.path.name, "kind": report.kind, "files": report.files, "bytes": report.bytes,
        "left_out": report.left_out, "renamed": len(report.renamed),
    }  # fmt: skip


def check(args: dict[str, Any], progress: Progress) -> Any:
    """Every file read and compared: {"root", "package"} (empty: the delivery) -> what was found."""
    root = Path(args["root"])
    target = root / "packages" / args["package"] if args["package"] else root / "delivery"
    report = verify(target, progress)
    return {
        "kind": report.kind, "files": report.files, "bytes": report.bytes, "faults": report.faults,
        "interrupted": report.interrupted, "changed": report.changed, "not_ready": report.not_ready,
    }  # fmt: skip


WORK: dict[str, Work] = {
    "choose": choose_all, "finish": finish_all, "shown": show_finished, "plain": show_plain, "crops": crops_of,
    "crop": crop_said, "deliver": deliver_all, "pack": pack_up, "verify": check,
}  # fmt: skip
