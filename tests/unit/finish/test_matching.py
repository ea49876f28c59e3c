"""Matching against a known truth: photographs re-lit in linear light, then coded and decoded as a camera would.

Tolerances: what one may see side by side (CIEDE2000 of 1), and the trade's aim for a series (a quarter of a stop, ten
mired; common practice, no source). The photographs come with scikit-image.
"""

import cv2
import numpy as np
import pytest
from numpy.typing import NDArray
from skimage.color import rgb2lab

from plateside.finish.matched import LARGEST_STOPS, LARGEST_STOPS_OF_RAWS, is_matched
from plateside.finish.matching import LEAST_MIRED, Known, match
from plateside.finish.recognised import look
from plateside.finish.white_balance import NONE, of_array
from plateside.ground.srgb import to_display, to_linear
from tests.photographs import delta_e_ciede2000, photograph

Linear = NDArray[np.float32]


def linear(name: str) -> Linear:
    picture = photograph(name)
    small = cv2.resize(
        picture, (400, round(400 * picture.shape[0] / picture.shape[1])), interpolation=cv2.INTER_AREA
    )
    return (to_linear(np.asarray(small, np.float64) / 255.0) * 0.8).astype(np.float32)


def taken(scene: Linear, light: NDArray[np.float64], seed: int) -> Linear:
    """The scene in that light, with noise, clipped and coded in 8 bits as a JPEG is, read back as light."""
    rng = np.random.default_rng(seed)
    seen = scene * light + rng.normal(0, 0.003, scene.shape)
    coded = np.rint(255 * to_display(np.clip(seen, 0, 1)))
    return to_linear(coded / 255.0).astype(np.float32)


LIGHTS = [(-0.6, 1.15, 0.85), (0.3, 0.92, 1.12), (0.0, 1.0, 1.0)]


