"""Whoever must not get in: a seeded few; `python -m bench strangers` asks ten thousand times."""

import sys
from collections.abc import Iterator

import pytest

from tests.abuse import strangers
from tests.abuse.strange_requests import KINDS, Door

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
