"""Every route that the app has, asked by whoever must not get in, each in every way: one more route is asked by itself.

In this process and by the real guard, with a clock that lets all through: none comes too often.
Right answers: RFC 9110 (401, 403, 404, 405, 415, 421, 422) as docs/decisions/0014-doors.md gives them.
"""

import itertools
import json
import re
from collections.abc import Coroutine, Iterator
from pathlib import Path
from typing import Any, TypeVar
from urllib.parse import unquote

import pytest
from starlette.requests import Request
from starlette.responses import PlainTextResponse
from starlette.routing import BaseRoute, Mount, Route

from plateside.web.app import make_app
from plateside.web.guard import guard
from plateside.web.guard.guard import COOKIE, FOR_STRANGERS, FOR_THE_DESK, Guard, Listener
from plateside.web.guard.keys import Keys
from plateside.web.guard.rates import Buckets
from plateside.web.guard.tablets_may import ROUTES
from plateside.web.tool import Tool
from tests.shoots.small import make_small_shoot
from tests.web import loops

DESK, TABLETS = "127.0.0.1:8765", "127.0.0.2:8766"
LETTER = "the-neighbours-letter"
STEPS = (
    "..%2f..%2f",
    "..%5c..%5c",
    "%2e%2e/%2e%2e/",
    "%252e%252e%252f",
    "....//....//",
    "%2f",
    "~%2f",
    "./../../",
)
"""From memory of OWASP's path traversal page: percent signs, back strokes, doubled, twice encoded."""
TARGETS = ("outside/letter.txt", "shoot.toml", "journal.jsonl", "etc/passwd", "outside/letter.txt%00.jpg")
T = TypeVar("T")
NOT_THERE = frozenset({400, 403, 404, 405, 409, 422})

NOTHING_TO_STOP = "/set/add/{key}/stop"
"""What is not on its way is stopped already: it says so, and nothing is done."""


class Doors:
    """The app behind its two guards, without a network between; a letter stands beside the shoot, links lead to it."""

    def __init__(self, folder: Path) -> None:
        self.root, outside = make_small_shoot(folder / "shoot"), folder / "outside"
        outside.mkdir()
        (outside / "letter.txt").write_text(LETTER, "utf-8")
        for made in ("finished", "delivery", ".plateside/layouts", ".plateside/thumbnails"):
            (self.root / made).mkdir(parents=True, exist_ok=True)
            (self.root / made / "link.jpg").symlink_to(outside / "letter.txt")
            (self.root / made / "out").symlink_to(outside)
        self.tool = Tool(self.root, self.root, Keys("k" * 43), watch=False)
        self.app = make_app(self.tool)
        devices = self.tool.devices
        self.used = devices.invite().secret
        self.cookie = devices.pair(self.used, "tablet")
        self.expired = devices.invite().secret
        devices.invite()
        seconds = itertools.count(0.0, 1000.0)
        buckets = Buckets(lambda: next(seconds))
        self.guards = {
            host: Guard(
                self.app, self.tool.keys, self.tool.desk, devices,
                Listener(frozenset({host}), is_desk=host == DESK), buckets,
            )
            for host in (DESK, TABLETS)
        }  # fmt: skip
        _, _, key = self.tool.desk.address().partition("desk#")
        self.desk_cookie = f"{self.tool.desk.cookie_name}={self.tool.desk.let_in(key)}"

    def own(self, host: str) -> dict[str, str]:
        """The cookie that is good there."""
        return {"cookie": self.desk_cookie if host == DESK else f"{COOKIE}={self.cookie}"}

    def run(self, asking: Coroutine[Any, Any, T]) -> T:
        """What is asked, and its hands ended afterwards."""

        async def asked() -> T:
            try:
                return await asking
            finally:
                await self.tool.end_waiting()

        return loops.run(asked())

    async def ask(self, host: str, method: str, path: str, headers: dict[str, str]) -> tuple[int, bytes]:
        """Status and body; headers as one of our own pages sends them, with `headers` in their place."""
        given = {
            "host": host, "origin": f"http://{host}", "x-plateside-token": self.tool.keys.change_token,
            "content-type": "application/json", **headers,
        }  # fmt: skip
        path, _, query = path.partition("?")
        scope = {
            "type": "http", "method": method, "path": unquote(path), "raw_path": path.encode(),
            "query_string": query.encode(), "root_path": "", "http_version": "1.1", "scheme": "http",
            "headers": [(k.encode(), v.encode()) for k, v in given.items()],
            "client": ("127.0.0.9", 50_000), "server": ("127.0.0.1", int(host[-4:])),
        }  # fmt: skip
        sent: list[Any] = []

        async def receive() -> Any:
            return {"type": "http.request", "body": b"{}", "more_body": False}

        async def hear(message: Any) -> None:
            sent.append(message)

        await self.guards[host](scope, receive, hear)
        return int(sent[0]["status"]), b"".join(m.get("body", b"") for m in sent[1:])


def every_route(routes: list[BaseRoute]) -> Iterator[tuple[str, str]]:
    """Method and path as the app has it."""
    for route in routes:
        if isinstance(route, Mount):
            yield "GET", route.path + "/{path:path}"
        elif isinstance(route, Route):
            yield from ((method, route.path) for method in sorted(route.methods or ()) if method != "HEAD")


def filled(path: str, part: str) -> str:
    """The path with the same in each of its parts; numbers stay numbers."""
    return re.sub(r"{[\w]+(:\w+)?}", lambda m: "1" if m[1] == ":int" else part, path)


@pytest.fixture
def doors(tmp_path: Path) -> Doors:
    return Doors(tmp_path)


