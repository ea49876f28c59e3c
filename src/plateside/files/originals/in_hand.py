"""Which file this process has in hand while it is decoded, so that one that ends or holds the decoder does so no more.

Decoders are other people's native code. What is in hand is noted on disk before a decoder is called and taken back
after it; the note is held by a lock of the operating system, which ends with the process. A note that nobody holds
tells of a process that ended in the middle: after MOST_ENDS of them, never decoded in between, the file is refused like
any other that cannot be used. A decoder that uses MOST_CPU_S on one file is ended with its process, and that file is
refused from then on: whoever started the process (the server its children, you a command) goes on with the others.

Kept in the account's own folder (own_place), by the file's whole path, size and time: an exchanged file is tried anew.
Where nothing can be kept there, only the time holds.
"""

import atexit
import contextlib
import functools
import json
import os
import secrets
import sys
import threading
import time
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Concatenate, ParamSpec, TypeVar

from filelock import FileLock, Timeout

from plateside.files.json_text import read_json_file
from plateside.files.originals.unreadable import fault, shown
from plateside.files.own_place import own_place
from plateside.words.frame_files import said

P = ParamSpec("P")
T = TypeVar("T")
MOST_ENDS = 3
"""Deaths in a row: a process may also be killed by its owner, or by a power cut, while it has a good file in hand."""
MOST_CPU_S = 60.0
"""Of the processor, so that a loaded machine or a slow card is no fault of the file [s]. A raw takes 2."""
_LOOK_S = 0.5
_MOST_KNOWN = 200
_COUNTS = "ends.json"


class _Notes:
    """This process's note, and what earlier ones left behind. Nothing here raises OSError: notes only help."""

    def __init__(self) -> None:
        self.folder = own_place() / "in-hand"
        self._held: dict[int, tuple[str, float]] = {}
        """Who decodes -> what, and the processor's time when it began [s]."""
        self._turn = threading.Lock()
        self._begun = threading.Event()
        self._note: Path | None = None
        self._lock: FileLock | None = None
        self.ends: dict[str, int] = {}
        with contextlib.suppress(OSError):
            self.folder.mkdir(mode=0o700, parents=True, exist_ok=True)
            self.ends = self._gathered()
            mark = secrets.token_hex(8)
            self._lock = FileLock(str(self.folder / f"{mark}.lock"), blocking=False, thread_local=False)
            self._lock.acquire()
            self._note = self.folder / f"{mark}.txt"
        threading.Thread(target=self._watch, daemon=True).start()

    def _gathered(self) -> dict[str, int]:
        ends = _read_counts(self.folder / _COUNTS)
        found = dict(ends)
        for note in self.folder.glob("*.txt"):
            lock = FileLock(str(note.with_suffix(".lock")), blocking=False)
            with contextlib.suppress(Timeout, OSError):
                lock.acquire()
                for what in note.read_text("utf-8", "surrogateescape").splitlines():
                    found[what] = found.get(what, 0) + 1
                note.unlink(missing_ok=True)
                lock.release()
                note.with_suffix(".lock").unlink(missing_ok=True)
        if found != ends:
            self.keep(found)
        return found

    def keep(self, ends: dict[str, int]) -> None:
        """Write down how often each ended a process; the last ones known stay."""
        with contextlib.suppress(OSError):
            path, latest = self.folder / _COUNTS, dict(list(ends.items())[-_MOST_KNOWN:])
            beside = path.with_name(f"{_COUNTS}.{secrets.token_hex(4)}")
            beside.write_text(json.dumps(latest), "utf-8")
            beside.replace(path)

    def has_one(self) -> bool:
        """Whether this thread has a file in hand."""
        return threading.get_ident() in self._held

    def take(self, what: str) -> None:
        with self._turn:
            self._held[threading.get_ident()] = what, time.process_time()
            self._write()
        self._begun.set()

    def give_back(self, what: str, decoded: bool) -> None:
        with self._turn:
            self._held.pop(threading.get_ident(), None)
            self._write()
            if not self._held:
                self._begun.clear()
            if decoded and self.ends.pop(what, 0):
                self.keep(self.ends)

    def end(self) -> None:
        """This process ends as it should: its note goes."""
        with contextlib.suppress(OSError):
            if self._note is not None and self._lock is not None:
                self._note.unlink(missing_ok=True)
                self._lock.release()
                self._note.with_suffix(".lock").unlink(missing_ok=True)

    def _write(self) -> None:
        if self._note is None:
            return
        with contextlib.suppress(OSError):
            text = "".join(f"{what}\n" for what, _since in self._held.values())
            self._note.write_bytes(text.encode("utf-8", "surrogateescape"))

    def _watch(self) -> None:
        while True:
            self._begun.wait()
            now = time.process_time()
            for what, since in list(self._held.values()):
                if now - since > MOST_CPU_S:
                    self.keep({**self.ends, what: MOST_ENDS})
                    name = shown(Path(what.split("\0")[0]).name)
                    with contextlib.suppress(OSError, ValueError):
                        sys.stderr.write(said("takes too long", name=name, most=round(MOST_CPU_S)) + "\n")
                        sys.stderr.flush()
                    os._exit(1)
            time.sleep(_LOOK_S)


_notes: _Notes | None = None
_making = threading.Lock()


def _of_this_process() -> _Notes:
    global _notes
    with _making:
        # a test, or another account's folder named meanwhile
        if _notes is None or _notes.folder != own_place() / "in-hand":
            if _notes is not None:
                _notes.end()
            _notes = _Notes()
            atexit.register(_notes.end)
        return _notes


def _forget() -> None:
    """A process that was forked has nothing in hand, and neither its parent's lock nor its thread."""
    global _notes, _making
    _notes, _making = None, threading.Lock()


if hasattr(os, "register_at_fork"):
    os.register_at_fork(after_in_child=_forget)


@contextlib.contextmanager
def in_hand(path: Path) -> Iterator[None]:
    """Around every call of a decoder. Raises InputError ("ends") for a file that ended or held it too often."""
    try:
        stat = path.stat()
    except OSError:
        # whoever reads it says so
        yield
        return
    notes = _of_this_process()
    if notes.has_one():
        # one reader calls another
        yield
        return
    what = _known_as(path, stat)
    if notes.ends.get(what, 0) >= MOST_ENDS:
        raise fault("ends", said("ends", name=shown(path.name)))
    notes.take(what)
    decoded = False
    try:
        yield
        decoded = True
    except Exception:
        # it was refused in words: the decoder lives
        decoded = True
        raise
    finally:
        notes.give_back(what, decoded)


def _known_as(path: Path, stat: os.stat_result) -> str:
    """One line that is another one when the file is."""
    return f"{path.absolute()}\0{stat.st_size} {stat.st_mtime_ns}".replace("\n", "\\n")


def holding(read: Callable[Concatenate[Path, P], T]) -> Callable[Concatenate[Path, P], T]:
    """A reader that has the file of its first argument in hand while it runs."""

    @functools.wraps(read)
    def held(path: Path, /, *args: P.args, **kwargs: P.kwargs) -> T:
        with in_hand(path):
            return read(path, *args, **kwargs)
        raise AssertionError("unreachable")

    return held


def _read_counts(path: Path) -> dict[str, int]:
    try:
        got = read_json_file(path)
    except (OSError, ValueError):
        return {}
    if not isinstance(got, dict):
        return {}
    return {str(k): v for k, v in got.items() if isinstance(v, int) and not isinstance(v, bool)}
