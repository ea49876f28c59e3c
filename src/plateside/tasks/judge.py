"""Judge the frames of a shoot: what is wrong with each, and the one next act."""

import contextlib
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from functools import cached_property
from pathlib import Path
from typing import Any

import cv2
import numpy as np
from numpy.typing import NDArray

from plateside.files.index.index import Index
from plateside.files.journal.journal import Journal
from plateside.files.journal.state import ShootState, replay
from plateside.files.originals.kinds import is_raw
from plateside.files.originals.pixels import display_picture, linear_and_levels
from plateside.files.originals.scan import Unreadable, read_frame, scan_frames
from plateside.files.settings import OpenShoot, open_shoot
from plateside.frames.assign import guess_shots
from plateside.frames.compare import (
    COMPARE_VERSION,
    Comparison,
    Reference,
    compare,
    comparison_from_json,
    reference_of,
)
from plateside.frames.exposure import display_linear, small_linear
from plateside.frames.facts import CardSeen, FrameFacts, facts_from_json
from plateside.frames.lamp_check import Lamp, with_lamp
from plateside.frames.measure import FACTS_VERSION, facts_of
from plateside.frames.set_up_acts import card_seen, dish_lux, focus_side, set_up_acts
from plateside.frames.subject import subject_box, wants_shallow
from plateside.frames.trend import Reading as LightReading
from plateside.frames.trend import Trend, trend
from plateside.frames.verdict import verdict_against, verdict_of
from plateside.model.errors import CouldNotError, InputError
from plateside.model.frame import Frame, Verdict
from plateside.model.pixels import LinearPicture, RawLevels
from plateside.model.progress import Progress, silent
from plateside.model.shoot import Shot
from plateside.model.studio import Camera
from plateside.tasks.bursts import BestBurst, best_bursts
from plateside.tasks.report import as_json
from plateside.tasks.wanted import WantedOfShot, wanted_of

LONGEST_PX = 3000
"""Frames are looked at half size (24 megapixels): blur that matters in print or page is seen there."""


@dataclass(frozen=True)
class Judged:
    """One frame with its verdict."""

    frame: Frame
    shot: str
    guessed: bool
    """The shot is the tool's guess, not said by anyone."""
    verdict: Verdict
    facts: FrameFacts
    comparison: Comparison | None = None
    """Against the reference of its set-up, when there is one."""

    def line(self) -> str:
        """'soup-03.jpg  adjust  Two thirds of a stop brighter: 1/3 s to 1/2 s  (three-bowls)'."""
        shot = f"  ({self.shot}{', a guess' if self.guessed else ''})" if self.shot else ""
        return f"{self.frame.name}  {self.verdict.word}  {self.verdict.next_act}{shot}"


@dataclass(frozen=True)
class JudgeReport:
    """Every frame judged, and every file that could not be."""

    frames: tuple[Judged, ...]
    unreadable: tuple[Unreadable, ...]
    remarks: tuple[str, ...] = ()
    light: tuple[tuple[str, Trend], ...] = ()
    """For each shot with a reference, where the light on its dish goes."""
    bursts: tuple[BestBurst, ...] = ()
    """Runs of frames of one moment, with the best of each."""
    folder: str = ""
    """Where the frames were looked for."""

    def lines(self) -> list[str]:
        """A line per frame, then what could not be read."""
        if not self.frames and not self.unreadable:
            return [
                f"No frame has landed yet in {self.folder}." if self.folder else "No frame has landed yet."
            ]
        width = max((len(j.frame.name) for j in self.frames), default=0)
        out = [j.frame.name.ljust(width) + j.line()[len(j.frame.name) :] for j in self.frames]
        out += [f"not used: {u.reason}" for u in self.unreadable]
        words = [j.verdict.word for j in self.frames]
        tally = ", ".join(f"{words.count(w)} {w}" for w in ("good", "adjust", "again") if w in words)
        because = sorted({j.verdict.sure_because for j in self.frames if j.verdict.sure_because})
        if tally:
            out.append(f"{len(words)} frame{'s' if len(words) != 1 else ''}: {tally}.")
        out += [burst.line() for burst in self.bursts]
        out += [f"{shot}: {found.words()}" for shot, found in self.light]
        return out + [f"Judged {b}." for b in because] + list(self.remarks)


