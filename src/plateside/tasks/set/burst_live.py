"""Bursts while they land: after the last frame that is there, which are of one moment and which of them is best."""

import contextlib
from collections.abc import Callable
from typing import Any

from plateside.files.index.index import Index
from plateside.files.journal.state import ShootState
from plateside.frames.bursts import bursts
from plateside.model.errors import CouldNotError, InputError
from plateside.model.frame import Frame
from plateside.model.shoot import Shot
from plateside.tasks.report import as_json
from plateside.tasks.set.bursts import best_burst, look_by
from plateside.tasks.set.judged import Judged
from plateside.tasks.set.judging import Judge
from plateside.words.set.events import best_sentence

MOST = 120
"""Frames looked back over; longer bursts are told by `judge`."""
BEFORE = 12
"""Frames of an earlier run that may be of the burst that is landing."""


class LiveBursts:
    """The frames of this run, and the burst that the last of them is of.

    Measuring a burst takes a while: it is done when nothing more is waiting, or the next frame is of another moment.
    """

    def __init__(
        self, judge: Judge, index: Index, shots: dict[str, Shot], reread: Callable[[str], Frame | None]
    ) -> None:
        self.judge, self.index, self.shots, self.reread = judge, index, shots, reread
        self.look_of = look_by(judge.picture)
        self.recent: list[Judged] = []
        self.waiting = False

    def follow(self, judge: Judge, shots: dict[str, Shot]) -> None:
        """Go on with another judge: the settings have changed."""
        self.judge, self.shots = judge, shots
        self.look_of = look_by(judge.picture)

    def forget(self, frame_id: str) -> None:
        """The same exposure has another id now, and is judged anew."""
        self.recent = [one for one in self.recent if one.frame.id != frame_id]
        self.waiting = self.waiting and bool(self.recent)

    def add(self, judged: Judged, state: ShootState) -> dict[str, Any] | None:
        """Take a judged frame; the row of the burst before it, when this frame ended it."""
        if not self.recent:
            self.recent = self._before(judged, state)
        row = None
        if self.waiting and not self._joined(self.recent[-1], judged):
            row = self.row(state)
        self.recent = [*(r for r in self.recent[-MOST:] if r.frame.id != judged.frame.id), judged]
        self.waiting = True
        return row

    def row(self, state: ShootState) -> dict[str, Any] | None:
        """The row that is to be written for the burst of the last frame; None when it is of none, or known as it is."""
        if not self.waiting:
            return None
        self.waiting = False
        last = self.recent[-1]
        ones = self._run_of(last)
        # the newest frame is judged first: those before it may have been judged in an earlier run
        earlier = [one for one in self._before(ones[0], state) if one not in self.recent]
        self.recent[:0] = earlier
        ones = self._run_of(last)
        if len(ones) < 2:
            return None
        found = best_burst(1, ones, self.shots.get(last.shot), state, self.look_of, self.index)
        frames = [one.frame.id for one in ones]
        row: dict[str, Any] = {"shot": last.shot, "frames": frames, "best": ""}
        if found.measured is not None:
            why = as_json(found.measured.why)
            row |= {"best": found.measured.frame, "reason": best_sentence(why), "why": why}
        return None if state.bursts.get(frames[0]) == row else row

    def _run_of(self, last: Judged) -> list[Judged]:
        """The frames of this run that are of one moment with the last, itself among them."""
        of_shot = {r.frame.id: r for r in self.recent if r.shot == last.shot}
        for run in bursts([r.frame for r in of_shot.values()]):
            if last.frame.id in run.frames:
                return [of_shot[i] for i in run.frames]
        return [last]

    def _joined(self, before: Judged, after: Judged) -> bool:
        return before.shot == after.shot and bool(bursts([before.frame, after.frame]))

    def _before(self, judged: Judged, state: ShootState) -> list[Judged]:
        """Frames that were judged before a restart, back to where the burst of this one began."""
        found: list[Judged] = []
        landed = list(state.landed)
        place = landed.index(judged.frame.id) if judged.frame.id in landed else len(landed)
        for frame_id in reversed(landed[max(place - BEFORE, 0) : place]):
            one = next((r for r in self.recent if r.frame.id == frame_id), None)
            frame = self.reread(frame_id) if one is None and frame_id in state.verdicts else None
            with contextlib.suppress(InputError, CouldNotError):
                one = self.judge.judged(frame, state) if frame is not None else one
            if one is None or not self._joined(one, found[0] if found else judged):
                break
            found.insert(0, one)
        return found
