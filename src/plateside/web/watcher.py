"""The watcher as a child process: it judges frames and writes the journal; what it says in between is passed on."""

import asyncio
import contextlib
import json
import os
import sys
from collections.abc import Callable
from pathlib import Path
from typing import Any

from plateside.tasks.serve.damage_said import heard_of_damage
from plateside.words.serving import WATCHER_STOPPED

NEWS = ("provisional", "light", "waiting", "copy", "safe")
"""What it says of no row; a row reaches the pages by the journal, once."""
AGAIN_S = 3.0
"""A watcher that ended is started again after this long."""


class Watcher:
    """Keeps one watcher (watching.py) running for the open shoot."""

    def __init__(self, say: Callable[[str, dict[str, Any]], None]) -> None:
        self._say = say
        self._task: asyncio.Task[None] | None = None
        self._process: asyncio.subprocess.Process | None = None
        self.words = ""
        """Why frames are not being judged, when they are not."""

    @property
    def pid(self) -> int | None:
        """The child's process number while it runs."""
        return self._process.pid if self._process and self._process.returncode is None else None

    def start(self, root: Path) -> None:
        """Watch this shoot's frames from now on."""
        self._task = asyncio.create_task(self._keep(root))

    async def stop(self) -> None:
        """Stop watching; a frame that is half told is told whole at the next start."""
        if self._task:
            self._task.cancel()
            with contextlib.suppress(asyncio.CancelledError):
                await self._task
            self._task = None

    async def _keep(self, root: Path) -> None:
        while True:
            try:
                await self._once(root)
                if not self.words:
                    # it ended without a word: no page may go on as if frames were still judged
                    self._trouble(WATCHER_STOPPED)
            finally:
                if self._process and self._process.returncode is None:
                    self._process.terminate()
                    with contextlib.suppress(ProcessLookupError):
                        await self._process.wait()
            await asyncio.sleep(AGAIN_S)

    async def _once(self, root: Path) -> None:
        self._process = await asyncio.create_subprocess_exec(
            sys.executable, "-m", "plateside.web.watching", "watch", str(root),
            # it reads nothing, but hears by the end of its input that this process has ended, however it did
            stdin=asyncio.subprocess.PIPE, stdout=asyncio.subprocess.PIPE, limit=16 * 1024 * 1024,
            # one thread: the other core stays for the pages
            env={**os.environ, "OMP_NUM_THREADS": "1"},
        )  # fmt: skip
        assert self._process.stdout is not None  # noqa: S101 - asked for with PIPE
        self._trouble("")
        while line := await self._process.stdout.readline():
            with contextlib.suppress(ValueError, KeyError, TypeError):
                self._pass_on(json.loads(line))

    def _pass_on(self, event: dict[str, Any]) -> None:
        if "error" in event:
            self._trouble(str(event["error"]))
        elif event.get("kind") == "damage":
            heard_of_damage(str(event["words"]))
        elif event.get("kind") in NEWS:
            judged = event.get("judged") or {}
            verdict = judged.get("verdict") or {}
            self._say(str(event["kind"]), {
                "words": event["words"],
                "frame": (judged.get("frame") or {}).get("id", ""),
                "name": (judged.get("frame") or {}).get("name", "") or event.get("name", ""),
                "word": verdict.get("word", ""),
                "seconds": event.get("seconds", 0.0),
            })  # fmt: skip

    def _trouble(self, words: str) -> None:
        self.words = words
        self._say("watcher", {"words": words})
