"""Watch the frames folder: each frame told, judged and written down as it lands.

The order of writing makes a crash harmless: first 'frame landed', then 'verdict'. Started again, frames without
a 'frame landed' row are told anew and frames without a verdict are judged; nothing is told twice.
"""

import contextlib
import time
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path

from plateside.files.index.index import Index
from plateside.files.journal.journal import Journal
from plateside.files.journal.state import ShootState, replay
from plateside.files.landing.landing import Landed, Landing
from plateside.files.originals.scan import Unreadable, read_frame
from plateside.files.settings import OpenShoot, open_shoot
from plateside.model.errors import CouldNotError, InputError
from plateside.model.frame import Frame
from plateside.tasks.judge import Judge, Judged, light_trend, verdict_row

POLL_S = 0.25


@dataclass(frozen=True)
class Told:
    """One thing that the watcher says."""

    kind: str
    """landed, provisional, verdict, light, renamed, copy, refused"""
    words: str
    judged: Judged | None = None
    row: int = 0
    """Number of the journal row that holds it; 0 when it is not written down."""
    seconds: float = 0.0
    """From the file being whole to this word."""


@dataclass(frozen=True)
class WatchReport:
    """What a watch came to."""

    landed: int
    judged: tuple[Judged, ...]
    refused: tuple[Unreadable, ...]

    def lines(self) -> list[str]:
        """The tally."""
        words = [j.verdict.word for j in self.judged]
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
    journal = Journal.open(opened.folder.root)
    folder = opened.folder.frames_dir
    with Index.open(opened.folder.root) as index:
        run = _Run(opened, journal, index, say)
        landing = Landing.resumed(folder, dict(run.state.landed), index)
        run.judge_what_is_left(folder)
        quiet = 0
        # Ctrl-C is how a watch is meant to end; between the two rows of a frame it is caught up at the next start.
        with contextlib.suppress(KeyboardInterrupt):
            while not stop():
                events, refused = landing.look(clock()) if folder.is_dir() else ([], [])
                for one in refused:
                    run.refuse(one)
                for event in events:
                    run.take(event)
                    if stop():
                        break
                quiet = 0 if events or landing.waiting else quiet + 1
                if once and quiet >= 2:
                    break
                sleep(poll_s)
        return WatchReport(run.landed, tuple(run.judged), tuple(run.refused))


class _Run:
    """One run of the watcher: its journal, its judge, its tally."""

    def __init__(
        self, opened: OpenShoot, journal: Journal, index: Index, say: Callable[[Told], None]
    ) -> None:
        self.journal, self.say = journal, say
        self.state: ShootState = replay(journal.rows())
        self.judge = Judge(opened, index)
        self.landed = 0
        self.judged: list[Judged] = []
        self.refused: list[Unreadable] = []

    def refresh(self) -> None:
        """Read what others (shot, pages) wrote meanwhile."""
        self.state = replay(self.journal.rows())

    def take(self, event: Landed) -> None:
        start = time.perf_counter()
        name = event.frame.name
        if event.kind == "copy":
            self.say(Told("copy", f"{name} is a copy of {event.other_name}; it is taken once."))
            return
        if event.kind == "renamed":
            row = self.journal.append("frame renamed", frame=event.frame.id, name=name)
            self.say(Told("renamed", f"{event.other_name} is now called {name}.", row=row.number))
            return
        data = {"frame": event.frame.id, "name": name}
        if event.replaces:
            data["replaces"] = event.replaces
        row = self.journal.append("frame landed", **data)
        self.landed += 1
        self.say(Told("landed", f"{name} has landed.", row=row.number, seconds=time.perf_counter() - start))
        self.refresh()
        self.verdict(event.frame, start)

    def verdict(self, frame: Frame, start: float) -> None:
        try:
            if frame.is_raw:
                early = self.judge.provisional(frame, self.state)
                self.say(
                    Told("provisional", early.verdict.next_act, early, seconds=time.perf_counter() - start)
                )
            judged = self.judge.judged(frame, self.state)
        except (InputError, CouldNotError) as error:
            self.refuse(Unreadable(frame.name, str(error)))
            return
        if judged.guessed and judged.shot and self.state.shot_of.get(frame.id) != judged.shot:
            self.journal.append("frame belongs", frame=frame.id, shot=judged.shot, guess=True)
        row = self.journal.append("verdict", **verdict_row(judged))
        self.judged.append(judged)
        light = light_trend(self.judged, judged.shot)
        self.say(
            Told("verdict", judged.verdict.next_act, judged, row.number, seconds=time.perf_counter() - start)
        )
        if light is not None and light.minutes_left is not None:
            self.say(Told("light", light.words()))

    def refuse(self, one: Unreadable) -> None:
        self.refused.append(one)
        self.say(Told("refused", one.reason))

    def judge_what_is_left(self, folder: Path) -> None:
        """Frames that landed before a crash but were not judged."""
        for frame_id, name in self.state.landed.items():
            if frame_id in self.state.verdicts or not (folder / name).is_file():
                continue
            with contextlib.suppress(InputError, CouldNotError):
                self.verdict(read_frame(folder, folder / name, None, frame_id), time.perf_counter())
