"""Light that changes across the picture: evened where the same things show it, never where something else was moved.

The changes of the light are made here, exactly; what is left is told by scikit-image's CIEDE2000.
"""

import cv2
import numpy as np
import pytest
from numpy.typing import NDArray
from skimage.color import rgb2lab

from plateside.finish.across import NODES, Across
from plateside.finish.matching import Match, match
from plateside.finish.recognised import look
from plateside.ground.srgb import to_display, to_linear
from tests.photographs import delta_e_ciede2000, photograph


def scene(name: str) -> NDArray[np.float64]:
    small = cv2.resize(photograph(name), (480, 320), interpolation=cv2.INTER_AREA)
    return np.asarray(to_linear(np.asarray(small, np.float64) / 255) * 0.4)


def taken(light: NDArray[np.float64], seed: int) -> NDArray[np.float32]:
    noise = np.random.default_rng(seed).normal(size=light.shape) * np.sqrt(np.maximum(light, 0) / 20_000)
    return np.asarray(np.clip(light + noise, 0, 1), np.float32)


def left(one: NDArray[np.float64], two: NDArray[np.float64], found: Match) -> NDArray[np.float64]:
    there = (one.max(axis=2) < 0.9) & (two.max(axis=2) < 0.9)
    lit = two * found.factors(two.shape[:2])
    soft = [np.asarray(cv2.GaussianBlur(v, (0, 0), 2.0), np.float64) for v in (one, lit)]
    lab = [rgb2lab(np.clip(to_display(v), 0, 1)) for v in soft]
    return np.asarray(delta_e_ciede2000(*lab)[there])


def places(size: tuple[int, int] = (320, 480)) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
    y, x = np.mgrid[0 : size[0], 0 : size[1]]
    return (x + 0.5) / size[1], (y + 0.5) / size[0]


@pytest.mark.parametrize(("name", "angle_deg"), [("coffee", 0), ("chelsea", 70), ("coffee", 200)])
def test_a_gradient_across_the_table_is_evened(name: str, angle_deg: float) -> None:
    one, (x, y) = scene(name), places()
    along = np.cos(np.radians(angle_deg)) * (x - 0.5) + np.sin(np.radians(angle_deg)) * (y - 0.5)
    two = one * 2.0 ** (0.6 * along / np.ptp(along) - 0.4)[..., None] * np.array([1.05, 1.0, 0.9])
    # a third of it is something else
    two[:180, :220] = cv2.resize(scene("rocket"), (220, 180)) * 0.7
    found = match(look(taken(one, 1)), look(taken(two, 2)))
    same = np.ones((320, 480), bool)
    same[:190, :230] = False
    assert found.facts.matched
    assert found.evened_stops == pytest.approx(0.6, abs=0.05)
    rest = left(np.where(same[..., None], one, 1.0), two, found)
    assert float(np.median(rest)) < 0.8


@pytest.mark.parametrize(("name", "side", "stops"), [("coffee", 0.0, 0.8), ("chelsea", 1.0, 1.0)])
def test_a_lamp_at_the_edge_is_evened(name: str, side: float, stops: float) -> None:
    one, (x, y) = scene(name), places()
    # a small lamp 0.35 of the width above the table: the square of the distance, and its cosine
    pool = (0.35**2 / ((x - side) ** 2 + (y / 1.5 - 0.3) ** 2 + 0.35**2)) ** 1.5
    two = one * (1 + (2**stops - 1) * pool[..., None] * np.array([1.4, 1.0, 0.5]))
    found = match(look(taken(one, 1)), look(taken(two, 2)))
    assert found.facts.matched
    assert float(np.percentile(left(one, two, found), 95)) < 2.0


@pytest.mark.parametrize("name", ["coffee", "chelsea"])
def test_an_even_change_stays_one_brightness_and_one_colour(name: str) -> None:
    one = scene(name)
    two = one * np.array([0.6, 0.5, 0.4])
    two[100:260, 150:330] = cv2.resize(scene("rocket"), (180, 160))
    found = match(look(taken(one, 1)), look(taken(two, 2)))
    assert found.across is None
    assert found.stops == pytest.approx(1.0, abs=0.1)
    assert found.facts.matched


def test_a_narrow_shadow_stays_and_is_not_called_matched_away() -> None:
    """The shadow of a hand: it belongs to the picture, and nothing smooth follows it."""
    one, (x, y) = scene("coffee"), places()
    arm = 1 / (1 + np.exp(-(np.abs(x - 0.3 - 0.2 * y) - 0.08) / 0.01))
    two = one * (0.5 + 0.5 * arm)[..., None]
    found = match(look(taken(one, 1)), look(taken(two, 2)))
    factors = found.factors((320, 480))[..., 1] / found.gains.green
    # it was darkened by a whole stop; most of that stays
    assert float(np.log2(factors[arm < 0.1]).mean()) < 0.35


def test_a_lamp_too_narrow_to_even_is_said_where_it_is() -> None:
    one, (x, y) = scene("coffee"), places()
    spot = 1 / (1 + np.exp((np.hypot(x - 0.85, (y - 0.5) / 1.5) - 0.13) / 0.004))
    two = one * (1 + 1.5 * spot[..., None] * np.array([1.3, 1.0, 0.6]))
    found = match(look(taken(one, 1)), look(taken(two, 2)))
    assert not found.facts.matched
    assert found.facts.delta_e_there is not None
    assert found.facts.there_x > 0.6


def test_rows_and_places_say_the_same() -> None:
    rng = np.random.default_rng(0)
    across = Across(
        tuple((float(a), float(b), float(c)) for a, b, c in rng.normal(0, 0.3, (NODES[0] * NODES[1], 3)))
    )
    x, y = places((40, 60))
    by_place = 2.0 ** across.at(x.ravel(), y.ravel()).reshape(40, 60, 3)
    np.testing.assert_allclose(across.factors(0, 40, (40, 60)), by_place, rtol=1e-5)
    np.testing.assert_allclose(across.factors(11, 17, (40, 60)), by_place[11:17], rtol=1e-5)
    picture = rng.uniform(size=(600, 30, 3)).astype(np.float32)
    np.testing.assert_allclose(across.evened(picture), picture * across.factors(0, 600, (600, 30)), rtol=1e-6)
    # constant coefficients are that everywhere
    even = Across(((0.5, -0.25, 0.0),) * (NODES[0] * NODES[1]))
    np.testing.assert_allclose(
        even.at(x.ravel(), y.ravel()), np.tile([0.5, -0.25, 0.0], (2400, 1)), atol=1e-12
    )
    assert even.reach_stops == pytest.approx(0.0, abs=1e-9)
