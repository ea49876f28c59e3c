"""The rig's statics against worked sums, and against an independent centre of mass and foot triangle."""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from plateside.camera.motion import GRAVITY_M_S2
from plateside.camera.statics import Mass, bag_kg, counterweight_kg, footing_m, moments, of_arm, safety_factor
from tests.authority.tables import rows


def test_worked_example_of_an_arm() -> None:
    # static moments by hand: 0.95 kg at 0.60 m, arm 0.5 kg, tripod 2.5 kg, R 0.45 m
    s = of_arm(tip_kg=0.95, reach_m=0.60, arm_kg=0.5, tripod_kg=2.5, feet_radius_m=0.45)
    assert s.between_legs == pytest.approx(1.43, abs=0.005)
    assert s.over_leg == pytest.approx(8.42, abs=0.005)
    assert s.bag_for_2_kg == pytest.approx(1.00, abs=0.005)
    assert s.bag_for_3_kg == pytest.approx(2.75, abs=0.005)
    assert s.counterweight_kg == pytest.approx(2.4, abs=0.005)
    assert s.torque_n_m == pytest.approx(7.1, abs=0.05)


@pytest.mark.parametrize("row", rows("setups_of_scenarios.csv"), ids=lambda r: r["scenario"])
def test_rigs_of_three_rooms(row: dict[str, str]) -> None:
    r = {k: float(v) for k, v in row.items() if k != "scenario"}
    s = of_arm(
        tip_kg=r["tip_kg"],
        reach_m=r["reach_m"],
        arm_kg=r["arm_kg"],
        tripod_kg=r["tripod_kg"],
        feet_radius_m=r["feet_m"],
    )
    assert s.between_legs == pytest.approx(r["between_legs"], abs=0.006)


def test_melbourne_bags_and_legs() -> None:
    # static moments by hand: over a leg 13.8; 0.44 kg for 2, 1.76 kg for 3
    s = of_arm(tip_kg=0.90, reach_m=0.50, arm_kg=0.4, tripod_kg=2.2, feet_radius_m=0.42)
    assert s.over_leg == pytest.approx(13.8, abs=0.05)
    assert s.bag_for_2_kg == pytest.approx(0.44, abs=0.005)
    assert s.bag_for_3_kg == pytest.approx(1.76, abs=0.005)


def test_edinburgh_over_a_leg_is_inside_the_feet() -> None:
    s = of_arm(tip_kg=0.85, reach_m=0.40, arm_kg=0.4, tripod_kg=2.5, feet_radius_m=0.40)
    assert s.over_leg == math.inf


masses = st.lists(st.tuples(st.floats(0.1, 5), st.floats(-0.5, 1.5)), min_size=1, max_size=5)


@given(masses, st.floats(0.1, 0.8))
def test_it_tips_just_when_the_centre_of_mass_leaves_the_feet(
    items: list[tuple[float, float]], edge: float
) -> None:
    parts = [Mass(m, x) for m, x in items]
    centre = sum(m * x for m, x in items) / sum(m for m, _ in items)
    sf = safety_factor(parts, edge)
    if abs(centre - edge) > 1e-6:
        assert (sf > 1.0) == (centre < edge)


@given(masses, st.floats(0.1, 0.8), st.floats(1.1, 4))
def test_the_bag_brings_the_safety_wanted(
    items: list[tuple[float, float]], edge: float, wanted: float
) -> None:
    parts = [Mass(m, x) for m, x in items]
    over, _ = moments(parts, edge)
    with_bag = safety_factor([*parts, Mass(bag_kg(parts, edge, wanted), 0.0)], edge)
    if over > 1e-9:
        assert with_bag >= wanted - 1e-6


def test_the_counterweight_puts_the_centre_on_the_column() -> None:
    parts = [Mass(0.95, 0.6), Mass(0.5, 0.3), Mass(2.5, 0.0)]
    k = counterweight_kg(parts, 0.3)
    assert sum(p.mass_kg * p.at_m for p in parts) == pytest.approx(k * 0.3)
    assert GRAVITY_M_S2 == 9.80665  # standard gravity, 3rd CGPM 1901


@pytest.mark.parametrize("turn", [0, 17, 45, 60, 75, 103, 120, 200, 333])
def test_footing_is_the_distance_to_the_triangle(turn: float) -> None:
    """Against a ray cast at the triangle of feet."""
    feet = [(math.cos(math.radians(a)), math.sin(math.radians(a))) for a in (0, 120, 240)]
    d = (math.cos(math.radians(turn)), math.sin(math.radians(turn)))
    best = math.inf
    for i in range(3):
        (x1, y1), (x2, y2) = feet[i], feet[(i + 1) % 3]
        ex, ey = x2 - x1, y2 - y1
        det = d[0] * -ey + d[1] * ex
        if abs(det) < 1e-12:
            continue
        t = (x1 * -ey + y1 * ex) / det
        u = (d[0] * y1 - d[1] * x1) / det
        if t > 0 and -1e-9 <= u <= 1 + 1e-9:
            best = min(best, t)
    assert footing_m(1.0, turn) == pytest.approx(best, abs=1e-9)
