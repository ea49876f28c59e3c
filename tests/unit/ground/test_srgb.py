"""Transfer, XYZ, Lab and mired against IEC 61966-2-1, CIE 15 and colour-science."""

import warnings

import numpy as np
import pytest

from plateside.ground import srgb as ours

with warnings.catch_warnings():
    warnings.simplefilter("ignore")
    import colour as science

RNG = np.random.default_rng(61966)


def test_matrix_follows_from_the_standard_s_chromaticities() -> None:
    # IEC 61966-2-1: R 0.6400 0.3300, G 0.3000 0.6000, B 0.1500 0.0600, white 0.3127 0.3290.
    xy = np.array([[0.64, 0.33], [0.30, 0.60], [0.15, 0.06]])
    x, y = xy.T
    columns = np.stack([x / y, np.ones(3), (1 - x - y) / y])
    white = np.array([0.3127 / 0.3290, 1.0, (1 - 0.3127 - 0.3290) / 0.3290])
    np.testing.assert_allclose(ours.TO_XYZ, columns * np.linalg.solve(columns, white), atol=1e-12)


def test_transfer_at_the_standard_s_own_points() -> None:
    # IEC 61966-2-1: 0.04045 is where the two parts meet; 18 % grey is code 117.6 of 255.
    assert float(ours.to_linear(np.array(0.04045))) == pytest.approx(0.04045 / 12.92, abs=1e-12)
    assert 255 * float(ours.to_display(np.array(0.18))) == pytest.approx(117.6, abs=0.05)


def test_transfer_is_undone_by_its_inverse_and_odd() -> None:
    values = np.linspace(-0.2, 1.4, 2001)
    np.testing.assert_allclose(ours.to_linear(ours.to_display(values)), values, atol=2e-6)
    np.testing.assert_allclose(ours.to_display(-values), -ours.to_display(values), atol=1e-15)


def test_transfer_agrees_with_colour_science() -> None:
    values = np.linspace(0, 1, 1001)
    np.testing.assert_allclose(ours.to_linear(values), science.models.eotf_sRGB(values), atol=1e-9)


def test_lab_agrees_with_colour_science_and_grey_has_no_colour() -> None:
    rgb = RNG.uniform(0, 1, (500, 3))
    white = science.XYZ_to_xy(ours.WHITE_XYZ)
    np.testing.assert_allclose(ours.to_lab(rgb), science.XYZ_to_Lab(ours.to_xyz(rgb), white), atol=1e-6)
    grey = ours.to_lab(np.full(3, 0.18))
    # CIE 1976: L* of 18 % is 49.5.
    np.testing.assert_allclose(grey, [49.496, 0, 0], atol=5e-4)


def test_slopes_of_lab_are_its_differences_on_both_sides_of_the_bend() -> None:
    rgb = np.concatenate([RNG.uniform(0.01, 1, (200, 3)), RNG.uniform(-0.002, 0.006, (200, 3))])
    step = 1e-6 * np.eye(3)
    by_steps = np.stack([(ours.to_lab(rgb + s) - ours.to_lab(rgb - s)) / 2e-6 for s in step], axis=-1)
    np.testing.assert_allclose(ours.lab_slopes(rgb), by_steps, atol=1e-3)


@pytest.mark.parametrize("kelvin", [3000.0, 4000.0, 5000.0, 5500.0, 6504.0, 7500.0])
def test_temperature_of_daylight_and_lamps(kelvin: float) -> None:
    # On the black-body locus; McCamy (1992) claims 2 K between 2,856 and 6,504 K, a little more beyond.
    xy = science.temperature.CCT_to_xy_Kang2002(kelvin)
    rgb = np.linalg.solve(ours.TO_XYZ, science.xy_to_XYZ(xy))
    assert ours.colour_temperature_k(rgb) == pytest.approx(kelvin, rel=0.006)


def test_mired_of_grey_is_zero_and_amber_is_warmer() -> None:
    assert ours.mired_shift(np.full(3, 0.4)) == pytest.approx(0, abs=1e-9)
    assert ours.mired_shift(np.array([1.1, 1.0, 0.9])) > 10
    assert ours.mired_shift(np.array([0.9, 1.0, 1.1])) < -10
