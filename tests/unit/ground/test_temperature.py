"""The black body's locus against Planck's law through the CIE 1931 observer (colour-science), and McCamy's formula."""

import os
import subprocess
import sys
import warnings

import numpy as np
import pytest

from plateside.ground.temperature import mccamy_cct_k, planckian_uv, planckian_xy

with warnings.catch_warnings():
    warnings.simplefilter("ignore")
    import colour


@pytest.mark.parametrize("kelvin", [1700, 2000, 2700, 4000, 6500, 10_000, 15_000, 20_000, 40_000])
def test_black_body_is_planck_s_law(kelvin: int) -> None:
    observer = colour.MSDS_CMFS["CIE 1931 2 Degree Standard Observer"]
    light = colour.sd_blackbody(kelvin, observer.shape)
    told = colour.UCS_to_uv(colour.XYZ_to_UCS(colour.sd_to_XYZ(light, observer, method="Integration")))
    assert np.array(planckian_uv(kelvin)) == pytest.approx(told, abs=6e-6)


def test_xy_and_uv_are_one_locus() -> None:
    x, y = planckian_xy(np.array([2000.0, 5000.0, 20_000.0]))
    below = -2 * x + 12 * y + 3
    u, v = planckian_uv(np.array([2000.0, 5000.0, 20_000.0]))
    assert np.allclose([4 * x / below, 6 * y / below], [u, v], atol=1e-12)


def test_mccamy_is_colour_science_s() -> None:
    for xy in ((0.31271, 0.32902), (0.3451, 0.3516), (0.2807, 0.2884)):
        assert mccamy_cct_k(*xy) == pytest.approx(float(colour.xy_to_CCT(xy, "McCamy 1992")), rel=1e-9)


def test_between_the_table_s_places_it_is_the_library_s_spline() -> None:
    """scipy.interpolate.CubicSpline, not-a-knot, through the same table."""
    from scipy.interpolate import CubicSpline

    from plateside.ground import temperature as t

    told = CubicSpline(t._MIRED, np.stack([t._U, t._V], axis=1))
    mired = np.linspace(1.0, t.MOST_MIRED, 1801)
    assert np.stack(planckian_uv(1e6 / mired), axis=1) == pytest.approx(told(mired), abs=1e-14)


def test_a_fresh_process_needs_neither_the_large_library_nor_a_second_thread_for_colour() -> None:
    names = "OPENBLAS_NUM_THREADS", "OMP_WAIT_POLICY"
    asked = (
        "import plateside.light.colour as c, os, sys; c.rgb_of_cct(5000.0);"
        f"print('scipy.interpolate' in sys.modules, *(os.environ[name] for name in {names}))"
    )
    usual = {name: value for name, value in os.environ.items() if name not in names}
    # who has set them otherwise is left alone
    for given in (("1", "passive"), ("2", "active")):
        own = {} if given[0] == "1" else dict(zip(names, given, strict=True))
        done = subprocess.run(
            [sys.executable, "-c", asked], env={**usual, **own}, capture_output=True, text=True, check=True
        )
        assert done.stdout.split() == ["False", *given]
