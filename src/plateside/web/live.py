"""The event stream: the journal's rows by their numbers, and what is not worth a row.

    event: row      id: 17      data: {"n": 17, "at": "...", "kind": "kept", "data": {...}}
    event: work / provisional / light / waiting / copy / settings / watcher / opened / devices / keeping
                                                                                    (no id: told once)
    event: beat     every few seconds, so that a page knows that it is still connected

A page says with Last-Event-ID (or ?after=N, the row it was drawn at) where it is; it gets every later row, in
order, and then what comes. The file is the truth: rows that a command writes arrive here in the same way.
"""

import asyncio
import contextlib
import json
from collections import Counter
from collections.abc import AsyncGenerator
from pathlib import Path
from typing import Any

from plateside.model.errors import CouldNotError, PlatesideError
from plateside.tasks.set.journal_rows import JournalRows
from plateside.web.asker import DESK, asker

LOOK_S = 0.05
BEAT_S = 3.0
MOST_WAITING = 2000
MOST_OF_DESK, MOST_OF_TABLET, MOST_OF_TABLETS = 80, 8, 48
"""Streams of the desk, of one tablet, of all tablets: one more, and the oldest of these ends."""


def _row_event(number: int, line: bytes) -> bytes:
    # the journal's line is the page's data as it stands: a long day is passed on without being read
    return b"id: %d\nevent: row\ndata: %b\n\n" % (number, line)


def _event(kind: str, data: Any) -> bytes:
    return f"event: {kind}\ndata: {json.dumps(data, ensure_ascii=False)}\n\n".encode()


class Live:
    """Follows one journal and tells every page that listens."""

    def __init__(self) -> None:
        self._rows: JournalRows | None = None
        self._last = 0
        self._begun = False
        self._queues: dict[asyncio.Queue[bytes | None], str] = {}
        """Whose it is, in the order in which they were opened."""
        self._drawn_at: dict[asyncio.Queue[bytes | None], int] = {}
        """The row after which its page asked."""
        self._task: asyncio.Task[None] | None = None
        self._ended = False

    def send_away(self) -> None:
        """End every stream; pages come back by themselves, if they may."""
        for queue in list(self._queues):
            self._end(queue)

    def follow(self, root: Path | None) -> None:
        """From now on, this shoot's journal; pages that listen are sent away and come back."""
        self._rows = None if root is None else JournalRows(root)
        self._last, self._begun = 0, False
        self.send_away()
        self._drawn_at.clear()

    async def start(self) -> None:
        """Begin to look."""
        await self._look()
        self._task = asyncio.create_task(self._keep_looking())

    async def stop(self) -> None:
        """Stop looking, close every stream; a page that comes back now is sent away at once."""
        self._ended = True
        self.send_away()
        if self._task:
            self._task.cancel()
            with contextlib.suppress(asyncio.CancelledError):
                await self._task

    @property
    def clients(self) -> int:
        """How many pages listen."""
        return len(self._queues)

    def say(self, kind: str, data: dict[str, Any]) -> None:
        """Tell something that is not a row."""
        self._tell(_event(kind, data))

    async def sent_on(self, shoot: str) -> AsyncGenerator[bytes, None]:
        """For a page that was drawn of another shoot than the open one: it slept, or was drawn a moment before."""
        yield b"retry: 1000\n\n"
        yield _event("opened", {"shoot": shoot})

    async def stream(self, after: int | None) -> AsyncGenerator[bytes, None]:
        """The events for one page, from row `after` on (None: only what comes)."""
        if self._ended:
            return
        queue: asyncio.Queue[bytes | None] = asyncio.Queue(MOST_WAITING)
        self._make_room(asker.get())
        self._queues[queue] = asker.get()
        # of the shoot that the page came for: where another one is opened meanwhile, it is sent away
        rows = self._rows
        try:
            yield b"retry: 1000\n\n"
            # rows told while the old ones are read would come twice: pass over what is already sent
            sent = await self._last_row() if after is None else after
            self._drawn_at[queue] = sent
            if after is not None and rows is not None:
                lines = await asyncio.to_thread(rows.after, after)
                if lines:
                    yield b"".join(_row_event(number, line) for number, line in lines)
                    sent = lines[-1][0]
            yield _event("beat", {"row": max(sent, self._last)})
            while True:
                try:
                    event = await asyncio.wait_for(queue.get(), BEAT_S)
                except TimeoutError:
                    yield _event("beat", {"row": max(sent, self._last)})
                    continue
                if event is None:
                    return
                if event.startswith(b"id: ") and int(event[4 : event.index(b"\n")]) <= sent:
                    continue
                yield event
        finally:
            self._queues.pop(queue, None)
            self._drawn_at.pop(queue, None)

    async def _last_row(self) -> int:
        if self._begun or self._rows is None:
            return self._last
        return await asyncio.to_thread(self._rows.last)

    def _make_room(self, who: str) -> None:
        """A tablet that comes and goes leaves streams behind that nobody reads: its own oldest ones go."""
        own = [queue for queue, whose in self._queues.items() if whose == who]
        if len(own) >= (MOST_OF_DESK if who == DESK else MOST_OF_TABLET):
            self._end(own[0])
        elif who != DESK:
            tablets = Counter(whose for whose in self._queues.values() if whose != DESK)
            if tablets.total() >= MOST_OF_TABLETS:
                most = tablets.most_common(1)[0][0]
                self._end(next(queue for queue, whose in self._queues.items() if whose == most))

    async def _keep_looking(self) -> None:
        while True:
            await asyncio.sleep(LOOK_S)
            await self._look()

    async def _look(self) -> None:
        rows = self._rows
        if rows is None:
            return
        # a journal that cannot be read just now is said by the page that needs it
        with contextlib.suppress(PlatesideError, OSError):
            if not rows.changed():
                return
            try:
                await self._read_on(rows)
            except (CouldNotError, OSError):
                # held by another program for a moment, as it seems: its rows are not to wait for the next one
                rows.look_again()
                raise

    async def _read_on(self, rows: JournalRows) -> None:
        """Tell what `rows` has since the last look.

        Another shoot may be opened while they are read: its pages are told none of these, and its own rows are
        not passed over for numbers of these.
        """
        if not self._begun:
            # a page that came before this first look was told what there was then: a row since is not passed over
            last = await asyncio.to_thread(rows.last)
            if rows is not self._rows:
                return
            self._last, self._begun = min(last, *self._drawn_at.values(), last), True
        lines = await asyncio.to_thread(rows.after, self._last)
        if rows is not self._rows:
            return
        for number, line in lines:
            self._tell(_row_event(number, line))
            self._last = number

    def _tell(self, event: bytes) -> None:
        for queue in list(self._queues):
            try:
                queue.put_nowait(event)
            except asyncio.QueueFull:
                # too slow to keep up: it comes back with the number of its last row and misses none
                self._end(queue)

    def _end(self, queue: asyncio.Queue[bytes | None]) -> None:
        self._queues.pop(queue, None)
        if queue.full():
            # half of what it has not heard would hide the other half: it asks for all of it again
            while not queue.empty():
                queue.get_nowait()
        # what was said before is heard before it ends: that another shoot was opened, above all
        queue.put_nowait(None)
