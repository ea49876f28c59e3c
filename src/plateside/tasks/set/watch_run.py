"""One run of the watcher that judges: what lands, what others decide and what is judged next, look after look.

What has landed is written down at once and judged one by one, the folder looked at in between: the newest frame of the
current shot goes first, then the rest in the order of landing. Only the set card's back is acted on in that order.
Every row that it writes is told as anybody tells it (events.py), with what only the judging knows beside it.
"""

import contextlib
import time
from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import replace
from typing import Any

from plateside.files.folder import SHOOT_FILE
from plateside.files.index.index import Index
from plateside.files.journal.live import LiveState
from plateside.files.journal.rows import Row
from plateside.files.journal.state import CARD, ShootState
from plateside.files.landing.landing import Landed, Landing
from plateside.files.originals.scan import read_frame
from plateside.files.originals.unreadable import Unreadable, unreadable
from plateside.files.settings.load import OpenShoot, open_shoot
from plateside.model.errors import CouldNotError, InputError
from plateside.model.frame import Frame
from plateside.plan.dish_order import following
from plateside.tasks.plan.planned_order import done_shots, order_on_set
from plateside.tasks.set.burst_live import LiveBursts
from plateside.tasks.set.card_back import after_card, is_card_back
from plateside.tasks.set.events import Event, event_of
from plateside.tasks.set.judged import Judged, light_trend, verdict_row
from plateside.tasks.set.judging import Judge
from plateside.tasks.set.lamp import open_check, settle_lamp
from plateside.tasks.set.warm import warm
from plateside.words.light.left import trend_sentence
from plateside.words.refused import said
from plateside.words.set import events as words
from plateside.words.set.acts import act_lead
from plateside.words.set.verdicts import next_sentence

LARGE_PX = 8_000_000
"""A JPEG from this size on has a quick look before it is compared with its test frame, as a raw has."""
WELL_AFTER_S = 2.0
"""Files that are copied or sent together are written closer to one another than this, in any order."""


def _stamp(opened: OpenShoot) -> tuple[tuple[int, int], ...]:
    """Time and size of the two settings files."""
    stamps = []
    for path in (opened.folder.root / SHOOT_FILE, opened.folder.studio_file):
        with contextlib.suppress(OSError):
            stat = path.stat()
            stamps.append((stat.st_mtime_ns, stat.st_size))
    return tuple(stamps)


