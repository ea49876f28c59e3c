"""A memory card's pictures taken into the frames folder: whole, once each by their content, under names that are free.

Each is copied into the shoot's own folder first, read back, looked into (is it a picture, is it whole) and then put
among the frames as one that was added on a page is. What is on the card is only read. It is read once each time it is
put in: that it may be cleared rests on what is on it now, not on what was there yesterday.
"""

import contextlib
import errno
import shutil
from collections.abc import Callable, Sequence
from pathlib import Path

from plateside.files.atomic import disk_faults_in_words
from plateside.files.landing.arrived import arrive
from plateside.files.landing.arriving import SPARE_BYTES
from plateside.files.originals.kinds import kind_by_ending
from plateside.files.originals.listing import ListedFile, Listing, list_folder, of_other_kind
from plateside.files.safe_names import safe_names
from plateside.files.second.read_back import ChangedError, DiffersError, SourceError, copy, sum_of
from plateside.files.second.second_disk import SecondDisk, called, is_same_folder_tree, named_place
from plateside.files.second.sums import Sums
from plateside.model.errors import CouldNotError, InputError
from plateside.tasks.set.safe import MOST_NAMED, CardSafe, NotSafe
from plateside.words.refused import said

LOOK_S = 1.0
RETRY_S = 5.0
_PICTURES = "DCIM"
"""Where cameras put pictures (JEITA CP-3461, DCF 2.0); what else is in there was made by the camera too."""
_MADE = ("video", "raw video", "sound")
_CODES = {"incomplete": "incomplete", "no permission": "unread", "unread": "unread"}


def clear_staging(root: Path) -> None:
    """Take away what a run that ended in the middle was copying from a card, also when no card is named any more."""
    shutil.rmtree(_staging(root), ignore_errors=True)


def _staging(root: Path) -> Path:
    return root / ".plateside" / "from-card"


