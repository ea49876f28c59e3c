"""Sun positions and the sun's day.

SPA's printed example is held in tests/authority/test_spa.py. Here: many moments against few, civil time, polar day
and night, and times worked out by hand (90 - latitude + declination, the equation of time: within 2 minutes).
"""

from datetime import UTC, date, datetime, timedelta
from itertools import pairwise
from zoneinfo import ZoneInfo

import numpy as np
import pandas as pd
import pvlib
import pytest

from plateside.light import sun
from plateside.light.sun import civil_times, sun_day, sun_positions, year_grid
from plateside.model.errors import InputError
from plateside.model.room import Place

LISBON = Place(latitude_deg=38.7223, longitude_deg=-9.1393, timezone="Europe/Lisbon")
MELBOURNE = Place(latitude_deg=-37.8136, longitude_deg=144.9631, timezone="Australia/Melbourne")
EDINBURGH = Place(latitude_deg=55.9533, longitude_deg=-3.1883, timezone="Europe/London")
TROMSO = Place(latitude_deg=69.6492, longitude_deg=18.9553, timezone="Europe/Oslo")
POLE = Place(latitude_deg=90.0, longitude_deg=0.0, timezone="UTC")


@pytest.mark.parametrize(
    ("place", "day", "rises", "noon", "sets", "height_deg"),
    [
        (LISBON, date(2027, 7, 15), "06:24", "13:43", "21:00", 72.8),
        (MELBOURNE, date(2026, 10, 10), "06:43", "13:07", "19:32", 58.8),
        (EDINBURGH, date(2027, 1, 28), "08:16", "12:26", "16:36", 15.9),
    ],
)
def test_the_suns_day_of_three_places(
    place: Place, day: date, rises: str, noon: str, sets: str, height_deg: float
) -> None:
    found = sun_day(place, day)
    assert found.sunrise and found.sunset
    for moment, clock in ((found.sunrise, rises), (found.transit, noon), (found.sunset, sets)):
        expected = datetime.fromisoformat(f"{day.isoformat()}T{clock}").replace(
            tzinfo=ZoneInfo(place.timezone)
        )
        assert abs(moment - expected) <= timedelta(minutes=2)
    assert found.transit_elevation_deg == pytest.approx(height_deg, abs=0.15)


def test_polar_night_and_day() -> None:
    winter, summer = sun_day(TROMSO, date(2026, 12, 21)), sun_day(TROMSO, date(2026, 6, 21))
    assert winter.never_up and winter.sunrise is None and winter.sunset is None
    assert winter.transit_elevation_deg == pytest.approx(-3.1, abs=0.15)  # 90 - 69.65 - 23.44, by hand
    assert summer.always_up and summer.sunrise is None and summer.sunset is None
    assert sun_day(POLE, date(2027, 6, 21)).always_up
    assert sun_day(POLE, date(2027, 12, 21)).never_up


def test_the_sun_is_north_at_noon_in_the_south() -> None:
    noon = sun_day(MELBOURNE, date(2026, 10, 10)).transit
    azimuth = float(sun_positions(MELBOURNE, [noon]).azimuth_deg[0])
    assert min(azimuth, 360 - azimuth) < 0.5


def test_hours_of_sun_on_a_facade() -> None:
    """By hand: a south facade in Melbourne has sun 06:43-07:42 and 18:33-19:32; Lisbon, bearing 20."""
    for place, day, bearing, spans in (
        (MELBOURNE, date(2026, 10, 10), 180.0, ("06:43", "07:42", "18:33", "19:32")),
        (LISBON, date(2027, 7, 15), 20.0, ("06:24", "11:24", "20:04", "21:00")),
    ):
        times = civil_times(place, day, 1)
        at = sun_positions(place, times)
        lit = (at.true_elevation_deg > sun.RISE_SET_ELEVATION_DEG) & (
            np.cos(np.radians(at.azimuth_deg - bearing)) > 0
        )
        edges = np.flatnonzero(np.diff(lit.astype(int)))
        for k, clock in zip(edges, spans, strict=True):
            expected = datetime.fromisoformat(f"{day.isoformat()}T{clock}").replace(
                tzinfo=ZoneInfo(place.timezone)
            )
            assert abs(times[k] - expected) <= timedelta(minutes=3)


