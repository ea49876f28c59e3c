"""Lost colours rebuilt, held against the same scene exposed without clipping; CIE L*C*h by scikit-image."""

import itertools
from pathlib import Path

import numpy as np
import pytest
from numpy.typing import NDArray
from skimage.color import xyz2lab

from plateside.files.originals.pixels import linear_picture
from plateside.finish.develop import STANDARD_LIFT, develop
from plateside.ground.srgb import LUMINANCE, TO_XYZ
from plateside.model.pixels import LinearPicture
from tests.synthetic.dng import NEUTRAL, camera_of_srgb, write_dng

Pixels = NDArray[np.float64]
FOODS = {
    "cream": (0.90, 0.80, 0.62), "yolk": (0.85, 0.45, 0.05), "lemon": (0.85, 0.72, 0.08),
    "tomato": (0.55, 0.05, 0.03), "raspberry": (0.50, 0.04, 0.11),
}  # fmt: skip
"""Linear sRGB; ours, from memory of such foods."""
LIGHTS = {"daylight": (2.0, 1.0, 1.6), "tungsten": (1.25, 1.0, 3.0)}
CAMERA = camera_of_srgb()
_R, _G, _B = np.linalg.inv(CAMERA).tolist()
TO_SRGB = ((_R[0], _R[1], _R[2]), (_G[0], _G[1], _G[2]), (_B[0], _B[1], _B[2]))


def _ramp(food: str) -> Pixels:
    light = np.linspace(0.08, 1, 240)
    return np.asarray(np.tile(light[:, None] * FOODS[food], (48, 1, 1)))


def _taken(
    scene: Pixels, light: str, stops: float, full: Pixels, saturation: tuple[float, float, float] = (1, 1, 1)
) -> tuple[Pixels, LinearPicture]:
    """Sensor shares before clipping, and the picture; at 0 stops the strongest channel of `full` just saturates."""
    shares = np.clip(scene @ CAMERA.T, 0, None) / LIGHTS[light]
    shares = shares * 2.0**stops / (full @ CAMERA.T / LIGHTS[light]).max()
    rgb = (np.minimum(shares, 1) * saturation).astype(np.float32)
    return shares, LinearPicture(
        rgb=rgb, saturation=saturation, white_balance=LIGHTS[light], to_srgb=TO_SRGB, is_raw=True
    )


def _truth(shares: Pixels, light: str) -> Pixels:
    """What there was to develop: balanced, in linear sRGB."""
    return np.asarray(shares * LIGHTS[light] * STANDARD_LIFT @ np.asarray(TO_SRGB).T)


def _hue_apart_deg(a: Pixels, b: Pixels) -> Pixels:
    # scaled below white first: hue does not change with it, and the ruler is made for it
    one, two = (xyz2lab(v / 16 @ TO_XYZ.T) for v in (a, b))
    turn = np.arctan2(one[..., 2], one[..., 1]) - np.arctan2(two[..., 2], two[..., 1])
    return np.asarray(np.abs((np.degrees(turn) + 180) % 360 - 180))


@pytest.mark.parametrize(("food", "light"), list(itertools.product(FOODS, LIGHTS)))
def test_a_ramp_keeps_hue_and_light_where_one_channel_is_lost(food: str, light: str) -> None:
    before: Pixels | None = None
    scene = _ramp(food)
    for stops in (0.0, 0.5, 1.0, 1.5):
        shares, picture = _taken(scene, light, stops, np.asarray(FOODS[food]))
        got, truth = develop(picture).astype(float), _truth(shares, light)
        lost = (shares >= 1).sum(axis=-1)
        # the last ones within photon noise of saturation count as lost (see highlights.WHOLE_TO)
        one = (lost == 1) & (np.median(shares, axis=-1) < 0.97)
        brightness = got @ LUMINANCE
        if stops >= 0.5:
            assert one.any()
        assert _hue_apart_deg(got[one], truth[one]).max(initial=0) <= 8
        assert np.abs(np.log2(brightness[one] / (truth @ LUMINANCE)[one])).max(initial=0) <= 0.1
        spread = got.max(axis=-1) - got.min(axis=-1)
        assert spread[(shares < 0.96).any(axis=-1)].min() > 0.02
        assert spread[lost == 3].max(initial=0) < 1e-3
        if before is not None:
            assert np.log2(brightness / before).min() > -0.01
        before = brightness


