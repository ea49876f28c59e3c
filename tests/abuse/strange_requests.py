"""The kinds of requests that must not get in, each made by the dice, with the answers that are right.

To add one, write its function and put it into KINDS: the bench and the seeded few of the tests take it up.
"""

import functools
import json
import random
import re
import secrets as tokens
from collections.abc import Callable
from dataclasses import dataclass
from urllib.parse import quote

from plateside.web.guard.devices import ALPHABET
from plateside.web.guard.guard import FOR_STRANGERS, FOR_THE_DESK
from plateside.web.guard.tablets_may import ROUTES
from tests.browser.serving import Served
from tests.web.tablets import TABLET

MADE_UP = "X-Made-Up"
_FORMS = ("text/plain", "application/x-www-form-urlencoded", "multipart/form-data; boundary=x", "")
"""What a page's form may send without being asked."""
_NO_METHOD = frozenset({307, 400, 403, 404, 405})
"""307: a folder without its last stroke is sent to itself with it, whatever the method."""
_EVERYWHERE = "0.0.0.0"  # noqa: S104 - a name in a request, nothing is bound
_SMUGGLED = "Transfer-Encoding: chunked\r\nContent-Length: 4\r\n\r\n0\r\n\r\nGET /set HTTP/1.1\r\n\r\n"
"""RFC 9112, 6.3: two lengths, of which one hides a second request."""


@dataclass(frozen=True)
class Door:
    """A running server with a shoot, a paired tablet, and what is secret there."""

    served: Served
    port: int
    """Of the tablets' listener."""
    tablet: str
    """The paired tablet's cookie, as it is sent."""
    token: str
    used: str
    expired: str
    """Codes: used once; void because another was shown."""
    routes: tuple[tuple[str, str], ...]
    """Method and path of every route of the app, its parts filled."""

    def hosts(self) -> tuple[tuple[str, int], ...]:
        """The desk's listener and the tablets'."""
        return (("127.0.0.1", self.served.port), (TABLET, self.port))


@dataclass(frozen=True)
class Asked:
    """One request, and what may be answered."""

    at: tuple[str, int]
    method: str
    path: str
    headers: dict[str, str]
    right: frozenset[int]
    body: bytes | None = None
    paired: bool = False
    """It shows a cookie that is good, so it may be told what its pages hold."""
    raw: bytes = b""
    """Sent as it is, in the place of all the rest."""


def _at(dice: random.Random, here: Door) -> tuple[str, int]:
    return dice.choice(here.hosts())


def _own(here: Door, at: tuple[str, int], **more: str) -> dict[str, str]:
    """Headers of one of our own pages, with the good cookie of that listener."""
    cookie = here.served.cookie if at[0] == "127.0.0.1" else here.tablet
    own = {
        "Origin": f"http://{at[0]}:{at[1]}", "Content-Type": "application/json", "X-Plateside-Token": here.token,
        "Cookie": cookie,
    }  # fmt: skip
    return {**own, **{k.replace("_", "-"): v for k, v in more.items()}}


def _foreign_host(here: Door, dice: random.Random) -> Asked:
    at = _at(dice, here)
    method, path = dice.choice(here.routes)
    name = dice.choice(
        ["evil.example", "localhost.evil.example", "[::1]", _EVERYWHERE, "2130706433", "127.1", "", "127.0.0.1.",
         f"127.0.0.1:{at[1] + 1}", f"{TABLET}:{at[1]}x", "127.0.0.1@evil.example", "evil.example:80", "\u0131ocalhost"]
    )  # fmt: skip
    host = name.encode("utf-8").decode("latin-1")
    return Asked(
        at,
        method,
        path,
        _own(here, at, Host=host),
        frozenset({400, 421}),
        b"{}" if method == "POST" else None,
    )


def _foreign_page(here: Door, dice: random.Random) -> Asked:
    """A page of another origin, in the very browser that has the cookie."""
    at, path = _at(dice, here), dice.choice([p for m, p in here.routes if m == "POST"])
    wrong: list[dict[str, str]] = [
        {"Origin": dice.choice(
            ["null", "http://evil.example", f"https://{at[0]}:{at[1]}", f"http://{at[0]}", f"http://{at[0]}:{at[1]}.evil.example",
             f"http://localhost:{at[1] + 1}", ""])},
        {"X_Plateside_Token": dice.choice(["", "x", here.token[:-1], here.token + "0", here.token.upper()])},
        {"Content_Type": dice.choice(_FORMS)},
    ]  # fmt: skip
    headers = _own(here, at, **dice.choice(wrong))
    if path in ("/desk", "/pair"):
        headers = _own(here, at, Origin="http://evil.example")
    return Asked(at, "POST", path, headers, frozenset({403, 415}), b"{}")


