"""What the shutter makes of motion, and noise with less light."""

import math

import pytest

from plateside.camera.motion import MOVERS, SILK_PX, judge, longest_exposure_s
from plateside.camera.noise import estimate
from plateside.camera.statics import settle_s
from plateside.model.shoot import Shot

PIXEL, CIRCLE, M = 23.5 / 6000, 0.019, 0.0526


def test_every_word_of_the_shot_is_known() -> None:
    allowed = next(f for f in Shot.__dataclass_fields__.values() if f.name == "moves").metadata["words"]
    assert set(allowed) == set(MOVERS)


@pytest.mark.parametrize(
    ("moves", "fall", "fast", "slow"),
    # the trade's own shutters (common practice, no source): a hand 1/125, a pour 1/60, drops 1/1000
    [
        ("hand", 0.1, 1 / 128, 1 / 32),
        ("silk pour", 0.1, 1 / 64, 1 / 16),
        ("frozen drops", 0.1, 1 / 1024, 1 / 256),
    ],
)
def test_the_trades_shutters(moves: str, fall: float, fast: float, slow: float) -> None:
    assert judge(moves, fall, M, fast, PIXEL, CIRCLE).holds
    assert not judge(moves, fall, M, slow, PIXEL, CIRCLE).holds


def test_nothing_moves_holds_at_any_shutter() -> None:
    got = judge("nothing", 0.1, M, 30.0, PIXEL, CIRCLE)
    assert got.holds
    assert got.streak_px == 0.0
    assert longest_exposure_s(0.0, M, 3.0, PIXEL) == math.inf


def test_hands_hold_no_longer_than_their_limit() -> None:
    assert judge("nothing", 0.1, M, 1 / 64, PIXEL, CIRCLE, hand_limit_s=1 / 54).holds
    assert not judge("nothing", 0.1, M, 1 / 8, PIXEL, CIRCLE, hand_limit_s=1 / 54).holds


def test_a_short_shutter_shows_the_drops_in_a_silk_pour() -> None:
    assert judge("silk pour", 0.1, M, 1 / 4096, PIXEL, CIRCLE).stream_px < SILK_PX
    assert judge("silk pour", 0.1, M, 1 / 64, PIXEL, CIRCLE).stream_px >= SILK_PX


def test_noise_follows_the_light() -> None:
    base = estimate(40000, 0.0, 100, 100)
    three = estimate(40000, 0.0, 800, 100)
    assert base.snr / three.snr == pytest.approx(math.sqrt(8))
    assert three.stops_above_base == pytest.approx(3)
    # under-exposure by a stop is as noisy as a stop of ISO
    assert estimate(40000, 4.0, 100, 100, 1.0).snr == pytest.approx(estimate(40000, 4.0, 200, 100).snr)


def test_settling_lies_in_the_trades_range() -> None:
    # 1 to 3 s (common practice, no source)
    assert settle_s(0.0, 1.0) == pytest.approx(1.0)
    assert 1.0 < settle_s(0.4, 0.9) <= 3.0
    assert settle_s(2.0, 5.0) == pytest.approx(3.0)