def test_shaded_colours_beside_each_other_keep_their_own_hue() -> None:
    scene = np.concatenate([_ramp(food) for food in FOODS])
    shares, picture = _taken(scene, "daylight", 1.0, np.asarray(FOODS["yolk"]))
    got, truth = develop(picture).astype(float), _truth(shares, "daylight")
    one = ((shares >= 1).sum(axis=-1) == 1) & (np.median(shares, axis=-1) < 0.97)
    assert one.mean() > 0.1
    assert _hue_apart_deg(got[one], truth[one]).max() <= 8


def test_noise_is_not_multiplied() -> None:
    shares, picture = _taken(_ramp("yolk"), "daylight", 1.0, np.asarray(FOODS["yolk"]))
    rng = np.random.default_rng(5)
    # photon noise of a full well of 20 000 electrons
    noisy = shares + rng.normal(size=shares.shape) * np.sqrt(shares / 20_000)
    rgb = np.minimum(noisy, 1).astype(np.float32)
    got = develop(LinearPicture(rgb, (1, 1, 1), picture.white_balance, picture.to_srgb, is_raw=True)).astype(
        float
    )
    truth = _truth(shares, "daylight")
    lost = ((shares >= 1).sum(axis=-1) > 0) & (shares.min(axis=-1) < 0.9)
    assert np.std(np.log2((got @ LUMINANCE / (truth @ LUMINANCE))[lost])) < 0.05
    assert _hue_apart_deg(got[lost], truth[lost]).max() < 8


@pytest.mark.parametrize("food", ["cream", "yolk", "lemon"])
def test_a_flat_thing_with_nothing_of_its_colour_beside_it_keeps_colour_and_does_not_darken(
    food: str,
) -> None:
    y, x = np.mgrid[:120, :160]
    inside = np.hypot(x - 80, y - 60) < 40
    scene = np.where(inside[..., None], FOODS[food], (0.03, 0.03, 0.03))
    middle = []
    for stops in (0.0, 0.3, 0.6, 0.9, 1.2):
        shares, picture = _taken(scene, "daylight", stops, np.asarray(FOODS[food]))
        got = develop(picture).astype(float)[60, 80]
        middle.append(got @ LUMINANCE)
        if (shares[60, 80] < 0.97).any():
            assert got.max() - got.min() > 0.05
            # it is more yellow than red, blue or green: hue within 40 degrees of the truth
            assert _hue_apart_deg(got, _truth(shares, "daylight")[60, 80]) < 40
    assert min(np.diff(middle)) > -0.01


@pytest.mark.parametrize("food", ["yolk", "lemon", "orange", "tomato"])
def test_it_does_not_darken_where_blue_is_all_that_is_left(food: str) -> None:
    """A mosaic whose blue counts against luminance, in warm window light: published sensitivities in 3 800 K."""
    matrix = np.array([[1.8, -0.73, -0.07], [-0.19, 1.54, -0.35], [0.09, -0.66, 1.57]])
    balance, colour = np.array([1.22, 1.0, 1.65]), np.array({**FOODS, "orange": (0.80, 0.30, 0.02)}[food])
    assert (LUMINANCE @ matrix)[2] < 0
    y, x = np.mgrid[:96, :128]
    scene = np.where((np.hypot(x - 64, y - 48) < 32)[..., None], colour, (0.03, 0.03, 0.03))
    shares = scene @ np.linalg.inv(matrix).T / balance
    shares /= shares.max()
    rows = tuple((float(a), float(b), float(c)) for a, b, c in matrix)
    seen = []
    for stops in np.arange(0, 2.6, 0.25):
        rgb = np.clip(shares * 2.0**stops, 0, 1).astype(np.float32)
        got = develop(LinearPicture(rgb, (1, 1, 1), (1.22, 1.0, 1.65), rows, is_raw=True))
        seen.append(np.log2(got.astype(float)[20:76:8, 40:90:8] @ LUMINANCE))
    assert np.diff(seen, axis=0).min() > -0.01


