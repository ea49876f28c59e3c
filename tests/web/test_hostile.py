"""Every route of the app, with bodies and addresses that no page sends: one sentence with 4xx, or a good answer.

The routes are those that the app has, the fields those that a route is seen to read: a new one is tried by itself.
"""

import asyncio
import json
import random
import re
from collections import defaultdict
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any
from urllib.parse import quote

import pytest
from starlette.applications import Starlette
from starlette.datastructures import QueryParams
from starlette.routing import Route

from plateside.model.errors import InputError
from plateside.web.app import make_app
from plateside.web.guard.keys import Keys
from plateside.web.sent import Sent, read_json
from plateside.web.tool import Tool
from plateside.web.workers.jobs import Job
from tests.browser.serving import copy_shoot
from tests.web import hostile, loops

SEED = 14
BODIES = 3
"""Of each kind for a route; more when looked for by hand."""
ADDRESSES = 3
BEGUN = re.compile("^/(events|start/demo|work)")
"""A stream does not end; the demo is copied whatever is sent; work has numbers only."""


@pytest.mark.parametrize("name", sorted(hostile.MUST_REFUSE))
def test_what_is_no_body_is_refused_with_a_sentence(name: str) -> None:
    with pytest.raises(InputError):
        read_json(hostile.RAW_BODIES[name])


def test_what_is_a_body_is_read_as_it_is() -> None:
    said = {"a": [1, 2.5, '\U0001f35c \\" [[[[', None, True, {"b": []}], "c": -(10**15), "d": 1e-300}
    assert read_json(json.dumps(said).encode()) == said
    assert read_json(b"\xef\xbb\xbf" + json.dumps(said, ensure_ascii=False).encode()) == said
    assert read_json(("[" * 15 + "]" * 15).join(('{"a": ', "}")).encode())["a"] is not None
    with pytest.raises(InputError):
        read_json(("[" * 16 + "]" * 16).join(('{"a": ', "}")).encode())


class Walk:
    """The app in this process, its long work never begun, and what its routes read."""

    def __init__(self, root: Path, monkeypatch: pytest.MonkeyPatch) -> None:
        self.tool = Tool(root.parent, root, Keys("x" * 40), watch=False)
        # asked in turn: one process does for all four, which each would load what computes
        self.tool.looking = self.tool.long = self.tool.drawing = self.tool.quick
        self.app: Starlette = make_app(self.tool)
        self.read: set[str] = set()
        self.failed: list[str] = []
        self.tried = 0

        def begin(_hand: Any, work: str, args: dict[str, Any], *_: Any) -> Job:
            json.dumps(args, allow_nan=False).encode()
            return Job(1, work, args)

        async def opened(root: Path) -> None:
            assert root.is_dir()

        async def let_in() -> str:
            return "http://127.0.0.2:8766/"

        monkeypatch.setattr(self.tool.network, "open", let_in)
        monkeypatch.setattr(self.tool.jobs, "begin", begin)
        monkeypatch.setattr(self.tool, "open", opened)
        for cls in (Sent, QueryParams):
            for name in ("get", "__getitem__"):
                monkeypatch.setattr(cls, name, self._watched(getattr(cls, name)), raising=False)

    def _watched(self, real: Callable[..., Any]) -> Callable[..., Any]:
        def read(mapping: Any, name: Any, *more: Any) -> Any:
            self.read.add(str(name))
            return real(mapping, name, *more)

        return read

    def routes(self, method: str) -> Iterator[Route]:
        for route in self.app.routes:
            if isinstance(route, Route) and method in (route.methods or ()) and not BEGUN.match(route.path):
                yield route

    async def ask(
        self,
        method: str,
        path: str,
        query: str = "",
        body: bytes = b"",
        headers: tuple[bytes, bytes] = (b"x", b""),
    ) -> int:
        sent: list[dict[str, Any]] = []
        gave = [{"type": "http.request", "body": body, "more_body": False}]

        async def receive() -> dict[str, Any]:
            if gave:
                return gave.pop()
            await asyncio.Event().wait()
            raise AssertionError

        async def send(message: Any) -> None:
            sent.append(message)

        from urllib.parse import unquote

        await self.app(
            {
                "type": "http",
                "asgi": {"version": "3.0"},
                "http_version": "1.1",
                "method": method,
                "scheme": "http",
                "path": unquote(path),
                "raw_path": path.encode(),
                "query_string": query.encode(),
                "root_path": "",
                "headers": [(b"content-type", b"application/json"), headers],
                "client": ("127.0.0.1", 9),
                "server": ("127.0.0.1", 8),
                "state": {"is_desk": True, "is_paired": True, "who": "desk"},
            },
            receive,
            send,
        )
        self.tried += 1
        status = int(sent[0]["status"])
        text = b"".join(m.get("body", b"") for m in sent[1:])
        # 503: that this machine cannot do it, as a file that is gone; never for what was sent
        if not (200 <= status < 500):
            self.failed.append(f"{status} {method} {path[:80]}?{query[:80]} {body[:120]!r}: {text[:200]!r}")
        elif status in (400, 409, 422) and text and not text.startswith(b"<!doctype html>"):
            told = json.loads(text)["error"]
            assert told
            assert len(told) < 2000, told
            assert "Traceback" not in told
        return status

    async def learn(self, method: str, path: str) -> list[str]:
        """The names that a route reads: asked without any, then with those that it read."""
        known: set[str] = set()
        while True:
            self.read = set()
            given = dict.fromkeys(known, "x")
            query = "&".join(f"{n}=x" for n in known)
            await self.ask(method, path, query if method == "GET" else "", hostile.as_body(given))
            if self.read <= known:
                return sorted(known)
            known |= self.read