def _unpaired(here: Door, dice: random.Random) -> Asked:
    at = _at(dice, here)
    open_to_all = FOR_THE_DESK if at[0] == "127.0.0.1" else FOR_STRANGERS
    method, path = dice.choice([r for r in here.routes if r[1] not in open_to_all])
    cookie = dice.choice(
        ["", "plateside_tablet=" + tokens.token_urlsafe(32), f"plateside_desk_{here.served.port}={'0' * 64}",
         "plateside_tablet=", here.tablet[:-2], here.tablet + "x",
         # the one that is good at the other listener
         here.tablet if at[0] == "127.0.0.1" else here.served.cookie]
    )  # fmt: skip
    accept = dice.choice(["*/*", "text/html"])
    headers = _own(here, at, Cookie=cookie, Accept=accept)
    return Asked(at, method, path, headers, frozenset({401, 303}), b"{}" if method == "POST" else None)


def _codes(here: Door, dice: random.Random) -> Asked:
    code = dice.choice(
        [here.used, here.expired, "".join(dice.choice(ALPHABET) for _ in range(12)), "", "0" * 12, "%00" * 12,
         "x" * 60, here.expired[:11]]
    )  # fmt: skip
    at = (TABLET, here.port)
    headers = {"Origin": f"http://{at[0]}:{at[1]}", "Content-Type": "application/json"}
    body = json.dumps({"secret": code, "name": "<script>"}).encode()
    return Asked(at, "POST", "/pair", headers, frozenset({422}), body)


def _keys(here: Door, dice: random.Random) -> Asked:
    at = ("127.0.0.1", here.served.port)
    headers = {"Origin": f"http://{at[0]}:{at[1]}", "Content-Type": "application/json"}
    body = json.dumps({"key": tokens.token_urlsafe(16)}).encode()
    return Asked(at, "POST", "/desk", headers, frozenset({422}), body)


def _not_for_tablets(here: Door, dice: random.Random) -> Asked:
    """A paired tablet asks for what stands on no list."""
    may = {_filled(path) for method, path in ROUTES if method == "GET"}
    closed = [r for r in here.routes if r not in _open_to_tablets(here.routes) and r[1] not in may]
    method, path = dice.choice([r for r in closed if r[0] != "HEAD"])
    at = (TABLET, here.port)
    right = frozenset({403, 404, 405})
    return Asked(at, method, path, _own(here, at), right, b"{}" if method == "POST" else None, paired=True)


def _filled(path: str) -> str:
    return path if "{" not in path else ""


@functools.cache
def _open_to_tablets(routes: tuple[tuple[str, str], ...]) -> frozenset[tuple[str, str]]:
    """Of the routes, those that match a listed one."""
    shapes = [
        (m, re.compile(re.sub(r"{path:path}", ".*", re.sub(r"{(?!path:)[\w:]+}", "[^/]+", p))))
        for m, p in ROUTES
    ]
    return frozenset(
        r
        for r in routes
        if any(m in (r[0], "GET" if r[0] == "HEAD" else r[0]) and s.fullmatch(r[1]) for m, s in shapes)
    )


_STEPS = (
    "../",
    "..%2f",
    "%2e%2e/",
    "%2e%2e%2f",
    "..%5c",
    "..\\",
    "%252e%252e%252f",
    ".%00./",
    "....//",
    "/",
    "%2f",
    "~/",
)


