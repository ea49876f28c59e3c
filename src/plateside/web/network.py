"""The second listener, for a tablet on the home network: off until it is asked for, at one address only."""

import asyncio
import contextlib
import socket
from collections.abc import Callable, Iterator

import uvicorn
from starlette.types import ASGIApp

from plateside.model.errors import CouldNotError
from plateside.web.guard.devices import Devices
from plateside.web.guard.door import USUAL_FILES, Door, limits_for
from plateside.web.listening import Listening
from plateside.words.serving import NO_NETWORK, not_reached

PORT = 8766


class _Second(Listening):
    """A server beside the first one, which alone hears Ctrl-C."""

    @contextlib.contextmanager
    def capture_signals(self) -> Iterator[None]:
        yield


class HomeNetwork:
    """Opens and closes the listener."""

    def __init__(self, devices: Devices, address: str = "") -> None:
        self.devices = devices
        self._wanted = address
        self._server: _Second | None = None
        self._task: asyncio.Task[None] | None = None
        self._socket: socket.socket | None = None
        self.guarded: Callable[[str], ASGIApp] | None = None
        """Makes the guarded app for a host name with port; set when the app is made."""
        self.limits = limits_for(USUAL_FILES)[1]
        """How many may be connected, and for how long."""

    @property
    def url(self) -> str:
        """Where tablets find it; empty while it is closed."""
        if self._socket is None:
            return ""
        address, port = self._socket.getsockname()[:2]
        return f"http://{address}:{port}/"

    async def open(self) -> str:
        """Begin to listen; the address. Raises CouldNotError when there is no network."""
        if self._socket is not None:
            return self.url
        address = self._wanted or own_address()
        sock = socket.socket(socket.AF_INET, socket.SOCK_STREAM)
        sock.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
        try:
            try:
                sock.bind((address, PORT))
            except OSError:
                sock.bind((address, 0))
            sock.listen(256)
        except OSError as error:
            sock.close()
            raise CouldNotError(not_reached(address, error.strerror)) from error
        port = sock.getsockname()[1]
        assert self.guarded is not None  # noqa: S101 - set by make_server before anything is served
        config = uvicorn.Config(
            self.guarded(f"{address}:{port}"), log_config=None, access_log=False, server_header=False,
            date_header=False, ws="none", lifespan="off", timeout_graceful_shutdown=1,
        )  # fmt: skip
        self._socket, self._server = sock, _Second(config, Door(self.limits))
        self._task = asyncio.create_task(self._server.serve([sock]))
        self.devices.set_open(True)
        return self.url

    async def close(self, *, for_good: bool = True) -> None:
        """Stop listening; `for_good` also after a restart."""
        if self._server is not None and self._task is not None:
            self._server.should_exit = True
            with contextlib.suppress(asyncio.CancelledError):
                await self._task
        if self._socket is not None:
            self._socket.close()
        self._server = self._task = self._socket = None
        if for_good:
            self.devices.set_open(False)


def own_address() -> str:
    """This machine's address in the home network. Raises CouldNotError when there is none.

    No packet is sent: connecting a datagram socket only asks which way one would go (192.0.2.1 is an address
    for documentation, RFC 5737).
    """
    with socket.socket(socket.AF_INET, socket.SOCK_DGRAM) as sock:
        try:
            sock.connect(("192.0.2.1", 9))
            address = str(sock.getsockname()[0])
        except OSError:
            address = "127.0.0.1"
    if address.startswith("127.") or address == "0.0.0.0":  # noqa: S104 - compared, not bound
        raise CouldNotError(NO_NETWORK)
    return address
