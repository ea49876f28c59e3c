"""What to draw on a frame, every act of its verdict, and what changed since the step before."""

import contextlib
from collections.abc import Iterable
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import numpy as np
from numpy.typing import NDArray

from plateside.files.index.index import Index
from plateside.files.journal.state import ShootState, read_state
from plateside.files.originals.pixels import display_picture
from plateside.files.originals.scan import read_frame
from plateside.files.settings.load import OpenShoot, open_shoot
from plateside.frames.changes import Part, changes
from plateside.frames.edges import grey
from plateside.frames.exposure import small_linear
from plateside.frames.marks import FrameMark, changed_marks, marks_of
from plateside.frames.register import register
from plateside.frames.sharpness import at_work_size
from plateside.model.errors import InputError
from plateside.model.frame import Frame
from plateside.tasks.report import as_json
from plateside.tasks.set.frame_view import LONGEST_PX, FrameView
from plateside.tasks.set.grey_card import CardTouched, touched_card
from plateside.tasks.set.judged import Judged
from plateside.tasks.set.judging import Judge
from plateside.words.set import refusals
from plateside.words.set.screen import changed_sentence, since_phrase
from plateside.words.set.verdicts import act_sentences, judged_sentence, mark_phrase, measured_lines

CHANGES_VERSION = "2"


@dataclass(frozen=True)
class SaidMark(FrameMark):
    """A mark with what it is in words, for the page."""

    words: str = ""


def _said(marks: Iterable[FrameMark]) -> tuple[SaidMark, ...]:
    return tuple(SaidMark(**vars(mark), words=mark_phrase(mark)) for mark in marks)


@dataclass(frozen=True)
class Marks:
    """One frame, drawn on."""

    frame: str
    marks: tuple[SaidMark, ...]
    acts: tuple[str, ...]
    """the one thing to change first"""
    judged: str
    """what the verdict rests on, a sentence"""
    facts: tuple[str, ...]
    """what was measured, a line each"""

    def lines(self) -> list[str]:
        return [*self.acts, *self.facts, *(f"{m.kind}: {m.words}" for m in self.marks)]


@dataclass(frozen=True)
class Changed:
    """What came, went or moved since the layer before, or since the reference."""

    frame: str
    since: str
    """id of the frame it is compared with; empty when there is none"""
    since_words: str
    marks: tuple[SaidMark, ...]

    def lines(self) -> list[str]:
        return [changed_sentence(len(self.marks), self.since_words)] if self.since else []


class FrameMarker:
    """Marks frames of one shoot; a shot's reference is decoded once and kept. For one thread."""

    def __init__(self, root: Path) -> None:
        self.root = root
        self._stack = contextlib.ExitStack()
        self._index = self._stack.enter_context(Index.open(root))
        self._made_of: tuple[int, ...] = ()
        self._judge: Judge | None = None
        self._touched: tuple[str, NDArray[np.float32]] = ("", np.zeros((1, 1, 3), np.float32))

    def close(self) -> None:
        """Let go of the index."""
        self._stack.close()

    def marks(self, frame_id: str) -> Marks:
        """The frame's marks and acts, from the index when it was judged before.

        Raises InputError, CouldNotError when the frame or its file is not there.
        """
        one = self._judged(frame_id, read_state(self.root))
        return Marks(
            frame_id,
            _said(marks_of(one.facts, one.comparison, one.verdict)),
            act_sentences(one.verdict),
            judged_sentence(one.verdict),
            tuple(measured_lines(one.facts, one.comparison)),
        )

    def card(self, frame_id: str, across: float, down: float) -> CardTouched:
        """What lies where she touched the frame. Raises as `marks`, and InputError for a touch beside the frame."""
        judge = self._judge_now()
        frame = self._frame(judge, frame_id, read_state(self.root))
        if self._touched[0] != frame.id:
            # she may touch the same frame again and again: it is read once
            self._touched = frame.id, FrameView(judge.folder / frame.name).small
        return touched_card(self._touched[1], across, down)

    def changed(self, frame_id: str) -> Changed:
        """Outlines of what changed since the layer before, or the reference. Raises as `marks`."""
        state = read_state(self.root)
        since, words = before(frame_id, state)
        if not since:
            return Changed(frame_id, "", "", ())
        one = self._judged(frame_id, state)
        parts = self._parts(one.frame, since, state.landed[since])
        return Changed(frame_id, since, words, _said(changed_marks(parts, one.verdict)))

    @property
    def opened(self) -> OpenShoot:
        """The shoot as its settings say now."""
        return self._judge_now().opened

    def judged(self, frame_id: str) -> Judged:
        """A frame with its verdict and facts, from the index when it was judged before. Raises as `marks`."""
        return self._judged(frame_id, read_state(self.root))

    def path_of(self, frame: Frame) -> Path:
        """Where its file lies."""
        return self._judge_now().folder / frame.name

    def _judged(self, frame_id: str, state: ShootState) -> Judged:
        judge = self._judge_now()
        return judge.judged(self._frame(judge, frame_id, state), state)

    def _frame(self, judge: Judge, frame_id: str, state: ShootState) -> Frame:
        name = state.landed.get(frame_id)
        if name is None:
            raise InputError(refusals.NOT_LANDED)
        if not (judge.folder / name).is_file():
            raise InputError(refusals.frame_gone(name))
        return read_frame(judge.folder, judge.folder / name, None, frame_id)

    def _judge_now(self) -> Judge:
        opened = open_shoot(self.root) if self._judge is None else self._judge.opened
        files = (opened.folder.root / "shoot.toml", opened.folder.root / opened.shoot.studio)
        made_of = tuple(f.stat().st_mtime_ns if f.is_file() else 0 for f in files)
        if self._judge is None or made_of != self._made_of:
            self._judge, self._made_of = Judge(open_shoot(self.root), self._index), made_of
        return self._judge

    def _parts(self, frame: Frame, since: str, since_name: str) -> tuple[Part, ...]:
        version = f"{CHANGES_VERSION} {since}"
        known = self._index.facts(frame.id, kind="changes", version=version)
        if known is not None:
            with contextlib.suppress(KeyError, TypeError, ValueError):
                return tuple(_part(one) for one in known["parts"])
        folder = self._judge_now().folder
        now = at_work_size(display_picture(folder / frame.name, LONGEST_PX))
        then = at_work_size(display_picture(folder / since_name, LONGEST_PX))
        parts: tuple[Part, ...] = ()
        if now.shape == then.shape:
            fit = register(grey(then), grey(now))
            if fit.fits:
                parts = changes(small_linear(then), small_linear(now), fit, now.shape[1]).parts
        self._index.put_facts(frame.id, {"parts": as_json(parts)}, kind="changes", version=version)
        return parts


def _part(value: dict[str, Any]) -> Part:
    x0, y0, x1, y1 = value["box"]
    outline = tuple((float(x), float(y)) for x, y in value["outline"])
    return Part(str(value["kind"]), (x0, y0, x1, y1), outline, float(value["share"]))


def before(frame_id: str, state: ShootState) -> tuple[str, str]:
    """The step a frame is compared with, and its words: the last layer before it, else the shot's test frame."""
    shot = state.shot_of.get(frame_id, "")
    order = {f: n for n, f in enumerate(state.landed)}
    layers = state.layers.get(shot, [])
    earlier = [f for f in layers if f in order and order[f] < order.get(frame_id, 0)]
    if earlier:
        return earlier[-1], since_phrase(layers.index(earlier[-1]) + 1)
    reference = state.references.get(shot, "")
    return (reference, since_phrase(0)) if reference in order and reference != frame_id else ("", "")
