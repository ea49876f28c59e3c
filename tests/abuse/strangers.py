"""Requests of whoever must not get in, by the thousand, at a server of our own: refused, and nothing told.

Held of every answer: its status is one that is right (or 429: too often), no word in it that a stranger may not know
(the code that is shown, the change token, a cookie, a folder of this machine, a file outside the shoot), no header that
the request made up. Between them the desk asks, and its time is kept.
"""

import contextlib
import http.client
import random
import re
import secrets as tokens
import socket
import statistics
import time
from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass, field
from pathlib import Path

from plateside.web.app import make_app
from plateside.web.guard.keys import Keys
from plateside.web.tool import Tool
from tests.abuse.strange_requests import KINDS, MADE_UP, Asked, Door
from tests.browser.serving import PATIENT_MS, serve
from tests.shoots.small import make_small_shoot
from tests.web.requests import change, get, send, token
from tests.web.tablets import TABLET, pair, secret_of

CANARY = "the-neighbours-letter"
DESK_EVERY = 25
ADDRESS_EVERY = 20
"""Requests from one address: then another one asks, or every answer would be that it asks too often."""


@dataclass
class Tally:
    """What was asked and answered."""

    asked: Counter[str] = field(default_factory=Counter)
    answers: Counter[int] = field(default_factory=Counter)
    faults: list[str] = field(default_factory=list)
    desk_ms: list[float] = field(default_factory=list)

    @property
    def median_ms(self) -> float:
        return statistics.median(self.desk_ms) if self.desk_ms else 0.0


@contextlib.contextmanager
def door(folder: Path) -> Iterator[Door]:
    """A server on a small shoot, with links that lead out of it."""
    root, outside = folder / "shoot", folder / "outside"
    make_small_shoot(root)
    outside.mkdir()
    for name in ("letter.jpg", "letter.txt", "studio.toml"):
        (outside / name).write_text(CANARY, encoding="utf-8")
    for made in ("finished", "delivery"):
        (root / made).mkdir()
        (root / made / "link.jpg").symlink_to(outside / "letter.jpg")
        (root / made / "out").symlink_to(outside)
    served = serve(root, "--no-watch", "--tablet-address", TABLET)
    try:
        port = int(change(served, "/tablet/invite", {}).json["url"].rstrip("/").rsplit(":", 1)[1])
        used = secret_of(served)
        cookie = pair(port, used).headers["set-cookie"].split(";")[0]
        change(served, "/tablet/invite", {})
        expired = secret_of(served)
        change(served, "/tablet/invite", {})
        yield Door(served, port, cookie, token(served), used, expired, tuple(_routes(root)))
    finally:
        served.stop()


def _routes(root: Path) -> Iterator[tuple[str, str]]:
    app = make_app(Tool(root, root, Keys("x" * 40), watch=False))
    parts = {
        "which": "shoot",
        "paper": "A4",
        "size": "view",
        "job:int": "1",
        "shot": "cup",
        "quality": "rough",
    }
    for route in app.routes:
        for method in sorted(getattr(route, "methods", None) or ("GET",)):
            path = re.sub(
                r"{([\w:]+)}", lambda m: parts.get(m[1], "0" * 24), str(getattr(route, "path", "/"))
            )
            yield method, path


def run(here: Door, many: int, seed: int) -> Tally:
    """Ask `many` times."""
    tally, dice = Tally(), random.Random(seed)
    watchword = secret_of(here.served)
    hidden = (watchword, here.token, CANARY, str(here.served.root), str(Path.home()))
    source = ""
    kinds = sorted(KINDS)
    for number in range(many):
        if number % ADDRESS_EVERY == 0:
            source = _somewhere(dice)
        if number % DESK_EVERY == 0:
            began = time.perf_counter()
            if get(here.served, "/standing").status != 200:
                tally.faults.append(f"#{number}: the desk is not answered")
            tally.desk_ms.append(1000 * (time.perf_counter() - began))
        kind = kinds[number % len(kinds)]
        asked = KINDS[kind](here, dice)
        tally.asked[kind] += 1
        status, told = _answer(asked, source)
        tally.answers[status] += 1
        wrong = _wrong(asked, status, told, hidden)
        if wrong:
            what = asked.raw[:120] if asked.raw else f"{asked.method} {asked.path[:120]}"
            tally.faults.append(f"#{number} {kind}: {what!r} {wrong}: {told[:200]!r}")
    if secret_of(here.served) not in ("", watchword):
        tally.faults.append("the code that was shown is another one")
    return tally


