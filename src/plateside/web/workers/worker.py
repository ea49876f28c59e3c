"""The server's side of one child process: started when first needed, ended when long idle, replaced when it dies.

The child gets one request at a time: of those that wait, the desk's come first, then the tablets in turn.
"""

import asyncio
import contextlib
import itertools
import json
import os
import sys
from collections import Counter
from collections.abc import Callable
from typing import Any

from plateside.model.errors import PlatesideError
from plateside.tasks.serve.damage_said import heard_of_damage
from plateside.web.asker import DESK, asker
from plateside.words.serving import BUSY, CHILD_ENDED, ENDING

IDLE_S = 300.0
LINE_LIMIT = 64 * 1024 * 1024
"""A year's calendar is one line of some hundred kilobytes; a set of drawings may be more."""

MOST_OF_DESK, MOST_OF_TABLET, MOST_OF_TABLETS = 200, 16, 64
"""Requests of the desk, of one tablet and of all tablets that wait for one child. A browser has six connections."""

OnProgress = Callable[[int, int], None]


class WorkError(PlatesideError):
    """The work was not done; `kind` is input, not done, stopped, busy, ending (the server ends) or fault."""

    def __init__(self, words: str, kind: str, mistakes: list[dict[str, Any]]) -> None:
        super().__init__(words)
        self.kind = kind
        self.mistakes = mistakes


def _ending() -> WorkError:
    return WorkError(ENDING, "ending", [])


class Worker:
    """One child process, asked in turn."""

    def __init__(self, *, nice: int = 0, idle_s: float = IDLE_S) -> None:
        self._nice, self._idle_s = nice, idle_s
        self._process: asyncio.subprocess.Process | None = None
        self._reader: asyncio.Task[None] | None = None
        self._idle: asyncio.TimerHandle | None = None
        self._numbers = itertools.count(1)
        self._waiting: dict[int, tuple[asyncio.Future[Any], OnProgress | None]] = {}
        self._starting = asyncio.Lock()
        self._closed = False
        self._queue: dict[int, tuple[str, dict[str, Any]]] = {}
        """Not yet sent, in the order in which they were asked: who asks, and what."""
        self._coming: Counter[str] = Counter()
        """Asked for while the child starts."""
        self._sent: int | None = None
        self._served: dict[str, int] = {}
        """At which turn each was served last."""
        self._turns = itertools.count(1)

    @property
    def pid(self) -> int | None:
        """The child's process number while there is one."""
        return self._process.pid if self._process and self._process.returncode is None else None

    async def ask(self, work: str, args: dict[str, Any], on_progress: OnProgress | None = None) -> Any:
        """Ask for a piece of work and wait for its result; cancelling the wait stops the work.

        told  called as told(done, total) when the work says how far it is
        Raises WorkError.
        """
        who = asker.get()
        if self._has_enough(who):
            raise WorkError(BUSY, "busy", [])
        # counted from now on: while the child starts, hundreds may come
        self._coming[who] += 1
        try:
            process = await self._running()
        finally:
            self._coming[who] -= 1
        number = next(self._numbers)
        future: asyncio.Future[Any] = asyncio.get_running_loop().create_future()
        self._waiting[number] = (future, on_progress)
        self._queue[number] = who, {"id": number, "work": work, "args": args}
        self._send_next(process)
        try:
            return await future
        except asyncio.CancelledError:
            if self._queue.pop(number, None) is None:
                self._send(process, {"stop": number})
            raise
        finally:
            self._waiting.pop(number, None)
            self._rest()

    def _has_enough(self, who: str) -> bool:
        waiting = +self._coming + Counter(one for one, _ in self._queue.values())
        if waiting[who] >= (MOST_OF_DESK if who == DESK else MOST_OF_TABLET):
            return True
        return who != DESK and waiting.total() - waiting[DESK] >= MOST_OF_TABLETS

    async def close(self) -> None:
        """End the child; nothing more is begun."""
        self._closed = True
        if self._idle:
            self._idle.cancel()
        for future, _progress in self._waiting.values():
            if not future.done():
                future.set_exception(_ending())
        if self._process and self._process.returncode is None:
            self._process.kill()
            await self._process.wait()
        if self._reader:
            self._reader.cancel()
            with contextlib.suppress(asyncio.CancelledError):
                await self._reader

    def _is_closed(self) -> bool:
        return self._closed

    async def _running(self) -> asyncio.subprocess.Process:
        async with self._starting:
            if self._is_closed():
                raise _ending()
            if self._idle:
                self._idle.cancel()
            if self._process is None or self._process.returncode is not None:
                self._process = await asyncio.create_subprocess_exec(
                    sys.executable, "-m", "plateside.web.workers.child",
                    stdin=asyncio.subprocess.PIPE, stdout=asyncio.subprocess.PIPE, limit=LINE_LIMIT,
                )  # fmt: skip
                if self._nice and hasattr(os, "setpriority"):
                    os.setpriority(os.PRIO_PROCESS, self._process.pid, self._nice)
                self._reader = asyncio.create_task(self._read(self._process))
            if self._is_closed():
                # closed while the child was started: nobody else ends it, and nobody would answer
                if self._process.returncode is None:
                    self._process.kill()
                    await self._process.wait()
                raise _ending()
            return self._process

    def _send_next(self, process: asyncio.subprocess.Process) -> None:
        """The next in turn, when the child has nothing to do."""
        if self._sent is not None or not self._queue:
            return
        # the desk before every tablet; among these, the one that was served longest ago
        number = min(self._queue, key=lambda n: (self._turn(self._queue[n][0]), n))
        who, request = self._queue.pop(number)
        self._sent, self._served[who] = number, next(self._turns)
        self._send(process, request)

    def _turn(self, who: str) -> int:
        return -1 if who == DESK else self._served.get(who, 0)

    def _send(self, process: asyncio.subprocess.Process, on_progress: dict[str, Any]) -> None:
        if process.stdin and process.returncode is None:
            process.stdin.write((json.dumps(on_progress, ensure_ascii=False) + "\n").encode())

    async def _read(self, process: asyncio.subprocess.Process) -> None:
        assert process.stdout is not None  # noqa: S101 - asked for with PIPE
        while line := await process.stdout.readline():
            answer = json.loads(line)
            self._hear(answer)
            if "total" not in answer and answer["id"] == self._sent:
                self._sent = None
                self._send_next(process)
        await process.wait()
        self._sent = None
        self._queue.clear()
        for future, _progress in self._waiting.values():
            if not future.done():
                future.set_exception(WorkError(CHILD_ENDED, "fault", []))

    def _hear(self, answer: dict[str, Any]) -> None:
        for words in answer.get("damaged", ()):
            heard_of_damage(words)
        future, on_progress = self._waiting.get(answer["id"], (None, None))
        if future is None or future.done():
            return
        if "total" in answer:
            if on_progress:
                on_progress(answer["done"], answer["total"])
        elif "error" in answer:
            future.set_exception(WorkError(answer["error"], answer["kind"], answer["mistakes"]))
        else:
            future.set_result(answer["result"])

    def _rest(self) -> None:
        """End the child after a while without work: its memory is hundreds of megabytes."""
        if self._waiting or self._process is None:
            return
        if self._idle:
            self._idle.cancel()
        self._idle = asyncio.get_running_loop().call_later(self._idle_s, self._end_if_idle)

    def _end_if_idle(self) -> None:
        if not self._waiting and self._process and self._process.returncode is None and self._process.stdin:
            self._process.stdin.close()
