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
from plateside.frames.bursts import BestOf, Detail, best_of, bursts, detail_in, detail_of_width
from plateside.frames.edges import grey
from plateside.frames.moving import eyes_box, moving_box
from plateside.frames.moving_object import moving_object_in
from plateside.frames.object_blur import object_blur_widths
from plateside.frames.sharpness import at_work_size
from plateside.frames.stream import Stream, Streams, pouring_hand_box, streams_of
from plateside.frames.subject import subject_box
from plateside.model.errors import CouldNotError, InputError
from plateside.model.frame import Frame
from plateside.model.shoot import Shot
from plateside.tasks.report import as_json
from plateside.tasks.set.judged import Judged
from plateside.words.set.events import burst_line

BURSTS_VERSION = "5"
"""Raised when a measure changes, so that cached ones are taken anew."""
SMALL_PX = 750

CACHED_LOOKS = 16
"""Of 24 megapixels, looked at half size: 170 MB."""
STILL = ("nothing", "steam")
POUR = "silk pour"


@dataclass(frozen=True, eq=False)
class Look:
    """A frame's picture as it is measured."""

    grey: NDArray[np.uint8]
    """At its own size, height x width."""
    colour: NDArray[np.uint8]
    """At working size, height x width x 3: a held thing may differ from its ground in colour only."""


LookOf = Callable[[Frame], Look]


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
        best = self.best
        why = None if best is None or best.why is None else as_json(best.why)
        return burst_line(what, self.best_name, why, own=best is not None and best.why is None)


def best_bursts(
    judged: Sequence[Judged],
    shots: Mapping[str, Shot],
    state: ShootState,
    look_of: LookOf,
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
            found.append(best_burst(len(found) + 1, ones, shot, state, look_of, index))
    return tuple(found)


def best_burst(
    number: int,
    ones: Sequence[Judged],
    shot: Shot | None,
    state: ShootState,
    look_of: LookOf,
    index: Index,
) -> BestBurst:
    """The best frame of one burst, by what is measured and by her own choice."""
    usable = [o for o in ones if o.frame.id not in state.again and o.verdict.word != "again"] or ones
    facts = _what_matters(ones, shot, look_of, index)
    best = best_of([(o.frame.id, o.facts) for o in usable], facts.details, facts.on, facts.streams)
    ids = tuple(o.frame.id for o in ones)
    own = state.best_by_her(ids)
    named = best
    if own:
        named = BestOf(own, None, tuple(i for i in (best.frame, *best.others) if i != own) if best else ())
    names = {o.frame.id: o.frame.name for o in ones}
    name = names[named.frame] if named else ""
    return BestBurst(number, ones[0].shot, ids, tuple(names.values()), named, name, best)


@dataclass(frozen=True)
class _BurstFacts:
    """What the frames of a burst show of what matters."""

    details: Mapping[str, Detail]
    on: str
    streams: Mapping[str, Stream]


def _what_matters(ones: Sequence[Judged], shot: Shot | None, look_of: LookOf, index: Index) -> _BurstFacts:
    """Fine contrast on the eyes, on the hand, on what moves, or on the hero, and a pour's stream, for each frame."""
    ids = [o.frame.id for o in ones]
    version = f"{BURSTS_VERSION} {shot} " + hashlib.blake2b("".join(ids).encode()).hexdigest()
    known = index.facts(ids[0], kind="burst", version=version)
    if known is not None:
        with contextlib.suppress(KeyError, TypeError, ValueError):
            return _burst_facts(known)
    with contextlib.suppress(InputError, CouldNotError):
        facts = _measured([o.frame for o in ones], shot, look_of)
        index.put_facts(ids[0], as_json(facts), kind="burst", version=version)
        return facts
    return _BurstFacts({}, "the hero", {})


def _burst_facts(known: Mapping[str, Any]) -> _BurstFacts:
    details: dict[str, Detail] = {}
    for frame, (xx, xy, yy) in known["details"].items():
        details[str(frame)] = float(xx), float(xy), float(yy)
    return _BurstFacts(details, str(known["on"]), {str(k): Stream(**v) for k, v in known["streams"].items()})


def _measured(frames: Sequence[Frame], shot: Shot | None, look_of: LookOf) -> _BurstFacts:
    boxes, on = [subject_box(shot, f.width_px, f.height_px) for f in frames], "the hero"
    streams: Mapping[str, Stream] = {}
    widths: list[float] | None = None
    if shot is not None and (shot.person or shot.moves not in STILL):
        eyes = [eyes_box(_small(look_of(frame).grey)) for frame in frames] if shot.person else []
        smalls = [_small(look_of(frame).colour) for frame in frames]
        greys = [grey(small) for small in smalls]
        moving = moving_box(greys) if shot.moves not in STILL else None
        found = streams_of(greys) if shot.moves == POUR else None
        if found is not None:
            streams = {f.id: one for f, one in zip(frames, found.frames, strict=True)}
        if eyes and all(eyes):
            boxes, on = [e for e in eyes if e], "the eyes"
        elif shot.moves not in STILL:
            # what moves little or is much like its ground has no box, and may yet be followed
            widths = _thing_widths([look_of(frame).colour for frame in frames], smalls, found)
            if moving is not None or widths is not None:
                on = "the hand" if shot.moves in ("hand", POUR) else "what moves"
            if moving is not None:
                boxes = [pouring_hand_box(moving, found) or moving] * len(frames)
    details: dict[str, Detail] = {}
    if widths is not None:
        details = {f.id: detail_of_width(w) for f, w in zip(frames, widths, strict=True)}
        return _BurstFacts(details, on, streams)
    for frame, box in zip(frames, boxes, strict=True):
        detail = detail_in(look_of(frame).grey, box)
        if detail is not None:
            details[frame.id] = detail
    return (
        _BurstFacts(details, on, streams)
        if len(details) == len(frames)
        else _BurstFacts({}, "the hero", streams)
    )


def _thing_widths(
    pictures: Sequence[NDArray[np.uint8]], smalls: Sequence[NDArray[np.uint8]], streams: Streams | None
) -> list[float] | None:
    """Width of the blur on what is held in each frame; None when nothing can be followed."""
    if len({picture.shape for picture in pictures}) != 1:
        return None
    thing = moving_object_in(smalls, streams)
    return None if thing is None else object_blur_widths(pictures, thing)


def _small(picture: NDArray[np.uint8]) -> NDArray[np.uint8]:
    scale = SMALL_PX / max(picture.shape[:2])
    if scale < 1:
        small = cv2.resize(picture, None, fx=scale, fy=scale, interpolation=cv2.INTER_AREA)
        picture = np.asarray(small, np.uint8)
    return picture


def look_by(picture_of: Callable[[Frame], NDArray[np.uint8]]) -> LookOf:
    """How a frame looks; those of a burst are wanted more than once, so the last ones are kept."""

    @lru_cache(maxsize=CACHED_LOOKS)
    def by_id(frame_id: str) -> Look:
        picture = picture_of(frames[frame_id])
        of_it = np.asarray(cv2.cvtColor(picture, cv2.COLOR_RGB2GRAY), np.uint8)
        return Look(of_it, at_work_size(picture))

    frames: dict[str, Frame] = {}

    def look_of(frame: Frame) -> Look:
        frames[frame.id] = frame
        return by_id(frame.id)

    return look_of
