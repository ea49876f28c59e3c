"""Exposure after ISO 12232, against the standard's own numbers and the incident meter's."""

import math

import pytest

from plateside.ground import iso12232 as exposure
from plateside.ground.exposure import ev100


def test_saturation_speed() -> None:
    # ISO 12232:2019 (number from memory): H_sat = 78 / S, so 0.78 lx s at ISO 100
    luminance = 0.78 * 8.0**2 / (0.65 * 0.25)
    assert exposure.focal_plane_exposure(luminance, 0.25, 8.0) == pytest.approx(0.78, rel=1e-12)
    assert luminance * exposure.saturation_share_per_cd_m2(0.25, 8.0, 100) == pytest.approx(1.0, rel=1e-12)


def test_metered_mean_stands_at_a_tenth_of_saturation() -> None:
    # ISO 2720 reflected metering with K = 12.5 puts H = q K / S = 8.125 / S at the sensor, so 8.125 / 78 of saturation
    luminance = 12.5 * 8.0**2 / (1 / 3 * 100)
    share = luminance * exposure.saturation_share_per_cd_m2(1 / 3, 8.0, 100)
    assert share == pytest.approx(8.125 / 78.0, rel=1e-12)


def test_common_window_light() -> None:
    # ISO 2720, incident meter, C = 250: 480 lx at f/8 and ISO 100 asks for 1/3 s
    assert exposure.metered_exposure_s(480.0, 8.0, 100) == pytest.approx(1 / 3, rel=1e-12)
    # effective f-number N (1 + m): at magnification 0.25 the loss is 2 log2(1.25) = 0.64 stop
    loss = math.log2(
        exposure.metered_exposure_s(480, 8, 100, 0.25) / exposure.metered_exposure_s(480, 8, 100)
    )
    assert loss == pytest.approx(0.64, abs=0.005)


def test_ev100_of_plain_settings() -> None:
    # EV 0 is 1 s at f/1 (definition); ISO 400 is two stops
    assert ev100(1.0, 1.0, 100) == 0.0
    assert ev100(8.0, 1 / 3, 100) == pytest.approx(7.585, abs=5e-4)  # log2(64 / (1/3)) by hand
    assert ev100(1.0, 1.0, 400) == -2.0
