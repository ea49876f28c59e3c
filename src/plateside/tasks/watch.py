"""Watch the frames folder: each frame told, judged and written down as it lands.

The order of writing makes a crash harmless: first 'frame landed', then 'verdict'. Started again, frames without
a 'frame landed' row are told anew and frames without a verdict are judged; nothing is told twice.

One watcher a shoot judges; a second one (a terminal beside the pages) follows the journal and tells what the first
writes, and takes over when the first ends.
"""

import contextlib
import time
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import cv2
import numpy as np

from plateside.camera.card.pose import shows_back
from plateside.files import damage
from plateside.files.folder import SHOOT_FILE
from plateside.files.index.index import Index
from plateside.files.journal.journal import Row
from plateside.files.journal.live import LiveState
from plateside.files.journal.state import ShootState
from plateside.files.landing.landing import Landed, Landing
from plateside.files.originals.scan import Unreadable, read_frame
from plateside.files.settings import OpenShoot, open_shoot
from plateside.files.watch_lock import WatchLock
from plateside.model.errors import CouldNotError, InputError
from plateside.model.frame import Frame
from plateside.tasks.burst_live import LiveBursts
from plateside.tasks.judged import Judged, light_trend, verdict_row
from plateside.tasks.judging import Judge
from plateside.tasks.lamp import open_check, settle_lamp
from plateside.tasks.told import Told, told_of

POLL_S = 0.25
CARD_PX = 750
LARGE_PX = 8_000_000
"""A JPEG from this size on has a first word before it is compared with its reference, as a raw has."""
FOLLOW_QUIET_S = 3.0
"""With `once`, a follower stops when nothing was written for this long."""
FOLLOWING = "Another Plateside is judging this shoot's frames: what it says is told here."
TAKEN_OVER = "The other Plateside has stopped: frames are judged here from now on."


@dataclass(frozen=True)
class WatchReport:
    """What a watch came to."""

    landed: int
    judged: tuple[Judged, ...]
    refused: tuple[Unreadable, ...]
    followed: tuple[str, ...] = ()
    """Words of the verdicts that another watcher gave and this one told."""

    def lines(self) -> list[str]:
        """The tally."""
        words = [j.verdict.word for j in self.judged] + list(self.followed)
        tally = ", ".join(f"{words.count(w)} {w}" for w in ("good", "adjust", "again") if w in words)
        out = [
            f"{self.landed} frame{'s' if self.landed != 1 else ''} landed" + (f": {tally}." if tally else ".")
        ]
        return out + [f"not used: {u.reason}" for u in self.refused]


def watch(
    shoot_dir: Path,
    say: Callable[[Told], None],
    *,
    stop: Callable[[], bool] = lambda: False,
    once: bool = False,
    poll_s: float = POLL_S,
    clock: Callable[[], float] = time.monotonic,
    sleep: Callable[[float], None] = time.sleep,
) -> WatchReport:
    """Watch until `stop()` is true (or, with `once`, until all that is there has been told).

    say     called for each thing to tell, in order
    clock, sleep  exchangeable for tests
    Raises InputError when there is no shoot; the frames folder is waited for.
    """
    opened = open_shoot(shoot_dir)
    lock = WatchLock(opened.folder.root)
    live = LiveState.open(opened.folder.root)
    follower = _Follower(live, say)
    run: _Run | None = None
    quiet_s = 0.0
    try:
        with Index.open(opened.folder.root) as index, contextlib.suppress(KeyboardInterrupt):
            # Ctrl-C is how a watch is meant to end; between the two rows of a frame it is caught up at the next start.
            while not stop():
                if run is None and lock.take():
                    follower.end()
                    run = _Run(opened, live, index, say)
                    run.judge_what_is_left(stop)
                busy = run.look(clock(), stop) if run else follower.look()
                for words in damage.taken():
                    say(Told("damage", words))
                quiet_s = 0.0 if busy else quiet_s + poll_s
                if once and quiet_s >= (2 * poll_s if run else FOLLOW_QUIET_S):
                    break
                sleep(poll_s)
    finally:
        lock.free()
    return WatchReport(
        follower.landed + (run.landed if run else 0),
        tuple(run.judged) if run else (),
        tuple(run.refused) if run else (),
        tuple(follower.words),
    )