GOOD: dict[str, list[dict[str, Any]]] = {
    "/press": [
        {"kind": "kept", "data": {"frame": "$frame"}, "version": 9999},
        {
            "kind": "crop",
            "data": {"shot": "three-bowls", "channel": "page-wide", "box": [0, 0, 1, 1]},
            "version": 9999,
        },
        {"kind": "words", "data": {"shot": "three-bowls", "field": "title", "text": "x"}, "version": 9999},
        {"kind": "camera clock", "data": {"camera": "x", "offset_s": 3600}, "version": 9999},
        {"kind": "frame belongs", "data": {"frame": "$frame", "shot": "one-bowl"}, "version": 9999},
    ],
    "/settings/shoot": [
        {"version": "$shoot", "changes": [{"put": ["recipe", "title"], "value": "x"}]},
        {"version": "$shoot", "changes": [{"put": ["date"], "value": "2027-07-15"}]},
        {"version": "$shoot", "changes": [{"put": ["shots", 0, "frame_width_mm"], "value": 400}]},
        {"version": "$shoot", "changes": [{"add": ["recipe", "steps"], "item": {"text": "x"}}]},
        {"version": "$shoot", "changes": [{"move": ["shots", 0], "to": 1}]},
        {"version": "$shoot", "changes": [{"take": ["shots", 5]}]},
    ],
    "/settings/studio": [
        {"version": "$studio", "changes": [{"put": ["room", "width_m"], "value": 4.2}]},
        {"version": "$studio", "changes": [{"put": ["windows", 0, "bearing_deg"], "value": 90}]},
        {
            "version": "$studio",
            "changes": [{"add": ["boards"], "item": {"name": "b", "width_mm": 300, "height_mm": 300}}],
        },
    ],
    "/start/new": [
        {
            "place": {"name": "x", "timezone": "Europe/London", "latitude_deg": 55.9, "longitude_deg": -3.2},
            "dish": "soup",
            "creator": "x",
            "date": "2027-07-15",
            "folder": "",
            "facing_deg": 90,
            "focal_mm": 35,
            "focal_to_mm": 70,
        },
    ],
    "/start/next": [{"studio_of": "$key", "dish": "soup", "date": "2027-07-15"}],
    "/studio/card": [{"frame": "x.dng", "patch": [0.4, 0.4, 0.2, 0.2], "reflectance": 0.18}],
    "/studio/bearing": [{"window": "", "notes": [["2027-07-15T12:00", "wall", "1", "1"]]}],
    "/studio/fix": [{"which": "shoot", "line": 1, "text": "format = 1", "version": "x", "below": False}],
    "/set/lamp-off": [{"shot": "three-bowls", "frame": "$frame"}],
    "/deliver/crop": [{"shot": "three-bowls", "channel": "page-wide", "box": [0, 0, 1, 1]}],
    "/choose/pictures": [{"frames": ["$frame"]}],
    "/light/picture": [
        {"for": "shot:three-bowls", "day": "2027-07-15", "at": "12:00", "quality": "rough", "lux": 40}
    ],
    "/light/sky": [{"packed": "H4sIAAAAAAAA/wMAAAAAAAAAAAA=", "day": "2027-07-15"}],
}
"""What a page would send, of which one thing at a time is exchanged; other routes are tried by their fields alone."""


