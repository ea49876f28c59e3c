"""A frame that is tighter than its shot says: the food's colours tell, and well-framed pictures are left in peace."""

import numpy as np
import pytest
from numpy.typing import NDArray

from plateside.deliver.crops import plan_crop
from plateside.deliver.subject import find_subject
from plateside.model.shoot import Channel

WIDE = Channel(name="wide", width_px=800, height_px=450)


def dish_of(
    radius: float, middle: tuple[float, float] = (0.5, 0.5), shadow: bool = False
) -> NDArray[np.uint8]:
    """A red round dish of this radius [share of the height] on a grained pale board, 900 x 600."""
    rng = np.random.default_rng(3)
    picture = np.full((600, 900, 3), [172.0, 180.0, 186.0]) + rng.normal(0, 3, (600, 900, 1))
    y, x = np.mgrid[0:600, 0:900]
    x, y = x - middle[0] * 900, y - middle[1] * 600
    if shadow:
        picture[np.hypot(x - 0.6 * radius * 600, y) < radius * 600] *= 0.55
    dish = np.hypot(x, y) < radius * 600
    picture[dish] = np.array([190.0, 60.0, 40.0]) + rng.normal(0, 25, (int(dish.sum()), 1))
    return np.clip(picture, 0, 255).astype(np.uint8)


STATED = 0.36
"""Diameter over height that the shot list gives; the width's share follows from 900 x 600."""
SHARE = (STATED * 600 / 900, STATED)


@pytest.mark.parametrize("shadow", [False, True])
@pytest.mark.parametrize("middle", [(0.5, 0.5), (0.35, 0.6)])
def test_a_dish_as_large_as_stated_brings_no_remark(middle: tuple[float, float], shadow: bool) -> None:
    found = find_subject(dish_of(STATED / 2, middle, shadow), SHARE)
    assert (found.larger, found.runs_out) == (1.0, ())
    assert plan_crop(found, WIDE).remarks == ()


@pytest.mark.parametrize("times", [1.5, 2.0, 2.5])
def test_a_tighter_frame_is_measured_and_the_whole_dish_kept(times: float) -> None:
    radius = STATED / 2 * times
    found = find_subject(dish_of(radius), SHARE)
    assert found.larger == pytest.approx(times, rel=0.08)
    # the truth: the circle's box
    assert found.core.width == pytest.approx(2 * radius * 600, rel=0.05)
    crop = plan_crop(found, WIDE)
    # 16:9 of 900 x 600 is 506 high: a dish of 432 fits, one of 540 does not
    assert crop.subject_whole == (2 * radius * 600 < 506)
    assert crop.subject_whole or [r.got for r in crop.remarks if r.code == "larger"] == [(found.larger,)]


def test_food_that_runs_out_of_the_frame_is_told_in_every_crop() -> None:
    found = find_subject(dish_of(STATED / 2 * 1.6, (0.18, 0.5)), SHARE)
    assert found.runs_out == ("left",)
    crop = plan_crop(found, WIDE)
    assert not crop.subject_whole
    assert (crop.remarks[0].code, crop.remarks[0].names) == ("runs out", ("left",))


def test_a_dish_meant_to_fill_the_frame_may_leave_it() -> None:
    found = find_subject(dish_of(0.7), (0.95, 0.95))
    assert (found.larger, found.runs_out) == (1.0, ())


def test_where_dish_and_surface_share_their_colours_nothing_is_claimed() -> None:
    noise = np.random.default_rng(5).integers(90, 160, (600, 900, 3), dtype=np.uint8)
    found = find_subject(noise, SHARE)
    assert (found.larger, found.runs_out) == (1.0, ())
