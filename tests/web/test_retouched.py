"""Retouched files sent from the Finish page: at the laptop alone, into their own folder alone, and taken in at once."""

from pathlib import Path
from typing import Any

import pytest

from plateside.files.pictures import encode, read_picture
from tests.browser.serving import Served, serve
from tests.shoots.re_lit import finished_shoot
from tests.web.requests import Answer, change, send, token
from tests.web.tablets import TABLET, pair, secret_of


@pytest.fixture
def served(tmp_path: Path) -> Any:
    running = serve(finished_shoot(tmp_path / "shoot"), "--no-watch", "--tablet-address", TABLET)
    yield running
    running.stop()


def begin(served: Served, name: str, size: int, **where: Any) -> Answer:
    return change(
        served, "/finish/retouched", {"name": name, "size": size, "changed_ms": 4_000_000_000_000}, **where
    )


def part(served: Served, key: str, at: int, size: int, data: bytes, **headers: str) -> Answer:
    given = {
        "Host": f"127.0.0.1:{served.port}", "Origin": f"http://127.0.0.1:{served.port}",
        "Content-Type": "application/octet-stream", "X-Plateside-Token": token(served),
        "Cookie": served.cookie, **headers,
    }  # fmt: skip
    address, port = given["Host"].split(":")
    query = f"at={at}&size={size}&changed_ms=4000000000000"
    return send(address, int(port), "POST", f"/finish/retouched/{key}?{query}", given, data)


def test_it_is_taken_in_and_nothing_is_replaced(served: Served) -> None:
    made = read_picture(served.root / "finished" / "near.tif")
    for number, name in enumerate(("near-Edit.png", "near-Edit-2.png")):
        pixels = made.pixels.copy()
        pixels[: 20 + number] //= 2
        data = encode(pixels, "png", 1, made.xmp)
        first = begin(served, "near-Edit.png", len(data)).json
        half = part(served, first["key"], 0, len(data), data[:500_000]).json
        assert half["have"] == min(500_000, len(data))
        came = (
            half if half.get("done") else part(served, first["key"], 500_000, len(data), data[500_000:]).json
        )
        assert (came["done"], came["name"], came["code"]) == (True, name, "taken")
        assert (served.root / "finished" / "retouched" / name).read_bytes() == data
    for name in ("near.psd", "near.exe", "../near"):
        assert begin(served, name, 100).status == 422


def test_a_tablet_sends_none(served: Served) -> None:
    url = change(served, "/tablet/invite", {}).json["url"]
    port = int(url.rstrip("/").rsplit(":", 1)[1])
    cookie = pair(port, secret_of(served)).headers["set-cookie"].split(";")[0]
    assert begin(served, "near-Edit.png", 100, address=TABLET, port=port, Cookie=cookie).status == 403
    as_tablet = {"Host": f"{TABLET}:{port}", "Origin": f"http://{TABLET}:{port}", "Cookie": cookie}
    assert part(served, "0" * 24, 0, 10, b"x" * 10, **as_tablet).status in (403, 415)
    assert not (served.root / "finished" / "retouched").exists()
