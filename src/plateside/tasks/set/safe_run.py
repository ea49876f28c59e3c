"""Each original copied to the second disk as it lands, and the memory card's pictures into the frames folder.

A thread of the watcher's process: reading, writing and checksums leave Python's lock free, so a verdict does not wait
for a disk, and while a frame is judged it takes only a part now and then. Its priority is that of the judging: a thread
that the system holds back while it has Python's lock would hold the judging back as well. It looks again and again; a
disk that is pulled is said within a second, and when it is back the copying goes on. What it knows is written down
beside the shoot (safe.py) for whoever shows it. Only the watcher that holds the shoot's lock runs one.
"""

import contextlib
import json
import logging
import threading
import time
from collections.abc import Callable, Iterator
from dataclasses import replace
from pathlib import Path

from plateside.files.originals.listing import ListedFile, Listing, list_folder
from plateside.files.originals.whole import check_whole
from plateside.files.second.read_back import ChangedError, DiffersError, SourceError, sum_of
from plateside.files.second.second_disk import SecondDisk, called
from plateside.files.second.sums import Sums, put
from plateside.files.settings.load import OpenShoot, open_shoot
from plateside.model.errors import PlatesideError
from plateside.tasks.report import as_json
from plateside.tasks.set.card_run import CardRun, clear_staging
from plateside.tasks.set.safe import MOST_NAMED, NotSafe, Places, SafeNow, record_file

LOOK_S = 1.0
STILL_S = 1.0
"""A file must stand still this long before it is copied."""
PATIENCE_S = 20.0
"""A file that stops in its middle, or is no picture, and has stood still this long is copied as it is."""
RETRY_S = 5.0
BREATH_S = 0.2
"""Between two parts of four megabytes while a frame is judged: each takes about ten milliseconds of a processor."""
SAVE_S = 5.0
_log = logging.getLogger("plateside")


class Stopped(Exception):  # noqa: N818 - no error: the watcher ends
    """The copying is to end."""


