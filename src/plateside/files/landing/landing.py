"""A watched folder: frames told once each, whole, in order, whatever writes them there.

Looked at by polling, which works the same for a camera cable, a card copy, a cloud sync or a network folder. A file
counts as landed when its size and time have stood still over two looks and it is whole to its end (`check_whole`).
A file that stops in its middle is waited for, told as incomplete after long, and taken after all if it becomes whole.

Identity is the content's hash: a renamed file is the same frame, a copy is no new frame, and a file that was told and
then grew on is the frame that it was. Files that come together are told in order of time taken, then name; one that is
still being written holds back those after it for a little while. A JPEG never waits for its raw, which takes its place.

What cannot be used is a fact that is told once, and again only when the file has changed.
"""

import contextlib
import time
from collections import defaultdict
from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from datetime import datetime
from pathlib import Path

from plateside.files.index.index import Index
from plateside.files.originals.identity import content_hash, has_content, hash_and_content
from plateside.files.originals.listing import ListedFile, Listing, list_folder, of_other_kind
from plateside.files.originals.scan import read_whole_frame
from plateside.files.originals.unreadable import Unreadable, stem_key, unreadable
from plateside.files.originals.whole import check_whole
from plateside.model.errors import PlatesideError
from plateside.model.frame import Frame
from plateside.words.frame_files import said

STILL_S = 0.03125
"""A file must stand still this long, and be whole to its end: that, not the wait, tells that it has been written."""
SAID_S = 3.0
"""After this long it is said that a torn file is waited for."""
PATIENCE_S = 20.0
"""After this long a torn file is told as incomplete; it stays watched."""
HOLD_S = 0.5
"""How long a whole file is held back by an unfinished one before it, so that both are told in order. No longer, however
many come in: a frame taken while a memory card is copied must not wait for the card."""
NO_PICTURE_S = 2.0
"""How long one that is no picture at all is given."""
JUST_NOW_S = 10.0
"""A file changed so short ago is read a second time before it is told: somebody may still be writing it."""
MOST_BYTES_HELD = 1 << 27
"""What was hashed of files just changed is held, and compared with the file: quicker than hashing it again."""
MOST_BYTES_A_LOOK = 1 << 28
"""What is not read in one look is read in the next: a frame taken meanwhile must not wait for a full card."""


@dataclass(frozen=True)
class Landed:
    """Something that happened in the folder."""

    kind: str
    """new, renamed, copy, raw joined (the raw of a JPEG already told: it is the frame from now on), grown (a file that
    was told went on growing: it is the same frame)"""
    frame: Frame
    replaces: str = ""
    """raw joined, grown: id under which it was told before"""
    other_name: str = ""
    """renamed: the former name; copy: the name of the first"""


@dataclass
class _FileState:
    listed: ListedFile
    key: tuple[str, str]
    since: float
    """when it last changed, by the watcher's clock"""
    first: float
    is_raw: bool
    done: bool = False
    waited_said: bool = False
    said_torn: bool = False
    failed: bool = False
    """it was read and refused: it stands for no frame"""
    fault: PlatesideError | None = None
    checked: float = -1.0
    """when it was last walked through; -1: not since it changed"""


def _nothing(_path: Path) -> None:
    pass