class Judge:
    """Judges frames of one shoot; keeps each shot's reference frame ready."""

    def __init__(self, opened: OpenShoot, index: Index) -> None:
        self.opened, self.index = opened, index
        self.folder = opened.folder.frames_dir
        self._references: dict[tuple[str, str], Reference | None] = {}
        self._by_name = {s.name: s for s in opened.shoot.shots}
        self._last: tuple[str, _View] | None = None
        self._wanted: dict[str, WantedOfShot] = {}

    def picture(self, frame: Frame) -> NDArray[np.uint8]:
        """The frame's display picture at working size; judging it next does not decode it again."""
        return self._opened(frame).picture

    def shot_of(self, frame: Frame, state: ShootState) -> tuple[Shot | None, bool]:
        """A frame's shot as said, as guessed before, or the best fit by itself; and whether that is a guess."""
        said = state.shot_of.get(frame.id, "")
        if said in self._by_name:
            return self._by_name[said], frame.id in state.guessed
        (name,) = guess_shots([frame], self.opened.shoot.shots, self.opened.studio)
        return self._by_name.get(name), True

    def judged(
        self, frame: Frame, state: ShootState, shot: Shot | None = None, guessed: bool | None = None
    ) -> Judged:
        """The full verdict. Raises InputError or CouldNotError when the file cannot be read."""
        judged = self._judged(frame, state, shot, guessed)
        told = state.lamps.get(frame.id)
        if told is None:
            return judged
        off = told["frame"] == frame.id
        return replace(judged, verdict=with_lamp(judged.verdict, lamp_of(told), lamp_is_off=off))

    def _judged(self, frame: Frame, state: ShootState, shot: Shot | None, guessed: bool | None) -> Judged:
        if guessed is None:
            shot, guessed = self.shot_of(frame, state)
        view = self._view(frame, shot)
        reference = self._reference(shot, state)
        wanted = self._wanted_of(shot)
        more = set_up_acts(
            view.facts, shot, frame.settings, wanted.where, why_orientation=wanted.why_orientation,
            sure_of_shot=not guessed and wanted.orientation_sure,
        )  # fmt: skip
        side = focus_side(view.facts, wanted.where, frame.settings)
        if reference is None or reference.frame == frame.id:
            verdict = verdict_of(view.facts, shot, frame.settings, more, side)
            if reference is not None:
                # she has accepted it: what is soft or dark in it is meant
                verdict = replace(
                    verdict, word="good", acts=(), sure_because="as the reference of its set-up"
                )
            return Judged(frame, shot.name if shot else "", guessed, verdict, view.facts)
        comparison = self._comparison(frame, reference, view, shot)
        if comparison is None:
            verdict = verdict_of(view.facts, shot, frame.settings, more, side)
            verdict = replace(verdict, sure_because="without a reference of the same shape: less sure")
        else:
            verdict = verdict_against(
                view.facts, comparison, shot, frame.settings, reference.settings, more, side
            )
        return Judged(frame, shot.name if shot else "", guessed, verdict, view.facts, comparison)

    def provisional(self, frame: Frame, state: ShootState) -> Judged:
        """A quick verdict from a raw's embedded preview (or the JPEG itself), without the raw's own numbers."""
        shot, guessed = self.shot_of(frame, state)
        facts = facts_of(
            self.picture(frame),
            shot,
            width_px=frame.width_px,
            height_px=frame.height_px,
            raw_to_come=frame.is_raw,
        )
        verdict = verdict_of(facts, shot, frame.settings)
        return Judged(frame, shot.name if shot else "", guessed, verdict, facts)

    def _view(self, frame: Frame, shot: Shot | None) -> "_View":
        version = facts_version(frame, shot)
        known = self.index.facts(frame.id, version=version)
        if known is not None:
            with contextlib.suppress(KeyError, TypeError):
                return _View(self.folder / frame.name, facts_from_json(known))
        view = self._opened(frame)
        view.facts = facts_of(
            view.picture, shot, view.linear, view.levels, width_px=frame.width_px, height_px=frame.height_px
        )
        view.facts = replace(view.facts, card=self._card(frame, view.picture))
        self.index.put_facts(frame.id, as_json(view.facts), version=version)
        return view

    def _wanted_of(self, shot: Shot | None) -> WantedOfShot:
        """What the shot's set-up wants; solved when its first frame is judged."""
        if shot is None:
            return WantedOfShot()
        if shot.name not in self._wanted:
            self._wanted[shot.name] = wanted_of(self.opened, shot)
        return self._wanted[shot.name]

    def _card(self, frame: Frame, picture: NDArray[np.uint8]) -> CardSeen | None:
        """The set card in the frame; a file that does not say its focal length cannot be measured by it."""
        if frame.settings.focal_length_mm is None:
            return None
        cameras = self.opened.studio.cameras
        named = [c for c in cameras if c.exif_model and c.exif_model == frame.settings.camera_model]
        camera = (named or list(cameras) or [Camera(name="unknown")])[0]
        lying = picture.shape[1] >= picture.shape[0]
        across = camera.sensor_width_mm if lying else camera.sensor_height_mm
        shown = np.asarray(cv2.cvtColor(picture, cv2.COLOR_RGB2GRAY), np.uint8)
        return card_seen(shown, frame.settings.focal_length_mm, across)

    def _opened(self, frame: Frame) -> "_View":
        """The frame's view; the last one is kept, for a frame is looked at several times in a row."""
        if self._last is None or self._last[0] != frame.id:
            self._last = frame.id, _View(self.folder / frame.name)
        return self._last[1]

    def _reference(self, shot: Shot | None, state: ShootState) -> Reference | None:
        if shot is None or shot.name not in state.references:
            return None
        key = shot.name, state.references[shot.name]
        if key not in self._references:
            self._references[key] = self._load_reference(shot, key[1], state)
        return self._references[key]

    def _load_reference(self, shot: Shot, frame_id: str, state: ShootState) -> Reference | None:
        path = self.folder / state.landed.get(frame_id, "")
        if not path.is_file():
            return None
        try:
            frame = read_frame(self.folder, path, None, frame_id)
            view = _View(path)
            box = subject_box(shot, frame.width_px, frame.height_px)
            return reference_of(
                frame_id, view.picture, view.small, frame.settings, box, is_raw=view.linear is not None
            )
        except (InputError, CouldNotError):
            return None

    def _comparison(
        self, frame: Frame, reference: Reference, view: "_View", shot: Shot | None
    ) -> Comparison | None:
        wants = wants_shallow(shot)
        version = f"{COMPARE_VERSION} {reference.frame} {wants}"
        known = self.index.facts(frame.id, kind="comparison", version=version)
        if known is not None:
            with contextlib.suppress(KeyError, TypeError):
                return comparison_from_json(known)
        found = compare(
            reference,
            view.picture,
            view.small,
            frame.settings,
            wants_shallow=wants,
            is_raw=view.linear is not None,
        )
        if found is not None:
            self.index.put_facts(frame.id, as_json(found), kind="comparison", version=version)
        return found


