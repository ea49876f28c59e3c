"""Table-distance optics against published worked examples, an independent ray trace, and the laws."""

import math
from itertools import pairwise

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from plateside.camera import optics as op
from plateside.camera.motion import (
    fall_speed_m_s,
    hand_limit_s,
    longest_exposure_s,
    streak_px,
)
from plateside.camera.stack import intervals, positions
from plateside.model.errors import InputError
from tests.authority.tables import rows

F, C, PIXEL = 35.0, 0.019, 23.5 / 6000


def hyperfocal_mm(f: float, n: float, c: float) -> float:
    """Ray 2002 (from memory): f^2/(N c) + f."""
    return f * f / (n * c) + f


def test_us_army_hyperfocal_example() -> None:
    # US Army correspondence course SS0507, "Calculate hyperfocal distance": 2 in, f/8, c 0.002 in: 20.8 ft, and sharp
    # from 10.4 ft (armycommunications.tpub.com/SS0507/SS05070058.htm, opened). It leaves the + f away.
    near, far = op.depth_limits_mm(2 * 25.4, 8, 0.002 * 25.4, (250 + 2) * 25.4)  # 20.8 ft
    assert near / 304.8 == pytest.approx(10.4, abs=0.1)
    assert far == math.inf


def test_hyperfocal_by_eight() -> None:
    # lenses FAQ section 11 (stason.org): focused at h/8 the depth runs from 8/9 to 8/7 of the distance
    h = hyperfocal_mm(50, 8, 0.03)
    near, far = op.depth_limits_mm(50, 8, 0.03, h / 8)
    assert near / (h / 8) == pytest.approx(8 / 9, rel=0.01)
    assert far / (h / 8) == pytest.approx(8 / 7, rel=0.01)


def test_circles_of_confusion() -> None:
    # 0.03 mm for 36 x 24 mm is the consensus (i-learn-photography.com); diagonal/1500 gives 0.0288
    assert op.circle_of_format_mm(36, 24) == pytest.approx(0.03, abs=0.002)
    # arithmetic: the diagonal over 1500
    assert op.circle_of_format_mm(23.5, 15.6) == pytest.approx(0.0188, abs=0.0001)
    # arithmetic: 1600 px from the whole width, one pixel: 0.0147 mm; cropped to half the width, half of it
    assert op.circle_for_delivery_mm(23.5, 1600, 1.0) == pytest.approx(0.0147, abs=0.0001)
    assert op.circle_for_delivery_mm(23.5 / 2, 1600, 1.0) == pytest.approx(0.0147 / 2, abs=0.0001)


def test_airy_disc() -> None:
    # sin(theta) = 1.22 lambda/D (academickids.com, Airy_disc) is the first zero of the Bessel function J1
    from scipy.special import jn_zeros

    assert jn_zeros(1, 1)[0] / math.pi == pytest.approx(1.22, abs=0.0005)
    # checks 58-60 (derived), 550 nm
    assert op.airy_mm(8.0) * 1000 == pytest.approx(10.74, abs=0.01)
    assert op.airy_mm(16.0) * 1000 == pytest.approx(21.47, abs=0.01)
    assert op.airy_mm(14.16) == pytest.approx(C, rel=0.001)
    assert op.airy_mm(5.84) == pytest.approx(2 * PIXEL, rel=0.001)


@pytest.mark.parametrize(
    "row", rows("depth_of_field.csv"), ids=lambda r: f"{r['focal_length_mm']}-f{r['f_number']}"
)
def test_depth_of_field(row: dict[str, str]) -> None:
    r = {k: float(v) for k, v in row.items()}
    near, far = op.depth_limits_mm(r["focal_length_mm"], r["f_number"], r["circle_mm"], r["lens_distance_mm"])
    assert near == pytest.approx(r["near_mm"], abs=r["tolerance_mm"])
    assert far == pytest.approx(r["far_mm"], abs=r["tolerance_mm"])