AT_HAND = {"/set/open-frames"}
"""Takes nothing, and would open a window on the desk of whoever runs the tests."""


async def _walk(walk: Walk, rng: random.Random, bodies: int, addresses: int) -> None:
    from plateside.files.journal.state import read_state

    frame = next(iter(read_state(walk.tool.shoot).landed))
    parts = defaultdict(
        lambda: ["three-bowls", frame],
        {"which": ["shoot", "studio"], "paper": ["A4"], "size": ["view"], "job:int": ["1"]},
    )

    def filled(path: str, hostile_part: str = "") -> str:
        return re.sub(r"{([\w:]+)}", lambda m: hostile_part or quote(rng.choice(parts[m[1]])), path)

    for route in walk.routes("POST"):
        if route.path in AT_HAND:
            continue
        path = filled(route.path)
        names = await walk.learn("POST", path)
        sent = [hostile.RAW_BODIES[n] for n in rng.sample(sorted(hostile.RAW_BODIES), bodies)]
        sent += [hostile.as_body({n: rng.choice(hostile.VALUES) for n in names}) for _ in range(bodies)]
        for good in GOOD.get(path, []):
            text = json.dumps(good).replace("$frame", frame).replace("$key", "shoot")
            for _ in range(bodies):
                now = text
                for which in ("shoot", "studio"):
                    if f"${which}" in now:
                        from plateside.tasks.studio.edit import read_settings

                        now = now.replace(f"${which}", read_settings(walk.tool.shoot, which).version)
                sent_now = hostile.as_body(hostile.like(json.loads(now), rng))
                await walk.ask("POST", path, body=sent_now)
        for body in sent:
            await walk.ask("POST", path, body=body)
    for part in rng.sample(hostile.IN_ADDRESS, addresses):
        await walk.ask("GET", f"/static/{part}")
    for route in walk.routes("GET"):
        header = rng.choice(hostile.HEADERS)
        await walk.ask("GET", filled(route.path), headers=header)
        names = await walk.learn("GET", filled(route.path))
        if "{" in route.path:
            for part in rng.sample(hostile.IN_ADDRESS, addresses):
                await walk.ask("GET", filled(route.path, part.replace("%zz", "%25zz") or "x"))
        for name in names:
            for value in rng.sample(hostile.IN_ADDRESS, addresses):
                twice = f"&{name}={rng.choice(hostile.IN_ADDRESS)}" if rng.random() < 0.2 else ""
                await walk.ask("GET", filled(route.path), f"{name}={value}{twice}")


def walked(root: Path, monkeypatch: pytest.MonkeyPatch, seed: int, bodies: int, addresses: int) -> Walk:
    walk = Walk(root, monkeypatch)

    async def run() -> None:
        try:
            await _walk(walk, random.Random(seed), bodies, addresses)
        finally:
            await walk.tool.quick.close()

    loops.run(run())
    return walk


@pytest.mark.slow
def test_no_route_falls_over_anything_that_is_sent(
    _made_shoot: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    walk = walked(copy_shoot(_made_shoot, tmp_path / "shoot"), monkeypatch, SEED, BODIES, ADDRESSES)
    assert walk.failed == []
    assert walk.tried > 300
