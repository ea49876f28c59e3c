"""A crowd at the tablet's address: the desk and the paired tablet are served, and the terminal stays readable."""

import contextlib
import socket
import subprocess
import sys
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

import pytest

from tests.browser.serving import PATIENT_MS, Served, come_in, copy_shoot, environment, until
from tests.web.requests import change, get, send
from tests.web.tablets import TABLET, pair, secret_of

CROWD = 150
"""More than twice the strangers' places of a process with 1,024 open files."""


@dataclass
class Open:
    """A server with a paired tablet, and what it writes to its terminal."""

    served: Served
    port: int
    cookie: dict[str, str]
    log: Path


@pytest.fixture(scope="module")
def opened(_made_shoot: Path, tmp_path_factory: pytest.TempPathFactory) -> Iterator[Open]:
    folder = tmp_path_factory.mktemp("crowd")
    root, log = copy_shoot(_made_shoot, folder / "shoot"), folder / "log.txt"
    with log.open("w") as out:
        process = subprocess.Popen(
            [sys.executable, "-m", "plateside", "serve", str(root), "--no-browser", "--port", "0", "--no-watch",
             "--tablet-address", TABLET],
            stdout=out, stderr=out, env=environment(),
        )  # fmt: skip
        try:
            line = until(lambda: log.read_text() if "\n" in log.read_text() else "")
            served = come_in(root, process, line)
            port = int(change(served, "/tablet/invite", {}).json["url"].rstrip("/").rsplit(":", 1)[1])
            cookie = pair(port, secret_of(served)).headers["set-cookie"].split(";")[0]
            yield Open(served, port, {"Cookie": cookie}, log)
        finally:
            process.terminate()
            process.wait()


def _ended(sock: socket.socket) -> bool:
    """Wait until the other side has ended it, whatever it says first."""
    sock.settimeout(PATIENT_MS / 1000)
    with contextlib.suppress(ConnectionError):
        while sock.recv(1 << 16):
            pass
    return True


@pytest.mark.parametrize(
    "sent",
    [
        b"",
        b"GET /pa",
        b"GET /pair HTTP/1.1\r\nX: ",
        b"POST /pair HTTP/1.1\r\nHost: %b\r\nContent-Length: 400\r\n\r\n{",
        b"GET /pair HTTP/1.1\r\nX: " + b"a" * 200_000,
    ],
    ids=["silent", "half a line", "half a head", "half a body", "a large head"],
)
def test_a_crowd_of_strangers_takes_no_place_of_the_desk_or_the_tablet(opened: Open, sent: bytes) -> None:
    here = f"{TABLET}:{opened.port}"
    with contextlib.ExitStack() as held:
        crowd = []
        for _ in range(CROWD):
            sock = held.enter_context(
                socket.create_connection((TABLET, opened.port), timeout=PATIENT_MS / 1000)
            )
            with contextlib.suppress(ConnectionError):
                sock.sendall(sent.replace(b"%b", here.encode()))
            crowd.append(sock)
        assert get(opened.served, "/standing").status == 200
        # the tablet comes from the strangers' own address
        assert send(TABLET, opened.port, "GET", "/standing", opened.cookie).status == 200
        assert all(_ended(sock) for sock in crowd[: CROWD // 2]), "the longest here go first"


def test_another_protocol_is_answered_as_if_it_were_not_asked_for(opened: Open) -> None:
    for _ in range(200):
        asked = {"Connection": "Upgrade", "Upgrade": "websocket", **opened.cookie}
        assert send(TABLET, opened.port, "GET", "/standing", asked).status == 200
    written = opened.log.read_text()
    for word in ("pip", "websockets", "wsproto", "Traceback"):
        assert word not in written
    assert len(written.splitlines()) < 200