class WatchRun:
    """One run of the watcher that judges: its journal, its judge, its tally."""

    def __init__(
        self, opened: OpenShoot, live: LiveState, index: Index, say: Callable[[Event], None]
    ) -> None:
        self.journal, self.live, self.say = live.journal, live, say
        self.live.refresh()
        self.opened, self.index = opened, index
        self._files = _stamp(opened)
        self.shots = opened.shoot.shots
        self.judge = Judge(opened, index)
        self.folder = opened.folder.frames_dir
        self.landing = self._landing()
        self.landed = 0
        self.judged: list[Judged] = []
        self.refused: list[Unreadable] = []
        self.bursts = LiveBursts(self.judge, index, {s.name: s for s in self.shots}, self._reread)
        self._prepared: tuple[Judge, str, str] | None = None
        self._own: set[int] = set()
        self._looked = False
        start = time.perf_counter()
        due = live.state.to_judge()
        # what could not be judged before is not tried again while it is the file that it was
        self._gone: set[str] = {f for f in due if live.state.landed[f] in live.state.aside}
        self.queue: dict[str, tuple[Frame | None, float]] = {
            f: (None, start) for f in due if f not in self._gone
        }
        """frames to be judged, in the order of landing: what is known of them, and since when they wait"""
        self._asked: dict[str, None] = {}
        """those of the queue that somebody asked for"""
        self._cards: set[str] = set()
        """cards that were seen before their turn"""
        self._just_written = ""
        """of what came last in one look, the file that was written well after all the others, if one was: a frame just
        taken, whatever its camera's clock says, among what is copied from a card meanwhile"""

    @property
    def state(self) -> ShootState:
        """As of the last refresh."""
        return self.live.state

    def look(self, now_s: float, stop: Callable[[], bool]) -> bool:
        """Take what has landed; whether anything did, or is still landing."""
        self.follow_settings()
        changed = self.refresh()
        events, refused = self.landing.look(now_s) if self.folder.is_dir() else ([], [])
        for half in self.landing.half:
            self.say(Event("waiting", half.reason, name=half.name))
        self.set_aside(refused)
        self.take(events)
        if changed:
            # put into another shot, or asked for
            for frame_id in self.state.to_judge():
                if frame_id not in self._gone and frame_id not in self.queue:
                    self.queue[frame_id] = None, time.perf_counter()
                    self._asked[frame_id] = None
        # at the first look what landed while nobody watched is not taken yet, and it may be what somebody waits for
        first, self._looked = not self._looked, True
        if first and self.landing.waiting:
            return True
        if self.queue and not stop():
            self.judge_next()
        elif not events and not stop():
            # while frames of a burst still come in, its best would be told of half of it
            self.burst(self.bursts.row(self.state))
        return bool(events) or bool(self.queue) or self.landing.waiting > 0

    def prepare(self) -> None:
        """While nothing lands: have ready what the next frame is judged by, so that the first waits no longer."""
        shot = self.state.current_shot or next(reversed(self.state.shot_of.values()), "")
        what = self.judge, shot, self.state.references.get(shot, "")
        if what == self._prepared:
            return
        self._prepared = what
        # what is wrong with it is told of the frame that is judged by it
        with contextlib.suppress(InputError, CouldNotError):
            warm()
            self.judge.prepare(shot, self.state)

    def follow_settings(self) -> None:
        """Go by the files as they are now: shots are added and changed while the watcher runs."""
        stamp = _stamp(self.opened)
        if stamp == self._files:
            return
        self._files = stamp
        try:
            opened = open_shoot(self.opened.folder.root)
        except (InputError, CouldNotError) as error:
            self.say(Event("settings", words.settings_wrong_sentence(error)))
            return
        self.opened, self._files = opened, _stamp(opened)
        self.shots = opened.shoot.shots
        self.judge = Judge(opened, self.index)
        self.bursts.follow(self.judge, {s.name: s for s in self.shots})
        if opened.folder.frames_dir != self.folder:
            self.folder = opened.folder.frames_dir
            self.landing = self._landing()

    def refresh(self) -> bool:
        """Read what was written meanwhile, and tell what others (shot, pages) decided; whether they wrote anything."""
        others = False
        for row in self.live.refresh():
            if row.number in self._own:
                self._own.discard(row.number)
                continue
            others = True
            event = event_of(row, self.state)
            if event is not None and event.kind in ("shot", "decision", "lamp"):
                self.say(event)
        return others

    def tell(self, row: Row, **more: Any) -> None:
        """Say a row of our own, `more` being what it does not hold: words, judged, seconds."""
        event = event_of(row, self.state)
        if event is not None:
            self.say(replace(event, **more))

    def write(self, kind: str, **data: object) -> Row:
        """Append a row of our own."""
        return next(self.write_many([(kind, data)]))

    def write_many(self, rows: Sequence[tuple[str, Mapping[str, Any]]]) -> Iterator[Row]:
        """Append rows of our own in one go."""
        written = self.journal.append_many(rows) if rows else []
        self._own.update(row.number for row in written)
        return iter(written)

    def _landing(self) -> Landing:
        aside = {name: str(event.get("stamp", "")) for name, event in self.state.aside.items()}
        landing = Landing.resumed(self.folder, dict(self.state.landed), self.index, aside)
        # the judge of that moment: another one comes with other settings
        landing.begin = lambda path: self.judge.begin(path)
        return landing

    def take(self, events: Sequence[Landed]) -> None:
        """Write down and tell what has landed, all in one go; frames are judged after that, one by one."""
        start = time.perf_counter()
        rows: list[tuple[str, dict[str, Any]]] = []
        for event in events:
            frame = event.frame
            data = {"frame": frame.id, "name": frame.name}
            if event.kind == "renamed":
                rows.append(("frame renamed", data))
            elif event.kind != "copy":
                data |= {"replaces": event.replaces} if event.replaces else {}
                data |= {"shot": self.state.current_shot} if self.state.current_shot else {}
                rows.append(("frame landed", data))
        written = self.write_many(rows)
        self.refresh()
        came = [e.frame for e in events if e.kind not in ("copy", "renamed")]
        self._just_written = self._written_after_all(came) if came else self._just_written
        seconds = time.perf_counter() - start
        for event in events:
            name = event.frame.name
            if event.kind == "copy":
                self.say(Event("copy", words.copy_sentence(name, event.other_name), name=name))
                continue
            row = next(written)
            if event.kind == "renamed":
                self.tell(row, words=words.renamed_sentence(name, event.other_name))
                continue
            self.landed += not event.replaces
            self.tell(row, seconds=seconds)
            self._wait_for_verdict(event, start)

    def _wait_for_verdict(self, event: Landed, start: float) -> None:
        self._forget(event.replaces)
        if event.replaces:
            self.bursts.forget(event.replaces)
            self.judged = [one for one in self.judged if one.frame.id != event.replaces]
        self.queue[event.frame.id] = event.frame, start
        self._gone.discard(event.frame.id)

    def _forget(self, frame_id: str) -> None:
        self.queue.pop(frame_id, None)
        self._asked.pop(frame_id, None)
        self._cards.discard(frame_id)

    def judge_next(self) -> None:
        """Judge one frame: the newest of the current shot, else one asked for, else the one that waits longest."""
        frame_id = self._next()
        before = next(iter(self.queue)) != frame_id
        frame, start = self.queue[frame_id]
        frame = frame if frame is not None else self._reread(frame_id)
        if frame is None:
            self._gone.add(frame_id)
        elif self.verdict(frame, start, before_its_turn=before):
            self._cards.add(frame_id)
            return
        self._forget(frame_id)

    def _next(self) -> str:
        waiting = [f for f in self.queue if f not in self._cards]
        landed_last = next((f for f in reversed(self.state.landed) if self._is_current(f)), "")
        for frame_id in (self._just_written, landed_last):
            if frame_id in waiting and self._is_current(frame_id):
                return frame_id
        asked = next((f for f in self._asked if f in waiting), None)
        return asked or next(iter(self.queue))

    def _written_after_all(self, frames: Sequence[Frame]) -> str:
        """The one of these whose file was written well after all the others; '' when none was."""
        written: list[tuple[float, str]] = []
        for frame in frames:
            with contextlib.suppress(OSError):
                written.append(((self.folder / frame.name).stat().st_mtime, frame.id))
        *before, last = sorted(written) or [(0.0, "")]
        return last[1] if not before or last[0] - before[-1][0] > WELL_AFTER_S else ""

    def _is_current(self, frame_id: str) -> bool:
        current = self.state.current_shot
        of_shot = not current or self.state.shot_of.get(frame_id, current) == current
        return frame_id not in self.state.no_pictures and of_shot

    def verdict(self, frame: Frame, start: float, *, before_its_turn: bool = False) -> bool:
        """Judge one frame, unless it shows the set card's back or a colour chart; True when the card must wait."""
        try:
            if is_card_back(self.judge.picture(frame)):
                if not before_its_turn:
                    self._next_shot(frame)
                return before_its_turn
            if self.judge.shows_chart(frame, self.state):
                row = self.write("chart seen", frame=frame.id)
                self.refresh()
                self.tell(row)
                return False
            if frame.is_raw or frame.width_px * frame.height_px >= LARGE_PX:
                early = self.judge.provisional(frame, self.state)
                self.say(_provisional(early, time.perf_counter() - start))
            judged = self.judge.judged(frame, self.state)
        except Exception as error:
            # whatever one file does to the judging, the others are judged
            self._gone.add(frame.id)
            self.landing.set_aside(frame.name)
            self.set_aside([unreadable(frame.name, error)])
            return False
        if judged.guessed and judged.shot and self.state.shot_of.get(frame.id) != judged.shot:
            self.write("frame belongs", frame=frame.id, shot=judged.shot, guess=True)
        judged = self._lamp(judged)
        row = self.write("verdict", **verdict_row(judged))
        self.judged.append(judged)
        light = light_trend(self.judged, judged.shot)
        self.tell(
            row,
            words=next_sentence(judged.verdict),
            judged=judged,
            seconds=time.perf_counter() - start,
            shot=judged.shot,
        )
        if light is not None and light.minutes_left is not None:
            self.say(Event("light", trend_sentence(light)))
        self.burst(self.bursts.add(judged, self.state))
        return False

    def burst(self, data: Mapping[str, Any] | None) -> None:
        """Write down and tell a burst and its best so far."""
        if data is None:
            return
        row = self.write("burst", **data)
        self.refresh()
        self.tell(row)

    def _next_shot(self, frame: Frame) -> None:
        """The card's back was shown: the next shot by the plan's order is the current one."""
        as_it_landed = self.state.shot_of.get(frame.id, "")
        self.write("set card", frame=frame.id)
        self.refresh()
        # none named yet: the shot that the latest frame was filed under
        now = self.state.current_shot or next(reversed(self.state.shot_of.values()), "")
        if as_it_landed and as_it_landed != now:
            self.say(Event("card", words.card_back_sentence("already", now), name=frame.name))
            return
        # whoever shows the card presses nothing: a shot with a frame is taken
        taken = done_shots(self.state, self.opened.shoot) | set(self.state.shot_of.values())
        order = order_on_set(self.opened.folder.root, self.opened.shoot)
        name = following(order, taken, now, self.state.visits)
        if not name:
            self.say(Event("card", words.card_back_sentence("last", now), name=frame.name))
            return
        # what landed after the card was written down before it was looked at; undo takes back the move itself first
        later = after_card(self.state, frame.id, as_it_landed)
        self.write_many([("frame belongs", {"frame": f, "shot": name, "by": CARD}) for f in later])
        for frame_id in later:
            self.queue.setdefault(frame_id, (None, time.perf_counter()))
        row = self.write("shot current", shot=name, by=CARD)
        self.refresh()
        self.tell(row, kind="card", words=words.card_back_sentence("next", name), name=frame.name)

    def _lamp(self, judged: Judged) -> Judged:
        """Settle a lamp check that waits for this frame; its verdict, and the suspected frame's, then say so."""
        frame = judged.frame
        check = open_check(frame, judged.shot, self.state)
        shot = next((s for s in self.shots if s.name == judged.shot), None)
        if check is None or shot is None:
            return judged
        try:
            found = settle_lamp(self.judge, frame, shot, check, self.state)
        except (InputError, CouldNotError) as error:
            self.say(Event("lamp", said(error), name=frame.name, shot=shot.name))
            return judged
        row = self.write("lamp settled", **found)
        self.refresh()
        self.tell(row)
        suspected = self._reread(check.frame)
        if suspected is not None:
            before = self.judge.judged(suspected, self.state)
            self.write("verdict", **verdict_row(before))
        return self.judge.judged(frame, self.state)

    def _reread(self, frame_id: str) -> Frame | None:
        path = self.folder / self.state.landed.get(frame_id, "")
        with contextlib.suppress(InputError, CouldNotError):
            return read_frame(self.folder, path, None, frame_id) if path.is_file() else None
        return None

    def set_aside(self, refused: Sequence[Unreadable]) -> None:
        """Write down and tell what cannot be used, once; and forget what is gone again."""
        rows = [("file gone", {"name": name}) for name in self.landing.gone if name in self.state.aside]
        rows += [
            (
                "file set aside",
                {"name": u.name, "code": u.code, "reason": u.reason, "stamp": self.landing.stamp_of(u.name)},
            )
            for u in refused
        ]
        written = [row for row in self.write_many(rows) if row.kind == "file set aside"]
        for one, row in zip(refused, written, strict=True):
            self.refused.append(one)
            self.tell(row)


def _provisional(early: Judged, seconds: float) -> Event:
    """A quick look: of no row, for it is not written down."""
    return Event(
        "provisional", act_lead(early.verdict.first), early, 0, seconds,
        early.verdict.word, early.frame.name, early.shot,
    )  # fmt: skip