@pytest.mark.parametrize("name", ["coffee", "chelsea"])
@pytest.mark.parametrize("light", LIGHTS)
def test_the_same_things_in_another_light(name: str, light: tuple[float, float, float]) -> None:
    scene = linear(name)
    change = 2.0 ** light[0] * np.array([light[1], 1.0, light[2]])
    height, width = scene.shape[:2]
    # the second frame is nearer and a little to the side
    nearer = cv2.resize(scene[height // 8 :, width // 6 : -width // 12], None, fx=1.25, fy=1.25)
    truth = of_array(1 / change)
    found = match(look(taken(scene, np.ones(3), 1)), look(taken(np.asarray(nearer, np.float32), change, 2)))
    assert found.by == "same things"
    assert found.stops == pytest.approx(truth.exposure_stops, abs=0.02)
    assert found.mired == pytest.approx(truth.mired, abs=1.5)
    assert found.delta_e_after is not None
    assert found.delta_e_before is not None
    assert found.delta_e_after < 1.0
    assert found.delta_e_after <= found.delta_e_before + 0.05


def test_a_turned_frame_is_still_recognised() -> None:
    scene = linear("coffee")
    change = np.array([1.1, 1.0, 0.9]) * 0.8
    turned = np.ascontiguousarray(np.rot90(scene))
    found = match(look(taken(scene, np.ones(3), 1)), look(taken(turned, change, 2)))
    assert found.by == "same things"
    assert found.stops == pytest.approx(of_array(1 / change).exposure_stops, abs=0.02)


def surfaces(
    seed: int, dish: tuple[int, int], colour: tuple[float, float, float]
) -> tuple[Linear, NDArray[np.bool_]]:
    """A grainy blue-grey board with a linen edge and a dish of another colour: nothing that could be recognised."""
    rng = np.random.default_rng(seed)
    board = np.array([0.30, 0.34, 0.38]) * np.exp(rng.normal(0, 0.12, (320, 480, 1)))
    board[:, :90] = np.array([0.60, 0.57, 0.50]) * np.exp(rng.normal(0, 0.06, (320, 90, 1)))
    y, x = np.mgrid[0:320, 0:480]
    inside = (x - dish[0]) ** 2 + (y - dish[1]) ** 2 < 90**2
    board[inside] = np.array(colour) * np.exp(rng.normal(0, 0.05, (int(inside.sum()), 1)))
    return board.astype(np.float32), inside


@pytest.mark.parametrize("light", [(-0.5, 1.10, 0.90), (0.4, 0.94, 1.08)])
def test_the_same_surroundings_with_another_dish(light: tuple[float, float, float]) -> None:
    change = 2.0 ** light[0] * np.array([light[1], 1.0, light[2]])
    one, dish_1 = surfaces(1, (200, 150), (0.35, 0.50, 0.20))
    two, dish_2 = surfaces(2, (300, 170), (0.50, 0.12, 0.06))
    found = match(look(taken(one, np.ones(3), 3), dish_1), look(taken(two, change, 4), dish_2))
    truth = of_array(1 / change)
    assert found.by == "surroundings"
    assert found.stops == pytest.approx(truth.exposure_stops, abs=0.25)
    assert found.mired == pytest.approx(truth.mired, abs=10)


def test_another_place_altogether_is_left_alone() -> None:
    rng = np.random.default_rng(5)
    dark = np.full((200, 300, 3), [0.02, 0.012, 0.01], np.float32) * np.exp(
        rng.normal(0, 0.02, (200, 300, 1))
    )
    bright = np.full((200, 300, 3), [0.2, 0.5, 0.85], np.float32) * np.exp(rng.normal(0, 0.02, (200, 300, 1)))
    found = match(look(dark.astype(np.float32)), look(bright.astype(np.float32)))
    assert found.by == "nothing"
    assert found.gains == NONE


def test_surroundings_say_nothing_when_the_shot_list_names_another_surface() -> None:
    one, dish_1 = surfaces(1, (200, 150), (0.35, 0.50, 0.20))
    two, dish_2 = surfaces(2, (300, 170), (0.50, 0.12, 0.06))
    reference, darker = look(taken(one, np.ones(3), 3), dish_1), look(taken(two, np.full(3, 0.6), 4), dish_2)
    assert match(reference, darker).stops > 0.4
    assert match(reference, darker, same_surface=False).by == "nothing"


def test_what_is_meant_dark_stays_dark_and_only_its_colour_is_matched() -> None:
    scene = linear("coffee")
    change = 2.0**-1.2 * np.array([1.1, 1.0, 0.9])
    found = match(look(taken(scene, np.ones(3), 1)), look(taken(scene, change, 2)), keep_exposure=True)
    assert found.stops == pytest.approx(0, abs=1e-9)
    assert found.mired == pytest.approx(of_array(1 / change).mired, abs=1.5)


def test_a_difference_that_is_no_drift_is_not_mended() -> None:
    scene = linear("coffee") * 0.9
    faint = taken(scene, np.full(3, 2.0 ** -(LARGEST_STOPS + 0.8)), 2)
    found = match(look(taken(scene, np.ones(3), 1)), look(faint))
    assert found.gains == NONE
    # it is the same scene, and how far it is off is told: 'nothing in common' would be the wrong reason
    assert found.by == "too far"
    assert found.lacking_stops == pytest.approx(LARGEST_STOPS + 0.8, abs=0.1)
    assert found.stops == 0


def test_a_raw_has_a_stop_more_to_give() -> None:
    scene = linear("coffee") * 0.9
    change = 2.0 ** -(LARGEST_STOPS_OF_RAWS - 0.2)
    faint = (scene * change).astype(np.float32)
    found = match(look(scene), look(faint), known=Known(from_raw=True))
    assert found.stops == pytest.approx(LARGEST_STOPS_OF_RAWS - 0.2, abs=0.02)
    assert match(look(scene), look(faint)).by == "too far"


def test_a_grey_card_decides_unless_what_both_show_says_that_the_light_has_changed_since() -> None:
    scene = linear("coffee")
    change = 2.0**-0.5 * np.array([1.06, 1.0, 0.95])
    reference, darker = look(taken(scene, np.ones(3), 1)), look(taken(scene, change, 2))
    exact = of_array(1 / change)
    found = match(reference, darker, known=Known(card=exact))
    assert (found.by, found.gains) == ("grey card", exact)
    assert found.delta_e_after is not None
    # a card that was read under another light: a cloud has come since
    stale = of_array(exact.array * 2.0**0.9)
    found = match(reference, darker, known=Known(card=stale))
    assert found.by == "same things"
    assert found.stops == pytest.approx(exact.exposure_stops, abs=0.02)
    # where nothing is shared the card is the surest that there is
    one, dish_1 = surfaces(1, (200, 150), (0.35, 0.50, 0.20))
    two, dish_2 = surfaces(2, (300, 170), (0.50, 0.12, 0.06))
    apart = match(
        look(taken(one, np.ones(3), 3), dish_1), look(taken(two, change, 4), dish_2), False, False,
        Known(card=exact),
    )  # fmt: skip
    assert (apart.by, apart.gains) == ("grey card", exact)
    kept = match(reference, darker, keep_exposure=True, known=Known(card=exact))
    assert kept.by == "grey card"
    assert kept.stops == pytest.approx(0, abs=1e-9)


@pytest.mark.parametrize("stops", [-0.8, 0.0, 0.6])
def test_the_exposure_that_was_given_is_exact_where_the_surroundings_bear_it_out(stops: float) -> None:
    one, dish_1 = surfaces(1, (200, 150), (0.35, 0.50, 0.20))
    two, dish_2 = surfaces(2, (300, 170), (0.50, 0.12, 0.06))
    reference = look(taken(one, np.ones(3), 3), dish_1)
    other = look(taken(two, np.full(3, 2.0**stops), 4), dish_2)
    found = match(reference, other, known=Known(stops=-stops, from_raw=True))
    assert found.by == "settings"
    assert found.stops == pytest.approx(-stops, abs=1e-6)
    assert is_matched(found.by)
    # the settings followed the light: as bright as before, so their difference is no difference of the pictures
    followed = match(reference, other, known=Known(stops=-stops + 1, from_raw=True))
    assert followed.by == "surroundings"
    assert followed.stops == pytest.approx(-stops, abs=0.25)
    # brought nearer, by what proves nothing
    assert not followed.facts.matched
    # as bright as the settings say, in a light of another colour: it was another light
    warmer = look(taken(two, 2.0**stops * np.array([1.25, 1.0, 0.78]), 4), dish_2)
    another = match(reference, warmer, known=Known(stops=-stops, from_raw=True))
    assert another.by == "surroundings"
    assert another.mired < -LEAST_MIRED


def test_what_still_differs_is_not_called_matched() -> None:
    scene = linear("coffee")
    width = scene.shape[1]
    # one half lit by a lamp: no one gain for the whole picture makes both halves alike
    lamp = np.ones((1, width, 3)) * np.where(
        np.arange(width)[None, :, None] < width / 2, (1.5, 1.0, 0.5), 1.0
    )
    found = match(
        look(taken(scene, np.ones(3), 1)), look(taken((scene * lamp).astype(np.float32), np.ones(3), 2))
    )
    assert found.by == "same things"
    assert not found.facts.matched
    assert is_matched("same things", 1.0)


def test_a_dark_mood_is_held_to_its_colour_alone() -> None:
    scene = linear("coffee")
    change = 2.0**-1.2 * np.array([1.1, 1.0, 0.9])
    found = match(look(taken(scene, np.ones(3), 1)), look(taken(scene, change, 2)), keep_exposure=True)
    assert found.delta_e_after is not None
    assert found.delta_e_after < 1
    assert found.facts.matched


@pytest.mark.parametrize(("stops", "matched"), [(0.0, True), (0.5, False), (-0.5, False)])
def test_a_dish_seen_from_another_place_is_compared_where_it_stands_now(stops: float, matched: bool) -> None:
    """It stands up from the table, so it lies aside; how far its colours are off is that of its own (scikit-image)."""
    table, dish = linear("coffee")[:260], linear("chelsea")[:260] * 0.6
    y, x = np.mgrid[: table.shape[0], : table.shape[1]]
    pictures = []
    for seed, (aside, lighter) in enumerate(((0, 0.0), (7, stops)), 5):
        there = np.hypot(x - 200 - aside, y - 130) < 55
        moved = np.roll(dish, aside, axis=1) * 2.0**lighter
        pictures.append(taken(np.where(there[..., None], moved, table), np.ones(3), seed))
    found = match(look(pictures[0]), look(pictures[1]))
    assert found.by == "same things"
    assert found.stops == pytest.approx(0, abs=0.03)
    assert found.facts.delta_e_raised is not None
    own = dish[100:160, 170:230]
    lab = [rgb2lab(to_display(np.clip(own * 2.0**by, 0, 1))) for by in (0.0, stops)]
    apart = float(np.median(delta_e_ciede2000(*lab)))
    assert found.facts.delta_e_raised == pytest.approx(apart, abs=0.8)
    assert found.facts.matched == matched


def test_what_stands_up_all_over_the_table_is_compared_where_it_stands_now() -> None:
    """A tall dish that fills the frame lies aside of what the table says: that is no difference in the light."""
    table, dish = linear("coffee")[:260], linear("chelsea")[:260] * 0.6
    y, x = np.mgrid[: table.shape[0], : table.shape[1]]
    change = 2.0**-0.5 * np.array([1.06, 1.0, 0.95])
    pictures = []
    for seed, (aside, light) in enumerate(((0, np.ones(3)), (8, change)), 5):
        there = (np.abs(x - 200 - aside) < 125) & (np.abs(y - 130) < 100)
        moved = np.where(there[..., None], np.roll(dish, aside, axis=1), table)
        pictures.append(taken(moved.astype(np.float32), light, seed))
    found = match(look(pictures[0]), look(pictures[1]))
    assert found.by == "same things"
    assert found.stops == pytest.approx(of_array(1 / change).exposure_stops, abs=0.03)
    assert found.evened_stops == pytest.approx(0, abs=1e-9)
    for left in (found.facts.delta_e_after, found.facts.delta_e_there, found.facts.delta_e_raised):
        assert left is not None
        assert left < 1
    assert found.facts.matched


@pytest.mark.parametrize("nearer", [2.0, 0.5])
def test_a_picture_from_nearer_is_compared_as_finely_as_the_other(nearer: float) -> None:
    """Gravel, sharp in every pixel: smoothed more in one than in the other, its light and dark would differ."""
    wide = to_linear(np.repeat(photograph("gravel")[..., None], 3, axis=2) / 255.0)[:400]
    seen = [np.asarray(cv2.resize(v, None, fx=f, fy=f, interpolation=cv2.INTER_AREA), np.float32)
            for v, f in ((wide, 0.6), (wide[90:310, 110:400], 1.2))]  # fmt: skip
    seen = seen if nearer > 1 else seen[::-1]
    found = match(look(taken(seen[0], np.ones(3), 1)), look(taken(seen[1], np.full(3, 0.7), 2)))
    assert found.by == "same things"
    assert found.stops == pytest.approx(-np.log2(0.7), abs=0.03)
    assert found.delta_e_there is not None
    assert found.delta_e_there < 1


@pytest.mark.parametrize("shown_stops", [0.0, 1.5])
def test_what_is_left_is_told_of_the_pictures_as_they_are_finished(shown_stops: float) -> None:
    """A difference that a dark frame hides shows when its series comes out brighter (CIEDE2000 by scikit-image)."""
    scene = linear("coffee") * 0.12
    y, x = np.mgrid[: scene.shape[0], : scene.shape[1]]
    spot = np.hypot(x - 200, y - 130) < 60
    lit = np.where(spot[..., None], scene * 1.12, scene)
    one, other = (look(v.astype(np.float32)) for v in (scene, lit))
    found = match(one, other, known=Known(from_raw=True, shown_stops=shown_stops))
    assert found.by == "same things"
    inner = np.hypot(x - 200, y - 130) < 45
    lab = [rgb2lab(to_display(np.clip(v[inner] * 2.0**shown_stops, 0, 1))) for v in (scene, lit)]
    apart = float(np.median(delta_e_ciede2000(*lab)))
    assert found.delta_e_there == pytest.approx(apart, abs=0.5)
    assert found.facts.matched == (apart < 2)
