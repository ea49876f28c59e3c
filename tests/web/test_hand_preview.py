"""The picture that follows your hand: kept by a browser only under the address of what it was made of."""

from pathlib import Path
from typing import Any

import pytest

from plateside.tasks.finish.shown import finishing
from tests.browser.serving import Served, serve
from tests.shoots.re_lit import finished_shoot
from tests.web.requests import get


@pytest.fixture
def served(tmp_path: Path) -> Any:
    running = serve(finished_shoot(tmp_path / "shoot"), "--no-watch")
    yield running
    running.stop()


def test_it_is_kept_only_where_the_address_says_what_it_was_made_of(served: Served) -> None:
    now = next(s["preview_version"] for s in finishing(served.root)["shots"] if s["name"] == "near")
    path = "/finish/hand/near.jpg?brighter_stops=0.2&v="
    kept, not_kept = (get(served, path + version) for version in (now, "earlier"))
    assert kept.body[:2] == not_kept.body[:2] == b"\xff\xd8"
    assert "max-age" in kept.headers["cache-control"]
    assert not_kept.headers["cache-control"] == "no-store"
    frames = served.root / "frames"
    for frame in frames.glob("*.jpg"):
        data = frame.read_bytes()
        frame.unlink()
        frame.write_bytes(data + b"\0")
    assert get(served, path + now).status == 422