async def _strangers(doors: Doors, method: str, path: str) -> Iterator[str]:
    """What was let through of what must not be."""
    wrong = []
    one = filled(path, "x")

    async def refused(what: str, right: int, at: str, headers: dict[str, str]) -> None:
        status, told = await doors.ask(at, method, one, headers)
        if status != right:
            wrong.append(f"{method} {path}, {what} at {at}: {status}")
        if any(word.encode() in told for word in (doors.tool.keys.change_token, str(doors.root), LETTER)):
            wrong.append(f"{method} {path}, {what} at {at}: told {told[:200]!r}")

    for host in (DESK, TABLETS):
        own = doors.own(host)
        for name in ("evil.example", f"localhost.evil.example:{host[-4:]}", "", f"{host}.", "[::1]"):
            await refused(f"host {name!r}", 421, host, {**own, "host": name})
        open_to_all = one in (FOR_THE_DESK if host == DESK else FOR_STRANGERS)
        if not open_to_all:
            cookies = {
                "no cookie": "", "a guess": f"{COOKIE}={'A' * 43}", "the used code": f"{COOKIE}={doors.used}",
                "the code that is void": f"{COOKIE}={doors.expired}",
                "the other door's": doors.own(TABLETS if host == DESK else DESK)["cookie"],
                "the code at the desk": f"{doors.tool.desk.cookie_name}={doors.used}",
            }  # fmt: skip
            for what, cookie in cookies.items():
                await refused(what, 401, host, {"cookie": cookie})
                status, _ = await doors.ask(host, method, one, {"cookie": cookie, "accept": "text/html"})
                if status != (303 if method == "GET" else 401):
                    wrong.append(f"{method} {path}, {what}, as a page, at {host}: {status}")
        if method == "POST":
            for origin in (
                "http://evil.example",
                "null",
                "",
                f"https://{host}",
                f"http://{host}.evil.example",
            ):
                await refused(f"origin {origin!r}", 403, host, {**own, "origin": origin})
            if not open_to_all:
                await refused("no token", 403, host, {**own, "x-plateside-token": ""})
                await refused("a form", 415, host, {**own, "content-type": "text/plain"})
    if (method, path) not in ROUTES and not path.startswith("/static"):
        await refused("a paired tablet", 403, TABLETS, doors.own(TABLETS))
    return iter(wrong)


def test_every_route_turns_away_whoever_must_not_get_in(doors: Doors) -> None:
    routes = list(every_route(doors.app.routes))
    assert len(routes) > 100

    async def run() -> list[str]:
        return [wrong for method, path in routes for wrong in await _strangers(doors, method, path)]

    assert doors.run(run()) == []


def test_no_part_of_any_address_leads_out_of_what_is_shown(doors: Doors) -> None:
    ways = [(step * times, target) for step in STEPS for times in (1, 3) for target in TARGETS]
    ways += [("", "link.jpg"), ("", "out/letter.txt"), ("", "out%2fletter.txt"), ("./", "link.jpg")]
    tried = set()

    async def run() -> list[str]:
        wrong = []
        for method, path in every_route(doors.app.routes):
            if not re.search(r"{\w+(:path)?}", path):
                continue
            tried.add(path)
            for host in (DESK, TABLETS):
                for steps, target in ways:
                    one = filled(path, steps + target)
                    status, told = await doors.ask(host, method, one, doors.own(host))
                    if LETTER.encode() in told or b"root:" in told or b'"shot current"' in told:
                        wrong.append(f"{method} {one} at {host}: told {told[:80]!r}")
                    elif status not in NOT_THERE and path != NOTHING_TO_STOP:
                        wrong.append(f"{method} {one} at {host}: {status} {told[:80]!r}")
        return wrong

    assert doors.run(run()) == []
    assert {"/finish/files/{path:path}", "/deliver/files/{path:path}", "/static/{path:path}"} <= tried


def test_what_is_asked_of_each_route_is_told_apart(doors: Doors) -> None:
    """The same requests with what is right get in: else everything would be refused for another reason."""

    async def run() -> list[tuple[int, bytes]]:
        asked = (
            (DESK, "GET", "/set"), (TABLETS, "GET", "/set"), (TABLETS, "POST", "/press"), (DESK, "GET", "/tablet/now"),
        )  # fmt: skip
        got = [await doors.ask(host, method, path, doors.own(host)) for host, method, path in asked]
        return [*got, await doors.ask(DESK, "POST", "/desk", {})]

    *got, (_, without_key) = doors.run(run())
    assert [status for status, _ in got] == [200, 200, 422, 200]
    # without a key it is told to nobody where to go
    assert json.loads(without_key) == {"to": ""}


def test_a_new_route_is_asked_like_every_other(doors: Doors, monkeypatch: pytest.MonkeyPatch) -> None:
    """One that lets strangers in, and tells them the folder, is found as soon as the app has it."""

    async def new(_request: Request) -> PlainTextResponse:
        return PlainTextResponse(str(doors.root))

    doors.app.router.routes.append(Route("/new/{name}", new))
    for name, those in (("FOR_STRANGERS", FOR_STRANGERS), ("FOR_THE_DESK", FOR_THE_DESK)):
        monkeypatch.setattr(guard, name, frozenset({*those, "/new/x"}))
    assert ("GET", "/new/{name}") in every_route(doors.app.routes)
    wrong = list(doors.run(_strangers(doors, "GET", "/new/{name}")))
    assert any("no cookie" in one and one.endswith(f"{DESK}: 200") for one in wrong)
    assert any("no cookie" in one and "told" in one for one in wrong)
    # a tablet's list is a second wall: what gets through the first is refused there, with another answer
    assert any("no cookie" in one and one.endswith(f"{TABLETS}: 403") for one in wrong)
