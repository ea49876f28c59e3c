"""The camera as a meter: ISO 12232's and ISO 2720's numbers, and laws.

Sources: ISO 12232:2006 clauses 6-7 (H_sat = 78/S, H = 0.65 L t / N^2; from memory);
ISO 2720 (E = C N^2 / (t S), C = 250); the level of a metered mean: D. Kerr, openphotographyforums.com.
"""

from math import log2, pi

import pytest

from plateside.light.meter.iso12232 import illuminance_from_grey_card
from plateside.model.errors import InputError


def lux(**changes: float) -> float:
    settings = {"f_number": 8.0, "exposure_s": 1 / 3, "iso": 100.0, "raw_share": 0.1} | changes
    return illuminance_from_grey_card(**settings).illuminance_lx


def test_saturation_by_the_standard() -> None:
    """At saturation the sensor has had 0.78 lx s at ISO 100 (ISO 12232): the level r stands for 0.78 r lx s."""
    luminance = lux(raw_share=0.5) * 0.18 / pi
    assert 0.65 * luminance * (1 / 3) / 8.0**2 == pytest.approx(0.5 * 0.78, rel=1e-12)


def test_a_metered_grey_card_lands_where_the_standard_puts_it() -> None:
    """The standard's mean exposure is 10/S, that is 12.8 % of saturation (12.7-12.8 % by D. Kerr): a card
    that lands there at f/8, 1/3 s, ISO 100 has L = 10/100 N^2 / (0.65 t) = 29.5 cd/m2 (0.18 E / pi is 27.5 for
    480 lx; a reflected-light meter of K 12.5: 0.1 stop, the standards' own difference)."""
    got = lux(raw_share=10 / 78)
    assert got * 0.18 / pi == pytest.approx(0.1 * 64 * 3 / 0.65)
    assert abs(log2(got / 480)) < 0.15


@pytest.mark.parametrize(
    ("change", "stops"),
    [
        ({"exposure_s": 2 / 3}, -1),
        ({"iso": 200.0}, -1),
        ({"f_number": 8 * 2**0.5}, 1),
        ({"raw_share": 0.2}, 1),
        ({"card_reflectance": 0.09}, 1),
        ({"meter_factor": 0.5}, 1),
    ],
)
def test_a_stop_is_a_stop(change: dict[str, float], stops: float) -> None:
    assert log2(lux(**change) / lux()) == pytest.approx(stops)


@pytest.mark.parametrize(("magnification", "stops"), [(0.1, 0.275), (0.25, 0.644), (1.0, 2.0)])
def test_close_up_costs_light(magnification: float, stops: float) -> None:
    """Stops lost at m with P = 1: 2 log2(1 + m)."""
    assert log2(lux(magnification=magnification) / lux()) == pytest.approx(stops, abs=5e-4)


def test_pupil_magnification() -> None:
    """N_eff = N (1 + m/P): with P = 2 half of m counts."""
    assert lux(magnification=0.5, pupil_magnification=2.0) == pytest.approx(lux(magnification=0.25))


def test_spread_shrinks_once_the_camera_is_known() -> None:
    settings = {"f_number": 8.0, "exposure_s": 0.3, "iso": 100.0, "raw_share": 0.1}
    unknown = illuminance_from_grey_card(**settings)
    known = illuminance_from_grey_card(**settings, meter_factor=1.2)
    assert known.spread_stops < 0.25 < unknown.spread_stops < 0.75


@pytest.mark.parametrize(
    ("change", "said"),
    [
        ({"raw_share": 0.99}, "blown out: share 0.99"),
        ({"raw_share": 0.001}, "black: share 0.001"),
        ({"exposure_s": 0.0}, "exposure not above zero"),
        ({"card_reflectance": 1.5}, "reflectance"),
        ({"magnification": -0.1}, "magnification"),
    ],
)
def test_what_cannot_be_read_is_refused(change: dict[str, float], said: str) -> None:
    with pytest.raises(InputError, match=said):
        lux(**change)


def test_a_camera_that_reads_high_is_corrected_by_its_factor() -> None:
    read = lux()
    assert lux(meter_factor=read / 300.0) == pytest.approx(300.0)