def _somewhere(dice: random.Random) -> str:
    """An address of this machine that has not asked yet, where it has more than one (all of 127.0.0.0/8 on Linux)."""
    address = f"127.{dice.randint(1, 250)}.{dice.randint(0, 250)}.{dice.randint(2, 250)}"
    with socket.socket(socket.AF_INET, socket.SOCK_STREAM) as probe:
        try:
            probe.bind((address, 0))
        except OSError:
            return ""
    return address


def _answer(asked: Asked, source: str) -> tuple[int, bytes]:
    """Status (0: it was hung up on, which refuses too) and all that was sent back, the head too."""
    if asked.raw:
        return _raw(asked, source)
    # the desk's own listener takes whoever comes from this machine for itself
    try:
        got = send(
            *asked.at,
            asked.method,
            asked.path,
            asked.headers,
            asked.body,
            source if asked.at[0] == TABLET else "",
        )
    except (OSError, http.client.HTTPException):
        return 0, b""
    head = "\n".join(f"{name}: {value}" for name, value in got.headers.items())
    return got.status, head.encode() + b"\n\n" + got.body


def _raw(asked: Asked, source: str) -> tuple[int, bytes]:
    told = b""
    with (
        contextlib.suppress(OSError),
        socket.create_connection(
            asked.at, PATIENT_MS / 1000, (source, 0) if source and asked.at[0] == TABLET else None
        ) as sock,
    ):
        sock.sendall(asked.raw)
        sock.shutdown(socket.SHUT_WR)
        while got := sock.recv(1 << 16):
            told += got
    found = re.match(rb"HTTP/1.1 (\d{3})", told)
    return int(found[1]) if found else 0, told


def _wrong(asked: Asked, status: int, told: bytes, hidden: tuple[str, ...]) -> str:
    if status not in asked.right | {0, 429}:
        return f"answered with {status}"
    text = told.decode("utf-8", "replace")
    if MADE_UP.lower() in text.partition("\n\n")[0].lower():
        return "sent a header that the request made up"
    # a good cookie's pages hold the token; the laptop's own pages also say how to start again, and in which folder
    own = hidden[1:2] if asked.at[0] != "127.0.0.1" else (hidden[1], *hidden[3:])
    for word in hidden:
        if word in text and not (asked.paired and word in own):
            return f"told {word}"
    return ""


def streams(here: Door, many: int) -> list[str]:
    """Open `many` event streams as one tablet: the desk's own goes on. What was wrong."""
    desk = http.client.HTTPConnection("127.0.0.1", here.served.port, timeout=PATIENT_MS / 1000)
    desk.request("GET", "/events?after=0", headers={"Cookie": here.served.cookie})
    listening = desk.getresponse()
    held: list[http.client.HTTPConnection] = []
    refused = 0
    for _ in range(many):
        one = http.client.HTTPConnection(TABLET, here.port, timeout=PATIENT_MS / 1000)
        with contextlib.suppress(OSError, http.client.HTTPException):
            one.request("GET", "/events", headers={"Cookie": here.tablet, "Host": f"{TABLET}:{here.port}"})
            refused += one.getresponse().status != 200
        held.append(one)
    text = f"title {tokens.token_hex(4)}"
    data = {"kind": "words", "data": {"shot": "cup", "field": "title", "text": text}, "version": 10**9}
    wrong = [] if change(here.served, "/press", data).status == 200 else ["the desk's press was refused"]
    heard = b""
    try:
        while text.encode() not in heard and (line := listening.readline()):
            heard = line
    except OSError:
        heard = b""
    if text.encode() not in heard:
        wrong.append("the desk's own stream ended")
    for connection in (*held, desk):
        connection.close()
    return wrong
