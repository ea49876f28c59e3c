"""Where the sun is, in civil time.

sun_positions   elevation and azimuth at given moments
sun_day         sunrise, transit and sunset of one civil day, polar day and night included
civil_times     the moments of one civil day at equal steps
year_grid       the moments of one year: civil days by minutes of the day

The sun's place comes from light/sun_series.py; refraction and the rest as in I. Reda, A. Andreas, Solar Position
Algorithm for Solar Radiation Applications, NREL/TP-560-34302 (2003, revised 2008; Solar Energy 76, 2004). The direction
to the sun is within 0.01 degrees of that algorithm's, 1990 to 2100 (tests hold it: within 0.002).
"""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import UTC, date, datetime, timedelta
from zoneinfo import ZoneInfo, ZoneInfoNotFoundError

import numpy as np
from numpy.typing import NDArray

from plateside.light.sun_series import apparent_sun
from plateside.light.sun_series import delta_t_s as series_delta_t_s
from plateside.model.errors import RefusedError
from plateside.model.light_answers import Array
from plateside.model.room import Place

PRESSURE_SEA_HPA = 1013.25
TEMPERATURE_C = 12.0
ATMOSPHERIC_REFRACTION_DEG = 0.5667
"""Refraction at sunrise and sunset, as the algorithm's authors recommend."""
SUN_RADIUS_DEG = 0.26667
HALF_DAY_S = 12.25 * 3600.0
"""From the sun's highest point to a little past its lowest."""
PARALLAX_DEG = 8.794 / 3600
"""Of the sun at one astronomical unit, at the horizon."""
RISE_SET_ELEVATION_DEG = -(ATMOSPHERIC_REFRACTION_DEG + SUN_RADIUS_DEG)
"""True elevation of the sun's centre when its upper edge touches a level horizon."""


@dataclass(frozen=True)
class SunPositions:
    """Where the sun stands at n moments; arrays of shape (n,)."""

    elevation_deg: Array
    """As seen, with refraction [deg]."""
    true_elevation_deg: Array
    """Without refraction [deg]."""
    azimuth_deg: Array
    """True bearing, clockwise from north [deg]."""


@dataclass(frozen=True)
class SunDay:
    """The sun's day about its highest point on a civil day.

    `sunrise` is the last before that point and `sunset` the first after it, each within half a day: where nights are
    short, or the zone's clock is far from the sun's, either may fall on the civil day before or after. None: the sun
    does not cross the horizon there.
    """

    sunrise: datetime | None
    transit: datetime
    sunset: datetime | None
    transit_elevation_deg: float
    always_up: bool
    never_up: bool


def zone_of(place: Place) -> ZoneInfo:
    """The place's time zone; raises InputError when the name is unknown."""
    try:
        return ZoneInfo(place.timezone)
    except (ZoneInfoNotFoundError, ValueError) as error:
        raise RefusedError("no such time zone", got=place.timezone) from error


def pressure_hpa(altitude_m: float) -> float:
    """Air pressure at a height [hPa], international standard atmosphere (ISO 2533)."""
    return float(PRESSURE_SEA_HPA * (1 - 2.25577e-5 * altitude_m) ** 5.25588)


def unix_seconds(times: Sequence[datetime]) -> Array:
    """Seconds since 1970 UTC; raises InputError for a moment without a time zone."""
    for moment in times:
        if moment.tzinfo is None:
            raise RefusedError("no time zone", got=moment.isoformat())
    return np.array([moment.timestamp() for moment in times], dtype=np.float64)


def sun_positions(
    place: Place,
    times: Sequence[datetime] | NDArray[np.float64],
    *,
    pressure: float | None = None,
    temperature_c: float = TEMPERATURE_C,
    delta_t_s: float | None = None,
) -> SunPositions:
    """Positions of the sun at aware moments, or at seconds since 1970 UTC (array).

    pressure      air pressure [hPa]; None: of the place's altitude
    delta_t_s     terrestrial minus universal time [s]; None: the published polynomial for each year
    """
    seconds = times if isinstance(times, np.ndarray) else unix_seconds(times)
    seconds = np.asarray(seconds, dtype=np.float64)
    if seconds.size == 0:
        empty = np.empty(0)
        return SunPositions(empty, empty, empty)
    if delta_t_s is None:
        delta_t_s = series_delta_t_s(float(seconds.mean()) / 31556952.0 + 1970.0)
    right_ascension, declination, distance, sidereal = apparent_sun(seconds, delta_t_s)
    hour = sidereal + np.radians(place.longitude_deg) - right_ascension
    latitude = np.radians(place.latitude_deg)
    south = np.cos(hour) * np.cos(declination) * np.sin(latitude) - np.sin(declination) * np.cos(latitude)
    west = np.sin(hour) * np.cos(declination)
    up = np.cos(hour) * np.cos(declination) * np.cos(latitude) + np.sin(declination) * np.sin(latitude)
    geocentric = np.arctan2(up, np.hypot(south, west))
    # From the Earth's surface the sun stands lower than from its middle, by its parallax.
    true = np.degrees(geocentric) - PARALLAX_DEG / distance * np.cos(geocentric)
    air = pressure_hpa(place.altitude_m) if pressure is None else pressure
    return SunPositions(
        elevation_deg=true + refraction_deg(true, air, temperature_c),
        true_elevation_deg=true,
        azimuth_deg=(np.degrees(np.arctan2(west, south)) + 180.0) % 360.0,
    )


