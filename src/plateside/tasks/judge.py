"""Judge the frames of a shoot: what is wrong with each, and the one next act."""

import contextlib
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from plateside.files.index.index import Index
from plateside.files.journal.journal import Journal
from plateside.files.journal.state import ShootState, replay
from plateside.files.originals.kinds import is_raw
from plateside.files.originals.pixels import display_picture, linear_and_levels
from plateside.files.originals.scan import Unreadable, scan_frames
from plateside.files.settings import OpenShoot, open_shoot
from plateside.frames.assign import guess_shots
from plateside.frames.facts import FrameFacts, facts_from_json
from plateside.frames.measure import FACTS_VERSION, facts_of
from plateside.frames.subject import subject_box
from plateside.frames.verdict import verdict_of
from plateside.model.errors import CouldNotError, InputError, PlatesideError
from plateside.model.frame import Frame, Verdict
from plateside.model.progress import Progress, silent
from plateside.model.shoot import Shot
from plateside.tasks.report import as_json

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

    def lines(self) -> list[str]:
        """A line per frame, then what could not be read."""
        if not self.frames and not self.unreadable:
            return ["No frame has landed yet."]
        width = max((len(j.frame.name) for j in self.frames), default=0)
        out = [j.frame.name.ljust(width) + j.line()[len(j.frame.name) :] for j in self.frames]
        out += [f"not used: {u.reason}" for u in self.unreadable]
        words = [j.verdict.word for j in self.frames]
        tally = ", ".join(f"{words.count(w)} {w}" for w in ("good", "adjust", "again") if w in words)
        because = sorted({j.verdict.sure_because for j in self.frames if j.verdict.sure_because})
        if tally:
            out.append(f"{len(words)} frame{'s' if len(words) != 1 else ''}: {tally}.")
        return out + [f"Judged with {b}." for b in because] + list(self.remarks)


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
    shots = shots_of(frames, opened, state)
    wanted = _named(frames, unreadable, names)
    judged: list[Judged] = []
    failed: list[Unreadable] = []
    with Index.open(opened.folder.root) as index:
        for done, frame in enumerate(wanted):
            progress(done, len(wanted))
            shot, guessed = shots[frame.id]
            try:
                facts = measured(opened.folder.frames_dir, frame, shot, index)
            except PlatesideError as error:
                if not isinstance(error, InputError | CouldNotError):
                    raise
                failed.append(Unreadable(frame.name, str(error)))
                continue
            verdict = verdict_of(facts, shot, frame.settings)
            judged.append(Judged(frame, shot.name if shot else "", guessed, verdict, facts))
        progress(len(wanted), len(wanted))
    remarks = _record(journal, state, judged) if record else ()
    refused = unreadable if not names else tuple(u for u in unreadable if _is_named(u.name, names))
    return JudgeReport(tuple(judged), (*refused, *failed), remarks)


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


def measured(frames_dir: Path, frame: Frame, shot: Shot | None, index: Index) -> FrameFacts:
    """Facts of a frame: from the index when they were taken before, else from the file (and remembered)."""
    box = subject_box(shot, frame.width_px, frame.height_px)
    version = f"{FACTS_VERSION} {' '.join(f'{v:.4f}' for v in box)}"
    known = index.facts(frame.id, version=version)
    if known is not None:
        with contextlib.suppress(KeyError, TypeError):
            return facts_from_json(known)
    facts = read_facts(frames_dir / frame.name, frame, shot)
    index.put_facts(frame.id, as_json(facts), version=version)
    return facts


def read_facts(path: Path, frame: Frame, shot: Shot | None) -> FrameFacts:
    """Facts straight from the file. Raises InputError when it cannot be decoded."""
    picture = display_picture(path, LONGEST_PX)
    linear, levels = linear_and_levels(path) if is_raw(path) else (None, None)
    return facts_of(picture, shot, linear, levels, width_px=frame.width_px, height_px=frame.height_px)


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


def _record(journal: Journal, state: ShootState, judged: Sequence[Judged]) -> tuple[str, ...]:
    rows: list[tuple[str, dict[str, Any]]] = []
    for one in judged:
        frame = one.frame
        if one.guessed and one.shot and state.shot_of.get(frame.id) != one.shot:
            rows.append(("frame belongs", {"frame": frame.id, "shot": one.shot, "guess": True}))
        if frame.id not in state.landed:
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


def verdict_row(one: Judged) -> dict[str, Any]:
    """A verdict as the journal keeps it."""
    return {
        "frame": one.frame.id,
        "word": one.verdict.word,
        "act": one.verdict.next_act,
        "confidence": one.verdict.confidence,
    }
