"""The set's screen as it is now: from the journal and shoot.toml alone, so that every screen shows the same.

`OnSet` keeps the rows it has read: a screen asks after every row, and only what is new is read from disk.
"""

import threading
from collections.abc import Mapping
from dataclasses import dataclass
from datetime import UTC, date, datetime
from itertools import islice
from pathlib import Path
from typing import Any

from plateside.files.journal.journal import Journal
from plateside.files.journal.rows import Row
from plateside.files.journal.state import ShootState, add, last_undoable, replay
from plateside.files.journal.verdict_rows import act_in, lead_in, sentence_in
from plateside.files.settings.load import load_shoot
from plateside.frames.grey_asked import GreyCardAsked
from plateside.model.shoot import Shoot, Shot
from plateside.plan.dish_order import following
from plateside.tasks.plan.planned_order import done_shots, order_on_set
from plateside.tasks.set.grey_asked import grey_card_asked
from plateside.words.counting import ordinal, weekday
from plateside.words.set import screen
from plateside.words.set.events import chart_seen_sentence
from plateside.words.set.presses import decision_phrase

LOOKS = ("look at hero", "look at part", "look at highlights", "part moved")
"""Acts that send to a place in the frame."""


@dataclass(frozen=True)
class LastFrame:
    """The frame that the screen speaks of."""

    id: str
    name: str
    shot: str
    guessed: bool
    """its shot is the tool's guess: nobody has said it"""
    landed_at: datetime
    word: str
    """good, adjust, again; empty while it is being judged"""
    act: str
    short_act: str
    confidence: float
    pressed: str
    """kept, again or empty: her own press"""
    test_frame: bool
    layer: bool
    burst: str
    """'best of 6: 3rd', when it is of a burst that has been looked through; else empty"""
    burst_reason: str
    """why that one; empty when it is her own choice"""
    chart: bool = False
    """a colour chart was seen in it: it is of no shot, and is not judged"""
    look_at: tuple[float, float] | None = None
    """the place that the verdict asks to be looked at at 100 %, shares of the frame"""


@dataclass(frozen=True)
class SetShot:
    """One shot of the list."""

    name: str
    frames: int
    done: bool
    """a frame of it is kept or chosen, or it was set aside on purpose"""
    day: str
    """the day it is taken, as 2027-07-15"""
    day_words: str
    """'Friday 16 July', where it is not of the first of these days; else empty"""
    test_frame: str
    layers: tuple[str, ...]
    """frame ids of the steps in which its scene was built"""


@dataclass(frozen=True)
class NotUsed:
    """A file in the frames folder that cannot be used."""

    name: str
    reason: str


MOST_NOT_USED = 50
"""Of the files that cannot be used, told one by one; all are counted."""


@dataclass(frozen=True)
class SetNow:
    """All that the screen shows, but for what is measured."""

    row: int
    """number of the last row that this includes"""
    at: datetime
    """the server's clock: a tablet's may be wrong"""
    title: str
    current: str
    place: int
    """the current shot's place in the order, from 1; 0 when none is current"""
    shots: tuple[SetShot, ...]
    """in the order of the plan, whole dishes before what is cut"""
    left: int
    """shots that have no kept frame yet"""
    left_of_day: int
    """of these, those of the first of its days: today, or the next one with shots"""
    next_shot: str
    """where 'Next shot' leads, by the plan's order; empty when no other shot is left"""
    caution: str
    """one line for the start of the shot"""
    frame: LastFrame | None
    undo: str
    """what Undo would take back; empty when nothing is left"""
    lamp_check: bool
    """the shot's next frame is to be taken with the lamp off"""
    not_used: tuple[NotUsed, ...] = ()
    """files that cannot be used, the latest first"""
    not_used_count: int = 0
    grey_card: GreyCardAsked | None = None
    """a frame of the grey card is wanted for the current shot, and why"""


class OnSet:
    """The screen of one shoot; any thread may ask."""

    def __init__(self, root: Path) -> None:
        self.root = root
        self._journal = Journal.open(root)
        self._lock = threading.Lock()
        self._rows: list[Row] = []
        self._state = ShootState()
        self._landed_at: dict[str, datetime] = {}
        self._shoot: tuple[int, Shoot] | None = None

    def now(self) -> SetNow:
        """As of this moment. Raises InputError when the files cannot be read."""
        with self._lock:
            self._refresh()
            shoot = self._settings()
            return _screen(shoot, order_on_set(self.root, shoot), self._state, self._rows, self._landed_at)

    def newest_waits(self) -> bool:
        """Whether the newest frame of the current shot has no verdict yet. Raises InputError as `now`."""
        with self._lock:
            self._refresh()
            frame = _last(self._state, self._state.current_shot)
            known = self._state.verdicts.keys() | self._state.charts_seen
            return frame is not None and frame not in known

    def _refresh(self) -> None:
        known = self._rows[-1].number if self._rows else 0
        if self._journal.last_number() < known:
            known, self._rows, self._landed_at = 0, [], {}
        new = self._journal.rows(after=known)
        self._rows += new
        if known == 0 or any(row.kind == "undo" for row in new):
            self._state = replay(self._rows)
        else:
            add(self._state, new)
        self._landed_at.update((str(r.data["frame"]), r.at) for r in new if r.kind == "frame landed")

    def _settings(self) -> Shoot:
        path = self.root / "shoot.toml"
        changed = path.stat().st_mtime_ns if path.exists() else 0
        if self._shoot is None or self._shoot[0] != changed:
            self._shoot = changed, load_shoot(path)
        return self._shoot[1]


