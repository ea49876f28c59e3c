"""The watcher as a child process: it judges frames and writes the journal; what it says in between is passed on."""

import asyncio
import contextlib
import json
from collections.abc import Callable
from pathlib import Path
from typing import Any

from plateside.tasks.serve.damage_said import heard_of_damage
from plateside.web.watch_child import WatchChild
from plateside.words.serving import WATCHER_STOPPED

NEWS = ("provisional", "light", "waiting", "copy", "safe")
"""What it says of no row; a row reaches the pages by the journal, once."""
AGAIN_S = 3.0
"""A watcher that ended is started again after this long."""


class Watcher:
    """Keeps one watcher (watching.py) running for the open shoot."""

    def __init__(self, say: Callable[[str, dict[str, Any]], None], begun: WatchChild | None = None) -> None:
        self._say = say
        self._task: asyncio.Task[None] | None = None
        self._child, self._is_new = begun, begun is not None
        self.words = ""
        """Why frames are not being judged, when they are not."""

    @property
    def pid(self) -> int | None:
        """The child's process number while it runs."""
        return self._child.pid if self._child else None

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
        await self._end()

    async def _end(self) -> None:
        if self._child:
            await asyncio.to_thread(self._child.end)

    async def _keep(self, root: Path) -> None:
        while True:
            try:
                await self._once(root)
                if not self.words:
                    # it ended without a word: no page may go on as if frames were still judged
                    self._trouble(WATCHER_STOPPED)
            finally:
                await self._end()
            await asyncio.sleep(AGAIN_S)

    async def _once(self, root: Path) -> None:
        if self._child is None or not self._is_new or self._child.root != root:
            await self._end()
            self._child = WatchChild(root)
        self._is_new = False
        self._trouble("")
        loop, heard = asyncio.get_running_loop(), asyncio.Queue[bytes]()

        def hear(line: bytes) -> None:
            # the loop may end first: nobody is there to hear the rest
            with contextlib.suppress(RuntimeError):
                loop.call_soon_threadsafe(heard.put_nowait, line)

        self._child.tell(hear)
        while line := await heard.get():
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
