"""Crops as the page Deliver shows them: the planned one for each channel, and what one moved by hand lacks."""

from dataclasses import dataclass, replace
from functools import lru_cache
from pathlib import Path
from typing import Any

from plateside.deliver.crops import Crop
from plateside.deliver.rectangles import PixelRectangle
from plateside.deliver.subject import Subject, marked
from plateside.files.journal.extra_shots import with_delivered
from plateside.files.journal.state import read_state
from plateside.files.settings.load import open_shoot
from plateside.model.errors import InputError
from plateside.model.shoot import Channel, Shot
from plateside.tasks.deliver.delivery_files import Source, crop_for
from plateside.words.deliver.refusals import no_channel, no_shot


@dataclass(frozen=True)
class Cropped:
    """Which finished picture crops are asked of."""

    root: Path
    """the shoot's folder"""
    shot: str
    file: str
    version: str
    """changes whenever the file does"""


def crops_of(asked: Cropped) -> dict[str, Any]:
    """Where the dish is in a finished picture, and the planned crop for each channel.

    Boxes are shares of the picture, (x, y, width, height) each. Raises InputError for a shot that is none.
    """
    shot, channels = _shot(asked)
    subject, hers = _dish(asked, shot)
    return {
        "dish": _shares(subject.core, subject),
        "dish_by_you": hers,
        "around": _shares(subject.box, subject),
        "channels": {c.name: _crop_row(crop_for(subject, c), subject) for c in channels},
        "shot": shot.name,
    }


def crop_said(asked: Cropped, channel: str, box: tuple[float, float, float, float]) -> dict[str, Any]:
    """What a crop moved by hand lacks, and its size [px].

    box  left, top, width, height as shares of the picture
    Raises InputError for a shot or a channel that is none.
    """
    shot, channels = _shot(asked)
    found = [c for c in channels if c.name == channel]
    if not found:
        raise InputError(no_channel(channel))
    subject, _hers = _dish(asked, shot)
    return _crop_row(crop_for(subject, found[0], box), subject)


def _crop_row(crop: Crop, subject: Subject) -> dict[str, Any]:
    return {
        "box": _shares(crop.box, subject),
        "width_px": crop.width_px,
        "height_px": crop.height_px,
        "whole": crop.subject_whole,
        "remarks": crop.remarks,
    }


def _shares(box: PixelRectangle, subject: Subject) -> list[float]:
    wide, high = subject.width_px, subject.height_px
    return [round(v, 6) for v in (box.x / wide, box.y / high, box.width / wide, box.height / high)]


def _shot(asked: Cropped) -> tuple[Shot, list[Channel]]:
    opened = open_shoot(asked.root)
    for shot in with_delivered(opened.shoot, read_state(opened.folder.root)).shots:
        if shot.name == asked.shot:
            return shot, [c for c in opened.shoot.channels if not shot.channels or c.name in shot.channels]
    raise InputError(no_shot(asked.shot))


def _dish(asked: Cropped, shot: Shot) -> tuple[Subject, bool]:
    """Where the dish is, and whether it was marked: the mark, else what is found in the picture."""
    # words do not move the dish
    bare = replace(shot, title="", caption="", alt_text="")
    found = _subject(str(asked.root / "finished" / asked.file), asked.version, bare)
    hers = read_state(asked.root).dishes.get(asked.shot)
    return (found, False) if hers is None else (marked(found, hers), True)


@lru_cache(maxsize=24)
def _subject(path: str, _version: str, shot: Shot) -> Subject:
    return Source(Path(path), shot, "").subject
