"""The sun: published positions and times.

SPA      I. Reda, A. Andreas, Solar Position Algorithm for Solar Radiation Applications, NREL/TP-560-34302,
         Appendix A.5 (the worked example).
Others   the Greenwich, Melbourne, Edinburgh and Lisbon figures were worked out by hand
         with a low-precision formula (90 - latitude + declination; the equation of time), good to
         0.2-0.3 degrees and 2 minutes. Tromsoe: polar night (from memory).
Facade   hours at which the sun stands before an upright wall, by hand from geometry alone.
"""

import subprocess
import sys
from datetime import date, datetime, timedelta
from zoneinfo import ZoneInfo

import numpy as np
import pytest
from pvlib import spa

from plateside.light.sun import civil_times, pressure_hpa, sun_day, sun_positions
from plateside.model.room import Place

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


WITHIN_DEG = 0.01


def test_published_example_of_the_algorithm() -> None:
    """Zenith 50.11162, azimuth 194.34024 degrees; delta T 67 s, 820 mbar, 11 degC."""
    place = Place(
        latitude_deg=39.742476, longitude_deg=-105.1786, timezone="America/Denver", altitude_m=1830.14
    )
    moment = datetime.fromisoformat("2003-10-17T12:30:30-07:00")
    for delta_t in (67.0, None):
        got = sun_positions(place, [moment], pressure=820.0, temperature_c=11.0, delta_t_s=delta_t)
        assert 90 - got.elevation_deg[0] == pytest.approx(50.11162, abs=WITHIN_DEG)
        assert got.azimuth_deg[0] == pytest.approx(194.34024, abs=WITHIN_DEG)


def by_pvlib(place: Place, seconds: np.ndarray) -> tuple[np.ndarray, np.ndarray, np.ndarray]:
    """Seen and true elevation and azimuth [deg] by pvlib's whole algorithm, with its own delta T."""
    year = np.datetime64(int(seconds.mean()), "s").astype("datetime64[Y]").astype(int) + 1970
    found = spa.solar_position_numpy(
        seconds, place.latitude_deg, place.longitude_deg, place.altitude_m, pressure_hpa(place.altitude_m), 12.0,
        spa.calculate_deltat(year, 6), 0.5667, None, False, False,
    )  # fmt: skip
    return found[2], found[3], found[4]


@pytest.mark.parametrize("latitude_deg", [-78.0, -37.8, 0.0, 38.7, 56.0, 69.6])
def test_the_direction_to_the_sun_from_1990_to_2100(latitude_deg: float) -> None:
    """Within 0.01 degrees, before refraction, of the Solar Position Algorithm as pvlib has it."""
    rng = np.random.default_rng(7)
    place = Place(latitude_deg=latitude_deg, longitude_deg=-9.1, timezone="UTC", altitude_m=400.0)
    for year in (*range(1990, 2100, 10), 2099):
        start = np.datetime64(f"{year}-01-01T00:00:00").astype(np.int64)
        seconds = start + rng.uniform(0, 365 * 86400, 200)
        seen, true, azimuth = (np.radians(x) for x in by_pvlib(place, seconds))
        got = sun_positions(place, seconds)
        ours, turn = np.radians(got.true_elevation_deg), np.radians(got.azimuth_deg)
        cosine = np.sin(ours) * np.sin(true) + np.cos(ours) * np.cos(true) * np.cos(turn - azimuth)
        assert np.degrees(np.arccos(np.clip(cosine, -1, 1))).max() < WITHIN_DEG
        # refraction is the algorithm's own, but for the moment in which it stops
        up = np.abs(np.degrees(true) + 0.83337) > 0.01
        assert np.abs(got.elevation_deg - np.degrees(seen))[up].max() < WITHIN_DEG


@pytest.mark.parametrize("latitude_deg", [-54.8, -33.9, 0.0, 23.4, 51.5, 59.9])
def test_rise_and_set_are_those_of_the_algorithm(latitude_deg: float) -> None:
    """Within 5 s below 60 degrees of latitude: the whole algorithm, asked at our rise and set, has the sun's upper edge
    on the horizon to within what the sun moves in 5 s; its speed is taken from the algorithm a minute on."""
    place = Place(latitude_deg=latitude_deg, longitude_deg=15.0, timezone="Etc/GMT-1")
    for day in (date(1991, 6, 21), date(2027, 3, 20), date(2060, 11, 5), date(2099, 12, 21)):
        found = sun_day(place, day)
        for when in (found.sunrise, found.sunset):
            assert when is not None
            at = when.timestamp()
            true = by_pvlib(place, np.array([at, at + 60.0]))[1]
            speed = (true[1] - true[0]) / 60.0
            assert abs((true[0] + 0.5667 + 0.26667) / speed) < 5.0


def test_the_sun_needs_neither_pandas_nor_pvlib() -> None:
    """A fresh process that asks for the light's own modules has none of them in hand."""
    names = ("pandas", "h5py", "pvlib")
    asked = f"import sys; import plateside.light.moment; print([m for m in {names} if m in sys.modules])"
    told = subprocess.run([sys.executable, "-c", asked], capture_output=True, text=True, check=True)
    assert told.stdout.strip() == "[]"


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
    # by hand: the sun's greatest elevation there and then is 90 - 69.65 - 23.44 = -3.1 degrees
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
