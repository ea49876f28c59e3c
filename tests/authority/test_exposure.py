"""Exposure against ISO 2720's relations, published tables and worked examples. The source stands beside each check."""

import math
from itertools import pairwise

import pytest

from plateside.camera.noise import snr
from plateside.ground import exposure as ex
from plateside.plan.remedies import window_factor
from tests.authority.tables import rows


@pytest.mark.parametrize("row", rows("exposure_values.csv"), ids=lambda r: f"EV{r['ev100']}")
def test_light_of_exposure_values(row: dict[str, str]) -> None:
    rel = float(row["relative_tolerance"])
    assert ex.illuminance_lx(float(row["ev100"])) == pytest.approx(
        float(row["illuminance_lx"]), rel=max(rel, 1e-12)
    )
    if row["luminance_cd_m2"]:
        assert ex.luminance_cd_m2(float(row["ev100"])) == pytest.approx(
            float(row["luminance_cd_m2"]), rel=rel
        )


def test_ev_0_is_one_second_at_f_1() -> None:
    # pixelsham.com/2020/12/26/exposure-value-measurements
    assert ex.ev(1.0, 1.0) == 0.0


def test_flat_receptor_and_spot_meter_agree_at_15_7_percent() -> None:
    # yedlin.net, ExposureEquationsAndMeterCalibration: pi K / C
    assert math.pi * ex.REFLECTED_K / ex.INCIDENT_C == pytest.approx(0.157, abs=0.001)


def test_calibration_constants_lie_in_the_standards_range() -> None:
    # ISO 2720:1974: K from 10.6 to 13.4 (basiccamera.blogspot.com/2008/06/exposure-meter-calibration.html)
    assert 10.6 <= ex.REFLECTED_K <= 13.4
    # C about 240 to 400 for a flat receptor (qastack.co.in/photo/10093)
    assert 240 <= ex.INCIDENT_C <= 400


@pytest.mark.parametrize(
    ("row", "got", "expected", "tolerance"),
    [
        # worked out from ISO 2720, N²/t = E S/C
        (10, ex.ev(8, 1 / 3), 7.585, 0.001),
        (11, 250 * 64 / (100 / 3), 480.0, 0.1),
        (12, ex.luminance_cd_m2(ex.ev(8, 1 / 3)), 24.0, 0.01),
        (13, ex.ev(8, 2 ** (-5 / 3)), 7.667, 0.0005),
        (13, ex.illuminance_lx(ex.ev(8, 2 ** (-5 / 3))), 508.0, 0.5),
        (14, ex.iso(4.0, 1 / 60, 480.0), 500.0, 1.0),
        (15, ex.iso(8.0, 1 / 60, 480.0), 2000.0, 1.0),
        (16, ex.iso(2**1.5, 1 / 256, 480.0), 1067.0, 1.0),
        (17, ex.f_number(1 / 60, 480.0, 100.0), 1.789, 0.002),
        (30, ex.apex(8, 1 / 3, 100).av, 6.0, 1e-9),
        (30, ex.apex(8, 1 / 3, 100).tv, 1.585, 0.001),
        (30, ex.apex(8, 1 / 3, 100).sv, 5.0, 1e-9),
        (30, ex.apex(8, 1 / 3, 100).ev, 7.585, 0.001),
        (32, ex.close_loss_stops(0.1), 0.275, 0.001),
        (32, ex.close_loss_stops(0.25), 0.644, 0.001),
    ],
)
def test_worked_exposures(row: int, got: float, expected: float, tolerance: float) -> None:
    assert got == pytest.approx(expected, abs=tolerance)


def test_life_size_costs_two_stops() -> None:
    # A 50 mm lens on a 50 mm extension tube is at magnification 1, its f-number doubles, two stops are lost:
    # photo question 17454, read in the copy at qastack.co.in/photo/17454. And the factor (M + 1)²: "Photography
    # formulas - Macro", tripodplaces.com, 10 February 2011.
    assert ex.close_loss_stops(1.0) == pytest.approx(2.0, abs=1e-12)
    assert ex.effective_f_number(8.0, 1.0, 1.0) == 16.0
    for m in (0.1, 0.5, 2.0):
        assert 2 ** ex.close_loss_stops(m) == pytest.approx((m + 1) ** 2)


def test_pupil_magnification_changes_the_loss() -> None:
    # 'N (1 + m/P)' with a pupil magnification of 0.5 at life size: N is three times as large (same answer as above)
    assert ex.effective_f_number(3.5, 1.0, 0.5) == pytest.approx(10.5)


