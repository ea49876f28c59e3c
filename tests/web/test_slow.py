"""Slow clients on real sockets: each is let go by itself, and who means well is answered meanwhile."""

import asyncio
import contextlib
import socket
from collections.abc import Callable, Coroutine
from typing import Any

import pytest
import uvicorn

from plateside.web import listening
from plateside.web.guard.door import Door, Limits
from plateside.web.listening import Listening
from plateside.web.log import measure_logs
from tests.web import loops

QUICK = Limits(
    in_all=40, strangers=30, per_address=30, per_known=10, head_s=0.6, body_s=0.6, unread_s=0.3, ending_s=0.3
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
    sock = writer.get_extra_info("socket")
    writer.transport.pause_reading()  # type: ignore[attr-defined]
    writer.write(b"GET /big HTTP/1.1\r\nHost: x\r\n\r\n")
    loop = asyncio.get_running_loop()
    ended = loop.create_future()

    def look() -> None:
        # nothing is read: only that the other side has reset the connection is asked for
        if not ended.done():
            if sock.fileno() < 0 or sock.getsockopt(socket.SOL_SOCKET, socket.SO_ERROR):
                ended.set_result(b"reset")
            else:
                loop.call_later(0.02, look)

    look()
    got: bytes = await ended
    return got


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


@pytest.mark.parametrize("name", ATTACKS)
def test_who_takes_for_ever_is_let_go(name: str, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(listening, "SWEEP_S", 0.05)

    async def run() -> None:
        measure_logs()
        sock = socket.create_server(("127.0.0.1", 0))
        port = sock.getsockname()[1]
        config = uvicorn.Config(
            _app, log_config=None, access_log=False, ws="none", lifespan="off", timeout_keep_alive=60
        )
        door = Door(QUICK)
        server = Listening(config, door)
        task = asyncio.create_task(server._serve([sock]))
        try:
            reader, writer = await asyncio.open_connection("127.0.0.1", port)
            attack = asyncio.create_task(ATTACKS[name](reader, writer))
            other_reader, other = await asyncio.open_connection("127.0.0.1", port)
            other.write(b"GET / HTTP/1.1\r\nHost: x\r\nConnection: close\r\n\r\n")
            assert (await other_reader.read()).startswith(b"HTTP/1.1 200")
            other.close()
            await asyncio.wait_for(attack, 20)
            writer.transport.abort()
            while len(door):
                await asyncio.sleep(0.01)
        finally:
            server.should_exit = True
            await task

    loops.run(run())