class _Follower:
    """Tells what another watcher writes into the journal."""

    def __init__(self, live: LiveState, say: Callable[[Told], None]) -> None:
        self.live, self.say = live, say
        self.following = False
        self.landed = 0
        self.words: list[str] = []

    def look(self) -> bool:
        """Tell the new rows; whether there were any."""
        if not self.following:
            self.following = True
            self.say(Told("following", FOLLOWING))
        rows = self.live.refresh()
        for row in rows:
            told = told_of(row, self.live.state)
            if told is not None:
                self.landed += told.kind == "landed"
                if told.kind == "verdict":
                    self.words.append(told.word)
                self.say(told)
        return bool(rows)

    def end(self) -> None:
        """The other watcher has stopped."""
        if self.following:
            self.look()
            self.say(Told("watching", TAKEN_OVER))


def _stamp(opened: OpenShoot) -> tuple[tuple[int, int], ...]:
    """Time and size of the two settings files."""
    stamps = []
    for path in (opened.folder.root / SHOOT_FILE, opened.folder.studio_file):
        with contextlib.suppress(OSError):
            seen = path.stat()
            stamps.append((seen.st_mtime_ns, seen.st_size))
    return tuple(stamps)


class _Run:
    """One run of the watcher that judges: its journal, its judge, its tally."""

    def __init__(self, opened: OpenShoot, live: LiveState, index: Index, say: Callable[[Told], None]) -> None:
        self.journal, self.live, self.say = live.journal, live, say
        self.live.refresh()
        self.opened, self.index = opened, index
        self._files = _stamp(opened)
        self.shots = opened.shoot.shots
        self.judge = Judge(opened, index)
        self.folder = opened.folder.frames_dir
        self.landing = Landing.resumed(self.folder, dict(live.state.landed), index)
        self.landed = 0
        self.judged: list[Judged] = []
        self.refused: list[Unreadable] = []
        self.bursts = LiveBursts(self.judge, index, {s.name: s for s in self.shots}, self._reread)
        self._own: set[int] = set()
        self._gone: set[str] = set()

    @property
    def state(self) -> ShootState:
        """As of the last refresh."""
        return self.live.state

    def look(self, now_s: float, stop: Callable[[], bool]) -> bool:
        """Take what has landed; whether anything did, or is still landing."""
        self.follow_settings()
        changed = self.refresh()
        events, refused = self.landing.look(now_s) if self.folder.is_dir() else ([], [])
        for one in refused:
            self.refuse(one)
        for event in events:
            self.take(event)
            if stop():
                break
        # while frames of a burst still come in, its best would be told of half of it
        if events and not stop():
            self.burst(self.bursts.row(self.state))
        # put into another shot, or asked for: frames that have just landed go first
        for frame_id in self.state.to_judge() if changed and not events else ():
            if frame_id not in self._gone and not stop():
                self._judge_again(frame_id)
        return bool(events) or self.landing.waiting > 0

    def follow_settings(self) -> None:
        """Go by the files as they are now: shots are added and changed while the watcher runs."""
        stamp = _stamp(self.opened)
        if stamp == self._files:
            return
        self._files = stamp
        try:
            opened = open_shoot(self.opened.folder.root)
        except (InputError, CouldNotError) as error:
            self.say(Told("settings", f"{str(error).splitlines()[0]} Frames are judged as before it."))
            return
        self.opened, self._files = opened, _stamp(opened)
        self.shots = opened.shoot.shots
        self.judge = Judge(opened, self.index)
        self.bursts.follow(self.judge, {s.name: s for s in self.shots})
        if opened.folder.frames_dir != self.folder:
            self.folder = opened.folder.frames_dir
            self.landing = Landing.resumed(self.folder, dict(self.state.landed), self.index)

    def refresh(self) -> bool:
        """Read what was written meanwhile, and tell what others (shot, pages) decided; whether they wrote anything."""
        others = False
        for row in self.live.refresh():
            if row.number in self._own:
                self._own.discard(row.number)
                continue
            others = True
            told = told_of(row, self.state)
            if told is not None and told.kind in ("shot", "decision", "lamp"):
                self.say(told)
        return others

    def write(self, kind: str, **data: object) -> Row:
        """Append a row of our own."""
        row = self.journal.append(kind, **data)
        self._own.add(row.number)
        return row

    def take(self, event: Landed) -> None:
        start = time.perf_counter()
        name = event.frame.name
        if event.kind == "copy":
            self.say(Told("copy", f"{name} is a copy of {event.other_name}; it is taken once.", name=name))
            return
        if event.kind == "renamed":
            row = self.write("frame renamed", frame=event.frame.id, name=name)
            self.say(Told("renamed", f"{event.other_name} is now called {name}.", row=row.number, name=name))
            return
        data = {"frame": event.frame.id, "name": name}
        if event.replaces:
            data["replaces"] = event.replaces
        if self.state.current_shot:
            data["shot"] = self.state.current_shot
        row = self.write("frame landed", **data)
        self.landed += 1
        seconds = time.perf_counter() - start
        self.say(Told("landed", f"{name} has landed.", row=row.number, seconds=seconds, name=name))
        self.refresh()
        self.verdict(event.frame, start)

    def verdict(self, frame: Frame, start: float) -> None:
        """Judge one frame, unless it shows the set card's back."""
        try:
            if self._card_back(frame):
                self._next_shot(frame)
                return
            if frame.is_raw or frame.width_px * frame.height_px >= LARGE_PX:
                early = self.judge.provisional(frame, self.state)
                self._say_verdict("provisional", early, 0, start)
            judged = self.judge.judged(frame, self.state)
        except (InputError, CouldNotError) as error:
            self.refuse(Unreadable(frame.name, str(error)))
            # it is not told at every row that somebody writes
            self._gone.add(frame.id)
            return
        if judged.guessed and judged.shot and self.state.shot_of.get(frame.id) != judged.shot:
            self.write("frame belongs", frame=frame.id, shot=judged.shot, guess=True)
        judged = self._lamp(judged)
        row = self.write("verdict", **verdict_row(judged))
        self.judged.append(judged)
        light = light_trend(self.judged, judged.shot)
        self._say_verdict("verdict", judged, row.number, start)
        if light is not None and light.minutes_left is not None:
            self.say(Told("light", light.words()))
        self.burst(self.bursts.add(judged, self.state))

    def burst(self, data: Mapping[str, Any] | None) -> None:
        """Write down and tell a burst and its best so far."""
        if data is None:
            return
        row = self.write("burst", **data)
        self.refresh()
        told = told_of(row, self.state)
        if told is not None:
            self.say(told)

    def _say_verdict(self, kind: str, judged: Judged, row: int, start: float) -> None:
        self.say(
            Told(
                kind, judged.verdict.next_act, judged, row, time.perf_counter() - start,
                judged.verdict.word, judged.frame.name, judged.shot,
            )
        )  # fmt: skip

    def _card_back(self, frame: Frame) -> bool:
        picture = self.judge.picture(frame)
        scale = CARD_PX / max(picture.shape[:2])
        small = (
            cv2.resize(picture, None, fx=scale, fy=scale, interpolation=cv2.INTER_AREA)
            if scale < 1
            else picture
        )
        return shows_back(np.asarray(cv2.cvtColor(small, cv2.COLOR_RGB2GRAY), np.uint8))

    def _next_shot(self, frame: Frame) -> None:
        """The card's back was shown: the next shot on the list is the current one."""
        self.write("set card", frame=frame.id)
        names = [s.name for s in self.shots]
        # none named yet: the shot that the latest frame was filed under
        now = self.state.current_shot or next(reversed(self.state.shot_of.values()), "")
        place = names.index(now) + 1 if now in names else 0
        if place >= len(names):
            self.say(Told("card", f"The card's back: {now} is the last shot on the list.", name=frame.name))
            return
        row = self.write("shot current", shot=names[place], by="card")
        words = f"The card's back: next shot, {names[place]}."
        self.say(Told("card", words, row=row.number, name=frame.name, shot=names[place]))
        self.refresh()

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
            self.say(Told("lamp", str(error), name=frame.name, shot=shot.name))
            return judged
        row = self.write("lamp settled", **found)
        self.refresh()
        told = told_of(row, self.state)
        if told is not None:
            self.say(told)
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

    def refuse(self, one: Unreadable) -> None:
        self.refused.append(one)
        self.say(Told("refused", one.reason, name=one.name))

    def judge_what_is_left(self, stop: Callable[[], bool]) -> None:
        """Frames that landed before a crash but were not judged, or have been given to another shot since."""
        for frame_id in self.state.to_judge():
            if stop():
                return
            self._judge_again(frame_id)

    def _judge_again(self, frame_id: str) -> None:
        frame = self._reread(frame_id)
        if frame is None:
            self._gone.add(frame_id)
        else:
            self.verdict(frame, time.perf_counter())
