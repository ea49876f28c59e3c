"""A window without glass in a black room against the closed forms.

Uniform sky: configuration factors of a rectangle (R. Siegel, J. Howell, Thermal Radiation Heat Transfer, appendix of
factors; P. Moon, The Scientific Basis of Illuminating Engineering, 1936). CIE overcast sky on the horizontal:
P. Moon, D. Spencer, Illumination from a non-uniform sky, Illuminating Engineering 37 (1942), as worked out in
shared/notes/light.md.
"""

from datetime import datetime
from math import asin, atan, pi, sqrt
from zoneinfo import ZoneInfo

import numpy as np
import pytest

from plateside.light.moment import light_at
from plateside.light.sky import cie_sky
from plateside.model.room import Spot, Window
from plateside.model.studio import Studio
from tests.unit.light.forms import horizontal_uniform
from tests.unit.light.rooms import WINDOW, black_room

NOON = datetime(2027, 1, 15, 12, 30, tzinfo=ZoneInfo("Europe/Lisbon"))
TOLERANCE = 0.005


def horizontal_overcast(b: float, h: float, d: float) -> float:
    """The same for an overcast sky, as a share of the unobstructed horizontal."""
    s = b / sqrt(b * b + d * d)
    big = d * d + h * h
    g = (asin(h * s / sqrt(big)) - h * d * d * s / (big * sqrt(big - h * h * s * s))) / 3
    return 3 / (7 * pi) * (pi * horizontal_uniform(b, h, d) + 2 * g)


def facing_uniform(b: float, h: float, d: float) -> float:
    """Factor of a corner rectangle on a plane that faces it."""
    a, c = b / d, h / d
    p, q = sqrt(1 + a * a), sqrt(1 + c * c)
    return (a / p * atan(c / p) + c / q * atan(a / q)) / (2 * pi)


def summed(factor, left: float, right: float, low: float, high: float, d: float) -> float:  # type: ignore[no-untyped-def]
    """Signed corner rectangles: any rectangle by four about the foot of the perpendicular."""

    def one(b: float, h: float) -> float:
        if b == 0 or h <= 0:
            return 0.0
        return float(np.sign(b) * factor(abs(b), h, d))

    return one(right, high) - one(left, high) - one(right, low) + one(left, low)


CASES = [
    # from_left, from_front, table height, window width, height, sill, from_left
    (2.1, 0.5, 0.78, 1.2, 1.2, 0.78, None),
    (2.1, 1.0, 0.78, 1.2, 1.2, 0.78, None),
    (2.1, 2.0, 0.78, 1.2, 1.2, 0.78, None),
    (1.0, 0.8, 0.75, 1.5, 1.1, 0.95, 1.2),
    (3.6, 1.4, 0.60, 0.8, 1.6, 0.70, 0.3),
    (2.1, 0.3, 0.75, 2.4, 0.9, 1.10, None),
]


Case = tuple[float, float, float, float, float, float, float | None]
Bounds = tuple[float, float, float, float]


def setting(case: Case) -> tuple[Studio, Spot, Bounds, float]:
    from_left, d, height, width, tall, sill, left = case
    window = Window(name="w", bearing_deg=20, width_m=width, height_m=tall, sill_m=sill, from_left_m=left)
    start = (4.2 - width) / 2 if left is None else left
    bounds = (start - from_left, start + width - from_left, sill - height, sill + tall - height)
    spot = Spot(name="s", from_left_m=from_left, from_front_m=d, height_m=height)
    return (*black_room(window, spot), bounds, d)


@pytest.mark.parametrize("case", CASES)
def test_uniform_sky_on_the_horizontal(case: Case) -> None:
    studio, spot, (left, right, low, high), d = setting(case)
    lift = 0.001
    expected = 10000 * summed(horizontal_uniform, left, right, low - lift, high - lift, d)
    got = light_at(studio, spot, NOON, cie_sky(5, 10000)).horizontal_lx.value
    assert got == pytest.approx(expected, rel=TOLERANCE)


@pytest.mark.parametrize("case", CASES)
def test_overcast_sky_on_the_horizontal(case: Case) -> None:
    studio, spot, (left, right, low, high), d = setting(case)
    lift = 0.001
    expected = 10000 * summed(horizontal_overcast, left, right, low - lift, high - lift, d)
    got = light_at(studio, spot, NOON, cie_sky(16, 10000)).horizontal_lx.value
    assert got == pytest.approx(expected, rel=TOLERANCE)


@pytest.mark.parametrize("case", CASES)
def test_uniform_sky_on_the_face_that_looks_at_the_window(case: Case) -> None:
    studio, spot, (left, right, low, high), d = setting(case)
    lift = 0.05

    def seen(bottom: float, top: float) -> float:
        # The face sees above its own height and, past the table, below it; the table's edge cuts the view there.
        return summed(facing_uniform, left, right, 0.0, max(top, 0), d) - summed(
            facing_uniform, left, right, 0.0, max(bottom, 0), d
        )

    # Below the horizon there is no light (black ground), so only the part above the face counts.
    expected = 10000 * seen(low - lift, high - lift)
    got = light_at(studio, spot, NOON, cie_sky(5, 10000)).front_lx.value
    assert got == pytest.approx(expected, rel=TOLERANCE)


def test_printed_factors_of_the_trade_notes() -> None:
    """Siegel, Howell, appendix C: window 1.2 x 1.2 m, table at the sill, 0.5, 1 and 2 m: 0.22592, 0.09729, 0.02405."""
    for d, factor in ((0.5, 0.22592), (1.0, 0.09729), (2.0, 0.02405)):
        studio, spot = black_room(
            WINDOW, Spot(name="s", from_left_m=2.1, from_front_m=d, height_m=0.78 - 0.001)
        )
        got = light_at(studio, spot, NOON, cie_sky(5, 10000)).horizontal_lx.value
        assert got == pytest.approx(10000 * factor, rel=TOLERANCE)


def test_nothing_comes_through_a_wall_without_window() -> None:
    studio, spot = black_room(WINDOW, Spot(name="s", from_left_m=2.1, from_front_m=1.0))
    blind = type(studio)(place=studio.place, room=studio.room, spots=studio.spots)
    light = light_at(blind, spot, NOON, cie_sky(12, 10000, 80000))
    assert light.horizontal_lx.value == 0
    assert light.key_fill_stops.value == 0
    assert not light.sun_on_dish
    assert light.cct_k.value == 0
