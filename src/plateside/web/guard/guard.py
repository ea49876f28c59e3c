"""What every request must pass before a page sees it.

Host      one of this listener's own names: a foreign name that resolves here is turned away
who       the desk (at this machine's own address, with the cookie of guard.desk), or a paired tablet: a stranger sees
          the page that lets in, and nothing else
how often by who.rates
change    (any method but GET and HEAD) comes from our own page: Origin, the change token, JSON, at most 1 MB; parts of
          photographs are bytes, at most 4 MB at once
answer    carries the headers of headers.py
"""

import hmac
import json
from dataclasses import dataclass

from starlette.datastructures import Headers
from starlette.exceptions import HTTPException
from starlette.requests import cookie_parser
from starlette.responses import RedirectResponse, Response
from starlette.types import ASGIApp, Message, Receive, Scope, Send

from plateside.web.guard.desk import KNOCKING, Desk
from plateside.web.guard.desk import PAGE as DESK_PAGE
from plateside.web.guard.devices import Devices
from plateside.web.guard.headers import SAFETY_HEADERS
from plateside.web.guard.keys import Keys
from plateside.web.guard.rates import DESK, PAIRED, PAIRING, STRANGER, Buckets
from plateside.words import serving

LARGEST_BODY = 1_000_000
LARGEST_PART = 4_000_000
"""Of a photograph that is added: /set/add/{key}."""
_PARTS = "/set/add/"
_RETOUCHED = "/finish/retouched/"
"""The same of a retouched file, at the desk alone."""
LARGEST_LAYOUT = 30_000_000
"""Of a client's layout: /set/layout/{shot}/file, at the desk alone."""
LARGEST_OF_STRANGERS = 2_000
"""A code and a name."""
TOKEN_HEADER = "x-plateside-token"  # noqa: S105 - the header's name
COOKIE = "plateside_tablet"
_TO_COME_IN = frozenset(
    {"/static/css/ground.css", "/static/js/core/ask.js", "/static/js/core/live.js", "/static/js/core/hold.js",
     "/static/js/core/dom.js", "/static/js/core/early.js", "/static/js/core/words.js", "/static/plate.svg"}
)  # fmt: skip
FOR_STRANGERS = _TO_COME_IN | {"/pair", "/static/js/tablet/pair.js"}
"""All that is needed to pair, and nothing of a shoot."""
FOR_THE_DESK = _TO_COME_IN | {DESK_PAGE, "/static/js/start/desk.js"}
"""The same at this machine's own address, which every account of the machine can reach."""


@dataclass(frozen=True)
class Listener:
    """One address that is listened at."""

    hosts: frozenset[str]
    is_desk: bool


