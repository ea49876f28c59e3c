"""Black room, open window: the light of a window by closed forms, within 0.5 %.

Configuration factors of a rectangle (R. Siegel, J. Howell, Thermal Radiation Heat Transfer, appendix C;
checked here by quadrature). Sky component under the traditional overcast sky on the horizontal:
3 / (7 pi) (pi F + 2 G) for a rectangle that stands on the sensor's level (checked here by quadrature).
The room is black, the hole has no glass, and the ground is black, so that only the sky above the sensor's level counts.
"""

from datetime import datetime
from math import asin, atan, pi, sqrt
from zoneinfo import ZoneInfo

import numpy as np
import pytest
from scipy.integrate import dblquad

from plateside.light.moment import light_at
from plateside.light.scene import FACE_LIFT_M, HORIZONTAL_LIFT_M
from plateside.light.sky import cie_sky
from plateside.model.light_answers import SpotLight
from plateside.model.room import Place, Room, Spot, Window
from plateside.model.studio import Studio

NOON = datetime(2027, 6, 21, 13, 30, tzinfo=ZoneInfo("Europe/Lisbon"))
OUTDOORS_LX = 10000.0
TOLERANCE = 0.005


def horizontal(b: float, h: float, d: float) -> float:
    """Rectangle b wide and h high, its corner at the foot of the perpendicular, from a level point at distance d."""
    r = sqrt(d * d + h * h)
    return (atan(b / d) - d / r * atan(b / r)) / (2 * pi)


def facing(b: float, h: float, d: float) -> float:
    """The same from an upright point that faces the rectangle."""
    a, c = b / d, h / d
    p, q = sqrt(1 + a * a), sqrt(1 + c * c)
    return (a / p * atan(c / p) + c / q * atan(a / q)) / (2 * pi)


def across(b: float, h: float, d: float) -> float:
    """The same from an upright point turned along the wall, to the rectangle's side: level with b and h changed."""
    return horizontal(h, b, d)


def overcast(b: float, h: float, d: float) -> float:
    """Sky component of the traditional overcast sky on the horizontal, as a share of the light outdoors."""
    big = d * d + h * h
    s = b / sqrt(b * b + d * d)
    g = (asin(h * s / sqrt(big)) - h * d * d * s / (big * sqrt(big - h * h * s * s))) / 3
    return 3 / (7 * pi) * (pi * horizontal(b, h, d) + 2 * g)


def by_corners(form, left: float, right: float, low: float, high: float, d: float) -> float:  # type: ignore[no-untyped-def]
    """Signed sum over corners; distances to the sides are signed, heights cut off at the sensor's level."""
    total = 0.0
    for side, sign_b in ((left, 1.0), (right, 1.0)):
        for height, sign_h in ((high, 1.0), (low, -1.0)):
            if height > 0 and side != 0:
                total += sign_b * sign_h * np.sign(side) * form(abs(side), height, d)
    return float(total)


BLACK = {f"{name}_reflectance": 0.0 for name in ("floor", "ceiling", "front", "right", "back", "left")}
CASES = [
    # width, height, sill, spot from the left wall, spot from the window, table height
    (1.2, 1.2, 0.75, 2.0, 0.5, 0.749),
    (1.2, 1.2, 0.75, 2.0, 1.0, 0.749),
    (1.2, 1.2, 0.75, 2.0, 2.0, 0.749),
    (1.5, 1.1, 1.0, 1.1, 0.8, 0.7),
    (0.8, 1.6, 0.4, 3.2, 1.3, 0.75),
    (2.4, 1.4, 0.9, 2.7, 3.1, 0.6),
]
IDS = [f"{c[0]}x{c[1]} at {c[4]} m" for c in CASES]