class CardRun:
    """One memory card's folder, for one thread."""

    def __init__(self, root: Path, frames_dir: Path, named: str, sums: Sums) -> None:
        self.place = named_place(root, named)
        self.state = "starting"
        self.busy = False
        """there is more to take"""
        self._root, self._frames_dir, self._sums = root, frames_dir, sums
        self._staging = _staging(root)
        self._listing: Listing | None = None
        self._looked_s = float("-inf")
        self._content: dict[str, tuple[str, str]] = {}
        """name -> stamp and checksum, of what was read since the card was put in"""
        self._refused: dict[str, tuple[str, NotSafe, float]] = {}
        self._seen: dict[str, str] = {}
        """name -> stamp at the last look: what changes in between is still being written"""
        clear_staging(root)

    def step(self, now_s: float, originals: Sequence[ListedFile], go_on: Callable[[], None]) -> bool:
        """Look at the card, and take or recognise one picture; whether there was one to read."""
        if now_s - self._looked_s >= LOOK_S or self._listing is None:
            self._looked_s = now_s
            self._look()
        self.busy = False
        if self.state != "ok" or self._listing is None:
            return False
        known = {self._sums.of(o) for o in originals}
        not_read = {o.size for o in originals if not self._sums.of(o)}
        sizes = {o.size for o in originals}
        for one in sorted(self._listing.frames, key=lambda o: (o.mtime_ns, o.name)):
            content = self._content_of(one)
            if content and (content in known or content in self._sums.from_card):
                continue
            if self._is_refused(one, now_s):
                continue
            self.busy = True
            if self._seen.get(one.name) != one.stamp or one.size in not_read:
                continue  # it may be one that is there, and has not been read yet
            self._take(one, known, sizes, now_s, go_on)
            return True
        self._seen = {o.name: o.stamp for o in self._listing.frames}
        return False

    def now(self, originals: Sequence[ListedFile], disk: SecondDisk | None) -> CardSafe:
        """Where the card's pictures are."""
        name = called(self.place)
        if self.state != "ok" or self._listing is None:
            return CardSafe(name, self.state)
        there = {self._sums.of(o): o for o in originals}
        left, waiting, landed, on_two = self._unusable(), [], 0, 0
        for one in self._listing.frames:
            content = self._content_of(one)
            if content and content in there:
                landed += 1
                on_two += bool(disk and disk.ok and disk.disks != "same" and disk.holds(content, one.size))
            elif content and content in self._sums.from_card:
                left.append(NotSafe(one.name, "in before"))
            elif (refused := self._refused.get(one.name)) is not None and refused[0] == one.stamp:
                left.append(refused[1])
            else:
                waiting.append(NotSafe(one.name, "waiting"))
        count, left = len(self._listing.frames), left + waiting
        second_is_card = disk is not None and disk.is_disk_of(self.place)
        cleared = 0 < count == on_two and not left and not second_is_card
        return CardSafe(
            name, "ok", count, landed, on_two, tuple(left[:MOST_NAMED]), len(left), cleared, second_is_card
        )

    def _look(self) -> None:
        if not self.place.is_dir():
            self.state = "not a folder" if self.place.exists() else "away"
        elif is_same_folder_tree(self.place, self._root, self._frames_dir):
            self.state = "inside"
        else:
            found = list_folder(self.place, self._listing)
            self.state = "ok" if found.is_there else "unread"
            self._listing = found
        if self.state != "ok":
            self._gone()

    def _gone(self) -> None:
        """What is put in next is another card until it has been read."""
        self._listing = None
        self._content, self._refused, self._seen = {}, {}, {}

    def _content_of(self, one: ListedFile) -> str:
        stamp, content = self._content.get(one.name, ("", ""))
        return content if stamp == one.stamp else ""

    def _is_refused(self, one: ListedFile, now_s: float) -> bool:
        stamp, refused, at_s = self._refused.get(one.name, ("", None, 0.0))
        if refused is None or stamp != one.stamp:
            return False
        # a full disk may have room again, a card's contact may hold; what is no picture stays none
        return refused.code in ("not a picture", "incomplete") or now_s - at_s < RETRY_S

    def _refuse(self, one: ListedFile, code: str, reason: str, now_s: float) -> None:
        self._refused[one.name] = one.stamp, NotSafe(one.name, code, reason), now_s

    def _take(
        self, one: ListedFile, known: set[str], sizes: set[int], now_s: float, go_on: Callable[[], None]
    ) -> None:
        path = self.place / one.name
        try:
            if one.size in sizes or one.size in self._sums.from_card.values():
                content = sum_of(path, go_on)
                self._content[one.name] = one.stamp, content
                if content in known or content in self._sums.from_card:
                    return
            content = self._taken(one, path, go_on)
        except ChangedError:
            return
        except DiffersError:
            self._refuse(one, "differs", "", now_s)
        except InputError as error:
            self._refuse(one, _CODES.get(error.code, "not a picture"), said(error), now_s)
        except CouldNotError as error:
            self._refuse(one, "no room", said(error), now_s)
        except OSError as error:  # SourceError too: all else is said in words
            if not self.place.is_dir() or not path.exists():
                self._look()
            else:
                self._refuse(one, "unread", error.strerror or "", now_s)
        else:
            self._refused.pop(one.name, None)
            self._content[one.name] = one.stamp, content

    def _taken(self, one: ListedFile, path: Path, go_on: Callable[[], None]) -> str:
        """Put one picture into the frames folder, read back; its checksum."""
        own = one.name.rpartition("/")[2]
        staged = self._staging / "one" / safe_names([own])[own]
        with contextlib.ExitStack() as clear:
            clear.callback(shutil.rmtree, self._staging, ignore_errors=True)
            with disk_faults_in_words(self._frames_dir):
                shutil.rmtree(self._staging, ignore_errors=True)
                staged.parent.mkdir(parents=True)
                if shutil.disk_usage(self._frames_dir.parent).free < one.size + SPARE_BYTES:
                    raise OSError(errno.ENOSPC, "")
            content = _copied(path, staged, go_on)
            before = staged.stat()
            arrived = arrive(staged, self._frames_dir, one.size)
            target = self._frames_dir / arrived.name
            after = target.stat()
            if (before.st_dev, before.st_ino) != (after.st_dev, after.st_ino) and (
                sum_of(target, go_on, from_disk=True) != content
            ):
                raise DiffersError
        self._sums.note(ListedFile(arrived.name, after.st_size, after.st_mtime_ns, one.kind), content)
        self._sums.took(content, one.size)
        return content

    def _unusable(self) -> list[NotSafe]:
        """What on the card is no picture, by its name; a camera's own lists outside DCIM are not told."""
        assert self._listing is not None  # noqa: S101 - asked only when it is there
        found = [NotSafe(r.name, "unread", r.reason) for r in self._listing.refused]
        for one in self._listing.others:
            parts = one.name.split("/")
            if (
                _PICTURES in (part.upper() for part in parts[:-1])
                or kind_by_ending(Path(one.name).suffix) in _MADE
            ):
                found.append(NotSafe(one.name, "not a picture", of_other_kind(self.place, one).reason))
        return found


def _copied(path: Path, staged: Path, go_on: Callable[[], None]) -> str:
    """Copy from the card; refusals of the laptop's own disk in words, those of the card as SourceError."""
    failed: SourceError | None = None
    content = ""
    with disk_faults_in_words(staged):
        try:
            content = copy(path, staged, go_on=go_on)
        except SourceError as error:
            failed = error
    if failed is not None:
        raise failed
    return content
