"""Frames to take for a likely good one, against the binomial law."""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.stats import binom

from plateside.camera.alone import BLINK_S, BLINKS_PER_S, GOOD_SHARE, burst, eyes_open, frames_needed
from plateside.camera.motion import MOVERS


@given(st.floats(0.05, 0.98), st.floats(0.5, 0.99))
def test_the_fewest_frames_that_do(share: float, wanted: float) -> None:
    n = frames_needed(share, wanted)
    assert binom.sf(0, n, share) >= wanted - 1e-6
    if n > 1:
        assert binom.sf(0, n - 1, share) < wanted


def test_eyes_open_follows_poisson_blinks() -> None:
    assert eyes_open(0.0) == pytest.approx(math.exp(-BLINKS_PER_S * BLINK_S))
    assert eyes_open(0.1, 3) == pytest.approx(eyes_open(0.1) ** 3)
    assert eyes_open(1.0) < eyes_open(0.01)


def test_every_motion_has_its_assumption_and_it_is_said() -> None:
    assert set(GOOD_SHARE) == set(MOVERS)
    told = burst("silk pour", True, 1 / 60)
    assert (told.moves_share, told.eyes_share) == (GOOD_SHARE["silk pour"], eyes_open(1 / 60))
    assert burst("silk pour", True, 1 / 60).frames > burst("silk pour", False, 1 / 60).frames
    assert burst("nothing", False, 1.0).frames == 2
