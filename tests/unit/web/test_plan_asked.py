"""What a page may ask of its drawings: answered, or refused in words, whatever stands in the address."""

import json
from collections.abc import Callable
from pathlib import Path
from typing import Any
from urllib.parse import quote

import pytest
from starlette.applications import Starlette

from plateside.demo.data import copy_demo
from plateside.web.app import make_app
from plateside.web.guard.keys import Keys
from plateside.web.tool import Tool
from tests.unit.drawing.reading import parse
from tests.web import loops

Ask = Callable[[str, str, Any], tuple[int, Any]]


@pytest.fixture(scope="module")
def ask(tmp_path_factory: pytest.TempPathFactory) -> Ask:
    """The app without a network between, as its guard lets a request through: method and address to status and JSON."""
    root: Path = tmp_path_factory.mktemp("asked")
    copy_demo(root)
    app: Starlette = make_app(Tool(root, root, Keys("k" * 43), watch=False))

    def asked(method: str, address: str, told: Any = None) -> tuple[int, Any]:
        path, _, query = address.partition("?")
        scope = {
            "type": "http", "method": method, "path": path, "raw_path": path.encode(), "query_string": query.encode(),
            "root_path": "", "headers": [(b"host", b"h"), (b"content-type", b"application/json")],
            "client": ("127.0.0.1", 50000), "server": ("h", 80), "scheme": "http", "http_version": "1.1",
            "state": {"who": "desk", "is_desk": True},
        }  # fmt: skip
        sent: list[Any] = []

        async def receive() -> Any:
            return {"type": "http.request", "body": json.dumps(told).encode(), "more_body": False}

        async def hear(message: Any) -> None:
            sent.append(message)

        loops.run(app(scope, receive, hear))
        return sent[0]["status"], json.loads(b"".join(m.get("body", b"") for m in sent[1:]))

    return asked


def plan(asked: Any, wide: str = "900", high: str = "700") -> str:
    text = asked if isinstance(asked, str) else json.dumps(asked)
    return f"/studio/plan?wide={wide}&high={high}&asked={quote(text)}"


@pytest.mark.parametrize(
    "asked",
    [
        {}, {"chosen": None}, {"chosen": []}, {"chosen": ["spots", "x"]}, {"chosen": ["spots", 99], "shot": "none"},
        {"chosen": ["spots", 0], "shot": "bowl-at-an-angle", "placed": [{"at": [0], "values": {"side": "far"}}]},
        {"chosen": ["windows", 0], "moved": [{"at": ["windows", 0], "values": {"from_left_m": 0.4}}]},
        {"moved": [], "placed": []},
    ],
)  # fmt: skip
def test_a_plan_is_drawn(ask: Ask, asked: Any) -> None:
    status, told = ask("GET", plan(asked), None)
    assert status == 200
    parse(told["svg"])


@pytest.mark.parametrize(
    "address",
    [
        "/studio/plan", plan({}, "x"), plan({}, "nan"), plan({}, "inf"), plan({}, "1e9"), plan("["), plan("[]"),
        plan({"chosen": 5}), plan({"chosen": [None]}), plan({"chosen": [[1]]}), plan({"shot": 5}), plan({"moved": 5}),
        plan({"moved": {}}), plan({"moved": [5]}), plan({"moved": [{}]}),
        plan({"moved": [{"at": ["spots", 0], "values": {"from_left_m": "1"}}]}),
        plan({"moved": [{"at": ["spots", 0], "values": {"name": 1}}]}),
        plan({"chosen": ["spots", 0], "shot": "pour", "placed": [{"at": [0], "values": {"side": []}}]}),
    ],
)  # fmt: skip
def test_what_is_no_plan_is_refused_in_words(ask: Ask, address: str) -> None:
    status, told = ask("GET", address, None)
    assert status == 422
    assert told["error"]


@pytest.mark.parametrize(
    "told", [{}, {"step": "room"}, {"step": "no step", "width_m": 4}, {"step": "place", "place": 5}]
)
def test_a_sketch_is_drawn_of_anything(ask: Ask, told: Any) -> None:
    status, found = ask("POST", "/start/sketch", told)
    assert status == 200
    parse(found["svg"])
