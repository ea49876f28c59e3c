"""Whoever must not get in: a seeded few; `python -m bench strangers` asks ten thousand times."""

import sys
from collections.abc import Iterator

import pytest

from tests.abuse import strangers
from tests.abuse.strange_requests import KINDS, Asked, Door

pytestmark = pytest.mark.skipif(
    sys.platform != "linux", reason="127.0.0.2 is an address of its own here only"
)


@pytest.fixture(scope="module")
def here(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Door]:
    with strangers.door(tmp_path_factory.mktemp("strangers")) as opened:
        yield opened


def test_a_seeded_few_strange_requests_are_refused_and_told_nothing(here: Door) -> None:
    tally = strangers.run(here, 40 * len(KINDS), seed=1)
    assert tally.faults == []
    assert set(tally.asked) == set(KINDS)


def test_streams_of_a_tablet_never_end_the_desks(here: Door) -> None:
    assert strangers.streams(here, 60) == []


@pytest.mark.parametrize(
    ("status", "told", "is_wrong"),
    [
        (401, b"content-type: x\n\nno", False),
        (200, b"content-type: x\n\nno", True),
        (429, b"content-type: x\n\nno", False),
        (401, b"content-type: x\n\nthe folder is /home/you/soup", True),
        (401, b"x-made-up: 1\n\nno", True),
    ],
)
def test_a_leak_an_answer_and_a_made_up_header_are_seen(status: int, told: bytes, is_wrong: bool) -> None:
    asked = Asked(("127.0.0.1", 1), "GET", "/", {}, frozenset({401}))
    assert bool(strangers._wrong(asked, status, told, ("code", "token", "/home/you/soup"))) is is_wrong
