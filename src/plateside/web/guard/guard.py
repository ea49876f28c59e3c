"""What every request must pass before a page sees it.

Host      one of this listener's own names: a foreign name that resolves here is turned away
change    (any method but GET and HEAD) comes from our own page: Origin, the change token, JSON, at most 1 MB
answer    carries the headers of headers.py
"""

import hmac
import json

from starlette.datastructures import Headers
from starlette.responses import PlainTextResponse, Response
from starlette.types import ASGIApp, Message, Receive, Scope, Send

from plateside.web.guard.headers import SAFETY_HEADERS
from plateside.web.guard.keys import Keys

LARGEST_BODY = 1_000_000
TOKEN_HEADER = "x-plateside-token"  # noqa: S105 - the header's name


class TooLarge(Exception):  # noqa: N818 - turned into an answer here
    """The body is larger than anything a page sends."""


class Guard:
    """Wraps the app for one listener."""

    def __init__(self, app: ASGIApp, keys: Keys, hosts: frozenset[str]) -> None:
        self.app, self.keys, self.hosts = app, keys, hosts

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        if scope["type"] != "http":
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
        try:
            await self.app(scope, _counted(receive), safe_send)
        except TooLarge:
            await _no(413, "That is larger than anything a page sends.")(scope, receive, safe_send)

    def _refusal(self, scope: Scope) -> Response | None:
        headers = Headers(scope=scope)
        host = headers.get("host", "")
        if host not in self.hosts:
            return _no(421, "This address is not Plateside's.")
        if scope["method"] in ("GET", "HEAD"):
            return None
        if headers.get("origin", "") != f"http://{host}":
            return _no(403, "Changes come from Plateside's own pages.")
        if not hmac.compare_digest(headers.get(TOKEN_HEADER, ""), self.keys.change_token):
            return _no(403, "This page is from before a restart. Load it again.")
        if headers.get("content-type", "").partition(";")[0] != "application/json":
            return _no(415, "Changes come as JSON.")
        length = headers.get("content-length", "0")
        if not length.isdigit() or int(length) > LARGEST_BODY:
            return _no(413, "That is larger than anything a page sends.")
        return None


def _counted(receive: Receive) -> Receive:
    got = 0

    async def counted() -> Message:
        nonlocal got
        message = await receive()
        got += len(message.get("body", b""))
        if got > LARGEST_BODY:
            raise TooLarge
        return message

    return counted


def _no(status: int, words: str) -> Response:
    return PlainTextResponse(json.dumps({"error": words}), status, media_type="application/json")
