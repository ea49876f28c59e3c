"""Where the sun is: the Solar Position Algorithm, in civil time.

sun_positions   elevation and azimuth at given moments
sun_day         sunrise, transit and sunset of one civil day, polar day and night included
civil_times     the moments of one civil day at equal steps
year_grid       the moments of one year: civil days by minutes of the day

Reference: I. Reda, A. Andreas, Solar Position Algorithm for Solar Radiation Applications, NREL/TP-560-34302 (2003,
revised 2008; Solar Energy 76, 2004), as implemented in pvlib (uncertainty 0.0003 degrees, years -2000 to 6000).
"""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import UTC, date, datetime, timedelta
from zoneinfo import ZoneInfo, ZoneInfoNotFoundError

import numpy as np
from numpy.typing import NDArray

from plateside.light.answers import Array
from plateside.light.spa_module import load_spa
from plateside.model.errors import InputError
from plateside.model.studio import Place

spa = load_spa()

PRESSURE_SEA_HPA = 1013.25
TEMPERATURE_C = 12.0
ATMOSPHERIC_REFRACTION_DEG = 0.5667
"""Refraction at sunrise and sunset, as the algorithm's authors recommend."""
SUN_RADIUS_DEG = 0.26667
MANY = 2000
"""From so many moments on the slow part of the algorithm is done on knots."""
KNOT_STEP_S = 10800.0
HALF_DAY_S = 12.25 * 3600.0
"""From the sun's highest point to a little past its lowest."""
SIDEREAL_DEG_A_DAY = 360.98564736629
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
        raise InputError(
            f"The time zone {place.timezone!r} is not known; write an IANA name such as 'Europe/Lisbon'."
        ) from error


def pressure_hpa(altitude_m: float) -> float:
    """Air pressure at a height [hPa], international standard atmosphere (ISO 2533)."""
    return float(PRESSURE_SEA_HPA * (1 - 2.25577e-5 * altitude_m) ** 5.25588)


def unix_seconds(times: Sequence[datetime]) -> Array:
    """Seconds since 1970 UTC; raises InputError for a moment without a time zone."""
    for moment in times:
        if moment.tzinfo is None:
            raise InputError(
                f"The moment {moment.isoformat()} has no time zone; "
                "give it the place's own: datetime(..., tzinfo=ZoneInfo(place.timezone))."
            )
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
        years = seconds / 31556952.0 + 1970.0
        middle = float(years.mean())
        month = int((middle % 1) * 12) + 1
        delta_t_s = float(spa.calculate_deltat(int(middle), month))
    if seconds.size > MANY:
        return _between(place, seconds, pressure, temperature_c, delta_t_s)
    found = spa.solar_position_numpy(
        seconds,
        place.latitude_deg,
        place.longitude_deg,
        place.altitude_m,
        pressure_hpa(place.altitude_m) if pressure is None else pressure,
        temperature_c,
        delta_t_s,
        ATMOSPHERIC_REFRACTION_DEG,
        None,
        False,
        False,
    )
    return SunPositions(
        elevation_deg=np.asarray(found[2]),
        true_elevation_deg=np.asarray(found[3]),
        azimuth_deg=np.asarray(found[4]),
    )


def _between(
    place: Place, seconds: Array, pressure: float | None, temperature_c: float, delta_t_s: float
) -> SunPositions:
    """The same algorithm for many moments: the sun's geocentric place every three hours and between them by
    cubics (it moves a degree a day; the difference is below 1e-6 degrees), all that turns with the Earth exactly.
    """
    steps = max(8, int(np.ceil((seconds.max() - seconds.min()) / KNOT_STEP_S)) + 7)
    knots = seconds.min() - 3 * KNOT_STEP_S + KNOT_STEP_S * np.arange(steps)
    sidereal, alpha, delta, radius = _geocentric(knots, delta_t_s)
    days = (knots - knots[0]) / 86400
    extra = np.unwrap(np.radians(sidereal - SIDEREAL_DEG_A_DAY * days))
    table = np.stack([np.degrees(extra), np.degrees(np.unwrap(np.radians(alpha))), delta, radius])
    at = (seconds - knots[0]) / 86400
    slow, alpha, delta, radius = _drawn_between(table, at * 86400 / KNOT_STEP_S)
    sidereal = slow + SIDEREAL_DEG_A_DAY * at
    xi = spa.equatorial_horizontal_parallax(radius)
    hour = spa.local_hour_angle(sidereal, place.longitude_deg, alpha)
    u = spa.uterm(place.latitude_deg)
    x = spa.xterm(u, place.latitude_deg, place.altitude_m)
    y = spa.yterm(u, place.latitude_deg, place.altitude_m)
    shift = spa.parallax_sun_right_ascension(x, xi, hour, delta)
    lower = spa.topocentric_sun_declination(delta, x, y, xi, shift, hour)
    hour = spa.topocentric_local_hour_angle(hour, shift)
    true = spa.topocentric_elevation_angle_without_atmosphere(place.latitude_deg, lower, hour)
    air = pressure_hpa(place.altitude_m) if pressure is None else pressure
    seen = true + spa.atmospheric_refraction_correction(air, temperature_c, true, ATMOSPHERIC_REFRACTION_DEG)
    turn = spa.topocentric_azimuth_angle(spa.topocentric_astronomers_azimuth(hour, lower, place.latitude_deg))
    return SunPositions(np.asarray(seen), np.asarray(true), np.asarray(turn))


