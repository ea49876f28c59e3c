"""Light by the camera against worked exposures, and its trend."""

from datetime import UTC, datetime, timedelta

import numpy as np
import pytest

from plateside.frames.trend import Reading, illuminance_lx, trend
from plateside.model.frame import Settings

START = datetime(2027, 7, 15, 12, 0, tzinfo=UTC)


def test_a_metered_card_at_common_settings() -> None:
    # ISO 2720, C 250: f/8, 1/3 s, ISO 100 is 480 lx (check value 11)
    settings = Settings(f_number=8, exposure_s=1 / 3, iso=100)
    assert illuminance_lx(0.18, settings) == pytest.approx(480)
    # twice the level on the same settings is twice the light; a stop less time as well
    assert illuminance_lx(0.36, settings) == pytest.approx(960)
    assert illuminance_lx(0.18, Settings(f_number=8, exposure_s=1 / 6, iso=100)) == pytest.approx(960)
    assert illuminance_lx(0.18, Settings(f_number=8, iso=100)) is None


def test_a_steady_fall_and_the_minutes_left() -> None:
    readings = [Reading(START + timedelta(minutes=m), -0.03 * m) for m in (0, 3, 7, 10)]
    found = trend(readings, limit_stops=1.0)
    assert found is not None
    assert found.stops_per_10_min == pytest.approx(-0.3)
    assert found.minutes_left == pytest.approx(1 / 0.03 - 10)


def test_one_cloud_does_not_bend_it() -> None:
    readings = [
        Reading(START + timedelta(minutes=m), -0.02 * m - (1.0 if m == 6 else 0)) for m in range(0, 20, 2)
    ]
    found = trend(readings)
    assert found is not None
    assert found.stops_per_10_min == pytest.approx(-0.2, abs=0.02)


def test_steady_and_too_little() -> None:
    flat = [Reading(START + timedelta(minutes=m), float(v)) for m, v in enumerate(np.tile([0.01, -0.01], 5))]
    found = trend(flat)
    assert found is not None
    assert found.minutes_left is None
    assert abs(found.stops_per_10_min) < 0.05
    assert trend(flat[:2]) is None
    assert trend([Reading(START + timedelta(seconds=s), 0.0) for s in range(5)]) is None