class _View:
    """A frame's decoded pictures, each read once and only when asked for."""

    def __init__(self, path: Path, facts: FrameFacts | None = None) -> None:
        self._path = path
        self._facts = facts

    @property
    def facts(self) -> FrameFacts:
        assert self._facts is not None  # noqa: S101 - set by _view before anyone sees it
        return self._facts

    @facts.setter
    def facts(self, facts: FrameFacts) -> None:
        self._facts = facts

    @cached_property
    def picture(self) -> NDArray[np.uint8]:
        return display_picture(self._path, LONGEST_PX)

    @cached_property
    def _raw(self) -> tuple[LinearPicture | None, RawLevels | None]:
        return linear_and_levels(self._path) if is_raw(self._path) else (None, None)

    @property
    def linear(self) -> LinearPicture | None:
        return self._raw[0]

    @property
    def levels(self) -> RawLevels | None:
        return self._raw[1]

    @cached_property
    def small(self) -> NDArray[np.float32]:
        return small_linear(self.picture) if self.linear is None else display_linear(self.linear)


def judge_frames(
    shoot_dir: Path, names: Sequence[str] | None = None, progress: Progress = silent, *, record: bool = True
) -> JudgeReport:
    """Judge all frames of a shoot, or those named.

    names   file names within the frames folder (or their last part); None or empty: all
    record  write shot guesses and verdicts that are new into the journal

    What was measured before is taken from the index, so an interrupted run goes on where it stopped.
    Raises InputError when the shoot or a named frame is missing.
    """
    opened = open_shoot(shoot_dir)
    frames, unreadable = scan_frames(opened.folder.frames_dir)
    journal = Journal.open(opened.folder.root)
    state = replay(journal.rows())
    landed = set(state.landed)
    # a reference may be named before any row says that its file landed, and files may be renamed
    state.landed.update({f.id: f.name for f in frames})
    shots = shots_of(frames, opened, state)
    wanted = [f for f in _named(frames, unreadable, names) if f.id not in state.cards]
    judged: list[Judged] = []
    failed: list[Unreadable] = []
    with Index.open(opened.folder.root) as index:
        judge = Judge(opened, index)
        for done, frame in enumerate(wanted):
            progress(done, len(wanted))
            shot, guessed = shots[frame.id]
            try:
                judged.append(judge.judged(frame, state, shot, guessed))
            except (InputError, CouldNotError) as error:
                failed.append(Unreadable(frame.name, str(error)))
        by_name = {s.name: s for s in opened.shoot.shots}
        bursts = best_bursts(judged, by_name, frozenset(state.again), judge.picture, index)
        progress(len(wanted), len(wanted))
    remarks = _record(journal, state, landed, judged) if record else ()
    refused = unreadable if not names else tuple(u for u in unreadable if _is_named(u.name, names))
    light = tuple((s.name, t) for s in opened.shoot.shots if (t := light_trend(judged, s.name)) is not None)
    return JudgeReport(
        tuple(judged), (*refused, *failed), remarks, light, bursts, str(opened.folder.frames_dir)
    )


