"""A watched folder: frames told once each, whole, in order, whatever writes them there.

Looked at by polling, which works the same for a camera cable, a card copy, a cloud sync or a network folder. A file
counts as landed when its size and time have stood still over two looks and it is whole to its end (`why_torn`).
A file that stays torn for long is told once as such, and taken after all should it become whole.

Identity is the content's hash: a renamed file is the same frame, a copy is no new frame. Files that come
together are told in order of time taken, then name; one that is still being written holds back those after it
for a little while.
"""

from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import datetime
from pathlib import Path

from plateside.files.index.index import Index
from plateside.files.originals.identity import content_hash
from plateside.files.originals.kinds import is_jpeg, is_raw
from plateside.files.originals.scan import Unreadable, read_frame
from plateside.files.originals.whole import why_torn
from plateside.model.errors import PlatesideError
from plateside.model.frame import Frame

STILL_S = 0.25
"""A file must stand still this long."""
PATIENCE_S = 20.0
"""After this long a torn file is told; it stays watched."""
PAIR_S = 1.5
"""How long a JPEG waits for its raw, once raws have been seen in the folder; less than HOLD_S, to keep the order."""
HOLD_S = 2.0
"""How long an unfinished file holds back those after it."""


@dataclass(frozen=True)
class Landed:
    """Something that happened in the folder."""

    kind: str
    """new, renamed, copy, raw joined (the raw of a JPEG already told: it is the frame from now on)"""
    frame: Frame
    replaces: str = ""
    """raw joined: id of the JPEG that was told before"""
    other_name: str = ""
    """renamed: the former name; copy: the name of the first"""


@dataclass
class _Seen:
    size: int
    mtime_ns: int
    since: float
    """when it last changed, by the watcher's clock"""
    first: float
    done: bool = False
    told_torn: bool = False


@dataclass
class Landing:
    """The watcher's memory. Call `look` again and again; it never blocks and never writes into the folder."""

    folder: Path
    index: Index | None = None
    known: dict[str, str] = field(default_factory=dict)
    """frame id -> name, of all frames ever told (from the journal at the start)"""
    _seen: dict[Path, _Seen] = field(default_factory=dict)
    _ids: dict[Path, str] = field(default_factory=dict)
    _raws_here: bool = False

    @classmethod
    def resumed(cls, folder: Path, told: Mapping[str, str], index: Index | None = None) -> "Landing":
        """A watcher that knows which frames were told before (id -> name)."""
        return cls(folder, index, dict(told))

    def look(self, now_s: float) -> tuple[list[Landed], list[Unreadable]]:
        """What has landed since the last look, in order, and what cannot be used.

        `now_s` is any clock that only goes forward [s].
        """
        paths = self._paths()
        self._forget(set(paths))
        self._raws_here = self._raws_here or any(is_raw(p) for p in paths)
        ready: list[Path] = []
        refused: list[Unreadable] = []
        held: Path | None = None
        for path in paths:
            state = self._still(path, now_s)
            if state is None or state.done:
                continue
            if now_s - state.since < STILL_S or self._waits_for_raw(path, state, now_s):
                if now_s - state.first < HOLD_S and held is None:
                    held = path
                continue
            torn = self._torn(path)
            if torn:
                if now_s - state.since > PATIENCE_S and not state.told_torn:
                    state.told_torn = True
                    refused.append(Unreadable(self._name(path), torn))
                elif now_s - state.first < HOLD_S and held is None:
                    held = path
                continue
            if held is not None and path.parent == held.parent:
                continue
            ready.append(path)
        events: list[Landed] = []
        for path in ready:
            try:
                event = self._event(path)
            except PlatesideError as error:
                refused.append(Unreadable(self._name(path), str(error)))
                event = None
            self._seen[path].done = True
            if event is not None:
                events.append(event)
        return sorted(events, key=_order), refused

    @property
    def waiting(self) -> int:
        """Files seen that have not been told yet, because they are still being written or held back."""
        return sum(not s.done and not s.told_torn for s in self._seen.values())

    def _paths(self) -> list[Path]:
        found = []
        for path in self.folder.rglob("*"):
            if (is_jpeg(path) or is_raw(path)) and not any(
                part.startswith(".") for part in path.relative_to(self.folder).parts
            ):
                found.append(path)
        return sorted(found)

    def _forget(self, here: set[Path]) -> None:
        for path in [p for p in self._seen if p not in here]:
            del self._seen[path]
            self._ids.pop(path, None)

    def _still(self, path: Path, now_s: float) -> _Seen | None:
        try:
            stat = path.stat()
        except OSError:
            return None
        state = self._seen.get(path)
        if state is None:
            state = _Seen(stat.st_size, stat.st_mtime_ns, now_s, now_s)
            self._seen[path] = state
        elif (state.size, state.mtime_ns) != (stat.st_size, stat.st_mtime_ns):
            state.size, state.mtime_ns, state.since, state.done = stat.st_size, stat.st_mtime_ns, now_s, False
        return state

    def _torn(self, path: Path) -> str | None:
        try:
            return why_torn(path)
        except OSError as error:
            return f"{path.name} cannot be read ({error.strerror or error}); check its permissions."

    def _waits_for_raw(self, path: Path, state: _Seen, now_s: float) -> bool:
        if not is_jpeg(path) or not self._raws_here or self._raw_of(path) is not None:
            return False
        return now_s - state.since < PAIR_S

    def _raw_of(self, jpeg: Path) -> Path | None:
        stem = jpeg.stem.lower()
        for path in self._seen:
            if path.parent == jpeg.parent and is_raw(path) and path.stem.lower() == stem:
                return path
        return None

    def _jpeg_of(self, raw: Path) -> Path | None:
        stem = raw.stem.lower()
        for path in self._seen:
            if path.parent == raw.parent and is_jpeg(path) and path.stem.lower() == stem:
                return path
        return None

    def _event(self, path: Path) -> Landed | None:
        if is_jpeg(path) and self._raw_of(path) is not None:
            return None  # the companion of a raw, which is told itself
        companion = self._jpeg_of(path) if is_raw(path) else None
        frame_id = self._identity(path)
        self._ids[path] = frame_id
        name = self._name(path)
        if frame_id in self.known:
            former = self.known[frame_id]
            if former == name:
                return None
            frame = read_frame(self.folder, path, companion, frame_id)
            if (self.folder / former).exists():
                return Landed("copy", frame, other_name=former)
            self.known[frame_id] = name
            return Landed("renamed", frame, other_name=former)
        frame = read_frame(self.folder, path, companion, frame_id)
        replaces = ""
        if companion is not None:
            before = self._ids.get(companion) or self._identity(companion)
            replaces = before if before in self.known else ""
        self.known[frame_id] = name
        return Landed("raw joined" if replaces else "new", frame, replaces=replaces)

    def _identity(self, path: Path) -> str:
        state = self._seen.get(path)
        name = self._name(path)
        if self.index is not None and state is not None:
            known = self.index.identity(name, state.size, state.mtime_ns)
            if known is not None:
                return known
        frame_id = content_hash(path)
        if self.index is not None and state is not None:
            self.index.put_identity(name, state.size, state.mtime_ns, frame_id)
        return frame_id

    def _name(self, path: Path) -> str:
        return path.relative_to(self.folder).as_posix()


def _order(event: Landed) -> tuple[datetime, str]:
    return event.frame.settings.taken_at or datetime.max, event.frame.name
