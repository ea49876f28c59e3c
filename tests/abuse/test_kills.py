"""Work killed in the middle: a seeded few; `python -m bench kills` kills a thousand times, by the clock as well."""

import os
import sys
from pathlib import Path

import pytest

from tests.abuse import kills_of_serve
from tests.abuse.victims import VICTIMS
from tests.killed import run_alone

pytestmark = pytest.mark.skipif(not hasattr(os, "fork"), reason="processes are not forked here")


@pytest.mark.slow
def test_killed_at_any_change_nothing_is_lost_doubled_or_left_behind(tmp_path: Path) -> None:
    # in one program: each makes its shoots anew
    count = max(45, 3 * len(VICTIMS))
    got = run_alone("tests.abuse.kills", tmp_path, count, 1, "few")
    assert got["faults"] == []
    assert sum(got["kills"].values()) >= count
    assert len(got["kills"]) == len(VICTIMS)


@pytest.mark.skipif(sys.platform != "linux", reason="the children are listed by /proc")
def test_a_server_killed_during_presses_has_kept_every_answered_one(tmp_path: Path) -> None:
    tally = kills_of_serve.run(tmp_path, 6, seed=1)
    assert tally.faults == []
    assert tally.kills == 6
    assert tally.presses > 0