def light_trend(judged: Sequence[Judged], shot: str) -> Trend | None:
    """The trend of the light over a shot's frames, against its reference; None when too little is known."""
    readings = [
        LightReading(one.frame.settings.taken_at, one.comparison.light_stops)
        for one in judged
        if one.shot == shot
        and one.comparison is not None
        and one.comparison.fits
        and one.comparison.light_stops is not None
        and one.frame.settings.taken_at is not None
    ]
    found = trend(readings)
    if found is None:
        return None
    by_card = [
        lux
        for one in judged
        if one.shot == shot and (lux := dish_lux(one.facts, one.frame.settings)[0]) is not None
    ]
    return replace(found, lux=by_card[-1] if by_card else None)


def shots_of(
    frames: Sequence[Frame], opened: OpenShoot, state: ShootState
) -> Mapping[str, tuple[Shot | None, bool]]:
    """For each frame id its shot, and whether that is a guess. What was said always wins."""
    by_name = {s.name: s for s in opened.shoot.shots}
    said = {k: v for k, v in state.shot_of.items() if k not in state.guessed and v in by_name}
    open_frames = [f for f in frames if f.id not in said]
    guesses = guess_shots(open_frames, opened.shoot.shots, opened.studio)
    out: dict[str, tuple[Shot | None, bool]] = {k: (by_name[v], False) for k, v in said.items()}
    for frame, name in zip(open_frames, guesses, strict=True):
        out[frame.id] = by_name.get(name), True
    return out


def facts_version(frame: Frame, shot: Shot | None) -> str:
    """What cached facts depend on beside the file: the code, and where the shot expects its hero."""
    box = subject_box(shot, frame.width_px, frame.height_px)
    return f"{FACTS_VERSION} {' '.join(f'{v:.4f}' for v in box)}"


def _is_named(name: str, names: Sequence[str]) -> bool:
    return any(name == n or name.rsplit("/", 1)[-1] == n.replace("\\", "/").rsplit("/", 1)[-1] for n in names)


def _named(
    frames: Sequence[Frame], unreadable: Sequence[Unreadable], names: Sequence[str] | None
) -> list[Frame]:
    if not names:
        return list(frames)
    for name in names:
        if not any(
            _is_named(known, [name]) for known in [f.name for f in frames] + [u.name for u in unreadable]
        ):
            near = ", ".join(f.name for f in frames[:3])
            raise InputError(
                f"There is no frame {name} in the frames folder; there are {len(frames)}"
                + (f", such as {near}." if near else ".")
            )
    return [f for f in frames if _is_named(f.name, names)]


def _record(
    journal: Journal, state: ShootState, landed: set[str], judged: Sequence[Judged]
) -> tuple[str, ...]:
    rows: list[tuple[str, dict[str, Any]]] = []
    for one in judged:
        frame = one.frame
        if one.guessed and one.shot and state.shot_of.get(frame.id) != one.shot:
            rows.append(("frame belongs", {"frame": frame.id, "shot": one.shot, "guess": True}))
        if frame.id not in landed:
            rows.append(("frame landed", {"frame": frame.id, "name": frame.name}))
        row = verdict_row(one)
        if state.verdicts.get(frame.id) != row:
            rows.append(("verdict", row))
    if not rows:
        return ()
    try:
        journal.append_many(rows)
    except CouldNotError as error:
        return (f"The verdicts could not be written down: {error}",)
    return ()


def lamp_of(row: Mapping[str, Any]) -> Lamp:
    """What a 'lamp settled' row says."""
    x, y = row["at"]
    return Lamp(bool(row["lamp"]), float(row["share"]), float(row["warmer_mired"]), (float(x), float(y)))


def verdict_row(one: Judged) -> dict[str, Any]:
    """A verdict as the journal keeps it."""
    return {
        "frame": one.frame.id,
        "word": one.verdict.word,
        "act": one.verdict.next_act,
        "confidence": one.verdict.confidence,
    }
