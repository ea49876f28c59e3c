"""The server: one listener at this machine's own address, and its end."""

import asyncio
import contextlib
import socket
from collections.abc import Callable
from pathlib import Path

import uvicorn

from plateside.model.errors import CouldNotError
from plateside.tasks.serve.last_open import last_open
from plateside.tasks.serve.shoots import is_shoot
from plateside.web.app import make_app
from plateside.web.guard.door import Door, descriptors_allowed, limits_for
from plateside.web.guard.guard import Guard, Listener
from plateside.web.guard.keys import Keys
from plateside.web.guard.rates import Buckets
from plateside.web.listening import Listening
from plateside.web.log import measure_logs
from plateside.web.tool import Tool
from plateside.words.serving import no_folder, port_taken

OWN_NAMES = ("127.0.0.1", "localhost")


class _First(Listening):
    """The server at the desk: at Ctrl-C open streams and waiting answers end first, then the server."""

    def __init__(self, config: uvicorn.Config, door: Door, tool: Tool) -> None:
        super().__init__(config, door)
        self._tool = tool

    async def shutdown(self, sockets: list[socket.socket] | None = None) -> None:
        await self._tool.end_waiting()
        await super().shutdown(sockets)


def make_tool(given: Path, *, watch: bool = True, tablet_address: str = "") -> Tool:
    """The tool for a shoot's folder, or for a folder where shoots are (or will be) kept: the last one is open again."""
    home = given.resolve()
    if not home.is_dir():
        raise CouldNotError(no_folder(given))
    root = home if is_shoot(home) else last_open(home)
    return Tool(home, root, Keys.of_this_account(), watch=watch, tablet_address=tablet_address)


def listen(port: int, others: int = 0) -> socket.socket:
    """A socket at this machine's own address, at `port` or one of the `others` after it.

    Raises CouldNotError when they are taken.
    """
    for number in range(port, port + others):
        with contextlib.suppress(CouldNotError):
            return _listen(number)
    return _listen(port + others)


def _listen(port: int) -> socket.socket:
    sock = socket.socket(socket.AF_INET, socket.SOCK_STREAM)
    sock.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
    try:
        sock.bind(("127.0.0.1", port))
        # from here on requests wait instead of being refused, while the app is still made
        sock.listen(256)
    except OSError as error:
        sock.close()
        raise CouldNotError(port_taken(port)) from error
    return sock


def serve(tool: Tool, sock: socket.socket, ready: Callable[[str], None]) -> None:
    """Serve until stopped (Ctrl-C). `ready` is told the address."""
    port = sock.getsockname()[1]
    hosts = frozenset(f"{name}:{port}" for name in OWN_NAMES)
    app, buckets = make_app(tool), Buckets()
    tool.desk.at(port)
    at_the_desk, for_tablets = limits_for(descriptors_allowed())
    measure_logs()

    def guarded(hosts: frozenset[str], *, is_desk: bool) -> Guard:
        return Guard(app, tool.keys, tool.desk, tool.devices, Listener(hosts, is_desk), buckets)

    tool.network.limits = for_tablets
    tool.network.guarded = lambda host: guarded(frozenset({host}), is_desk=False)
    config = uvicorn.Config(
        guarded(hosts, is_desk=True),
        log_config=None, access_log=False, server_header=False, date_header=False, ws="none",
        timeout_graceful_shutdown=2, lifespan="on",
    )  # fmt: skip
    first = _First(config, Door(at_the_desk), tool)
    tool.end_server = lambda: setattr(first, "should_exit", True)
    ready(f"http://127.0.0.1:{port}/")
    with contextlib.suppress(KeyboardInterrupt):
        asyncio.run(first.serve([sock]))
    tool.desk.close()