class Guard:
    """Wraps the app for one listener."""

    def __init__(
        self, app: ASGIApp, keys: Keys, desk: Desk, devices: Devices, listener: Listener, buckets: Buckets
    ) -> None:
        self.app, self.keys, self.desk, self.devices = app, keys, desk, devices
        self.listener, self.buckets = listener, buckets

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        if scope["type"] != "http":
            # a socket that is not HTTP is nothing of ours; the app's own start and end come through
            if scope["type"] == "lifespan":
                await self.app(scope, receive, send)
            return

        async def safe_send(message: Message) -> None:
            if message["type"] == "http.response.start":
                names = {name for name, _ in message["headers"]}
                message["headers"] += [(n, v) for n, v in SAFETY_HEADERS if n not in names]
            await send(message)

        refusal = self._refusal(scope)
        if refusal is not None:
            await refusal(scope, receive, safe_send)
            return
        most = _largest(scope) if scope["state"]["is_paired"] else LARGEST_OF_STRANGERS
        await self.app(scope, _counted(receive, most), safe_send)

    def _refusal(self, scope: Scope) -> Response | None:
        headers = Headers(scope=scope)
        host = headers.get("host", "")
        if host not in self.listener.hosts or len(headers.getlist("host")) != 1:
            return _no(421, serving.NOT_OURS)
        return self._who(scope, headers) or self._change(scope, headers, host)

    def _who(self, scope: Scope, headers: Headers) -> Response | None:
        address = str((scope.get("client") or ("",))[0])
        path = str(scope["path"])
        scope["state"] = {**scope.get("state", {}), "is_desk": self.listener.is_desk, "is_paired": True}
        if self.listener.is_desk:
            if self.desk.knows(_cookie(headers, self.desk.cookie_name)):
                _meet(scope, "desk")
                return None if self.buckets.allows("desk", DESK) else _too_often()
            scope["state"]["is_paired"] = False
            return self._knocking(scope, headers)
        device = self.devices.of(_cookie(headers, COOKIE))
        if device is not None:
            _meet(scope, f"device {device.number}")
            if not self.buckets.allows(f"device {device.number}", PAIRED):
                return _too_often()
            # what it may ask for is a list: guard.tablets_may
            return None
        scope["state"]["is_paired"] = False
        if not self.buckets.allows(address, STRANGER):
            return _too_often()
        if path == "/pair" and scope["method"] == "POST" and not self.buckets.allows(address, PAIRING):
            return _too_often()
        if path in FOR_STRANGERS:
            return None
        if scope["method"] == "GET" and "text/html" in headers.get("accept", ""):
            return RedirectResponse("/pair", 303)
        return _no(401, serving.NOT_PAIRED)

    def _knocking(self, scope: Scope, headers: Headers) -> Response | None:
        """Somebody of this machine, who may be another account: sees how to open the page, and nothing else."""
        if not self.buckets.allows("knocking", KNOCKING):
            return _too_often()
        if scope["path"] in FOR_THE_DESK:
            return None
        if scope["method"] == "GET" and "text/html" in headers.get("accept", ""):
            return RedirectResponse(DESK_PAGE, 303)
        return _no(401, serving.FROM_THE_TERMINAL)

    def _change(self, scope: Scope, headers: Headers, host: str) -> Response | None:
        if scope["method"] in ("GET", "HEAD"):
            return None
        if headers.get("origin", "") != f"http://{host}":
            return _no(403, serving.NOT_FROM_OUR_PAGE)
        # a stranger's page holds no token; the secret that it brings stands in its place
        pairing = scope["path"] == DESK_PAGE or (scope["path"] == "/pair" and not scope["state"]["is_paired"])
        token = headers.get(TOKEN_HEADER, "")
        if not pairing and not hmac.compare_digest(token.encode(), self.keys.change_token.encode()):
            return _no(403, serving.OLD_PAGE)
        # neither kind can be sent by a foreign page's form
        kinds = ("application/json", "application/octet-stream") if _is_part(scope) else ("application/json",)
        if headers.get("content-type", "").partition(";")[0].strip() not in kinds:
            return _no(415, serving.NOT_JSON)
        length = headers.get("content-length", "0")
        if not (length.isascii() and length.isdigit()) or len(length) > 9 or int(length) > _largest(scope):
            return _no(413, serving.TOO_LARGE)
        return None


def _is_part(scope: Scope) -> bool:
    path = str(scope["path"])
    is_retouched = bool(scope["state"]["is_desk"]) and path.startswith(_RETOUCHED)
    return path.startswith(_PARTS) or is_retouched or _is_layout(scope)


def _is_layout(scope: Scope) -> bool:
    path = str(scope["path"])
    return bool(scope["state"]["is_desk"]) and path.startswith("/set/layout/") and path.endswith("/file")


def _largest(scope: Scope) -> int:
    if _is_layout(scope):
        return LARGEST_LAYOUT
    return LARGEST_PART if _is_part(scope) else LARGEST_BODY


def _meet(scope: Scope, who: str) -> None:
    """The connection's door learns who it is: it is no stranger's any more."""
    scope["state"]["who"] = who
    guest = scope["state"].get("guest")
    if guest is not None:
        guest.meet(who)


def _cookie(headers: Headers, name: str) -> str:
    # as browsers write them: another server's odd cookie on this machine must not hide ours
    return cookie_parser(headers.get("cookie", "")).get(name, "")


def _counted(receive: Receive, most: int) -> Receive:
    got = 0

    async def counted() -> Message:
        nonlocal got
        message = await receive()
        got += len(message.get("body", b""))
        if got > most:
            raise HTTPException(413, serving.TOO_LARGE)
        return message

    return counted


def _too_often() -> Response:
    answer = _no(429, serving.TOO_OFTEN)
    answer.headers["retry-after"] = "5"
    return answer


def _no(status: int, words: str) -> Response:
    return Response(json.dumps({"error": words, "mistakes": []}), status, media_type="application/json")