@dataclass
class Landing:
    """The watcher's memory. Call `look` again and again; it never blocks and never writes into the folder."""

    folder: Path
    index: Index | None = None
    known: dict[str, str] = field(default_factory=dict)
    """frame id -> name, of all frames ever told (from the journal at the start)"""
    aside: dict[str, str] = field(default_factory=dict)
    """name -> stamp, of all files told as unusable (from the journal at the start)"""
    half: list[Unreadable] = field(default_factory=list)
    """files that stop in their middle, said once each: since the last look they are waited for"""
    gone: list[str] = field(default_factory=list)
    """names in `aside` that are no longer there, since the last look"""
    begin: Callable[[Path], None] = _nothing
    """called with the newest of what is to be read, as soon as it is whole: it may be decoded while it is hashed"""
    _states: dict[str, _FileState] = field(default_factory=dict)
    _of_key: dict[tuple[str, str], list[str]] = field(default_factory=lambda: defaultdict(list))
    _ids: dict[str, tuple[str, int]] = field(default_factory=dict)
    """name -> id and size as it was told"""
    _listing: Listing | None = None
    _by_name: dict[str, str] = field(default_factory=dict)
    """`known` the other way round, as of the beginning of the last look"""
    _held: dict[str, bytes] = field(default_factory=dict)
    """name -> what was hashed, within a look"""
    _others: dict[str, str] = field(default_factory=dict)
    """name -> stamp at the last look, of files of kinds that are not read"""

    @classmethod
    def resumed(
        cls,
        folder: Path,
        known: Mapping[str, str],
        index: Index | None = None,
        aside: Mapping[str, str] | None = None,
    ) -> "Landing":
        """A watcher that knows which frames were told before (id -> name), and which files as unusable."""
        return cls(folder, index, dict(known), dict(aside or {}))

    def look(self, now_s: float) -> tuple[list[Landed], list[Unreadable]]:
        """What has landed since the last look, in order, and what cannot be used.

        `now_s` is any clock that only goes forward [s].
        """
        self.half, self.gone = [], []
        listing = list_folder(self.folder, self._listing)
        if not listing.is_there:
            return [], []
        self._listing = listing
        self._follow(listing, now_s)
        refused = self._aside_by_name(listing)
        ready = self._ready(now_s, refused)
        if ready:
            self.begin(self.folder / max(ready, key=lambda s: s.listed.mtime_ns).listed.name)
        with self.index.gathered() if self.index is not None and ready else contextlib.nullcontext():
            events = self._events(ready, refused)
            landed = [event for event in events if self._is_still_so(event, now_s)]
        self._held.clear()
        return sorted(landed, key=_order), refused

    def _events(self, ready: list[_FileState], refused: list[Unreadable]) -> list[Landed]:
        events: list[Landed] = []
        self._by_name = {name: frame for frame, name in self.known.items()} if ready else {}
        # raws first: a JPEG whose raw is good is its companion, one whose raw is not is the frame
        for state in sorted(self._within_a_look(ready), key=lambda s: (not s.is_raw, s.listed.name)):
            if not state.is_raw and self._raw_stands(state.key):
                state.done = True
                continue
            try:
                event = self._event(state)
            except PlatesideError as error:
                state.failed = True
                self._refuse(state.listed, unreadable(state.listed.name, error), refused)
                event = None
            state.done = True
            if event is not None:
                events.append(event)
        return events

    @property
    def waiting(self) -> int:
        """Files seen that have not been told yet, because they are still being written or held back."""
        return sum(not s.done and not s.said_torn for s in self._states.values())

    def stamp_of(self, name: str) -> str:
        """The stamp with which a file was told as unusable."""
        return self.aside.get(name, "")

    def set_aside(self, name: str) -> None:
        """It was told, and could not be judged."""
        state = self._states.get(name)
        self.aside[name] = state.listed.stamp if state else ""

    def _follow(self, listing: Listing, now_s: float) -> None:
        """Take over what the folder holds now."""
        here = {one.name for one in listing.frames}
        for name in [n for n in self._states if n not in here]:
            self._of_key[self._states[name].key].remove(name)
            del self._states[name]
            self._ids.pop(name, None)
        for one in listing.frames:
            state = self._states.get(one.name)
            if state is None:
                key = stem_key(Path(one.name))
                self._states[one.name] = state = _FileState(one, key, now_s, now_s, one.kind == "raw")
                self._of_key[key].append(one.name)
                self._know_again(state)
            elif state.listed is not one and state.listed.stamp != one.stamp:
                state.listed, state.since, state.done, state.failed = one, now_s, False, False
                state.fault, state.checked, state.said_torn = None, -1.0, False
        there = here | {one.name for one in listing.others} | {one.name for one in listing.refused}
        self.gone = [name for name in self.aside if name not in there]
        for name in self.gone:
            del self.aside[name]

    def _know_again(self, state: _FileState) -> None:
        """After a restart: what has not changed since it was told, or told as unusable, is not read again."""
        one = state.listed
        if self.aside.get(one.name) == one.stamp:
            state.done = state.said_torn = state.failed = True
            return
        known = self.index.identity(one.name, one.size, one.mtime_ns) if self.index is not None else None
        if known is not None and self.known.get(known) == one.name:
            state.done = True
            self._ids[one.name] = known, one.size

    def _aside_by_name(self, listing: Listing) -> list[Unreadable]:
        """What can be told of without looking into it, once."""
        refused: list[Unreadable] = []
        for fact in listing.refused:
            if fact.name not in self.aside:
                self.aside[fact.name] = ""
                refused.append(fact)
        others = {one.name: one.stamp for one in listing.others}
        for one in listing.others:
            # a file that is still being copied has not shown yet what it is
            if self._others.get(one.name) == one.stamp and one.name not in self.aside:
                self.aside[one.name] = one.stamp
                refused.append(of_other_kind(self.folder, one))
        self._others = others
        return refused

    def _ready(self, now_s: float, refused: list[Unreadable]) -> list[_FileState]:
        ready: list[_FileState] = []
        holding: set[str] = set()
        for name in sorted(n for n, s in self._states.items() if not s.done):
            state = self._states[name]
            if not state.is_raw and self._raw_stands(state.key):
                state.done = True
                continue
            still = now_s - state.since >= STILL_S
            fault = self._fault(state, now_s) if still else None
            if not still or fault is not None:
                if fault is not None:
                    self._wait(state, fault, now_s, refused)
                # a raw, which comes slowly, holds back no JPEG
                if not state.is_raw and not state.said_torn:
                    holding.add(state.key[0])
            elif state.key[0] not in holding or now_s - state.since >= HOLD_S:
                ready.append(state)
        return ready

    def _fault(self, state: _FileState, now_s: float) -> PlatesideError | None:
        """What speaks against a file that stands still; walked through again at longer and longer intervals."""
        again = state.checked + max(STILL_S, (state.checked - state.since) / 2)
        if state.checked < 0 or (state.fault is not None and now_s >= again):
            try:
                check_whole(self.folder / state.listed.name, wait_for_more=now_s - state.since < PATIENCE_S)
                state.fault = None
            except PlatesideError as error:
                state.fault = error
            state.checked = now_s
        return state.fault

    def _wait(
        self, state: _FileState, fault: PlatesideError, now_s: float, refused: list[Unreadable]
    ) -> None:
        may_grow = fault.code in ("incomplete", "empty")
        waited = now_s - state.since
        if waited > (PATIENCE_S if may_grow else NO_PICTURE_S) and not state.said_torn:
            state.said_torn = True
            self._refuse(state.listed, unreadable(state.listed.name, fault), refused)
        elif may_grow and waited > SAID_S and not state.waited_said and not state.said_torn:
            state.waited_said = True
            words = said("waiting", name=state.listed.name, size=state.listed.size)
            self.half.append(Unreadable(state.listed.name, words, "waiting"))

    def _refuse(self, one: ListedFile, fact: Unreadable, refused: list[Unreadable]) -> None:
        if fact.code != "gone" and self.aside.get(one.name) != one.stamp:
            self.aside[one.name] = one.stamp
            refused.append(fact)

    def _within_a_look(self, ready: list[_FileState]) -> list[_FileState]:
        """As many as can be read in one look, the newest among them; the others wait for the next."""
        if sum(s.listed.size for s in ready) <= MOST_BYTES_A_LOOK:
            return ready
        newest = max(ready, key=lambda s: s.listed.mtime_ns)
        taken, left = [newest], MOST_BYTES_A_LOOK - newest.listed.size
        for state in ready:
            left -= state.listed.size
            if left < 0:
                break
            if state is not newest:
                taken.append(state)
        return taken

    def _raw_stands(self, key: tuple[str, str]) -> bool:
        """Whether a raw of this name has been taken as a frame."""
        others = (self._states[name] for name in self._of_key[key])
        return any(o.is_raw and o.done and not o.failed and not o.said_torn for o in others)

    def _companion(self, raw: _FileState) -> Path | None:
        names = sorted(n for n in self._of_key[raw.key] if not self._states[n].is_raw)
        usable = [n for n in names if self._states[n].done or self._states[n].fault is None]
        return self.folder / (usable or names)[0] if names else None

    def _event(self, state: _FileState) -> Landed | None:
        name, path = state.listed.name, self.folder / state.listed.name
        companion = self._companion(state) if state.is_raw else None
        frame_id, grown_from = self._identity(state)
        former = self.known.get(frame_id)
        if former == name:
            self._ids[name] = frame_id, state.listed.size
            return None
        frame = read_whole_frame(self.folder, path, companion, frame_id, self.index)
        self._ids[name] = frame_id, state.listed.size
        state.said_torn = False
        self.aside.pop(name, None)
        if former is not None:
            if former in self._states:
                return Landed("copy", frame, other_name=former)
            self.known[frame_id] = name
            return Landed("renamed", frame, other_name=former)
        kind, replaces = "new", ""
        if grown_from in self.known:
            kind, replaces = "grown", grown_from
        elif companion is not None:
            beside = companion.relative_to(self.folder).as_posix()
            before = self._ids.get(beside, ("", 0))[0] or self._by_name.get(beside, "")
            if before in self.known:
                kind, replaces = "raw joined", before
        self.known.pop(replaces, None)
        self.known[frame_id] = name
        return Landed(kind, frame, replaces=replaces)

    def _identity(self, state: _FileState) -> tuple[str, str]:
        """A file's id; and the one it had before it grew on, when it did nothing else since."""
        one, path = state.listed, self.folder / state.listed.name
        if self.index is not None:
            known = self.index.identity(one.name, one.size, one.mtime_ns)
            if known is not None:
                return known, ""
        before, size = (
            self._ids.get(one.name) or (self.index.last(one.name) if self.index else None) or ("", 0)
        )
        frame_id = self._hashed(one.name, path, one.size)
        grew = before and before != frame_id and 0 < size < one.size and content_hash(path, size) == before
        if self.index is not None:
            self.index.put_identity(one.name, one.size, one.mtime_ns, frame_id)
        return frame_id, before if grew else ""

    def _hashed(self, name: str, path: Path, size: int) -> str:
        if sum(map(len, self._held.values())) + size > MOST_BYTES_HELD:
            return content_hash(path)
        frame_id, self._held[name] = hash_and_content(path)
        return frame_id

    def _is_still_so(self, event: Landed, now_s: float) -> bool:
        """Read again before it is told; a file that changed meanwhile is looked at anew."""
        name = event.frame.name
        path, state = self.folder / name, self._states[name]
        try:
            stat = path.stat()
            changed = max(stat.st_mtime, stat.st_ctime)
            same = f"{stat.st_size} {stat.st_mtime_ns}" == state.listed.stamp
            if same and abs(time.time() - changed) < JUST_NOW_S:
                held = self._held.pop(name, None)
                same = content_hash(path) == event.frame.id if held is None else has_content(path, held)
        except (OSError, PlatesideError):
            same = False
        if not same:
            self._take_back(event, now_s)
        return same

    def _take_back(self, event: Landed, now_s: float) -> None:
        frame, state = event.frame, self._states[event.frame.name]
        if event.kind != "copy" and self.known.get(frame.id) == frame.name:
            del self.known[frame.id]
            if event.kind == "renamed":
                self.known[frame.id] = event.other_name
            if event.replaces:
                self.known[event.replaces] = frame.companion if event.kind == "raw joined" else frame.name
        self._ids.pop(frame.name, None)
        state.done, state.checked, state.since = False, -1.0, now_s
        if self.index is not None:
            self.index.forget_identity(frame.name)


def _order(event: Landed) -> tuple[datetime, str]:
    return event.frame.settings.taken_at or datetime.max, event.frame.name