@pytest.mark.parametrize(
    ("exact", "marked"),
    # 2**(k/6), and the marks engraved on lenses and dials (common practice)
    [
        (8.0, "f/8"),
        (8.98, "f/9"),
        (10.08, "f/10"),
        (11.31, "f/11"),
        (2.8284, "f/2.8"),
        (5.657, "f/5.6"),
        (1.782, "f/1.8"),
        (22.627, "f/22"),
    ],
)
def test_marks_of_f_numbers(exact: float, marked: str) -> None:
    assert ex.f_number_words(exact) == marked
    assert ex.nearest(ex.F_NUMBERS, exact).exact == pytest.approx(exact, abs=0.01)


@pytest.mark.parametrize(
    ("exact", "marked"),
    [
        (1 / 64, "1/60 s"),
        (1 / 128, "1/125 s"),
        (0.315, "1/3 s"),
        (1 / 16, "1/15 s"),
        (1 / 1024, "1/1000 s"),
        (32, "30 s"),
    ],
)
def test_marks_of_shutters(exact: float, marked: str) -> None:
    # exact 2**-k behind the nominal marks (common practice)
    assert ex.shutter_words(exact) == marked


@pytest.mark.parametrize(
    ("exact", "marked"), [(126, "ISO 125"), (159, "ISO 160"), (635, "ISO 640"), (3200, "ISO 3200")]
)
def test_marks_of_iso(exact: float, marked: str) -> None:
    assert ex.iso_words(exact) == marked


@pytest.mark.parametrize("scale", [ex.F_NUMBERS, ex.SHUTTERS, ex.ISOS])
def test_scales_step_by_thirds_and_marks_stay_near(scale: tuple[ex.ScaleMark, ...]) -> None:
    per = 2.0 if scale is ex.F_NUMBERS else 1.0
    for a, b in pairwise(scale):
        assert abs(math.log2(b.exact / a.exact)) * per == pytest.approx(1 / 3)
    for mark in scale:
        word = mark.words.removeprefix("f/").removeprefix("ISO ").removesuffix(" s")
        top, _, bottom = word.partition("/")
        nominal = float(top) / float(bottom or 1)
        # the marks of the trade never lie further than 0.17 stop from the exact value
        assert abs(math.log2(nominal / mark.exact)) * per < 0.17


def test_exposure_inverses() -> None:
    for n, t, s in ((1.8, 1 / 500, 400.0), (11.0, 4.0, 100.0)):
        lux = 250 * n * n / (t * s)
        assert ex.exposure_s(n, lux, s) == pytest.approx(t)
        assert ex.f_number(t, lux, s) == pytest.approx(n)
        assert ex.iso(n, t, lux) == pytest.approx(s)
        assert ex.illuminance_lx(ex.ev100_of_light(lux)) == pytest.approx(lux)
        assert ex.ev100(n, t, s) == pytest.approx(ex.ev100_of_light(lux))


@pytest.mark.parametrize("row", rows("setups_of_scenarios.csv"), ids=lambda r: r["scenario"])
def test_exposures_of_three_rooms(row: dict[str, str]) -> None:
    lux = float(row["illuminance_lx"])
    assert ex.ev100_of_light(lux) == pytest.approx(float(row["ev100"]), abs=0.01)
    assert ex.exposure_s(8.0, lux, 100.0) == pytest.approx(float(row["t_f8_s"]), abs=0.0006)
    assert ex.iso(4.0, 1 / 128, lux) == pytest.approx(float(row["iso_f4_128"]), abs=0.6)


def test_noise_of_three_stops() -> None:
    # Poisson statistics (sqrt n: blog.kasson.com)
    assert snr(40000) == 200.0
    assert snr(40000) / snr(5000) == pytest.approx(2.828, abs=0.001)
    # Poisson: mid-tone of a 40 000 electron full well at ISO 100 and 800
    assert snr(40000 * 0.127) == pytest.approx(71, abs=0.5)
    assert snr(40000 * 0.127 / 8) == pytest.approx(25, abs=0.5)


def test_window_factor_of_a_level_table() -> None:
    # configuration factor, Siegel & Howell app. C (from memory; verified by quadrature in test_window_closed_forms)
    for d, expected in ((0.5, 0.22592), (1.0, 0.09729), (2.0, 0.02405)):
        assert window_factor(1.2, 1.2, d) == pytest.approx(expected, abs=5e-6)
    assert math.log2(window_factor(1.2, 1.2, 1.0) / window_factor(1.2, 1.2, 0.5)) == pytest.approx(
        -1.215, abs=0.001
    )
    assert math.log2(window_factor(1.2, 1.2, 2.0) / window_factor(1.2, 1.2, 1.0)) == pytest.approx(
        -2.016, abs=0.001
    )
