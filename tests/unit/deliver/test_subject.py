"""Where the food is: made scenes with the truth known, and the size the shot list states."""

import math
from dataclasses import replace

import numpy as np
import pytest
from numpy.typing import NDArray

from plateside.deliver.crops import busyness, plan_crop
from plateside.deliver.rectangles import PixelRectangle
from plateside.deliver.subject import dish_share, find_subject, marked
from plateside.model.shoot import Channel, Shot
from tests.photographs import photograph


def plate(
    width: int, height: int, middle: tuple[float, float], radius: float
) -> tuple[NDArray[np.uint8], PixelRectangle]:
    """A red dish with grain on a pale board with a little grain."""
    rng = np.random.default_rng(7)
    picture = np.full((height, width, 3), [172.0, 180.0, 186.0]) + rng.normal(0, 3, (height, width, 1))
    y, x = np.mgrid[0:height, 0:width]
    dish = (x - middle[0] * width) ** 2 + (y - middle[1] * height) ** 2 < (radius * height) ** 2
    picture[dish] = np.array([190.0, 60.0, 40.0]) + rng.normal(0, 25, (int(dish.sum()), 1))
    columns, rows = np.flatnonzero(dish.any(axis=0)), np.flatnonzero(dish.any(axis=1))
    truth = PixelRectangle(int(columns[0]), int(rows[0]), int(np.ptp(columns)) + 1, int(np.ptp(rows)) + 1)
    return np.clip(picture, 0, 255).astype(np.uint8), truth


@pytest.mark.parametrize("middle", [(0.5, 0.5), (0.38, 0.55), (0.62, 0.42)])
@pytest.mark.parametrize("radius", [0.18, 0.28])
def test_a_dish_is_found_where_it_stands(middle: tuple[float, float], radius: float) -> None:
    picture, truth = plate(900, 600, middle, radius)
    found = find_subject(picture).box
    both = found.overlap(truth) / (found.pixels + truth.pixels - found.overlap(truth))
    assert both > 0.6
    assert found.overlap(truth) / truth.pixels > 0.8


def test_the_stated_dish_size_makes_the_box_at_least_that_large() -> None:
    picture, truth = plate(900, 600, (0.5, 0.5), 0.2)
    share = truth.width / 900 * 1.3, truth.height / 600 * 1.3
    found = find_subject(picture, share).box
    assert found.width >= 0.99 * share[0] * 900
    assert found.height >= 0.99 * share[1] * 600
    assert found.holds(truth)


def test_the_cup_and_not_the_table() -> None:
    """scikit-image's coffee picture: the cup's bowl (by eye, 185 to 400 across, 20 to 250 down) is in the box."""
    found = find_subject(photograph("coffee"))
    assert found.box.overlap(PixelRectangle(185, 20, 215, 230)) / (215 * 230) > 0.85
    assert found.box.pixels < 0.75 * 600 * 400


def test_an_even_picture_gives_its_middle_and_no_error() -> None:
    found = find_subject(np.full((300, 450, 3), 128, np.uint8))
    assert PixelRectangle(0, 0, 450, 300).holds(found.box)
    assert found.box.pixels > 0


@pytest.mark.parametrize("size", [(16, 16), (17, 400), (400, 17)])
def test_tiny_and_narrow_pictures(size: tuple[int, int]) -> None:
    picture = np.random.default_rng(0).integers(0, 255, (*size, 3), dtype=np.uint8)
    assert PixelRectangle(0, 0, size[1], size[0]).holds(find_subject(picture, (0.5, 0.5)).box)


def test_busy_places_are_told_from_calm_ones() -> None:
    picture, truth = plate(900, 600, (0.5, 0.5), 0.25)
    found = find_subject(picture)
    assert busyness(found, truth) > 3 * busyness(found, PixelRectangle(0, 0, 120, 600))


def test_share_of_a_dish_from_the_shot_list() -> None:
    # 300 mm of plate in a 600 x 400 mm frame, straight down: half the width, three quarters of the height
    shot = Shot(
        name="s",
        angle="overhead",
        frame_width_mm=600,
        frame_height_mm=400,
        dish_width_mm=300,
        dish_height_mm=0,
    )
    assert dish_share(shot, 6000, 4000) == pytest.approx((0.5, 0.75))
    # seen from 45 degrees a flat plate is sin 45 as high (a disc's projection), and its side adds cos 45 of its height
    angled = Shot(name="s", frame_width_mm=600, frame_height_mm=400, dish_width_mm=300, dish_height_mm=60)
    high = (300 + 60) * math.sqrt(0.5) / 400
    assert dish_share(angled, 6000, 4000) == pytest.approx((0.5, high))
    # an upright frame that must hold 600 mm across covers more height
    assert dish_share(shot, 4000, 6000) == pytest.approx((0.5, 300 / 900))


def test_her_mark_is_the_dish_and_the_crop_follows_it() -> None:
    """The dish is marked at the right edge, where the tool did not find it: the square moves there, and holds it."""
    picture, truth = plate(900, 600, (0.3, 0.5), 0.2)
    found = find_subject(picture)
    square = Channel(name="square", width_px=300, height_px=300)
    assert plan_crop(found, square).box.holds(truth)
    hers = marked(found, (0.7, 0.25, 0.28, 0.5))
    assert hers.core == PixelRectangle(630, 150, 252, 300)
    assert hers.box.holds(hers.core)
    crop = plan_crop(hers, square)
    assert crop.subject_whole
    assert crop.box.holds(hers.core)
    assert not crop.box.holds(truth)


def test_a_mark_ends_what_the_tool_measured_but_not_what_the_frame_cuts() -> None:
    picture, _ = plate(900, 600, (0.5, 0.5), 0.2)
    cut = replace(find_subject(picture), larger=1.4, runs_out=("left", "top"))
    inside = marked(cut, (0.3, 0.3, 0.4, 0.4))
    assert (inside.larger, inside.runs_out) == (1.0, ())
    assert marked(cut, (0.0, 0.3, 0.4, 0.4)).runs_out == ("left",)