def test_depth_with_pupil_magnification() -> None:
    # worked out from the front and back depth of the lenses FAQ, section 11 (stason.org)
    s = op.lens_distance_mm(F, 0.25)
    for pupil, total in ((0.7, 6.603), (1.0, 6.082), (1.5, 5.676), (2.0, 5.474)):
        near, far = op.depth_limits_mm(F, 8, C, s, pupil)
        assert far - near == pytest.approx(total, abs=0.002)


def test_overhead_distances() -> None:
    # checks 49-53 (derived)
    assert op.magnification_from_sensor(F, 300) == pytest.approx(0.15587, abs=1e-4)
    for f, w, h, d, tolerance in (
        (35, 600, 400, 968.8, 0.1),
        (35, 450, 300, 744.9, 0.1),
        (50, 600, 400, 1384.0, 0.1),
        (35, 800, 800, 1865.6, 0.1),
    ):
        m = min(23.5 / w, 15.6 / h)
        assert op.sensor_distance_mm(float(f), m) == pytest.approx(d, abs=tolerance)


@pytest.mark.parametrize("row", rows("setups_of_scenarios.csv"), ids=lambda r: r["scenario"])
def test_overheads_of_three_rooms(row: dict[str, str]) -> None:
    w, h = float(row["frame_w_mm"]), float(row["frame_h_mm"])
    long, short = (23.5, 15.6) if w >= h else (15.6, 23.5)
    m = min(long / w, short / h)
    assert op.sensor_distance_mm(F, m) == pytest.approx(float(row["sensor_mm"]), abs=0.1)
    near, far = op.depth_limits_mm(F, 8, C, op.lens_distance_mm(F, m))
    assert far - near == pytest.approx(float(row["dof_f8_mm"]), abs=0.6)


def test_background_blur() -> None:
    # checks 54-55 (derived)
    b = op.blur_disc_mm(F, 2.0, 550.0, 1050.0)
    assert b == pytest.approx(0.5663, rel=0.001)
    assert 100 * b / 23.5 == pytest.approx(2.41, abs=0.01)
    assert b / PIXEL == pytest.approx(145, abs=0.5)
    assert op.infinity_blur_mm(F, 2.0, 550.0) == pytest.approx(1.1893, rel=0.001)


def test_focus_stack() -> None:
    # arithmetic: 184 / (40.48 * 0.7) = 6.49, seven intervals
    assert intervals(184, 40.48, 0.3) == 7


def test_motion() -> None:
    # checks 67-69 (derived, g = 9.80665); P2: 1/60 for a pour, common practice
    assert fall_speed_m_s(0.10) == pytest.approx(1.4005, abs=1e-4)
    assert fall_speed_m_s(0.20) == pytest.approx(1.9806, abs=1e-4)
    m = op.magnification_at(F, 700.0)
    for t, px in ((1 / 60, 313.7), (1 / 250, 75.3), (1 / 1000, 18.8)):
        assert streak_px(1.4005, m, t, PIXEL) == pytest.approx(px, abs=0.2)
    assert streak_px(0.1, m, 1 / 60, PIXEL) == pytest.approx(22.4, abs=0.1)
    assert longest_exposure_s(1.4005, m, 18.8, PIXEL) == pytest.approx(1 / 1000, rel=0.005)
    # common practice, no source
    assert hand_limit_s(F, 1.534) == pytest.approx(1 / 53.7, rel=0.001)


# The laws ----------------------------------------------------------------------------------------------------------

lenses = st.floats(12, 200)
stops = st.floats(1.2, 32)
distances = st.floats(2.5, 400)
pupils = st.floats(0.4, 2.5)


def traced_blur(f: float, n: float, focus: float, other: float) -> float:
    """Blur disc by tracing the marginal ray of a thin lens, apart from the formulas tested."""
    image, other_image = 1 / (1 / f - 1 / focus), 1 / (1 / f - 1 / other)
    # the ray through the pupil's edge crosses the axis at the other point's image and is cut at the sensor
    return f / n * abs(image - other_image) / other_image