class SafeRun:
    """One shoot's copying. `look` does one step; the watcher lets a thread do it (`start`, `stop`)."""

    def __init__(self, opened: OpenShoot, clock: Callable[[], float] = time.monotonic) -> None:
        self.root = opened.folder.root
        self._clock = clock
        self._listing: Listing | None = None
        self._since: dict[str, tuple[str, float]] = {}
        """name -> stamp, and since when it has it"""
        self._half: dict[str, str] = {}
        """name -> stamp, of what is not whole yet"""
        self._faults: dict[str, tuple[str, NotSafe, float]] = {}
        """name -> stamp, what is wrong with it, and when that was found"""
        self._sums = Sums(self.root)
        self._saved_s = clock()
        self._retried_s = clock()
        self._written: tuple[Places, SafeNow] | None = None
        self._thread: threading.Thread | None = None
        self._ending = threading.Event()
        self._calm = threading.Event()
        self._calm.set()
        self.idle = threading.Event()
        """everything that can be copied is; nothing is still coming"""
        self._follow(opened)

    # ---- the thread ----

    def start(self) -> None:
        """Look again and again, in a thread of its own."""
        self._thread = threading.Thread(target=self._run, name="copying", daemon=True)
        self._thread.start()

    def stop(self) -> None:
        """End after the part that is being copied; a half is cleared."""
        self._ending.set()
        if self._thread is not None:
            # a disk that hangs must not hold the watcher: the thread ends with the process
            self._thread.join(timeout=RETRY_S)
        self._sums.save()

    def _run(self) -> None:
        while not self._ending.is_set():
            try:
                busy = self.look()
            except Stopped:
                return
            except Exception as error:  # whatever one file or disk does, the next look is another chance
                self._broken(error)
                busy = False
            if not busy:
                self._ending.wait(LOOK_S)

    @contextlib.contextmanager
    def giving_way(self) -> Iterator[None]:
        """While the watcher judges, a part is copied now and then: a verdict has the processor, and copying goes on."""
        self._calm.clear()
        try:
            yield
        finally:
            self._calm.set()

    def _go_on(self) -> None:
        if self._ending.is_set():
            raise Stopped
        self._calm.wait(BREATH_S)

    def _broken(self, error: Exception) -> None:
        """It is said that nothing is copied, whatever went wrong: no older word may stand."""
        _log.debug("copying", exc_info=error)
        reason = str(error) or type(error).__name__
        with contextlib.suppress(Exception):
            self._write(replace(self.now(self._clock()), state="failed", reason=reason, card=None))

    # ---- one look ----

    def look(self) -> bool:
        """The settings, the disk, then files for a while. Whether there is more to do at once."""
        self._follow_settings()
        if self._disk is None and self._card is None:
            self.idle.set()
            return False
        start_s = now_s = self._clock()
        if self._disk is not None:
            if self._disk.state not in ("ok", "starting") and now_s - self._retried_s >= RETRY_S:
                self._retried_s = now_s
                self._disk.retry()
            self._disk.look(now_s)
        self._listing = list_folder(self._frames_dir, self._listing)
        busy = True
        while busy and now_s - start_s < LOOK_S:
            busy = self._one_file(now_s)
            now_s = self._clock()
            self._tell(now_s, busy)
        if now_s - self._saved_s >= SAVE_S or not busy:
            self._saved_s = now_s
            self._sums.save()
        return busy

    def _one_file(self, now_s: float) -> bool:
        """One of the memory card, and one to the second disk: a full card holds up no new frame's copy."""
        took = self._card is not None and self._card.step(now_s, self._originals(), self._go_on)
        if took:
            self._listing = list_folder(self._frames_dir, self._listing)
        return self._copy_one(now_s) or took

    def _follow(self, opened: OpenShoot) -> None:
        shoot = opened.shoot
        self._frames_dir = opened.folder.frames_dir
        self._places = Places(shoot.second_disk, shoot.memory_card)
        self._disk = SecondDisk(self.root, self._frames_dir, shoot.second_disk) if shoot.second_disk else None
        if not shoot.memory_card:
            clear_staging(self.root)
        self._card = (
            CardRun(self.root, self._frames_dir, shoot.memory_card, self._sums) if shoot.memory_card else None
        )
        self._stamp = _stamp(self.root)
        self._forget_record()

    def _follow_settings(self) -> None:
        stamp = _stamp(self.root)
        if stamp == self._stamp:
            return
        self._stamp = stamp
        with contextlib.suppress(PlatesideError):  # while it has mistakes, what was named before counts
            opened = open_shoot(self.root)
            named = Places(opened.shoot.second_disk, opened.shoot.memory_card)
            if (named, opened.folder.frames_dir) != (self._places, self._frames_dir):
                self._listing = None
                self._follow(opened)

    def _originals(self) -> list[ListedFile]:
        listing = self._listing
        return [] if listing is None else [*listing.frames, *listing.others]

    def _copy_one(self, now_s: float) -> bool:
        """Copy the original that waits longest; whether one was read."""
        for one in sorted(self._originals(), key=lambda o: o.mtime_ns):
            if self._is_on_two(one):
                continue
            fault = self._faults.get(one.name)
            if fault is not None and fault[0] == one.stamp and now_s - fault[2] < RETRY_S:
                continue
            known = self._sums.of(one)
            if not (self._disk and self._disk.ok) and (known or self._card is None):
                continue
            if not self._ready(one, now_s):
                continue
            self._read_one(one, known)
            return True
        return False

    def _read_one(self, one: ListedFile, known: str) -> None:
        path = self._frames_dir / one.name
        try:
            checksum, on = known, self._disk if self._disk and self._disk.ok else None
            if not known and (on is None or self._card is not None or on.has_size(one.size)):
                # its content may be there under another name: a renamed original is copied once
                checksum = sum_of(path, self._go_on, from_disk=self._card is not None)
            if on is not None and not on.holds(checksum, one.size):
                copied = on.keep(path, one.name, one.size, self._go_on)
                checksum = copied or checksum
        except ChangedError:
            self._since.pop(one.name, None)
            return
        except DiffersError:
            self._faults[one.name] = one.stamp, NotSafe(one.name, "differs"), self._clock()
            return
        except (SourceError, OSError) as error:
            if not isinstance(error, FileNotFoundError):
                self._faults[one.name] = (
                    one.stamp,
                    NotSafe(one.name, "unread", error.strerror or ""),
                    self._clock(),
                )
            return
        self._faults.pop(one.name, None)
        if checksum and _stamp_of(path) == one.stamp:
            self._sums.note(one, checksum)

    def _is_on_two(self, one: ListedFile) -> bool:
        checksum = self._sums.of(one)
        return bool(checksum and self._disk and self._disk.holds(checksum, one.size))

    def _ready(self, one: ListedFile, now_s: float) -> bool:
        """Whether it has stood still and is whole, or has stood still for long."""
        stamp, since = self._since.get(one.name, ("", now_s))
        if stamp != one.stamp:
            # what was there long before this watcher has stood still long enough
            age_s = time.time() - one.mtime_ns / 1e9
            since = now_s - min(max(age_s, 0.0), PATIENCE_S)
            self._since[one.name] = one.stamp, since
        still_s = now_s - since
        if still_s < STILL_S:
            return False
        if still_s >= PATIENCE_S:
            return True
        if one.kind != "other" and _is_whole(self._frames_dir / one.name):
            return True
        self._half[one.name] = one.stamp
        return False

    # ---- what is told ----

    def now(self, now_s: float) -> SafeNow:
        """Where the originals are, as of the last look."""
        originals = self._originals()
        left = [self._why_left(one, now_s) for one in originals if not self._is_on_two(one)]
        disk = self._disk
        return SafeNow(
            folder=called(disk.place) if disk else "",
            state=disk.state if disk else "none",
            reason=disk.reason if disk else "",
            disks=disk.disks if disk else "unknown",
            total=len(originals),
            on_two=len(originals) - len(left),
            left=tuple(left[:MOST_NAMED]),
            left_count=len(left),
            kept_as=tuple(disk.renamed.items())[-MOST_NAMED:] if disk else (),
            card=None if self._card is None else self._card.now(originals, disk),
        )

    def _why_left(self, one: ListedFile, now_s: float) -> NotSafe:
        fault = self._faults.get(one.name)
        if fault is not None and fault[0] == one.stamp:
            return fault[1]
        stamp, since = self._since.get(one.name, ("", now_s))
        half = self._half.get(one.name) == one.stamp == stamp and now_s - since < PATIENCE_S
        return NotSafe(one.name, "still coming" if half else "waiting")

    def _tell(self, now_s: float, busy: bool) -> None:
        now = self.now(now_s)
        coming = any(one.code == "still coming" for one in now.left)
        blocked = self._disk is None or not self._disk.ok
        card_busy = self._card is not None and self._card.busy
        waits = any(one.code == "waiting" for one in now.left) and not blocked
        (self.idle.clear if busy or coming or waits or card_busy else self.idle.set)()
        self._write(now)

    def _write(self, now: SafeNow) -> None:
        if self._written == (self._places, now):
            return
        kept = {"places": [self._places.second_disk, self._places.memory_card], "now": as_json(now)}
        try:
            put(record_file(self.root), json.dumps(kept) + "\n")
            self._written = self._places, now
        except OSError:
            self._forget_record()

    def _forget_record(self) -> None:
        """What was written of an earlier look is not true of this one."""
        self._written = None
        with contextlib.suppress(OSError):
            record_file(self.root).unlink(missing_ok=True)


def _is_whole(path: Path) -> bool:
    try:
        check_whole(path)
    except PlatesideError:
        return False
    return True


def _stamp_of(path: Path) -> str:
    try:
        found = path.stat()
    except OSError:
        return ""
    return f"{found.st_size} {found.st_mtime_ns}"


def _stamp(root: Path) -> str:
    return _stamp_of(root / "shoot.toml")
