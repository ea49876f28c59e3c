"""From weather to the sky at given moments, ready for the light engine.

weather_skies   a typical year's file
forecast_skies  a pasted forecast of cloud cover

Both go through irradiances to Perez's sky (light/perez.py). The sun's place is that of the studio.
"""

from collections.abc import Sequence
from dataclasses import replace
from datetime import UTC, datetime

import numpy as np
from numpy.typing import NDArray

from plateside.light.sky import SkySeries, perez_series
from plateside.light.sun import sun_positions
from plateside.light.weather.cloud import CloudCover
from plateside.light.weather.hours import Irradiances, Weather
from plateside.light.weather.kasten1980 import irradiances_from_cloud
from plateside.model.errors import RefusedError
from plateside.model.room import Place

FILE_RANGE = (0.8, 1.25)
"""Low and high of the light, as factors: an hour's mean against the moment, and the efficacy's scatter."""
FORECAST_RANGE = (0.6, 1.55)
"""The same cover may be thin or thick cloud, and the forecast may be wrong."""
BROKEN_SUN_RANGE = (0.0, 2.5)
"""Under broken cloud the sun comes and goes about its mean."""
_BROKEN = (2.5 / 8, 7.5 / 8)
_DEW_POINT_C = 10.0


def weather_skies(weather: Weather, place: Place, times: Sequence[datetime]) -> SkySeries:
    """The typical year's skies at aware moments of any year."""
    return _series(weather.at(_utc(times)), place, times, weather.place_name or "weather file", FILE_RANGE)


def forecast_skies(cover: CloudCover, place: Place, times: Sequence[datetime]) -> SkySeries:
    """The forecast's skies at aware moments. Raises InputError when it does not reach there."""
    share = cover.at(_utc(times))
    elevation = sun_positions(place, times).elevation_deg
    series = _series(irradiances_from_cloud(share, elevation), place, times, "forecast", FORECAST_RANGE)
    if bool(np.any((share >= _BROKEN[0]) & (share < _BROKEN[1]))):
        series = replace(series, direct_low=BROKEN_SUN_RANGE[0], direct_high=BROKEN_SUN_RANGE[1])
    return series


def _series(
    got: Irradiances, place: Place, times: Sequence[datetime], name: str, spread: tuple[float, float]
) -> SkySeries:
    sun = sun_positions(place, times)
    return perez_series(
        got.direct_normal_w_m2,
        got.diffuse_horizontal_w_m2,
        sun.elevation_deg,
        true_elevation_deg=sun.true_elevation_deg,
        day_of_year=np.array([moment.timetuple().tm_yday for moment in times], dtype=np.float64),
        dew_point_c=np.where(np.isnan(got.dew_point_c), _DEW_POINT_C, got.dew_point_c),
        name=name,
        low=spread[0],
        high=spread[1],
    )


def _utc(times: Sequence[datetime]) -> NDArray[np.datetime64]:
    for moment in times:
        if moment.tzinfo is None:
            raise RefusedError("no time zone", got=moment.isoformat())
    return np.array([moment.astimezone(UTC).replace(tzinfo=None) for moment in times], dtype="datetime64[s]")
