"""A lamp suspected from one frame: laws of the measures, and a seeded sample of scenes that the fit never saw."""

import cv2
import numpy as np
import pytest

from bench.made.fit_lamps import flat_pair
from bench.made.scenes import TEST
from bench.second_light import wilson
from plateside.frames.exposure import small_linear
from plateside.frames.lamp_features import lamp_features
from plateside.frames.lamp_shadows import shadow_features
from plateside.frames.lamp_weights import BENT, BIAS, COUNTS, LIMIT, MEAN, SPREAD, STRAIGHT
from plateside.frames.second_light import suspicion
from plateside.frames.verdict import SUSPECTED


def shadowed(lamp: float, size: tuple[int, int] = (96, 144), *, patches: bool = True) -> np.ndarray:
    """A grey board, half of it in a soft shadow, patches of other colours on it; a lamp reaches all of it evenly."""
    high, wide = size
    board = np.full((high, wide, 3), 0.5, np.float32)
    tones = ((0.3, 0.35, 0.2), (0.6, 0.3, 0.25), (0.2, 0.25, 0.4), (0.7, 0.68, 0.66))
    for k, tone in enumerate(tones if patches else ()):
        board[:, 16 + 32 * k : 32 + 32 * k] = tone
    window = np.full((high, wide), 1.0, np.float32)
    window[high // 2 :] = 0.3
    window = np.asarray(cv2.GaussianBlur(window, (0, 0), 3.0), np.float32)[..., None]
    # 2700 K against D65, linear sRGB at equal luminance: from memory
    warm = np.array([1.7, 0.9, 0.25], np.float32) * np.float32(lamp)
    return np.asarray(board * (window + warm), np.float32)


def test_a_shadows_dark_side_is_warmer_only_when_a_lamp_fills_it() -> None:
    usable = np.ones((96, 144), bool)
    without, with_lamp = (shadow_features(shadowed(lamp, patches=False), usable) for lamp in (0.0, 0.25))
    # the median step of red over blue towards the dark side, and its mean: the eleventh numbers and on of each reach
    for k in (11, 13):
        assert without[k] == pytest.approx(0.0, abs=1e-3)
        assert with_lamp[k] > 0.1


def test_without_a_lamp_the_cast_alone_says_little() -> None:
    # a white balance moves every pixel alike: what is measured of edges and of single things may not change
    usable = np.ones((96, 144), bool)
    scene = shadowed(0.1)
    cast = np.array([1.15, 1.0, 0.85], np.float32)
    before, after = (np.array(shadow_features(p, usable)[:46]) for p in (scene, scene * cast))
    # luminance weighs the channels, so it changes a little
    assert np.abs(before - after).max() < 0.15


def test_a_dark_frame_is_not_suspected() -> None:
    assert lamp_features(np.full((100, 150, 3), 0.001, np.float32)) is None
    assert suspicion(np.full((100, 150, 3), 0.001, np.float32)).strength == 0.0


def test_the_weights_fit_the_measures() -> None:
    found = lamp_features(shadowed(0.2, (400, 600)))
    assert found is not None
    n = len(MEAN)
    assert found.features.shape == (n,)
    assert len(SPREAD) == len(STRAIGHT) == n
    assert len(BENT) == n * len(BIAS) == n * len(COUNTS)
    assert min(SPREAD) > 0
    assert np.isfinite(LIMIT)


def test_wilson_interval() -> None:
    # 81 of 263: 0.2553 to 0.3662, Newcombe, Statistics in Medicine 17 (1998), table I, method 3
    assert wilson(81, 263) == pytest.approx((0.2553, 0.3662), abs=2e-4)


def test_unseen_flat_scenes() -> None:
    # 16 pairs of photographs that the fit never saw; the whole table: python -m bench second_light
    pairs = [flat_pair(TEST, 300_000 + i) for i in range(16)]
    off, on = (np.array([suspicion(small_linear(p[k])).strength for p in pairs]) for k in (0, 1))
    assert np.count_nonzero(off >= SUSPECTED) <= 2
    assert np.count_nonzero(on >= SUSPECTED) >= 3
    assert float((on[:, None] > off[None]).mean()) > 0.8
