"""The server: one listener at this machine's own address, and its end."""

import asyncio
import contextlib
import socket
from collections.abc import Callable
from pathlib import Path

import uvicorn

from plateside.web.app import make_app
from plateside.web.guard.door import Door, descriptors_allowed, limits_for
from plateside.web.guard.guard import Guard, Listener
from plateside.web.guard.keys import Keys
from plateside.web.guard.rates import Buckets
from plateside.web.listening import Listening
from plateside.web.log import measure_logs
from plateside.web.tool import Tool
from plateside.web.watch_child import WatchChild

OWN_NAMES = ("127.0.0.1", "localhost")


class _First(Listening):
    """The server at the desk: at Ctrl-C open streams and waiting answers end first, then the server."""

    def __init__(self, config: uvicorn.Config, door: Door, tool: Tool) -> None:
        super().__init__(config, door)
        self._tool = tool

    async def shutdown(self, sockets: list[socket.socket] | None = None) -> None:
        await self._tool.end_waiting()
        await super().shutdown(sockets)


def make_tool(
    home: Path,
    root: Path | None,
    *,
    watch: bool = True,
    begun: WatchChild | None = None,
    tablet_address: str = "",
) -> Tool:
    """The tool for the folder `home` with the shoot in `root` open (serve.last_open.to_open tells both).

    begun  its watching, where that has begun already
    """
    keys = Keys.of_this_account()
    return Tool(home, root, keys, watch=watch, begun=begun, tablet_address=tablet_address)


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
