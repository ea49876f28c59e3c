"""Colour against colour-science (an independent implementation of the CIE's definitions) and printed values."""

import warnings

import numpy as np
import pytest

from plateside.ground.srgb import LUMINANCE, TO_XYZ
from plateside.light.colour import cct_duv, daylight_xy, rgb_of_cct, tints_of

with warnings.catch_warnings():
    warnings.simplefilter("ignore")
    import colour


@pytest.mark.parametrize("cct", [2000, 2856, 3500, 5000, 6504, 8000, 12000, 18000])
def test_cct_and_duv_against_ohno(cct: int) -> None:
    """colour-science: Y. Ohno, Practical use and calculation of CCT and Duv, Leukos 10 (2014)."""
    x, y = daylight_xy(float(cct))
    rgb = np.linalg.inv(TO_XYZ) @ np.array([x / y, 1, (1 - x - y) / y])
    uv = np.array([4 * x, 6 * y]) / (-2 * x + 12 * y + 3)
    expected, duv = colour.temperature.uv_to_CCT_Ohno2013(uv)
    got, got_duv = cct_duv(rgb)
    # Krystek's locus is stated up to 15000 K.
    assert 1e6 / got == pytest.approx(1e6 / expected, abs=1.0 if cct <= 15000 else 1.5)  # mired
    assert got_duv == pytest.approx(duv, abs=3e-4)


def test_daylight_locus_at_its_printed_points() -> None:
    """check_values.md 81, 83 (CIE 15.2): 5000 K 0.34574 0.35867; 6504 K 0.31271 0.32912."""
    for cct, x, y in ((5000.0, 0.34574, 0.35867), (6504.0, 0.31271, 0.32912)):
        got = daylight_xy(cct)
        assert (float(got[0]), float(got[1])) == pytest.approx((x, y), abs=1e-5)


def test_bands_have_luminance_one_and_d65_is_white() -> None:
    rgb = rgb_of_cct(np.array([1800.0, 2500.0, 4000.0, 6504.0, 20000.0]))
    assert rgb @ LUMINANCE == pytest.approx(np.ones(5))
    assert rgb[3] == pytest.approx(np.ones(3), abs=0.004)
    assert np.all(np.diff(rgb[:, 2]) > 0) and np.all(np.diff(rgb[:, 0]) < 0)


def test_nothing_jumps_along_the_locus() -> None:
    x, y = daylight_xy(np.arange(1800.0, 25000.0, 10.0))
    assert np.abs(np.diff(x)).max() < 0.003 and np.abs(np.diff(y)).max() < 0.003


def test_no_light_has_no_colour() -> None:
    assert cct_duv(np.zeros(3)) == (0.0, 0.0)


def test_tints() -> None:
    assert tints_of(2, 0.001) == ()
    assert tints_of(30, 0.004) == ("warm", "slightly green")
    assert tints_of(-8, -0.01) == ("slightly cool", "magenta")