@pytest.mark.parametrize("light", LIGHTS)
def test_a_blown_white_with_nothing_beside_it_stays_white(light: str) -> None:
    """While two are lost: grey is grey by the balance, and as bright as the channel that is left says."""
    seen = 0
    for stops in np.arange(0, 1.3, 0.1):
        full = np.array([0.9, 0.9, 0.9])
        shares, picture = _taken(np.tile(full, (48, 48, 1)), light, stops, full)
        if (shares[24, 24] >= 1).sum() == 2 and shares.min() < 0.97:
            got, truth = develop(picture).astype(float)[24, 24], _truth(shares, light)[24, 24]
            np.testing.assert_allclose(got, truth, rtol=0.02)
            seen += 1
    assert seen > 1


def test_a_blown_tablecloth_does_not_take_the_yolk_s_colour() -> None:
    scene = np.full((120, 240, 3), 0.3)
    scene[:, :120] = _ramp("yolk")[:1, ::2]
    shares, picture = _taken(scene, "tungsten", 1.5, np.asarray(FOODS["yolk"]))
    got = develop(picture).astype(float)
    cloth = got[20:100, 150:230]
    assert (shares[50, 200] >= 1).sum() >= 2
    assert (cloth.max(axis=-1) / cloth.min(axis=-1)).max() < 1.6


def test_what_is_not_clipped_is_untouched_and_each_channel_has_its_own_saturation() -> None:
    scene = _ramp("cream")
    at = (0.9, 1.0, 0.8)
    shares, picture = _taken(scene, "daylight", 0.5, np.asarray(FOODS["cream"]), at)
    got = develop(picture)
    whole = (shares < 0.95).all(axis=-1)
    np.testing.assert_allclose(got[whole], _truth(shares, "daylight")[whole], rtol=2e-3, atol=2e-4)
    _, plain = _taken(scene, "daylight", 0.5, np.asarray(FOODS["cream"]))
    np.testing.assert_allclose(got, develop(plain), rtol=2e-3, atol=2e-4)


def test_a_bright_cloth_beside_it_does_not_darken_a_yolk(tmp_path: Path) -> None:
    """Pixels at its edge are mixtures, some of them not clipped: they are neither's colour."""
    y, x = np.mgrid[:480, :640]
    away = np.hypot(x - 330, y - 240) / 200
    shade = np.clip((330 - x) / 400 + (240 - y) / 667 + 0.8 * np.sqrt(np.clip(1 - away**2, 0, 1)), 0.03, 1)
    cloth = 0.35 + np.random.default_rng(5).normal(0, 0.02, (480, 640, 1))
    scene = np.where((away < 1)[..., None], np.asarray((0.85, 0.48, 0.05)) * shade[..., None], cloth)
    full = (scene @ CAMERA.T * NEUTRAL)[away < 1].max()
    write_dng(tmp_path / "a.dng", scene, gain=2 / full, seed=5, preview=False)
    inside = away < 0.96
    light = (develop(linear_picture(tmp_path / "a.dng", half=False)).astype(float) @ LUMINANCE)[inside]
    by_truth = np.argsort((scene @ LUMINANCE)[inside])
    means = np.array([light[part].mean() for part in np.array_split(by_truth, 60)])
    assert np.log2(np.maximum.accumulate(means) / means).max() < 0.03
