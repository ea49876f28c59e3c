"""Exposure, glints and losses on pictures of known light."""

import cv2
import numpy as np
import pytest

from plateside.frames.exposure import (
    BRIGHTEST_AIM,
    DARKEST_AIM,
    clipped_display,
    display_linear,
    exposure_of,
    glints_and_losses,
    headroom_of_display,
    small_linear,
)
from plateside.frames.levels import levels_of_counts, levels_of_picture
from plateside.ground.srgb import byte_table
from plateside.model.pixels import LinearPicture

BOX = (0.25, 0.25, 0.75, 0.75)


def encoded(linear: np.ndarray) -> np.ndarray:
    """IEC 61966-2-1."""
    v = np.clip(linear, 0, 1)
    v = np.where(v <= 0.0031308, 12.92 * v, 1.055 * v ** (1 / 2.4) - 0.055)
    return np.asarray(v * 255 + 0.5, np.uint8)


def plate(level: float, table: float = 0.1) -> np.ndarray:
    """A grey table with a white plate of this level, linear, 1500 x 1000."""
    picture = np.full((1000, 1500, 3), table, np.float32)
    cv2.circle(picture, (750, 500), 300, (level, level, level), -1)
    return picture


@pytest.mark.parametrize(
    ("level", "stops"),
    [
        (DARKEST_AIM / 4, -2.0),
        (DARKEST_AIM * 2 ** (-1 / 3), -1 / 3),
        (0.5, 0.0),
        (0.85, 0.0),
        (BRIGHTEST_AIM * 2**0.15, 0.15),
    ],
)
def test_stops_outside_the_aim(level: float, stops: float) -> None:
    picture = encoded(plate(level, 0.03))
    facts = exposure_of(
        small_linear(picture), clipped_display(picture), BOX, headroom_of_display(picture), from_raw=False
    )
    assert facts.stops == pytest.approx(stops, abs=0.05)
    assert facts.bright_level == pytest.approx(level, rel=0.03)
    assert facts.headroom_stops[1] == pytest.approx(max(-np.log2(level), 0), abs=0.05)


def test_a_glint_is_not_the_brightest_matt_part_and_no_loss() -> None:
    picture = plate(0.4)
    for x in (600, 700, 820):
        cv2.ellipse(picture, (x, 420), (14, 5), 20, 0, 360, (4, 4, 4), -1)
    shown = encoded(picture)
    facts = exposure_of(small_linear(shown), clipped_display(shown), BOX, (0, 0, 0), from_raw=False)
    assert facts.bright_level == pytest.approx(0.4, rel=0.03)
    assert facts.glint_share > 0
    assert facts.lost_share == 0


def test_a_lost_area_is_found_where_it_is() -> None:
    picture = plate(0.5)
    cv2.circle(picture, (1300, 200), 90, (2, 2, 2), -1)
    shown = encoded(picture)
    facts = exposure_of(small_linear(shown), clipped_display(shown), BOX, (0, 0, 0), from_raw=False)
    assert facts.lost_share == pytest.approx(np.pi * 90**2 / 1.5e6, rel=0.1)
    assert facts.lost_on_subject_share == 0
    assert facts.lost_box is not None
    assert np.allclose(facts.lost_box, (1210 / 1500, 110 / 1000, 1390 / 1500, 290 / 1000), atol=0.01)


def test_a_thin_bright_line_is_a_glint() -> None:
    clipped = np.zeros((500, 750), np.float32)
    clipped[100:102, 100:700] = 1  # a rim light along a glass, two cells thin
    glints, lost = glints_and_losses(clipped)
    assert glints.any() and not lost.any()


def test_raw_stands_half_a_stop_above_display_white() -> None:
    # ISO 12232: saturation speed 78/H, standard output 10/H at 18 %: white is 0.18 x 7.8 = 1.404 below saturation
    picture = LinearPicture(np.full((60, 90, 3), 10 / 78, np.float32), is_raw=True)
    assert display_linear(picture).mean() == pytest.approx(0.18, abs=0.0005)


def test_the_table_is_the_standards() -> None:
    # IEC 61966-2-1: 118 is 18 % grey (0.1812), 255 is 1
    table = byte_table()
    assert table[118] == pytest.approx(0.1812, abs=2e-4)
    assert table[0] == 0 and table[255] == pytest.approx(1)


def test_headroom_passes_over_a_hot_pixel() -> None:
    counts = np.zeros((4, 65536), np.int64)
    counts[:, 4512] = 100_000  # (4512 - 512) / 16000 = 1/4: two stops
    counts[:, 16500] = 3
    levels = levels_of_counts(counts, (512.0,) * 4, (16512.0,) * 4)
    assert np.allclose(levels.headroom_stops, 2.0, atol=0.001)
    assert levels.clipped == (3, 6, 3)


def test_levels_of_a_picture() -> None:
    picture = np.full((100, 100, 3), 0.5, np.float32)
    picture[:10, :, 1] = 1.0
    levels = levels_of_picture(picture)
    assert levels.clipped_share == pytest.approx((0, 0.1, 0))
    assert levels.headroom_stops == pytest.approx((1, 0, 1))
    assert levels.mean == pytest.approx((0.5, 0.55, 0.5))