@given(lenses, stops, distances, st.floats(1.1, 500))
def test_blur_disc_is_the_traced_one(f: float, n: float, times: float, other: float) -> None:
    got = op.blur_disc_mm(f, n, f * times, f * other)
    assert got == pytest.approx(traced_blur(f, n, f * times, f * other), rel=1e-7, abs=1e-9)


@given(lenses, stops, distances, pupils)
def test_blur_at_the_limits_of_depth_is_the_circle(f: float, n: float, times: float, pupil: float) -> None:
    s = f * times
    near, far = op.depth_limits_mm(f, n, C, s, pupil)
    assert op.blur_disc_mm(f, n, s, near, pupil) == pytest.approx(C, rel=1e-6)
    if far < 1e7:
        assert op.blur_disc_mm(f, n, s, far, pupil) == pytest.approx(C, rel=1e-6)
    elif math.isinf(far):
        assert op.infinity_blur_mm(f, n, s) <= C * (1 + 1e-9)


@given(lenses, stops)
def test_focused_at_the_hyperfocal(f: float, n: float) -> None:
    h = hyperfocal_mm(f, n, C)
    near, far = op.depth_limits_mm(f, n, C, h)
    assert near == pytest.approx(h / 2, rel=1e-9)
    assert far == math.inf


@given(lenses, distances)
def test_distances_invert(f: float, times: float) -> None:
    s = f * times
    m = op.magnification_at(f, s)
    assert op.lens_distance_mm(f, m) == pytest.approx(s)
    assert 1 / s + 1 / op.image_distance_mm(f, m) == pytest.approx(1 / f)
    assert op.sensor_distance_mm(f, m) == pytest.approx(s + op.image_distance_mm(f, m))
    assert op.effective_focal_length_mm(op.sensor_distance_mm(f, m), m) == pytest.approx(f)
    if m <= 1.0:
        assert op.magnification_from_sensor(f, op.sensor_distance_mm(f, m)) == pytest.approx(m, rel=1e-7)


def test_the_nearest_sensor_distance_is_four_focal_lengths() -> None:
    assert op.magnification_from_sensor(35, 140) == pytest.approx(1.0)
    with pytest.raises(InputError, match="least_mm 140"):
        op.magnification_from_sensor(35, 139)


@given(lenses, stops, st.floats(10, 300), st.floats(1.01, 1.5), pupils)
def test_equal_blur_focus(f: float, n: float, times: float, ratio: float, pupil: float) -> None:
    near, far = f * times, f * times * ratio
    s = op.equal_blur_focus_mm(near, far, f * (1 / pupil - 1))
    assert op.blur_disc_mm(f, n, s, near, pupil) == pytest.approx(
        op.blur_disc_mm(f, n, s, far, pupil), rel=1e-6
    )


def test_arrays_and_scalars_agree() -> None:
    n = np.array([2.0, 4.0, 8.0])
    s = np.full(3, 700.0)
    got = op.blur_disc_mm(np.full(3, F), n, s, np.full(3, 900.0))
    assert list(got) == pytest.approx([op.blur_disc_mm(F, float(x), 700.0, 900.0) for x in n])


@given(st.floats(1.4, 8), st.floats(300, 1500), st.floats(20, 250), st.floats(0, 0.6))
def test_a_stack_covers_its_depth_without_gaps(n: float, near: float, depth: float, overlap: float) -> None:
    places = positions(F, n, 0.0094, near, near + depth, overlap=overlap)
    limits = [op.depth_limits_mm(F, n, 0.0094, s) for s in places]
    assert limits[0][0] <= near + 1e-6
    for (_, far), (start, _) in pairwise(limits):
        assert start <= far + 1e-6
    if len(places) < 200:
        assert limits[-1][1] >= near + depth