def _drawn_between(table: Array, place: Array) -> Array:
    """Cubic through the four nearest knots (Lagrange); `place` counts in knots, the last axis of `table`."""
    k = np.clip(place.astype(np.int64), 1, table.shape[1] - 3)
    t = place - k
    return np.asarray(
        table[:, k - 1] * (-t * (t - 1) * (t - 2) / 6)
        + table[:, k] * ((t + 1) * (t - 1) * (t - 2) / 2)
        + table[:, k + 1] * (-(t + 1) * t * (t - 2) / 2)
        + table[:, k + 2] * ((t + 1) * t * (t - 1) / 6)
    )


def _geocentric(seconds: Array, delta_t_s: float) -> tuple[Array, Array, Array, Array]:
    """Apparent sidereal time, right ascension, declination [deg], and distance [AU]."""
    jd = spa.julian_day(seconds)
    jde = spa.julian_ephemeris_day(jd, delta_t_s)
    jce = spa.julian_ephemeris_century(jde)
    jme = spa.julian_ephemeris_millennium(jce)
    radius = spa.heliocentric_radius_vector(jme)
    theta = spa.geocentric_longitude(spa.heliocentric_longitude(jme))
    beta = spa.geocentric_latitude(spa.heliocentric_latitude(jme))
    terms = [
        spa.mean_elongation(jce), spa.mean_anomaly_sun(jce), spa.mean_anomaly_moon(jce),
        spa.moon_argument_latitude(jce), spa.moon_ascending_longitude(jce),
    ]  # fmt: skip
    nutation = np.empty((2, seconds.size))
    spa.longitude_obliquity_nutation(jce, *terms, nutation)
    psi, eps = nutation
    epsilon = spa.true_ecliptic_obliquity(spa.mean_ecliptic_obliquity(jme), eps)
    apparent = spa.apparent_sun_longitude(theta, psi, spa.aberration_correction(radius))
    mean_sidereal = spa.mean_sidereal_time(jd, spa.julian_century(jd))
    sidereal = spa.apparent_sidereal_time(mean_sidereal, psi, epsilon)
    alpha = spa.geocentric_sun_right_ascension(apparent, epsilon, beta)
    return sidereal, alpha, spa.geocentric_sun_declination(apparent, epsilon, beta), radius


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
    seen = float(at_top.true_elevation_deg[best]) > RISE_SET_ELEVATION_DEG
    rise = _last_rise(place, noon) if seen else None
    setting = _first_setting(place, noon) if seen else None
    return SunDay(
        sunrise=None if rise is None else _civil(rise, zone),
        transit=_civil(fine[best], zone),
        sunset=None if setting is None else _civil(setting, zone),
        transit_elevation_deg=float(at_top.elevation_deg[best]),
        always_up=bool(up.all()),
        never_up=not seen,
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
        raise InputError(f"A step of {step_min:g} minutes was asked; use one from above 0 to 720.")
    zone = zone_of(place)
    start = datetime(day.year, day.month, day.day, tzinfo=zone).astimezone(UTC)
    after = day + timedelta(days=1)
    end = datetime(after.year, after.month, after.day, tzinfo=zone).astimezone(UTC)
    count = int(np.ceil((end - start).total_seconds() / (60 * step_min) - 1e-9))
    return tuple((start + timedelta(minutes=step_min * i)).astimezone(zone) for i in range(count))


def year_grid(place: Place, year: int, step_min: float = 5.0) -> tuple[tuple[date, ...], Array, Array]:
    """Civil days, minutes of the civil day, and the seconds since 1970 UTC of each, shape (days, steps)."""
    if not 0 < step_min <= 720:
        raise InputError(f"A step of {step_min:g} minutes was asked; use one from above 0 to 720.")
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
