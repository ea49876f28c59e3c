"""Colour of the light against published chromaticities, CIELAB against scikit-image."""

import numpy as np
import pytest
from skimage.color import lab2lch, rgb2lab

from plateside.frames.colour import cast_of, cast_of_card, cast_of_world, mired_of
from plateside.frames.lab import lab_of, lch_of
from plateside.ground.temperature import mccamy_cct_k


@pytest.mark.parametrize(
    ("x", "y", "cct_k", "off_k"),
    [
        (0.31271, 0.32902, 6504, 3),  # D65, CIE 15; McCamy (1992) gives 6503 to 6504
        (0.44757, 0.40745, 2856, 4),  # illuminant A, CIE 15
        (0.34567, 0.35850, 5003, 5),  # D50, CIE 15
    ],
)
def test_mccamy_at_standard_lights(x: float, y: float, cct_k: float, off_k: float) -> None:
    assert mccamy_cct_k(x, y) == pytest.approx(cct_k, abs=off_k)


def test_white_has_no_cast_and_warm_is_positive() -> None:
    assert cast_of((0.5, 0.5, 0.5)) == pytest.approx((0, 0), abs=1e-9)
    assert cast_of((0.6, 0.5, 0.4))[0] > 30
    assert cast_of((0.4, 0.5, 0.6))[0] < -20
    assert cast_of((0.4, 0.5, 0.4))[1] == pytest.approx(np.log2(0.5 / 0.4))


def test_a_card_under_illuminant_a() -> None:
    # illuminant A as linear sRGB: XYZ 1.0985, 1, 0.3558 (CIE 15) through the inverse matrix of IEC 61966-2-1
    a = np.linalg.solve(
        [[0.4124, 0.3576, 0.1805], [0.2126, 0.7152, 0.0722], [0.0193, 0.1192, 0.9505]], [1.0985, 1.0, 0.3558]
    )
    assert mired_of(a) == pytest.approx(1e6 / 2856, abs=1.5)
    picture = np.full((100, 150, 3), 0.3, np.float32)
    picture[40:60, 60:90] = a * 0.18
    facts = cast_of_card(picture, (0.4, 0.4, 0.6, 0.6))
    assert facts.cast_mired == pytest.approx(1e6 / 2856 - 1e6 / 6504, abs=2)


def test_the_world_is_less_sure_but_sees_a_lamp() -> None:
    rng = np.random.default_rng(0)
    grey = np.repeat(rng.uniform(0.1, 0.7, (60, 90, 1)), 3, axis=2).astype(np.float32)
    warm = grey * np.array([1.25, 1.0, 0.7], np.float32)
    assert abs(cast_of_world(grey).cast_mired) < 1
    assert cast_of_world(warm).cast_mired == pytest.approx(cast_of((1.25, 1.0, 0.7))[0], abs=3)
    assert cast_of_world(warm).source == "grey world"


def test_lab_is_scikit_images() -> None:
    # CIE 15:2018; scikit-image converts encoded sRGB with the same white and matrix
    rng = np.random.default_rng(1)
    shown = rng.uniform(0, 1, (20, 20, 3))
    linear = np.where(shown <= 0.04045, shown / 12.92, ((shown + 0.055) / 1.055) ** 2.4)
    assert np.allclose(lab_of(linear), rgb2lab(shown), atol=0.05)
    lch = lab2lch(rgb2lab(shown))
    assert np.allclose(lch_of(lab_of(linear))[..., :2], lch[..., :2], atol=0.05)


def test_lightness_of_grey_card() -> None:
    # CIE 1976: L* of 18 % is 49.5
    assert lab_of(np.array([0.18, 0.18, 0.18]))[0] == pytest.approx(49.5, abs=0.05)
