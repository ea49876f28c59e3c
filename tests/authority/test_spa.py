"""The sun: published positions and times.

SPA      I. Reda, A. Andreas, Solar Position Algorithm for Solar Radiation Applications, NREL/TP-560-34302,
         Appendix A.5 (the worked example).
Others   shared check values 94-98: the Greenwich, Melbourne, Edinburgh and Lisbon figures were worked out there
         by a low-precision formula of its own (90 - latitude + declination; the equation of time), good to
         0.2-0.3 degrees and 2 minutes. Tromsoe: polar night (from memory).
Facade   scenarios A-C: hours at which the sun stands before an upright wall, found there from geometry alone.
"""

from datetime import date, datetime, timedelta
from zoneinfo import ZoneInfo

import numpy as np
import pytest

from plateside.light.sun import civil_times, sun_day, sun_positions
from plateside.model.studio import Place

GREENWICH = Place(latitude_deg=51.4779, longitude_deg=0.0, timezone="Europe/London")
LISBON = Place(latitude_deg=38.7223, longitude_deg=-9.1393, timezone="Europe/Lisbon")
MELBOURNE = Place(latitude_deg=-37.8136, longitude_deg=144.9631, timezone="Australia/Melbourne")
EDINBURGH = Place(latitude_deg=55.9533, longitude_deg=-3.1883, timezone="Europe/London")
TROMSOE = Place(latitude_deg=69.6492, longitude_deg=18.9553, timezone="Europe/Oslo")

TWO_MINUTES = timedelta(minutes=2)


def clock(place: Place, day: date, text: str) -> datetime:
    hour, minute = (int(part) for part in text.split(":"))
    return datetime(day.year, day.month, day.day, hour, minute, tzinfo=ZoneInfo(place.timezone))


def near(got: datetime | None, want: datetime, within: timedelta = TWO_MINUTES) -> bool:
    return got is not None and abs(got - want) <= within


def test_published_example_of_the_algorithm() -> None:
    """Zenith 50.11162, azimuth 194.34024 degrees; delta T 67 s, 820 mbar, 11 degC (tolerance: last digit)."""
    place = Place(
        latitude_deg=39.742476, longitude_deg=-105.1786, timezone="America/Denver", altitude_m=1830.14
    )
    moment = datetime.fromisoformat("2003-10-17T12:30:30-07:00")
    got = sun_positions(place, [moment], pressure=820.0, temperature_c=11.0, delta_t_s=67.0)
    assert 90 - got.elevation_deg[0] == pytest.approx(50.11162, abs=5e-6)
    assert got.azimuth_deg[0] == pytest.approx(194.34024, abs=5e-6)


def test_delta_t_of_its_own_stays_within_the_algorithm() -> None:
    """Terrestrial minus universal time was 64.6 s then, not 67: 2.4 s of the sun's course are under 0.0001 degrees
    along the ecliptic, so the answer moves less than 0.0003 degrees, the algorithm's own uncertainty."""
    place = Place(
        latitude_deg=39.742476, longitude_deg=-105.1786, timezone="America/Denver", altitude_m=1830.14
    )
    moment = datetime.fromisoformat("2003-10-17T12:30:30-07:00")
    got = sun_positions(place, [moment], pressure=820.0, temperature_c=11.0)
    assert 90 - got.elevation_deg[0] == pytest.approx(50.11162, abs=3e-4)
    assert got.azimuth_deg[0] == pytest.approx(194.34024, abs=3e-4)


def test_greenwich_at_the_equinox() -> None:
    day = sun_day(GREENWICH, date(2026, 3, 20))
    assert day.transit_elevation_deg == pytest.approx(38.5, abs=0.2)
    assert (
        clock(GREENWICH, date(2026, 3, 20), "12:06")
        < day.transit
        < clock(GREENWICH, date(2026, 3, 20), "12:09")
    )
    assert sun_positions(GREENWICH, [day.transit]).azimuth_deg[0] == pytest.approx(180, abs=0.2)


def test_melbourne_has_its_sun_in_the_north() -> None:
    when = date(2026, 10, 10)
    day = sun_day(MELBOURNE, when)
    azimuth = sun_positions(MELBOURNE, [day.transit]).azimuth_deg[0]
    assert min(azimuth, 360 - azimuth) < 0.3
    assert day.transit_elevation_deg == pytest.approx(58.8, abs=0.3)
    assert near(day.sunrise, clock(MELBOURNE, when, "6:43"))
    assert near(day.sunset, clock(MELBOURNE, when, "19:32"))
    assert near(day.transit, clock(MELBOURNE, when, "13:07"))


@pytest.mark.parametrize(
    ("place", "when", "rise", "noon", "setting", "elevation"),
    [
        (EDINBURGH, date(2027, 1, 28), "8:16", "12:26", "16:36", 15.9),
        (LISBON, date(2027, 7, 15), "6:24", "13:43", "21:00", 72.8),
    ],
    ids=["edinburgh", "lisbon"],
)
def test_day_of_the_sun(
    place: Place, when: date, rise: str, noon: str, setting: str, elevation: float
) -> None:
    day = sun_day(place, when)
    assert near(day.sunrise, clock(place, when, rise))
    assert near(day.transit, clock(place, when, noon))
    assert near(day.sunset, clock(place, when, setting))
    assert day.transit_elevation_deg == pytest.approx(elevation, abs=0.2)


def test_polar_night_and_day() -> None:
    night = sun_day(TROMSOE, date(2026, 12, 21))
    assert night.never_up
    assert night.sunrise is None
    assert night.sunset is None
    # scenarios C: the sun's greatest elevation there and then is -3.1 degrees
    highest = sun_positions(TROMSOE, [night.transit]).true_elevation_deg[0]
    assert highest == pytest.approx(-3.1, abs=0.2)
    bright = sun_day(TROMSOE, date(2026, 6, 21))
    assert bright.always_up
    assert bright.sunrise is None


@pytest.mark.parametrize(
    ("place", "when", "facing_deg", "spans"),
    [
        (LISBON, date(2027, 7, 15), 20, [("6:24", "11:24"), ("20:04", "21:00")]),
        (MELBOURNE, date(2026, 10, 10), 180, [("6:43", "7:42"), ("18:33", "19:32")]),
        (EDINBURGH, date(2027, 1, 28), 70, [("8:16", "11:04")]),
    ],
    ids=["A lisbon", "B melbourne", "C edinburgh"],
)
def test_facade_sun_hours(place: Place, when: date, facing_deg: float, spans: list[tuple[str, str]]) -> None:
    times = civil_times(place, when, step_min=1.0)
    sun = sun_positions(place, times)
    upper_edge = sun.true_elevation_deg > -0.8333
    before = np.cos(np.radians(sun.azimuth_deg - facing_deg)) > 0
    lit = upper_edge & before
    edges = np.flatnonzero(np.diff(np.concatenate([[0], lit.astype(int), [0]])))
    found = [(times[a], times[b - 1]) for a, b in zip(edges[::2], edges[1::2], strict=True)]
    assert len(found) == len(spans)
    for (start, end), (first, last) in zip(found, spans, strict=True):
        assert near(start, clock(place, when, first), timedelta(minutes=3))
        assert near(end, clock(place, when, last), timedelta(minutes=3))
