"""Gains: a grey card becomes grey, its luminance stays, and exposure and colour are two separate facts."""

import numpy as np
import pytest

from plateside.finish.white_balance import Gains, from_grey, of_array
from plateside.ground.srgb import LUMINANCE
from plateside.model.errors import InputError


def test_a_tinted_card_becomes_grey_and_keeps_its_luminance() -> None:
    card = np.array([0.25, 0.18, 0.11])
    after = card * from_grey(card).array
    np.testing.assert_allclose(after, np.full(3, after[0]), rtol=1e-12)
    assert float(LUMINANCE @ after) == pytest.approx(float(LUMINANCE @ card), rel=1e-12)


def test_specks_on_the_card_do_not_matter() -> None:
    card = np.tile(np.array([0.25, 0.18, 0.11]), (100, 1))
    card[:20] = [0.9, 0.9, 0.9]
    np.testing.assert_allclose(from_grey(card).array, from_grey(card[50]).array, rtol=1e-12)


@pytest.mark.parametrize("stops", [-1.5, -0.1, 0.0, 0.7, 2.0])
def test_a_plain_exposure_gain_is_that_many_stops_and_no_colour(stops: float) -> None:
    gains = of_array(np.full(3, 2.0**stops))
    assert gains.exposure_stops == pytest.approx(stops, abs=1e-12)
    assert gains.mired == pytest.approx(0, abs=1e-9)


def test_balance_and_exposure_multiply_to_the_whole() -> None:
    gains = Gains(1.7, 1.1, 0.6)
    np.testing.assert_allclose(gains.balance.array * 2**gains.exposure_stops, gains.array, rtol=1e-12)
    assert gains.balance.exposure_stops == pytest.approx(0, abs=1e-12)


def test_gains_after_their_inverse_are_nothing() -> None:
    gains = Gains(1.7, 1.1, 0.6)
    np.testing.assert_allclose(gains.times(of_array(1 / gains.array)).array, 1, rtol=1e-12)


@pytest.mark.parametrize(
    ("patch", "word"),
    [([0.0, 0.2, 0.2], "black"), ([1.0, 0.6, 0.6], "clipped"), ([0.9, 0.02, 0.02], "coloured")],
)
def test_what_is_no_grey_card_is_refused(patch: list[float], word: str) -> None:
    with pytest.raises(InputError, match=word):
        from_grey(np.array(patch))
