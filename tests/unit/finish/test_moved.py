"""Things that were moved, changed or taken away between two pictures: only what is surely the same is compared.

The scenes are put together from photographs of scikit-image on a table made here; what changed between them is exact.
"""

import cv2
import numpy as np
import pytest
from numpy.typing import NDArray

from plateside.finish.matching import UNKNOWN, Known, match
from plateside.finish.recognised import MatchView, look
from plateside.finish.white_balance import NONE, of_array
from plateside.ground.srgb import to_linear
from tests.photographs import photograph

Linear = NDArray[np.float64]
HIGH, WIDE = 320, 480


def light_of(name: str, white: float = 0.5) -> Linear:
    small = cv2.resize(photograph(name), (WIDE, HIGH), interpolation=cv2.INTER_AREA)
    return np.asarray(to_linear(np.asarray(small, np.float64) / 255) * white)


def around(x: float, y: float, radius: float) -> NDArray[np.bool_]:
    row, column = np.mgrid[0:HIGH, 0:WIDE]
    return np.asarray(np.hypot(column - x, row - y) < radius)


def table(colour: tuple[float, float, float]) -> Linear:
    """A plain board: nothing on it can be recognised."""
    return np.broadcast_to(np.array(colour), (HIGH, WIDE, 3)).copy()


def laid(scene: Linear, dish: Linear, x: int, y: int, radius: float = 70) -> Linear:
    """The middle of `dish` on a scene."""
    moved = np.roll(dish, (y - HIGH // 2, x - WIDE // 2), axis=(0, 1))
    return np.asarray(np.where(around(x, y, radius)[..., None], moved, scene))


def seen(scene: Linear, light: Linear, seed: int, dish: NDArray[np.bool_] | None = None) -> MatchView:
    lit = scene * light
    noise = np.random.default_rng(seed).normal(size=lit.shape) * np.sqrt(np.maximum(lit, 0) / 20_000)
    return look(np.clip(lit + noise, 0, 1).astype(np.float32), dish, dish)


BRIGHT = np.array([1.06, 1.0, 0.95]) * 2.0**-0.5


def test_a_bowl_that_was_moved_is_held_against_itself_and_the_table_about_it_against_nothing() -> None:
    """Other dishes stand where the table was, and the table is where they stood."""
    dish, others = light_of("chelsea"), light_of("coffee")
    board = table((0.2, 0.24, 0.26))
    one = laid(laid(laid(board, dish, 110, 90), others, 240, 220), others * 0.8, 390, 100)
    two = laid(board, dish, 330, 200)
    bowl = around(330, 200, 70)
    found = match(seen(one, np.ones(3), 1, around(110, 90, 70)), seen(two, BRIGHT, 2, bowl))
    assert found.by == "same things"
    assert found.stops == pytest.approx(of_array(1 / BRIGHT).exposure_stops, abs=0.03)
    assert found.delta_e_after is not None
    assert found.delta_e_after < 1
    assert found.facts.matched


@pytest.mark.parametrize(("lighter", "matched"), [(0.0, True), (0.45, False)])
def test_a_dish_that_was_moved_on_a_table_that_agrees_is_compared_where_it_is_now(
    lighter: float, matched: bool
) -> None:
    cloth, dish = light_of("coffee", 0.4), light_of("chelsea")
    one, two = laid(cloth, dish, 120, 200), laid(cloth, dish * 2.0**lighter, 320, 120)
    found = match(seen(one, np.ones(3), 1), seen(two, BRIGHT, 2))
    assert found.by == "same things"
    assert found.stops == pytest.approx(of_array(1 / BRIGHT).exposure_stops, abs=0.03)
    assert found.facts.matched == matched


def test_a_dish_in_another_colour_is_neither_matched_nor_taken_for_a_coloured_light() -> None:
    scene = light_of("coffee", 0.4)
    dish = around(240, 160, 95)
    sauced = np.where(dish[..., None], scene * np.array([1.25, 0.9, 0.8]), scene)
    found = match(seen(scene, np.ones(3), 1, dish), seen(sauced, np.ones(3), 2, dish))
    assert found.by == "same things"
    assert found.across is None
    assert not found.facts.matched


def test_the_same_table_with_another_dish_is_matched_by_the_table() -> None:
    cloth = light_of("chelsea", 0.4)
    one, two = (laid(cloth, light_of(name), 240, 160, 95) for name in ("coffee", "rocket"))
    dish = around(240, 160, 95)
    found = match(seen(one, np.ones(3), 1, dish), seen(two, BRIGHT, 2, dish))
    assert found.by == "same things"
    assert found.stops == pytest.approx(of_array(1 / BRIGHT).exposure_stops, abs=0.03)
    assert found.facts.matched


@pytest.mark.parametrize("told", [0.9, None])
def test_a_small_thing_in_both_must_be_borne_out_by_something_else(told: float | None) -> None:
    """A jar in the shade on the one table, in the sun on the other: it says little of the light on the rest."""
    jar, tables = light_of("immunohistochemistry"), (light_of("chelsea"), light_of("rocket"))
    one, two = laid(tables[0], jar, 100, 100, 60), laid(tables[1], jar, 380, 210, 60)
    dish = around(230, 160, 50)
    reference, other = seen(one, np.ones(3), 1, dish), seen(two, np.full(3, 2.0**-0.9), 2, dish)
    found = match(reference, other, False, False, UNKNOWN if told is None else Known(stops=told))
    assert found.by == ("nothing" if told is None else "same things")


def test_a_picture_that_hardly_comes_nearer_is_left_as_it_was_taken() -> None:
    scene = light_of("coffee", 0.35)
    patch = np.random.default_rng(4).uniform(-1.3, 1.3, (4, 6, 3))
    patches = 2.0 ** cv2.resize(patch, (WIDE, HIGH), interpolation=cv2.INTER_NEAREST)
    found = match(seen(scene, np.ones(3), 1), seen(scene * patches, np.ones(3), 2))
    assert found.by == "no nearer"
    assert found.gains == NONE
    assert (found.stops, found.mired, found.across) == (0.0, 0.0, None)
    assert found.delta_e_after == found.delta_e_before
    assert not found.facts.matched


def test_a_picture_that_comes_much_nearer_stays_nearer_though_it_is_not_matched() -> None:
    scene = light_of("coffee", 0.35)
    half = np.where(np.arange(WIDE)[None, :, None] < WIDE / 2, (1.5, 1.0, 0.5), 1.0)
    found = match(seen(scene, np.ones(3), 1), seen(scene * half, np.full(3, 2.0**-1.2), 2))
    assert found.by == "same things"
    assert found.stops > 0.9
    assert not found.facts.matched
