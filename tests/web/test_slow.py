"""Slow clients on real sockets: each is let go by itself, and who means well is answered meanwhile."""

import asyncio
import contextlib
import errno
import socket
from collections.abc import AsyncIterator, Callable, Coroutine
from typing import Any

import pytest
import uvicorn

from plateside.web import listening
from plateside.web.guard.door import Door, Limits
from plateside.web.listening import Listening
from plateside.web.log import measure_logs
from tests.web import loops

QUICK = Limits(
    in_all=40, strangers=30, per_address=30, per_known=10, head_s=3.0, body_s=3.0, unread_s=1.0, ending_s=1.0
)
BIG = 32_000_000


async def _app(scope: Any, receive: Any, send: Any) -> None:
    kind = scope["path"]
    if kind == "/body":
        while (await receive()).get("more_body"):
            pass
    data = b"a" * BIG if kind == "/big" else b"ok"
    await send(
        {"type": "http.response.start", "status": 200, "headers": [(b"content-length", b"%d" % len(data))]}
    )
    await send({"type": "http.response.body", "body": data})


async def _gone(reader: asyncio.StreamReader) -> bytes:
    """All that came until the other side ended it."""
    with contextlib.suppress(ConnectionError):
        return await reader.read()
    return b"reset"


Attack = Callable[[asyncio.StreamReader, asyncio.StreamWriter], Coroutine[Any, Any, bytes]]


async def _silent(reader: asyncio.StreamReader, _writer: asyncio.StreamWriter) -> bytes:
    return await _gone(reader)


def _drips(first: bytes) -> Attack:
    async def attack(reader: asyncio.StreamReader, writer: asyncio.StreamWriter) -> bytes:
        writer.write(first)
        ended = asyncio.create_task(_gone(reader))
        with contextlib.suppress(ConnectionError):
            while not ended.done():
                writer.write(b"a")
                await writer.drain()
                await asyncio.wait({ended}, timeout=0.02)
        return await ended

    return attack


async def _unread(_reader: asyncio.StreamReader, writer: asyncio.StreamWriter) -> bytes:
    writer.transport.pause_reading()  # type: ignore[attr-defined]
    writer.write(b"GET /big HTTP/1.1\r\nHost: x\r\n\r\n")
    await asyncio.Event().wait()
    return b""


POST = b"POST %b HTTP/1.1\r\nHost: x\r\nContent-Length: 900000\r\n\r\n"
ATTACKS: dict[str, Attack] = {
    "silent": _silent,
    "half a request line": _drips(b"GET /pa"),
    "a head in drops": _drips(b"GET / HTTP/1.1\r\nX: "),
    "a second head in drops": _drips(b"GET / HTTP/1.1\r\nHost: x\r\n\r\nGET / HTTP/1.1\r\nX: "),
    "a body in drops": _drips(POST % b"/body"),
    "a body in drops after the answer": _drips(POST % b"/"),
    "an answer that nobody reads": _unread,
}


@contextlib.asynccontextmanager
async def _serving() -> AsyncIterator[tuple[int, Door]]:
    """A server in this loop: its port and its door."""
    measure_logs()
    sock = socket.create_server(("127.0.0.1", 0))
    config = uvicorn.Config(
        _app, log_config=None, access_log=False, ws="none", lifespan="off", timeout_keep_alive=60,
        timeout_graceful_shutdown=1,
    )  # fmt: skip
    door = Door(QUICK)
    server = Listening(config, door)
    task = asyncio.create_task(server._serve([sock]))
    try:
        yield sock.getsockname()[1], door
    finally:
        server.should_exit = True
        await task


async def _is_served(port: int) -> bool:
    reader, writer = await asyncio.open_connection("127.0.0.1", port)
    writer.write(b"GET / HTTP/1.1\r\nHost: x\r\nConnection: close\r\n\r\n")
    got = await reader.read()
    writer.close()
    return got.startswith(b"HTTP/1.1 200")


@pytest.mark.parametrize("name", ATTACKS)
def test_who_takes_for_ever_is_let_go(name: str, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(listening, "SWEEP_S", 0.05)

    async def run() -> None:
        async with _serving() as (port, door):
            reader, writer = await asyncio.open_connection("127.0.0.1", port)
            attack = asyncio.create_task(ATTACKS[name](reader, writer))
            assert await _is_served(port)
            # the server lets it go by itself: nothing on this side ends
            async with asyncio.timeout(180):
                while len(door):
                    await asyncio.sleep(0.01)
            attack.cancel()
            writer.transport.abort()

    loops.run(run())


def test_without_a_descriptor_left_it_waits_and_goes_on(monkeypatch: pytest.MonkeyPatch) -> None:
    """EMFILE and ENFILE: accept(2), Linux manual pages."""
    monkeypatch.setattr(listening, "AGAIN_S", 0.01)
    real, faults = asyncio.SelectorEventLoop.sock_accept, [errno.EMFILE, errno.ENFILE, errno.ECONNABORTED]

    async def accept(loop: asyncio.SelectorEventLoop, sock: socket.socket) -> Any:
        if faults:
            raise OSError(faults.pop(), "no descriptor")
        return await real(loop, sock)

    monkeypatch.setattr(asyncio.SelectorEventLoop, "sock_accept", accept)

    async def run() -> None:
        async with _serving() as (port, _door):
            assert await _is_served(port)

    loops.run(run())
    assert faults == []
