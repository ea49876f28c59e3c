"""CIE's standard general skies: table 1 and luminance ratios.

Source: ISO 15469:2004 / CIE S 011/E:2003. The standard itself was not at hand; its table was confirmed from three
public copies that agree in every figure (colour-science's documentation, `phenomena/sky/cie2003`, and two shader
tables), and the ratios below are those printed in colour-science's documentation of its own implementation.
"""

from math import asin, degrees, pi, radians, sin

import numpy as np
import pytest

from plateside.light.sky import Sky, cie_sky, luminance_ratio
from plateside.light.sky_light import KINDS, relative_luminance

TABLE = {
    1: (4.0, -0.70, 0, -1.0, 0.00),
    2: (4.0, -0.70, 2, -1.5, 0.15),
    3: (1.1, -0.80, 0, -1.0, 0.00),
    4: (1.1, -0.80, 2, -1.5, 0.15),
    5: (0.0, -1.00, 0, -1.0, 0.00),
    6: (0.0, -1.00, 2, -1.5, 0.15),
    7: (0.0, -1.00, 5, -2.5, 0.30),
    8: (0.0, -1.00, 10, -3.0, 0.45),
    9: (-1.0, -0.55, 2, -1.5, 0.15),
    10: (-1.0, -0.55, 5, -2.5, 0.30),
    11: (-1.0, -0.55, 10, -3.0, 0.45),
    12: (-1.0, -0.32, 10, -3.0, 0.45),
    13: (-1.0, -0.32, 16, -3.0, 0.30),
    14: (-1.0, -0.15, 16, -3.0, 0.30),
    15: (-1.0, -0.15, 24, -2.8, 0.15),
}


def apart_deg(elevation: float, azimuth: float, sun_elevation: float, sun_azimuth: float) -> float:
    cosine = sin(radians(elevation)) * sin(radians(sun_elevation)) + np.cos(radians(elevation)) * np.cos(
        radians(sun_elevation)
    ) * np.cos(radians(azimuth - sun_azimuth))
    return degrees(np.arccos(np.clip(cosine, -1, 1)))


@pytest.mark.parametrize("number", TABLE)
def test_table_1(number: int) -> None:
    sky = cie_sky(number, 10000.0)
    assert (sky.a, sky.b, sky.c, sky.d, sky.e) == TABLE[number]


@pytest.mark.parametrize(("number", "ratio"), [(1, 0.8325846), (12, 0.4544524)])
def test_printed_luminance_ratios(number: int, ratio: float) -> None:
    """Point 45 degrees from the zenith at azimuth 180, sun 30 degrees from the zenith at azimuth 0."""
    got = luminance_ratio(cie_sky(number, 1.0), 45.0, apart_deg(45, 180, 60, 0), 60.0)
    assert got == pytest.approx(ratio, abs=1e-7)


def test_printed_gradation_and_indicatrix() -> None:
    """Gradation at the zenith, type 1: 2.9863412; indicatrix 4 at 30 degrees from the sun: 3.3264628."""
    top = relative_luminance(KINDS["cie"], 4.0, -0.7, 0.0, -1.0, 0.0, 1.0, 0.0)
    assert top == pytest.approx(2.9863412, abs=1e-7)
    near = relative_luminance(KINDS["cie"], 0.0, -1.0, 10.0, -3.0, 0.45, 1.0, float(np.cos(radians(30))))
    assert near == pytest.approx(3.3264628, abs=1e-7)


def test_horizon_has_gradation_one() -> None:
    """The standard sets the gradation at the horizon to 1."""
    horizon = relative_luminance(KINDS["cie"], 4.0, -0.7, 0.0, -1.0, 0.0, 0.0, 0.0)
    assert horizon == pytest.approx(1.0, abs=1e-9)


def test_traditional_overcast_sky() -> None:
    """(1 + 2 sin g)/3: zenith three times the horizon (CIE S 011, type 16); E = 7 pi Lz / 9 on the horizontal."""
    sky = cie_sky(16, 1.0)
    assert luminance_ratio(sky, 0.0, 60.0, 30.0) == pytest.approx(1 / 3)
    for elevation in (0, 10, 30, 60, 90):
        want = (1 + 2 * sin(radians(elevation))) / 3
        assert luminance_ratio(sky, elevation, 60.0, 30.0) == pytest.approx(want)
    sine = (np.arange(2000) + 0.5) / 2000
    ring = [relative_luminance(KINDS["overcast"], sky.a, sky.b, sky.c, sky.d, sky.e, s, 0.0) for s in sine]
    assert 2 * pi * float(np.mean(ring * sine)) == pytest.approx(7 * pi / 9, rel=1e-4)


@pytest.mark.parametrize("number", sorted(TABLE))
def test_every_type_against_the_formula(number: int) -> None:
    """The standard's formula written out here once more, at seeded points of the sky."""
    a, b, c, d, e = TABLE[number]
    rng = np.random.default_rng(number)

    def formula(elevation: float, chi: float) -> float:
        phi = 1 + a * np.exp(b / np.cos(radians(90 - elevation)))
        return float(phi * (1 + c * (np.exp(d * chi) - np.exp(d * pi / 2)) + e * np.cos(chi) ** 2))

    sky: Sky = cie_sky(number, 1.0)
    for _ in range(20):
        sun = degrees(asin(rng.uniform(0.05, 1)))
        elevation, azimuth = degrees(asin(rng.uniform(0.02, 1))), rng.uniform(0, 360)
        chi = apart_deg(elevation, azimuth, sun, 0.0)
        want = formula(elevation, radians(chi)) / formula(90, radians(90 - sun))
        assert luminance_ratio(sky, elevation, chi, sun) == pytest.approx(want, rel=1e-6)
