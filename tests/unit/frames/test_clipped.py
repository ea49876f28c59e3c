"""Masks and histograms against what a plain loop over every photosite says.

The aim values are arithmetic: saturation is 99 % of white over black, a bin is a quarter of a stop.
"""

import numpy as np
import pytest

from plateside.frames.clipped import (
    BINS,
    BIT,
    STOPS,
    clipped_cells,
    clipped_codes,
    clipped_linear,
    counts_of_codes,
    histogram_of,
    histograms_of_codes,
    histograms_of_counts,
    pooled,
    sampled,
)
from plateside.frames.levels import SATURATED_FROM, levels_of_codes, levels_of_counts, levels_of_picture
from plateside.frames.mosaic import count_levels
from plateside.ground.srgb import byte_table
from plateside.model.pixels import LinearPicture

RGGB = np.array([[0, 1], [3, 2]])
GBRG = np.array([[3, 2], [0, 1]])
BLACK, WHITE = (500.0, 510.0, 520.0, 505.0), (16000.0, 15000.0, 15500.0, 15000.0)


@pytest.mark.parametrize("pattern", [RGGB, GBRG], ids=["RGGB", "GBRG"])
def test_each_photosite_speaks_for_its_own_channel(pattern: np.ndarray) -> None:
    rng = np.random.default_rng(3)
    # about the level at which each colour clips: half above, half below
    mosaic = rng.integers(14700, 16000, (23, 38)).astype(np.uint16)
    expected = np.zeros((11, 19), np.uint8)
    clipped = {0: 0, 1: 0, 2: 0, 3: 0}
    for y in range(22):
        for x in range(38):
            colour = int(pattern[y % 2, x % 2])
            level = (float(mosaic[y, x]) - BLACK[colour]) / (WHITE[colour] - BLACK[colour])
            if level >= 0.99:
                expected[y // 2, x // 2] |= (1, 2, 4, 2)[colour]
                clipped[colour] += 1
    found = clipped_cells(mosaic, pattern, BLACK, WHITE)
    assert np.array_equal(found, expected)
    assert 0 < np.count_nonzero(found & BIT["red"]) < found.size
    # the same photosites that headroom counts (both greens are one channel)
    levels = levels_of_counts(count_levels(mosaic[:22], pattern), BLACK, WHITE)
    assert levels.clipped == (clipped[0], clipped[1] + clipped[3], clipped[2])
    histograms = histograms_of_counts(count_levels(mosaic[:22], pattern), BLACK, WHITE)
    assert [h.counts[-1] for h in histograms] == list(levels.clipped)
    assert [sum(h.counts) for h in histograms] == list(levels.pixels)


def test_code_values_clip_channel_by_channel() -> None:
    # sRGB (IEC 61966-2-1): 254 stands for 99.1 % of the light of 255, 253 for 98.2 %
    picture = np.array([[[253, 254, 255], [255, 0, 254]]], np.uint8)
    assert clipped_codes(picture).tolist() == [[BIT["green"] | BIT["blue"], BIT["red"] | BIT["blue"]]]


def test_a_linear_picture_clips_at_its_own_saturation() -> None:
    rgb = np.array([[[0.98, 0.6, 0.7], [1.0, 0.49, 0.1]]], np.float32)
    found = clipped_linear(LinearPicture(rgb=rgb, saturation=(1.0, 0.6, 0.5)))
    assert found.tolist() == [[BIT["green"] | BIT["blue"], BIT["red"]]]


@pytest.mark.parametrize("longest", [1, 7, 16, 100])
def test_a_lone_clipped_pixel_stays_to_be_seen_however_small_the_mask(longest: int) -> None:
    mask = np.zeros((61, 97), np.uint8)
    mask[60, 96], mask[3, 5] = BIT["red"], BIT["blue"]
    small = pooled(mask, longest)
    assert max(small.shape) <= longest or small is mask
    assert np.bitwise_or.reduce(small, axis=None) == BIT["red"] | BIT["blue"]
    assert small[-1, -1] & BIT["red"]


def test_a_part_of_a_half_size_mask_lies_on_its_own_pixels() -> None:
    mask = np.arange(6, dtype=np.uint8).reshape(2, 3)
    whole = sampled(mask, 0, 0, 6, 4, 6, 4)
    assert np.array_equal(whole, np.repeat(np.repeat(mask, 2, axis=0), 2, axis=1))
    assert np.array_equal(sampled(mask, 2, 1, 3, 2, 6, 4), whole[1:3, 2:5])


def test_a_histogram_has_each_level_in_its_quarter_of_a_stop() -> None:
    levels = np.array([1.0, 0.99, 0.5, 0.26, 0.25, 2.0**-12, 0.0, -0.1])
    found = histogram_of([(np.arange(1, 9), levels)]).counts
    expected = [0] * BINS
    expected[-1] = 1 + 2
    expected[4 * (STOPS - 1)] = 3  # one stop below
    expected[4 * (STOPS - 2)] = 4 + 5  # two stops below, and a hair above that
    expected[0] = 6 + 7 + 8
    assert list(found) == expected


def test_a_displays_levels_are_those_of_its_light() -> None:
    rng = np.random.default_rng(5)
    picture = np.clip(rng.normal(200, 40, (80, 120, 3)), 0, 255).astype(np.uint8)
    counts = counts_of_codes(picture)
    found = levels_of_codes(counts, byte_table())
    same = levels_of_picture(byte_table()[picture])
    assert (found.pixels, found.clipped, found.near) == (same.pixels, same.clipped, same.near)
    assert found.headroom_stops == pytest.approx(same.headroom_stops, abs=0.02)
    assert [h.counts[-1] for h in histograms_of_codes(counts)] == [
        int(np.count_nonzero(byte_table()[picture[..., c]] >= SATURATED_FROM)) for c in range(3)
    ]
