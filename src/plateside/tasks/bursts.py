"""The bursts among judged frames, and the best frame of each with its measured reason."""

import contextlib
import hashlib
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass

import cv2
import numpy as np
from numpy.typing import NDArray

from plateside.files.index.index import Index
from plateside.frames.bursts import BestOf, best_of, bursts, detail_in
from plateside.frames.edges import grey
from plateside.frames.moving import eyes_box, moving_box
from plateside.frames.subject import subject_box
from plateside.model.errors import CouldNotError, InputError
from plateside.model.frame import Frame
from plateside.model.shoot import Shot
from plateside.tasks.judged import Judged

BURSTS_VERSION = "2"
"""Raised when a measure changes, so that cached ones are taken anew."""
SMALL_PX = 750

PictureOf = Callable[[Frame], NDArray[np.uint8]]


@dataclass(frozen=True)
class BestBurst:
    """A burst of one shot and its best frame."""

    number: int
    shot: str
    frames: tuple[str, ...]
    """ids, in order of time"""
    names: tuple[str, ...]
    best: BestOf | None
    """None when nothing in it can be measured."""
    best_name: str

    def line(self) -> str:
        """In words."""
        what = f"Burst of {len(self.frames)}, {self.names[0]} to {self.names[-1]}"
        if self.best is None:
            return f"{what}: nothing in it is sharp enough to be measured."
        return f"{what}: best is {self.best_name}, {self.best.reason}; the others are kept as alternates."


def best_bursts(
    judged: Sequence[Judged],
    shots: Mapping[str, Shot],
    refused: frozenset[str],
    picture_of: PictureOf,
    index: Index,
) -> tuple[BestBurst, ...]:
    """Bursts within each shot; the best is taken among the frames that are not refused where there are any.

    refused  ids of frames that are to be taken again
    """
    found: list[BestBurst] = []
    by_id = {one.frame.id: one for one in judged}
    for shot_name in dict.fromkeys(one.shot for one in judged):
        for run in bursts([one.frame for one in judged if one.shot == shot_name]):
            ones = [by_id[i] for i in run.frames]
            usable = [o for o in ones if o.frame.id not in refused and o.verdict.word != "again"] or ones
            details, on = _what_matters(ones, shots.get(shot_name), picture_of, index)
            best = best_of([(o.frame.id, o.facts) for o in usable], details, on)
            names = tuple(o.frame.name for o in ones)
            best_name = by_id[best.frame].frame.name if best else ""
            found.append(BestBurst(len(found) + 1, shot_name, run.frames, names, best, best_name))
    return tuple(found)


def _what_matters(
    ones: Sequence[Judged], shot: Shot | None, picture_of: PictureOf, index: Index
) -> tuple[Mapping[str, float], str]:
    """Fine contrast on the eyes, on what moves, or on the hero, for each frame, and its name."""
    ids = [o.frame.id for o in ones]
    version = f"{BURSTS_VERSION} {shot} " + hashlib.blake2b("".join(ids).encode()).hexdigest()
    known = index.facts(ids[0], kind="burst", version=version)
    if known is not None:
        with contextlib.suppress(KeyError, TypeError, ValueError):
            return {str(k): float(v) for k, v in known["details"].items()}, str(known["on"])
    with contextlib.suppress(InputError, CouldNotError):
        details, on = _measured([o.frame for o in ones], shot, picture_of)
        index.put_facts(ids[0], {"details": details, "on": on}, kind="burst", version=version)
        return details, on
    return {}, "the hero"


def _measured(
    frames: Sequence[Frame], shot: Shot | None, picture_of: PictureOf
) -> tuple[dict[str, float], str]:
    boxes, on = [subject_box(shot, f.width_px, f.height_px) for f in frames], "the hero"
    if shot is not None and (shot.person or shot.moves not in ("nothing", "steam")):
        smalls = [_small(picture_of(frame)) for frame in frames]
        eyes = [eyes_box(small) for small in smalls] if shot.person else []
        moving = (
            moving_box([grey(small) for small in smalls]) if shot.moves not in ("nothing", "steam") else None
        )
        if eyes and all(eyes):
            boxes, on = [e for e in eyes if e], "the eyes"
        elif moving is not None:
            boxes, on = [moving] * len(frames), "the hand" if shot.moves == "hand" else "what moves"
    details = {}
    for frame, box in zip(frames, boxes, strict=True):
        detail = detail_in(picture_of(frame), box)
        if detail is not None:
            details[frame.id] = detail
    return (details, on) if len(details) == len(frames) else ({}, "the hero")


def _small(picture: NDArray[np.uint8]) -> NDArray[np.uint8]:
    scale = SMALL_PX / max(picture.shape[:2])
    if scale < 1:
        picture = np.asarray(
            cv2.resize(picture, None, fx=scale, fy=scale, interpolation=cv2.INTER_AREA), np.uint8
        )
    return np.asarray(cv2.cvtColor(picture, cv2.COLOR_RGB2GRAY), np.uint8)