def lit(case: tuple[float, ...], kind: int) -> tuple[SpotLight, tuple[float, float, float, float]]:
    width, height, sill, x, d, table = case
    studio = Studio(
        place=Place(latitude_deg=38.7, longitude_deg=-9.1, timezone="Europe/Lisbon"),
        room=Room(width_m=4, depth_m=4, height_m=2.5, **BLACK),
        windows=(
            Window(
                name="hole", bearing_deg=20, width_m=width, height_m=height, sill_m=sill, glass_transmittance=1.0,
                dirt_factor=1.0, frame_share=0.0, ground_reflectance=0.0,
            ),
        ),
    )  # fmt: skip
    spot = Spot(name="dish", from_left_m=x, from_front_m=d, height_m=table, table_reflectance=0.0)
    left = x - (4 - width) / 2
    return light_at(studio, spot, NOON, cie_sky(kind, OUTDOORS_LX)), (
        left,
        width - left,
        sill - table,
        sill + height - table,
    )


@pytest.mark.parametrize("case", CASES, ids=IDS)
def test_uniform_sky_on_all_faces(case: tuple[float, ...]) -> None:
    light, (left, right, low, high) = lit(case, 5)
    d = case[4]
    up = by_corners(horizontal, left, right, low - HORIZONTAL_LIFT_M, high - HORIZONTAL_LIFT_M, d)
    assert light.horizontal_lx.value / OUTDOORS_LX == pytest.approx(up, rel=TOLERANCE)
    low, high = low - FACE_LIFT_M, high - FACE_LIFT_M
    straight = by_corners(facing, left, right, low, high, d)
    assert light.front_lx.value / OUTDOORS_LX == pytest.approx(straight, rel=TOLERANCE)
    # To the right counts what lies right of the sensor's own plane, to the left what lies left of it.
    for face, near, far in ((light.right_lx, -left, right), (light.left_lx, -right, left)):
        want = sum(
            sign * across(side, high, d) - sign * (across(side, low, d) if low > 0 else 0.0)
            for side, sign in ((far, 1.0), (near, -1.0))
            if side > 0
        )
        if want > 1e-4:
            assert face.value / OUTDOORS_LX == pytest.approx(want, rel=TOLERANCE)
    assert light.back_lx.value == pytest.approx(0, abs=1e-6)


@pytest.mark.parametrize("case", CASES, ids=IDS)
def test_overcast_sky_on_the_horizontal(case: tuple[float, ...]) -> None:
    light, (left, right, low, high) = lit(case, 16)
    want = by_corners(overcast, left, right, low - HORIZONTAL_LIFT_M, high - HORIZONTAL_LIFT_M, case[4])
    assert light.horizontal_lx.value / OUTDOORS_LX == pytest.approx(want, rel=TOLERANCE)


def test_a_window_at_three_distances() -> None:
    """Window 1.2 x 1.2 on the table's level: F 0.22592 / 0.09729 / 0.02405 at 0.5 / 1 / 2 m."""
    for case, want in zip(CASES[:3], (0.22592, 0.09729, 0.02405), strict=True):
        assert 2 * horizontal(0.6, 1.2, case[4]) == pytest.approx(want, abs=5e-6)
        assert lit(case, 5)[0].horizontal_lx.value / OUTDOORS_LX == pytest.approx(want, rel=TOLERANCE)


@pytest.mark.parametrize(("b", "h", "d"), [(0.6, 1.2, 0.5), (1.4, 0.9, 1.7)])
def test_the_closed_forms_themselves(b: float, h: float, d: float) -> None:
    """Against quadrature over the rectangle: cosine at the sensor x cosine at the window / (pi r^2) x luminance."""

    def element(z: float, x: float, normal: tuple[float, float, float], graded: bool) -> float:
        r2 = x * x + z * z + d * d
        cosine = (normal[0] * x + normal[1] * d + normal[2] * z) / sqrt(r2)
        luminance = (1 + 2 * z / sqrt(r2)) / 3 * 9 / 7 if graded else 1.0
        return luminance * max(cosine, 0) * d / sqrt(r2) / (pi * r2)

    for form, normal, graded in (
        (horizontal, (0, 0, 1), False),
        (facing, (0, 1, 0), False),
        (across, (1, 0, 0), False),
        (overcast, (0, 0, 1), True),
    ):
        want = dblquad(element, 0, b, 0, h, args=(normal, graded))[0]
        assert form(b, h, d) == pytest.approx(want, rel=1e-6)