def test_many_moments_are_as_exact_as_few() -> None:
    """Asked together or alone, also across the year's end: only delta T, one for all, may differ."""
    start = datetime(2027, 12, 20, tzinfo=UTC).timestamp()
    seconds = np.asarray(start + 6000.0 * np.arange(400), dtype=np.float64)
    for place in (LISBON, MELBOURNE, TROMSO):
        many = sun_positions(place, seconds)
        plain = [sun_positions(place, seconds[k : k + 1]) for k in range(0, 400, 37)]
        assert np.abs(many.elevation_deg[::37] - [p.elevation_deg[0] for p in plain]).max() < 1e-5
        turned = (many.azimuth_deg[::37] - [p.azimuth_deg[0] for p in plain] + 180) % 360 - 180
        assert np.abs(turned).max() < 1e-5


def test_civil_days_when_clocks_change() -> None:
    assert len(civil_times(LISBON, date(2027, 3, 28), 60)) == 23
    assert len(civil_times(LISBON, date(2027, 10, 31), 60)) == 25
    long_day = civil_times(LISBON, date(2027, 10, 31), 5)
    steps = {(b.timestamp() - a.timestamp()) for a, b in pairwise(long_day)}
    assert steps == {300.0}


def test_the_year_grid_keeps_civil_time() -> None:
    dates, minutes, seconds = year_grid(LISBON, 2028, 60)
    assert len(dates) == 366 and seconds.shape == (366, 24)
    for day, hour in ((0, 8), (100, 12), (200, 15), (365, 23)):
        expected = datetime(
            dates[day].year, dates[day].month, dates[day].day, hour, tzinfo=ZoneInfo("Europe/Lisbon")
        )
        assert seconds[day, hour] == expected.timestamp()
        assert minutes[hour] == 60 * hour


def test_bad_input_says_how_to_mend() -> None:
    with pytest.raises(InputError, match="no time zone"):
        sun_positions(LISBON, [datetime(2027, 1, 1, 12)])
    with pytest.raises(InputError, match="no such time zone: got 'Mars/Olympus'"):
        sun_day(Place(latitude_deg=0, longitude_deg=0, timezone="Mars/Olympus"), date(2027, 1, 1))
    with pytest.raises(InputError, match="no such step: got 0"):
        civil_times(LISBON, date(2027, 1, 1), 0)
    assert sun_positions(LISBON, []).azimuth_deg.size == 0


REYKJAVIK = Place(latitude_deg=64.1466, longitude_deg=-21.9426, timezone="Atlantic/Reykjavik")
FAIRBANKS = Place(latitude_deg=64.8378, longitude_deg=-147.7164, timezone="America/Anchorage")
KASHGAR = Place(latitude_deg=39.4704, longitude_deg=75.9898, timezone="Asia/Shanghai")
"""Lives by Beijing's clock, three hours ahead of the sun."""


@pytest.mark.parametrize(
    "place", [REYKJAVIK, TROMSO, FAIRBANKS, KASHGAR, LISBON], ids=lambda p: p.timezone.split("/")[1]
)
def test_rise_and_setting_lie_about_noon_by_pvlib_through_the_year(place: Place) -> None:
    """The outside ruler: pvlib's positions each minute, the sun's centre 0.8333 degrees down (as almanacs have it)."""
    days = [date(2027, 1, 4) + timedelta(days=23 * i) for i in range(16)] + [
        # clocks change in Europe; short nights; the last days before polar day and after polar night
        date(2027, 3, 28), date(2027, 10, 31), date(2027, 6, 21), date(2027, 5, 18), date(2027, 7, 26),
    ]  # fmt: skip
    for day in days:
        found = sun_day(place, day)
        assert found.transit.date() == day
        start = found.transit.timestamp() - 12.25 * 3600
        index = pd.date_range(datetime.fromtimestamp(start, UTC), periods=1471, freq="min")
        solar = pvlib.solarposition.get_solarposition(index, place.latitude_deg, place.longitude_deg)
        up = solar["elevation"].to_numpy() > -0.8333
        middle = 735
        assert bool(up[middle]) != found.never_up
        rises = [i for i in range(middle) if up[i + 1] and not up[i]]
        sets = [i for i in range(middle, 1470) if up[i] and not up[i + 1]]
        for moment, expected in ((found.sunrise, rises[-1:]), (found.sunset, sets[:1])):
            if found.never_up or not expected:
                assert moment is None, (day, moment)
            else:
                assert moment is not None, day
                assert abs((moment - index[expected[0]]).total_seconds()) < 240, day


def test_a_sunset_after_midnight_belongs_to_the_evening_before_it() -> None:
    # Reykjavik at the solstice: sunset 00:03 and sunrise 02:55 (the almanac's table, from memory; pvlib above)
    found = sun_day(REYKJAVIK, date(2027, 6, 21))
    assert found.sunrise and found.sunset
    assert found.sunrise < found.transit < found.sunset
    assert (found.sunrise.date(), found.sunset.date()) == (date(2027, 6, 21), date(2027, 6, 22))
