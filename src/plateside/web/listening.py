"""A listener that counts: every connection passes a door when it is accepted, and none may take for ever.

Patient     one connection's HTTP/1.1: its door learns what it is waited for
Listening   a server whose connections are accepted here, one in each turn of the loop
"""

import asyncio
import contextlib
import logging
import socket
import struct
import sys
from typing import Any

import h11
import uvicorn
from uvicorn.protocols.http.h11_impl import H11Protocol

from plateside.web.guard.door import Door, Guest

SWEEP_S = 1.0
AGAIN_S = 0.25
"""Until it is tried again to accept, when the system has no descriptor left [s]."""
HANDSHAKE_S = 10.0
STATE = "guest"
"""Where a request's scope["state"] has its connection's Guest."""
_AT_ONCE = struct.pack("hh" if sys.platform == "win32" else "ii", 1, 0)
"""The two numbers of SO_LINGER: what is not sent yet is thrown away."""
_log = logging.getLogger("plateside")


class Patient(H11Protocol):
    """One connection."""

    def __init__(self, guest: Guest, door: Door, **given: Any) -> None:
        super().__init__(**given)
        self._guest, self._door = guest, door
        self.app_state = {**self.app_state, STATE: guest}

    def connection_lost(self, exc: Exception | None) -> None:
        self._door.gone(self._guest)
        super().connection_lost(exc)

    def data_received(self, data: bytes) -> None:
        if self.conn.their_state is h11.IDLE:
            self._guest.waits("head", self.cycle, self._door.clock())
        super().data_received(data)

    def handle_events(self) -> None:
        super().handle_events()
        self._look()

    def on_response_complete(self) -> None:
        super().on_response_complete()
        self._look()

    def pause_writing(self) -> None:
        self._guest.unread_since = self._door.clock()
        super().pause_writing()

    def resume_writing(self) -> None:
        self._guest.unread_since = None
        super().resume_writing()

    def _look(self) -> None:
        self._guest.busy = self.cycle is not None and not self.cycle.response_complete
        if self.conn.their_state is h11.SEND_BODY:
            self._guest.waits("body", self.cycle, self._door.clock())
        elif self.conn.their_state is not h11.IDLE or (self._guest.waited_for[0] == "body"):
            self._guest.waits("", self.cycle, self._door.clock())

    def _should_upgrade(self) -> bool:
        # no page of ours speaks anything but HTTP/1.1: what else is asked for is answered as if it were not
        return False


class Listening(uvicorn.Server):
    """A server with a door."""

    def __init__(self, config: uvicorn.Config, door: Door) -> None:
        super().__init__(config)
        self.door = door
        self._accepting: list[asyncio.Task[None]] = []

    async def startup(self, sockets: list[socket.socket] | None = None) -> None:
        """Begin to accept."""
        # no socket is left to uvicorn: it would accept whatever comes
        await super().startup(sockets=[])
        for sock in sockets or []:
            sock.setblocking(False)
            self._accepting.append(asyncio.create_task(self._accept(sock)))
        self._accepting.append(asyncio.create_task(self._sweep()))

    async def shutdown(self, sockets: list[socket.socket] | None = None) -> None:
        """Accept no more, then end."""
        for task in self._accepting:
            task.cancel()
        await asyncio.gather(*self._accepting, return_exceptions=True)
        await super().shutdown(sockets)
        self.door.close()

    async def _accept(self, sock: socket.socket) -> None:
        loop = asyncio.get_running_loop()
        while True:
            try:
                connection, peer = await loop.sock_accept(sock)
            except OSError as error:
                if sock.fileno() < 0:
                    return
                _log.warning("A connection could not be taken: %s.", error.strerror or error)
                self.door.free_one()
                await asyncio.sleep(AGAIN_S)
                continue
            self._take(connection, str(peer[0]) if isinstance(peer, tuple) else "")
            # what is here already has its turn before the next one comes
            await asyncio.sleep(0)

    def _take(self, connection: socket.socket, address: str) -> None:
        def drop() -> None:
            transport: asyncio.Transport | None = protocol.transport
            if transport is not None:
                if transport.get_write_buffer_size():
                    # else the system goes on for minutes with what nobody reads
                    with contextlib.suppress(OSError):
                        connection.setsockopt(socket.SOL_SOCKET, socket.SO_LINGER, _AT_ONCE)
                transport.abort()
            else:
                # not yet spoken to, as in the middle of a handshake
                joining.cancel()
                with contextlib.suppress(OSError):
                    connection.shutdown(socket.SHUT_RDWR)

        guest = self.door.come(address, drop)
        protocol = Patient(
            guest,
            self.door,
            config=self.config,
            server_state=self.server_state,
            app_state=self.lifespan.state,
        )
        joining = asyncio.create_task(self._join(connection, protocol, guest))

    async def _join(self, connection: socket.socket, protocol: Patient, guest: Guest) -> None:
        over_tls = self.config.ssl
        try:
            await asyncio.get_running_loop().connect_accepted_socket(
                lambda: protocol, connection, ssl=over_tls,
                ssl_handshake_timeout=HANDSHAKE_S if over_tls else None,
            )  # fmt: skip
        except (OSError, asyncio.CancelledError):
            self.door.gone(guest)
            connection.close()

    async def _sweep(self) -> None:
        while True:
            await asyncio.sleep(SWEEP_S)
            now = self.door.clock()
            for connection in list(self.server_state.connections):
                if isinstance(connection, Patient) and connection.transport.is_closing():
                    guest = connection._guest
                    guest.ending_since = now if guest.ending_since is None else guest.ending_since
            self.door.sweep()