def _traversal(here: Door, dice: random.Random) -> Asked:
    at = _at(dice, here)
    base = dice.choice(
        ["/finish/files/", "/deliver/files/", "/static/", "/static/js/", "/choose/strips/", "/"]
    )
    target = dice.choice(
        [
            "etc/passwd",
            "outside/letter.txt",
            "outside/letter.jpg",
            "shoot.toml",
            "journal.jsonl",
            "letter.jpg",
        ]
    )
    path = base + dice.choice(_STEPS) * dice.randint(1, 9) + target
    if dice.random() < 0.3:
        path = dice.choice(["/finish/files/", "/deliver/files/"]) + dice.choice(
            ["link.jpg", "out/letter.jpg", "out/letter.txt", "./link.jpg", "out//letter.jpg", ".plateside/index.sqlite",
             quote(str(here.served.root.parent / "outside" / "letter.txt"))]
        )  # fmt: skip
    return Asked(at, "GET", path, _own(here, at), frozenset({400, 403, 404, 405, 422}), paired=True)


def _injected(here: Door, dice: random.Random) -> Asked:
    at = _at(dice, here)
    extra = quote(f"\r\n{MADE_UP}: 1\r\n\r\n<script>")
    path = dice.choice(
        [f"/light?day={extra}", f"/finish/files/x{extra}.jpg", f"/settings/{extra}", f"/{extra}", f"/static/{extra}",
         f"/frames/{extra}/view.jpg", f"/plan/card/{extra}", f"/choose/strips/{extra}.css", f"/events?after={extra}",
         f"/set/light/{extra}", f"/studio?x={extra}"]
    )  # fmt: skip
    right = frozenset({200, 303, 400, 403, 404, 422, 409, 503})
    return Asked(at, "GET", path, _own(here, at), right, paired=True)


def _methods(here: Door, dice: random.Random) -> Asked:
    at, method = (
        _at(dice, here),
        dice.choice(["PUT", "DELETE", "PATCH", "OPTIONS", "TRACE", "PROPFIND", "CONNECT", "get"]),
    )
    path = dice.choice(here.routes)[1]
    headers = _own(here, at, X_HTTP_Method_Override="GET")
    return Asked(at, method, path, headers, _NO_METHOD, b"{}", paired=True)


def _large(here: Door, dice: random.Random) -> Asked:
    at = _at(dice, here)
    path = dice.choice([p for m, p in here.routes if m == "POST"])
    length = dice.choice(
        ["4000001", "999999999", "9" * 40, "-1", "1e3", "0x10", "\u0663".encode().decode("latin-1")]
    )
    own = "".join(f"{n}: {v}\r\n" for n, v in _own(here, at, Host=f"{at[0]}:{at[1]}").items())
    raw = f"POST {path} HTTP/1.1\r\n{own}Content-Length: {length}\r\n\r\n{{}}".encode("latin-1")
    return Asked(at, "POST", path, {}, frozenset({400, 403, 413}), paired=True, raw=raw)


def _malformed(here: Door, dice: random.Random) -> Asked:
    at = _at(dice, here)
    host = f"Host: {at[0]}:{at[1]}\r\n"
    shape = dice.choice(
        ["GET / HTTP/1.1\r\n" + host + host + "\r\n", "GET http://evil.example/ HTTP/1.1\r\n" + host + "\r\n",
         "GET / HTTP/9.9\r\n" + host + "\r\n", "GET /\r\n\r\n", "\0\0\0\0\r\n\r\n", "GET / HTTP/1.1\r\n X: x\r\n\r\n",
         "GET /standing HTTP/1.1\r\n" + host + "X: " + "a" * 70_000 + "\r\n\r\n", "PRI * HTTP/2.0\r\n\r\nSM\r\n\r\n",
         "POST /press HTTP/1.1\r\n" + host + _SMUGGLED,
         "GET /" + "a" * 70_000 + " HTTP/1.1\r\n" + host + "\r\n", "\x16\x03\x01\x02\x00\x01\x00\x01\xfc\x03\x03",
         "GET /standing HTTP/1.1\r\n" + host + "Cookie: " + "a=b; " * 4000 + "\r\n\r\n"]
    )  # fmt: skip
    return Asked(
        at, "", "", {}, frozenset({303, 400, 401, 403, 404, 405, 413, 421, 431}), raw=shape.encode("latin-1")
    )


KINDS: dict[str, Callable[[Door, random.Random], Asked]] = {
    "foreign host": _foreign_host, "foreign page": _foreign_page, "unpaired": _unpaired, "codes": _codes, "keys": _keys,
    "not for tablets": _not_for_tablets, "traversal": _traversal, "injected": _injected, "methods": _methods,
    "too large": _large, "malformed": _malformed,
}  # fmt: skip
