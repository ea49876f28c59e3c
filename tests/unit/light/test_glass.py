"""Glass by angle: Radiance's published shortcut, energy, and the limits.

Radiance's reference manual gives the inner transmission of its `glass` from the transmittance straight on:
tn = (sqrt(0.8402528435 + 0.0072522239 Tn^2) - 0.9166530661) / 0.0036261119 / Tn.
"""

from math import sqrt

import numpy as np
import pytest

from plateside.light.glass import (
    LOSSLESS,
    diffuse_glass_reflectance,
    glass_reflectance,
    glass_transmittance,
    pane,
)

COSINES = np.linspace(0.001, 1, 200)


@pytest.mark.parametrize("normal", [0.2, 0.5, 0.65, 0.8, 0.88, 0.91])
def test_inner_transmission_is_radiances(normal: float) -> None:
    expected = (sqrt(0.8402528435 + 0.0072522239 * normal**2) - 0.9166530661) / 0.0036261119 / normal
    assert pane(normal)[1] == pytest.approx(expected, abs=1e-6)


@pytest.mark.parametrize("normal", [0.1, 0.5, 0.8, LOSSLESS, 0.95, 1.0])
def test_straight_on_it_is_what_was_said(normal: float) -> None:
    assert float(glass_transmittance(1.0, normal)) == pytest.approx(normal, abs=1e-9)


@pytest.mark.parametrize("normal", [0.3, 0.8, 0.9, LOSSLESS, 0.96])
def test_no_pane_gains_light_and_grazing_light_is_thrown_back(normal: float) -> None:
    t, r = glass_transmittance(COSINES, normal), glass_reflectance(COSINES, normal)
    assert np.all(t + r <= 1 + 1e-12) and np.all(t >= 0) and np.all(r >= 0)
    assert np.all(np.diff(t) >= -1e-12)
    assert float(t[0]) < 0.01 and float(r[0]) > 0.98


def test_a_clear_pane_loses_nothing() -> None:
    assert glass_transmittance(COSINES, LOSSLESS) + glass_reflectance(COSINES, LOSSLESS) == pytest.approx(1.0)


def test_an_open_hole_passes_everything() -> None:
    assert glass_transmittance(COSINES, 1.0) == pytest.approx(1.0)
    assert diffuse_glass_reflectance(1.0) == 0


def test_diffuse_light_loses_a_tenth_more() -> None:
    """A clear pane's transmittance for even diffuse light is about 0.92 of that straight on (common handbook figure
    for float glass: 0.80-0.84 of 0.88-0.90; from memory)."""
    # Lambert: share of even light from an angle goes with 2 cos
    share = np.trapezoid(2 * COSINES * glass_transmittance(COSINES, 0.88), COSINES) / 0.88
    assert 0.90 < share < 0.94


def test_shape_is_kept() -> None:
    assert glass_transmittance(np.full((2, 3), 0.5), 0.8).shape == (2, 3)
