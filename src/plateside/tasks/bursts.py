"""The bursts among judged frames, and the best frame of each with its measured reason."""

import contextlib
import hashlib
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from functools import lru_cache
from typing import Any

import cv2
import numpy as np
from numpy.typing import NDArray

from plateside.files.index.index import Index
from plateside.files.journal.state import ShootState
from plateside.frames.bursts import BestOf, Detail, best_of, bursts, detail_in
from plateside.frames.held import Held, detail_held, held_in
from plateside.frames.moving import eyes_box, moving_box
from plateside.frames.stream import Stream, hand_box, streams_of
from plateside.frames.subject import subject_box
from plateside.model.errors import CouldNotError, InputError
from plateside.model.frame import Frame
from plateside.model.shoot import Shot
from plateside.tasks.judged import Judged
from plateside.tasks.report import as_json

BURSTS_VERSION = "4"
"""Raised when a measure changes, so that cached ones are taken anew."""
SMALL_PX = 750

KEPT_GREYS = 16
"""Of 24 megapixels, looked at half size: 100 MB."""
STILL = ("nothing", "steam")
POUR = "silk pour"
HER_OWN = "your own choice"

GreyOf = Callable[[Frame], NDArray[np.uint8]]


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
    measured: BestOf | None = None
    """The best by what is measured, whatever she chose."""

    def line(self) -> str:
        """In words."""
        what = f"Burst of {len(self.frames)}, {self.names[0]} to {self.names[-1]}"
        if self.best is None:
            return f"{what}: nothing in it is sharp enough to be measured."
        return f"{what}: best is {self.best_name}, {self.best.reason}; the others are kept as alternates."


def best_bursts(
    judged: Sequence[Judged],
    shots: Mapping[str, Shot],
    state: ShootState,
    grey_of: GreyOf,
    index: Index,
) -> tuple[BestBurst, ...]:
    """Bursts within each shot; the best is taken among the frames that are not refused where there are any.

    state  frames that are to be taken again, and those that she named best herself
    """
    found: list[BestBurst] = []
    for shot_name in dict.fromkeys(one.shot for one in judged):
        of_shot = [one for one in judged if one.shot == shot_name]
        by_id = {one.frame.id: one for one in of_shot}
        for run in bursts([one.frame for one in of_shot]):
            ones = [by_id[i] for i in run.frames]
            shot = shots.get(shot_name)
            found.append(best_burst(len(found) + 1, ones, shot, state, grey_of, index))
    return tuple(found)


def best_burst(
    number: int,
    ones: Sequence[Judged],
    shot: Shot | None,
    state: ShootState,
    grey_of: GreyOf,
    index: Index,
) -> BestBurst:
    """The best frame of one burst, by what is measured and by her own choice."""
    usable = [o for o in ones if o.frame.id not in state.again and o.verdict.word != "again"] or ones
    seen = _what_matters(ones, shot, grey_of, index)
    best = best_of([(o.frame.id, o.facts) for o in usable], seen.details, seen.on, seen.streams)
    ids = tuple(o.frame.id for o in ones)
    own = state.best_by_her(ids)
    named = best
    if own:
        named = BestOf(own, HER_OWN, tuple(i for i in (best.frame, *best.others) if i != own) if best else ())
    names = {o.frame.id: o.frame.name for o in ones}
    name = names[named.frame] if named else ""
    return BestBurst(number, ones[0].shot, ids, tuple(names.values()), named, name, best)


@dataclass(frozen=True)
class _Seen:
    """What the frames of a burst show of what matters."""

    details: Mapping[str, Detail]
    on: str
    streams: Mapping[str, Stream]


def _what_matters(ones: Sequence[Judged], shot: Shot | None, grey_of: GreyOf, index: Index) -> _Seen:
    """Fine contrast on the eyes, on the hand, on what moves, or on the hero, and a pour's stream, for each frame."""
    ids = [o.frame.id for o in ones]
    version = f"{BURSTS_VERSION} {shot} " + hashlib.blake2b("".join(ids).encode()).hexdigest()
    known = index.facts(ids[0], kind="burst", version=version)
    if known is not None:
        with contextlib.suppress(KeyError, TypeError, ValueError):
            return _seen_of(known)
    with contextlib.suppress(InputError, CouldNotError):
        seen = _measured([o.frame for o in ones], shot, grey_of)
        index.put_facts(ids[0], as_json(seen), kind="burst", version=version)
        return seen
    return _Seen({}, "the hero", {})


def _seen_of(known: Mapping[str, Any]) -> _Seen:
    details: dict[str, Detail] = {}
    for frame, (xx, xy, yy) in known["details"].items():
        details[str(frame)] = float(xx), float(xy), float(yy)
    return _Seen(details, str(known["on"]), {str(k): Stream(**v) for k, v in known["streams"].items()})


def _measured(frames: Sequence[Frame], shot: Shot | None, grey_of: GreyOf) -> _Seen:
    boxes, on = [subject_box(shot, f.width_px, f.height_px) for f in frames], "the hero"
    streams: Mapping[str, Stream] = {}
    held: Held | None = None
    if shot is not None and (shot.person or shot.moves not in STILL):
        smalls = [_small(grey_of(frame)) for frame in frames]
        eyes = [eyes_box(small) for small in smalls] if shot.person else []
        greys = [small.astype(np.float32) / np.float32(255) for small in smalls]
        moving = moving_box(greys) if shot.moves not in STILL else None
        found = streams_of(greys) if shot.moves == POUR and moving is not None else None
        if found is not None:
            streams = {f.id: one for f, one in zip(frames, found.frames, strict=True)}
        if eyes and all(eyes):
            boxes, on = [e for e in eyes if e], "the eyes"
        elif moving is not None:
            by_hand = shot.moves in ("hand", POUR)
            boxes = [hand_box(moving, found) or moving] * len(frames)
            on = "the hand" if by_hand else "what moves"
            held = held_in(greys, found)
    details: dict[str, Detail] = {}
    if held is not None:
        of_it = [detail_held(grey_of(frame), held, k) for k, frame in enumerate(frames)]
        details = {f.id: d for f, d in zip(frames, of_it, strict=True) if d is not None}
        if len(details) == len(frames):
            return _Seen(details, on, streams)
        details = {}
    for frame, box in zip(frames, boxes, strict=True):
        detail = detail_in(grey_of(frame), box)
        if detail is not None:
            details[frame.id] = detail
    return _Seen(details, on, streams) if len(details) == len(frames) else _Seen({}, "the hero", streams)


def _small(grey: NDArray[np.uint8]) -> NDArray[np.uint8]:
    scale = SMALL_PX / max(grey.shape)
    if scale < 1:
        grey = np.asarray(cv2.resize(grey, None, fx=scale, fy=scale, interpolation=cv2.INTER_AREA), np.uint8)
    return grey


def grey_by(picture_of: Callable[[Frame], NDArray[np.uint8]]) -> GreyOf:
    """A frame's grey picture; those of a burst are wanted twice, so the last ones are kept."""

    @lru_cache(maxsize=KEPT_GREYS)
    def by_id(frame_id: str) -> NDArray[np.uint8]:
        return np.asarray(cv2.cvtColor(picture_of(frames[frame_id]), cv2.COLOR_RGB2GRAY), np.uint8)

    frames: dict[str, Frame] = {}

    def grey_of(frame: Frame) -> NDArray[np.uint8]:
        frames[frame.id] = frame
        return by_id(frame.id)

    return grey_of
