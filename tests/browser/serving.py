"""A server that runs on a shoot, and what stands in its folder: what every test of a page begins with."""

import atexit
import contextlib
import http.client
import json
import os
import random
import re
import shutil
import signal
import socket
import subprocess
import sys
import tempfile
import time
from collections.abc import Callable
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

from tests.shoots.judged import SHOTS, copy_shoot, frame_pixels, put_pictures, write_frame

__all__ = [
    "CROWDED", "PATIENT_MS", "PAUSE_S", "SHOTS", "STATE", "Served", "come_in", "copy_shoot", "environment",
    "frame_pixels", "lasting_port", "let_in", "let_pages_go_on", "put_pictures", "serve", "start", "until",
    "write_frame",
]  # fmt: skip

CROWDED = 3
"""Processes that want a processor, for each that there is: up to so many, a minute is enough for anything."""
PATIENT_MS = round(60_000 * max(1.0, os.getloadavg()[0] / (CROWDED * (os.cpu_count() or 1))))
"""Most that anything on a page may take; what is quick is not slowed by it."""
PAUSE_S = 0.03


STATE = os.environ.get("PLATESIDE_STATE") or tempfile.mkdtemp(prefix="plateside-state-")
"""In the place of this account's own folder (files.own_place), for all servers of these tests."""
atexit.register(shutil.rmtree, STATE, ignore_errors=True)


@dataclass
class Served:
    """A running server, and the cookie by which it knows its desk."""

    root: Path
    url: str
    process: "subprocess.Popen[str]" = field(repr=False)
    cookie: str = field(default="", repr=False)
    """As a request sends it: name=value."""

    @property
    def port(self) -> int:
        return int(self.url.rstrip("/").rsplit(":", 1)[1])

    def let_in(self, context: Any) -> None:
        """Give a browser's context the cookie, as if it had been opened from the terminal."""
        name, _, value = self.cookie.partition("=")
        context.add_cookies([{"name": name, "value": value, "url": self.url, "sameSite": "Strict"}])

    def kill(self) -> None:
        """End it without asking, as a power cut would."""
        self.process.kill()
        self.process.wait()
        self._close()

    def stop(self) -> None:
        """End it as Ctrl-C does."""
        if self.process.poll() is None:
            self.process.send_signal(signal.SIGINT)
            with contextlib.suppress(subprocess.TimeoutExpired):
                self.process.wait(PATIENT_MS / 1000)
        if self.process.poll() is None:
            self.kill()
        self._close()

    def _close(self) -> None:
        if _open.get(self.port) is self:
            del _open[self.port]
        if self.process.stdout:
            self.process.stdout.close()


def serve(root: Path, *options: str, port: int = 0) -> Served:
    """Start `plateside serve` on a folder, wait until it answers, and come in by the address that it says."""
    process = start(root, *options, port=port)
    assert process.stdout is not None
    return come_in(root, process, process.stdout.readline())


def start(root: Path, *options: str, port: int = 0) -> "subprocess.Popen[str]":
    """Start `plateside serve` on a folder, and wait for nothing."""
    return subprocess.Popen(
        [sys.executable, "-m", "plateside", "serve", str(root), "--no-browser", "--port", str(port), *options],
        stdout=subprocess.PIPE, text=True, env=environment(),
    )  # fmt: skip


def lasting_port() -> int:
    """A port for a server that is ended and started again on it: in between nobody else is given it.

    Other servers of these tests, and every connection, have theirs from the system's own range (ip(7), Linux manual
    pages), which may hand out one that was just left. These are below it, for each worker its own.
    """
    worker = int((re.search(r"\d+", os.environ.get("PYTEST_XDIST_WORKER", "")) or ["0"])[0]) % 10
    for port in random.SystemRandom().sample(range(20_000 + 1000 * worker, 21_000 + 1000 * worker), 100):
        with contextlib.suppress(OSError), socket.socket() as sock:
            sock.bind(("127.0.0.1", port))
            return port
    raise AssertionError("no port is free")


def environment() -> dict[str, str]:
    """For a server of these tests: nothing of it is kept in the account of who runs them."""
    return {**os.environ, "PYTHONUNBUFFERED": "1", "PLATESIDE_STATE": STATE, "XDG_DATA_HOME": f"{STATE}/data"}


_open: dict[int, Served] = {}
"""By port, the server that was started there last."""


def come_in(root: Path, process: Any, line: str) -> Served:
    """A server whose first line is `line`: its address is used, as a browser does it."""
    found = re.search(r"(http://127\.0\.0\.1:(\d+)/)desk#(\S+)", line)
    assert found, f"the server said {line!r}"
    served = Served(root, found[1], process)
    link = http.client.HTTPConnection("127.0.0.1", served.port, timeout=PATIENT_MS / 1000)
    headers = {"Origin": found[1].rstrip("/"), "Content-Type": "application/json"}
    link.request("POST", "/desk", json.dumps({"key": found[3]}), headers)
    answer = link.getresponse()
    assert answer.status == 200, answer.read()
    served.cookie = str(answer.headers["set-cookie"]).split(";")[0]
    link.close()
    _open[served.port] = served
    return served


def let_in(context: Any, url: str = "") -> None:
    """Give a browser's context the cookie of the server at this address, or of every one that now runs."""
    for port, served in _open.items():
        if not url or url.startswith(f"http://127.0.0.1:{port}/"):
            served.let_in(context)


def _asleep() -> None:
    time.sleep(PAUSE_S)


let_pages_go_on: list[Callable[[], None]] = [_asleep]
"""The last is what `until` does between two looks: where a browser runs, its requests to this process are answered."""


def until(true: Any, seconds: float = PATIENT_MS / 1000) -> Any:
    """Wait until something is true and give it back; what it was at the last is told where it never became so."""
    end = time.monotonic() + seconds
    while True:
        got = true()
        if got:
            return got
        if time.monotonic() > end:
            raise AssertionError(f"not within {seconds} s, at the last {got!r}")
        let_pages_go_on[-1]()