def set_now(root: Path) -> SetNow:
    """The screen of the shoot in `root`, read from the first row."""
    return OnSet(root).now()


def _screen(
    shoot: Shoot, order: list[Shot], state: ShootState, rows: list[Row], landed_at: Mapping[str, datetime]
) -> SetNow:
    names = [s.name for s in order]
    current = state.current_shot if state.current_shot in names else ""
    per_shot = list(state.shot_of.values())
    done = done_shots(state, shoot)
    shots = tuple(
        SetShot(
            name=name,
            frames=per_shot.count(name),
            done=name in done,
            day=shot.date,
            day_words=weekday(date.fromisoformat(shot.date)) if shot.date != order[0].date else "",
            test_frame=state.references.get(name, ""),
            layers=tuple(state.layers.get(name, ())),
        )
        for name, shot in zip(names, order, strict=True)
    )
    frame = _last(state, current)
    undo = last_undoable(rows)
    caution = next((_caution(s, order, done) for s in order if s.name == current), "")
    return SetNow(
        row=state.last_row,
        at=datetime.now(UTC),
        title=shoot.recipe.title,
        current=current,
        place=names.index(current) + 1 if current else 0,
        shots=shots,
        left=sum(not s.done for s in shots),
        left_of_day=sum(not s.done and s.day == shots[0].day for s in shots),
        # a frame that the tool filed under a shot stands for it: Next shot must not lead to where she already is
        next_shot=following(order, done, current or state.shot_of.get(frame or "", ""), state.visits),
        caution=caution,
        frame=None if frame is None else _last_frame(frame, state, landed_at),
        undo="" if undo is None else decision_phrase(undo.kind, undo.data),
        lamp_check=current in state.lamp_checks,
        not_used=tuple(
            NotUsed(name, str(state.aside[name].get("reason", "")))
            for name in islice(reversed(state.aside), MOST_NOT_USED)
        ),
        not_used_count=len(state.aside),
        grey_card=grey_card_asked(state, current) if current else None,
    )


def _last(state: ShootState, current: str) -> str | None:
    """The latest frame of the current shot; without a current shot, the latest of all."""
    for frame in reversed(state.landed):
        if frame in state.cards or state.landed[frame] in state.aside:
            continue
        if not current or frame in state.charts_seen or state.shot_of.get(frame) == current:
            return frame
    return None


def _last_frame(frame: str, state: ShootState, landed_at: Mapping[str, datetime]) -> LastFrame:
    verdict: Mapping[str, Any] = state.verdicts.get(frame, {})
    shot = state.shot_of.get(frame, "")
    burst, reason = _burst(frame, state)
    chart = frame in state.charts_seen
    return LastFrame(
        id=frame,
        name=state.landed[frame],
        shot=shot,
        guessed=frame in state.guessed,
        landed_at=landed_at[frame],
        word=str(verdict.get("word", "")),
        act=chart_seen_sentence(state.landed[frame]) if chart else sentence_in(verdict),
        short_act=lead_in(verdict),
        confidence=float(verdict.get("confidence", 0.0)),
        pressed="kept" if frame in state.kept else "again" if frame in state.again else "",
        test_frame=state.references.get(shot) == frame,
        layer=frame in state.layers.get(shot, ()),
        burst=burst,
        burst_reason=reason,
        chart=chart,
        look_at=_look_at(verdict),
    )


def _look_at(verdict: Mapping[str, Any]) -> tuple[float, float] | None:
    """Where the one thing to change asks for a look: what it says is then no more than probable."""
    act = act_in(verdict)
    return act.at if act is not None and (act.probably or act.code in LOOKS) else None


def _burst(frame: str, state: ShootState) -> tuple[str, str]:
    """The best of the burst that a frame is of, by its place in it, and why; her own choice needs no reason."""
    for burst in state.bursts.values():
        frames = [str(f) for f in burst["frames"]]
        if frame in frames:
            hers = state.best_by_her(frames)
            best = hers or str(burst["best"])
            if best not in frames:
                break
            which = screen.burst_place_phrase(
                len(frames), ordinal(frames.index(best) + 1), this=best == frame
            )
            return which, "" if hers else screen.burst_reason(burst.get("why")) or str(
                burst.get("reason", "")
            )
    return "", ""


def _caution(shot: Shot, order: list[Shot], done: set[str]) -> str:
    """What to mind before the shot's first frame; first of all a whole dish that can no longer be taken after it."""
    whole = [s.name for s in order if not s.irreversible and s.name not in done and s.date == shot.date]
    if shot.irreversible and whole:
        return screen.whole_dish_caution(whole)
    return screen.CAUTIONS[opening_caution(shot)]


def opening_caution(shot: Shot) -> str:
    """The code of the one thing to mind before the first frame of a shot."""
    if shot.moves in ("silk pour", "frozen drops"):
        return "pour"
    moving = {"steam": "steam", "falling sugar": "sugar"}.get(shot.moves)
    return moving or ("overhead" if shot.elevation >= 75 else "cords")
