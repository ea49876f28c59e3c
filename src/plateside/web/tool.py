"""What one running server holds: the open shoot, the hands, the stream, the watcher, who may come in."""

import asyncio
import contextlib
import json
from collections.abc import Callable
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

from plateside.model.errors import CouldNotError
from plateside.tasks.serve.keeping import Keeping
from plateside.tasks.serve.last_open import remember
from plateside.tasks.serve.shoots import shoots_in
from plateside.tasks.serve.to_compile import must_compile
from plateside.web.guard.desk import Desk
from plateside.web.guard.devices import Devices
from plateside.web.guard.keys import Keys
from plateside.web.live import Live
from plateside.web.network import HomeNetwork
from plateside.web.places import Places
from plateside.web.watch_child import WatchChild
from plateside.web.watcher import Watcher
from plateside.web.workers.jobs import Jobs
from plateside.web.workers.worker import Worker, WorkError

LOOK_AT_DISK_S = 5.0


@dataclass
class Tool:
    """One server."""

    home: Path
    """The folder it was started in: a shoot, or where shoots are kept."""
    root: Path | None
    """The open shoot's folder; None before there is one."""
    keys: Keys
    watch: bool = True
    begun: WatchChild | None = None
    """The watching of the open shoot, where it began before this server did."""
    tablet_address: str = ""
    """This machine's address in the home network; empty: found when it is needed."""
    quick: Worker = field(default_factory=Worker)
    """Answers that somebody waits for: light at an hour, a day's plan."""
    looking: Worker = field(default_factory=Worker)
    """Frames as pictures and what is drawn on them: never behind a plan that is being worked out."""
    long: Worker = field(default_factory=lambda: Worker(nice=5))
    """Judging, choosing, finishing, delivering."""
    drawing: Worker = field(default_factory=lambda: Worker(nice=10))
    """Planned pictures, in the background."""
    read_lx: float | None = None
    """Light on the dish that she read: the open shoot is planned by it until it is taken away."""
    end_server: Callable[[], None] = lambda: None
    """Ends the server as Ctrl-C does."""
    keeping: Keeping = field(default_factory=Keeping)
    live: Live = field(default_factory=Live)
    jobs: Jobs = field(init=False)
    watcher: Watcher = field(init=False)
    desk: Desk = field(init=False)
    places: Places = field(init=False)
    devices: Devices = field(init=False)
    network: HomeNetwork = field(init=False)
    compiling: asyncio.Task[None] | None = None
    """After an install: what the first look at the light would wait for, behind the first pages."""
    looking_at_disk: asyncio.Task[None] | None = None

    def __post_init__(self) -> None:
        self.jobs = Jobs(self.live.say)
        self.watcher = Watcher(self.live.say, self.begun)
        self.desk = Desk(self.keys)
        self.places = Places(self.home)
        self.places.opened(self.root)
        self.devices = Devices(self.home)
        self.network = HomeNetwork(self.devices, self.tablet_address)
        self.live.follow(self.root)

    @property
    def shoot(self) -> Path:
        """The open shoot's folder. Raises NoShoot when there is none: the page leads to the start."""
        if self.root is None:
            raise NoShoot
        return self.root

    @property
    def shoot_mark(self) -> str:
        """What a page says with its stream, so that it hears where meanwhile another shoot was opened."""
        return "" if self.root is None else self.keys.shoot_mark(self.root)

    def shoots(self) -> list[Path]:
        """Folders with a shoot at home: home itself, and up to two levels below."""
        found = shoots_in(self.home)
        if self.root is not None and self.root not in found:
            found.append(self.root)
        return found

    async def open(self, root: Path) -> None:
        """Open a shoot: where it is another one, every page is told and comes back to it."""
        await self.watcher.stop()
        another = root != self.root
        self.root, self.read_lx = root, None
        self.places.opened(root)
        remember(self.home, root)
        if another:
            self.live.say("opened", {"shoot": root.name})
            self.live.follow(root)
        if self.watch:
            self.watcher.start(root)

    async def start(self) -> None:
        """Begin to follow and to watch."""
        await self.live.start()
        self.looking_at_disk = asyncio.create_task(self._look_at_disk())
        if must_compile():
            self.compiling = asyncio.create_task(self._compile())
        if self.root is not None and self.watch:
            self.watcher.start(self.root)
        if self.devices.opened_today():
            # killed and started again while a tablet was beside the set: it finds the same screen
            with contextlib.suppress(CouldNotError):
                await self.network.open()

    async def _compile(self) -> None:
        # whoever cannot compile now does it at the first look
        with contextlib.suppress(WorkError):
            await self.drawing.ask("light.compile", {})

    async def _look_at_disk(self) -> None:
        """A page stands open all day: it hears when nothing can be kept any more, and when that is over."""
        said = ""
        while True:
            await asyncio.sleep(LOOK_AT_DISK_S)
            if not self.live.clients:
                continue
            words = await asyncio.to_thread(self.keeping.look_again, self.root or self.home)
            if words != said:
                said = words
                self.live.say("keeping", {"words": words})

    async def end_waiting(self) -> None:
        """Let every page that listens or waits go, so that the server can end."""
        await self.live.stop()
        for worker in (self.quick, self.looking, self.long, self.drawing):
            await worker.close()

    async def stop(self) -> None:
        """End the children."""
        if self.looking_at_disk:
            self.looking_at_disk.cancel()
        await self.end_waiting()
        await self.network.close(for_good=False)
        await self.watcher.stop()


class NoShoot(Exception):  # noqa: N818 - not a fault: the start page answers it
    """No shoot is open yet."""


def script_data(value: Any) -> str:
    """JSON that is safe inside a <script type="application/json">: no end tag or comment can be made with it."""
    text = json.dumps(value, ensure_ascii=False, allow_nan=False)
    return text.replace("<", "\\u003c").replace(">", "\\u003e").replace("&", "\\u0026")