def refraction_deg(true_elevation_deg: Array, pressure: float, temperature_c: float) -> Array:
    """How much higher the sun is seen than it stands [deg]; none once it has set (NREL/TP-560-34302, equation 42)."""
    h = np.maximum(true_elevation_deg, RISE_SET_ELEVATION_DEG)
    bent = (
        pressure
        / 1010.0
        * 283.0
        / (273.0 + temperature_c)
        * 1.02
        / (60.0 * np.tan(np.radians(h + 10.3 / (h + 5.11))))
    )
    return np.where(true_elevation_deg >= RISE_SET_ELEVATION_DEG, bent, 0.0)


def sun_day(place: Place, day: date) -> SunDay:
    """Sunrise, transit and sunset of a civil day at the place, to the second.

    Found on the sun's own curve, not by the daily formula, so that polar day and night, two sunsets about
    midnight and clock changes need no special cases.
    """
    zone = zone_of(place)
    start = datetime(day.year, day.month, day.day, tzinfo=zone).timestamp()
    after = day + timedelta(days=1)
    end = datetime(after.year, after.month, after.day, tzinfo=zone).timestamp()
    grid = np.arange(start, end + 1, 300.0)
    above = _above(place, grid)
    up = above > 0
    top = int(np.argmax(above))
    lower, upper = max(top - 1, 0), min(top + 1, grid.size - 1)
    fine = np.linspace(grid[lower], grid[upper], 601)
    at_top = sun_positions(place, fine)
    best = int(np.argmax(at_top.true_elevation_deg))
    noon = float(fine[best])
    rises = float(at_top.true_elevation_deg[best]) > RISE_SET_ELEVATION_DEG
    rise = _last_rise(place, noon) if rises else None
    setting = _first_setting(place, noon) if rises else None
    return SunDay(
        sunrise=None if rise is None else _civil(rise, zone),
        transit=_civil(fine[best], zone),
        sunset=None if setting is None else _civil(setting, zone),
        transit_elevation_deg=float(at_top.elevation_deg[best]),
        always_up=bool(up.all()),
        never_up=not rises,
    )


def _last_rise(place: Place, noon: float) -> float | None:
    """The last moment before noon at which the sun came up; None when it was up all the half day."""
    grid = np.linspace(noon - HALF_DAY_S, noon, 148)
    up = _above(place, grid) > 0
    found = np.flatnonzero(~up[:-1] & up[1:])
    return _crossing(place, grid[found[-1]], grid[found[-1] + 1]) if found.size else None


def _first_setting(place: Place, noon: float) -> float | None:
    """The first moment after noon at which the sun goes down; None when it is up all the half day."""
    grid = np.linspace(noon, noon + HALF_DAY_S, 148)
    up = _above(place, grid) > 0
    found = np.flatnonzero(up[:-1] & ~up[1:])
    return _crossing(place, grid[found[0]], grid[found[0] + 1]) if found.size else None


def civil_times(place: Place, day: date, step_min: float = 5.0) -> tuple[datetime, ...]:
    """The moments of a civil day at equal true steps; 23 or 25 hours long when clocks change."""
    if not 0 < step_min <= 720:
        raise RefusedError("no such step", got=step_min)
    zone = zone_of(place)
    start = datetime(day.year, day.month, day.day, tzinfo=zone).astimezone(UTC)
    after = day + timedelta(days=1)
    end = datetime(after.year, after.month, after.day, tzinfo=zone).astimezone(UTC)
    count = int(np.ceil((end - start).total_seconds() / (60 * step_min) - 1e-9))
    return tuple((start + timedelta(minutes=step_min * i)).astimezone(zone) for i in range(count))


def year_grid(place: Place, year: int, step_min: float = 5.0) -> tuple[tuple[date, ...], Array, Array]:
    """Civil days, minutes of the civil day, and the seconds since 1970 UTC of each, shape (days, steps)."""
    if not 0 < step_min <= 720:
        raise RefusedError("no such step", got=step_min)
    zone = zone_of(place)
    first = date(year, 1, 1)
    count = (date(year + 1, 1, 1) - first).days
    dates = tuple(first + timedelta(days=i) for i in range(count))
    minutes = np.arange(0.0, 1440.0, step_min)
    seconds = np.empty((count, minutes.size))
    for row, day in enumerate(dates):
        # The offset is asked for each hour of a day whose two midnights differ, and once for the others.
        midnight = datetime(day.year, day.month, day.day, tzinfo=zone)
        following = day + timedelta(days=1)
        next_midnight = datetime(following.year, following.month, following.day, tzinfo=zone)
        base = datetime(day.year, day.month, day.day, tzinfo=UTC).timestamp()
        if midnight.utcoffset() == next_midnight.utcoffset():
            offset = midnight.utcoffset() or timedelta(0)
            seconds[row] = base + 60 * minutes - offset.total_seconds()
            continue
        for column, minute in enumerate(minutes):
            wall = datetime(day.year, day.month, day.day, int(minute // 60), int(minute % 60), tzinfo=zone)
            offset = wall.utcoffset() or timedelta(0)
            seconds[row, column] = base + 60 * minute - offset.total_seconds()
    return dates, minutes, seconds


def _above(place: Place, seconds: Array) -> Array:
    return sun_positions(place, seconds).true_elevation_deg - RISE_SET_ELEVATION_DEG


def _crossing(place: Place, before: float, after: float) -> float:
    fine = np.linspace(before, after, 301)
    above = _above(place, fine)
    k = int(np.flatnonzero((above[:-1] > 0) != (above[1:] > 0))[0])
    share = above[k] / (above[k] - above[k + 1])
    return float(fine[k] + share * (fine[k + 1] - fine[k]))


def _civil(seconds: float, zone: ZoneInfo) -> datetime:
    return datetime.fromtimestamp(round(float(seconds)), tz=zone)
