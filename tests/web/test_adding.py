"""Photographs added over the network: by the desk and paired devices alone, into the frames folder alone."""

import json
from pathlib import Path
from typing import Any

import pytest

from tests.browser.serving import Served, copy_shoot, serve
from tests.unit.files.jpegs import jpeg
from tests.web.requests import Answer, change, send, token
from tests.web.tablets import TABLET, pair, secret_of


def begin(served: Served, name: str, size: int, **where: Any) -> Answer:
    return change(served, "/set/add", {"name": name, "size": size, "changed_ms": 5}, **where)


def part(served: Served, key: str, at: int, size: int, data: bytes, **headers: str) -> Answer:
    given = {
        "Host": f"127.0.0.1:{served.port}", "Origin": f"http://127.0.0.1:{served.port}",
        "Content-Type": "application/octet-stream", "X-Plateside-Token": token(served),
        "Cookie": served.cookie, **{k.replace("_", "-"): v for k, v in headers.items()},
    }  # fmt: skip
    address, port = given["Host"].split(":")
    return send(address, int(port), "POST", f"/set/add/{key}?at={at}&size={size}", given, data)


def test_at_the_desk_in_two_parts(served_once: Served) -> None:
    data = jpeg(11)
    first = begin(served_once, "desk.jpg", len(data)).json
    assert first["have"] == 0
    half = part(served_once, first["key"], 0, len(data), data[:1000]).json
    assert (half["have"], half["whole"]) == (1000, False)
    assert begin(served_once, "desk.jpg", len(data)).json["have"] == 1000
    whole = part(served_once, first["key"], 1000, len(data), data[1000:]).json
    assert (whole["done"], whole["name"]) == (True, "desk.jpg")
    assert (served_once.root / "frames/desk.jpg").read_bytes() == data


def test_a_paired_tablet_adds_and_replaces_nothing(_made_shoot: Path, tmp_path: Path) -> None:
    served = serve(copy_shoot(_made_shoot, tmp_path / "shoot"), "--no-watch", "--tablet-address", TABLET)
    try:
        url = change(served, "/tablet/invite", {}).json["url"]
        port = int(url.rstrip("/").rsplit(":", 1)[1])
        cookie = pair(port, secret_of(served)).headers["set-cookie"].split(";")[0]
        there = sorted(p.name for p in (served.root / "frames").iterdir())
        before = (served.root / "frames" / there[0]).read_bytes()
        data = jpeg(12)
        begun = begin(served, there[0], len(data), address=TABLET, port=port, Cookie=cookie)
        assert begun.status == 200
        as_tablet = {"Host": f"{TABLET}:{port}", "Origin": f"http://{TABLET}:{port}", "Cookie": cookie}
        came = part(served, begun.json["key"], 0, len(data), data, **as_tablet).json
        assert came["done"]
        assert came["name"] not in there
        assert (served.root / "frames" / there[0]).read_bytes() == before
        # a stranger at the same address adds nothing
        as_stranger = {**as_tablet, "Cookie": "plateside_tablet=x"}
        assert begin(served, "x.jpg", 10, address=TABLET, port=port, Cookie="").status in (401, 403)
        assert part(served, begun.json["key"], 0, len(data), data, **as_stranger).status in (401, 403)
    finally:
        served.stop()


@pytest.mark.parametrize(
    ("headers", "status"),
    [
        ({"Origin": "http://evil.example"}, 403), ({"X_Plateside_Token": "x"}, 403),
        ({"Content_Type": "text/plain"}, 415), ({"Content_Type": "multipart/form-data"}, 415),
        ({"Content_Length": "5000000"}, 413), ({"Cookie": ""}, 401), ({"Host": "evil.example:80"}, 421),
    ],
)  # fmt: skip
def test_foreign_parts_are_refused(served_once: Served, headers: dict[str, str], status: int) -> None:
    key = begin(served_once, "foreign.jpg", 1000).json["key"]
    if "Host" in headers:
        given = {
            "Host": headers["Host"],
            "Cookie": served_once.cookie,
            "Content-Type": "application/octet-stream",
        }
        got = send(
            "127.0.0.1", served_once.port, "POST", f"/set/add/{key}?at=0&size=1000", given, b"x" * 1000
        )
    else:
        got = part(served_once, key, 0, 1000, b"x" * 1000, **headers)
    assert got.status == status
    assert begin(served_once, "foreign.jpg", 1000).json["have"] == 0
    change(served_once, f"/set/add/{key}/stop", {})


@pytest.mark.parametrize(
    "sent",
    [
        {"name": "a.jpg", "size": -1, "changed_ms": 1}, {"name": "a.jpg", "size": 10**12, "changed_ms": 1},
        {"name": "page.html", "size": 10, "changed_ms": 1}, {"name": "..", "size": 10, "changed_ms": 1},
        {"name": 5, "size": 10, "changed_ms": 1}, {"name": "a.jpg", "size": "10", "changed_ms": 1},
        {"name": "a.jpg", "size": 10}, {},
    ],
)  # fmt: skip
def test_what_cannot_be_is_refused_in_a_sentence(served_once: Served, sent: dict[str, Any]) -> None:
    got = change(served_once, "/set/add", sent)
    assert got.status == 422
    assert json.loads(got.body)["error"].endswith(".")


@pytest.mark.parametrize(
    "query", ["at=-1&size=5", "at=x&size=5", "size=5", "at=0", "at=0&size=99999999999999"]
)
def test_a_part_without_its_place_is_refused(served_once: Served, query: str) -> None:
    key = begin(served_once, "query.jpg", 5).json["key"]
    given = {
        "Origin": f"http://127.0.0.1:{served_once.port}", "Content-Type": "application/octet-stream",
        "X-Plateside-Token": token(served_once), "Cookie": served_once.cookie,
    }  # fmt: skip
    got = send("127.0.0.1", served_once.port, "POST", f"/set/add/{key}?{query}", given, b"12345")
    assert got.status == 422
    change(served_once, f"/set/add/{key}/stop", {})


def test_a_script_that_calls_itself_a_picture_never_reaches_the_frames(served_once: Served) -> None:
    data = b"<script>alert(1)</script>" * 50
    key = begin(served_once, "script.jpg", len(data)).json["key"]
    got = part(served_once, key, 0, len(data), data)
    assert got.status == 422
    assert not (served_once.root / "frames/script.jpg").exists()
