"""Which sky is meant, and what it gives at any moments: a word, a CIE type, a typical year, or cloud cover."""

from dataclasses import dataclass, replace
from datetime import datetime

import numpy as np
from numpy.typing import NDArray

from plateside.light.sky import Sky, SkySeries, cie_sky, perez_series, word_series
from plateside.light.sky_light import KINDS
from plateside.light.sun import sun_positions
from plateside.light.weather.cloud import CloudCover
from plateside.light.weather.hours import Weather
from plateside.light.weather.kasten1980 import irradiances_from_cloud
from plateside.model.light_facts import SkyAsked
from plateside.model.room import Place

Seconds = NDArray[np.float64]

AMOUNT_OF_CIE = {**dict.fromkeys(range(1, 6), "overcast"), **dict.fromkeys(range(6, 11), "broken"),
                 11: "clear", 12: "clear", 13: "hazy", 14: "clear", 15: "hazy", 16: "overcast"}  # fmt: skip
"""A CIE type says how light is spread over the sky, not how much there is: that is taken from the nearest word."""

FORECAST_RANGE = (0.55, 1.7)
"""Low and high of a forecast's light: the same cover can be thin or thick cloud. Ours, as the words' ranges are."""


@dataclass(frozen=True)
class SkyChoice:
    """The sky that was asked for; exactly one of word, CIE type, weather and cloud is set."""

    asked: SkyAsked
    word: str = ""
    cie: int = 0
    weather: Weather | None = None
    cloud: CloudCover | None = None

    def over(self, place: Place, seconds: Seconds) -> str | SkySeries:
        """The sky at moments (seconds since 1970 UTC, any shape), in their order."""
        if self.word:
            return self.word
        flat = seconds.ravel()
        sun = sun_positions(place, flat)
        day = _day_of_year(flat)
        if self.cie:
            amount = word_series(
                AMOUNT_OF_CIE[self.cie],
                sun.elevation_deg,
                true_elevation_deg=sun.true_elevation_deg,
                altitude_m=place.altitude_m,
                day_of_year=day,
            )
            like = cie_sky(self.cie, 1.0)
            shape = np.tile([like.a, like.b, like.c, like.d, like.e], (flat.size, 1)).astype(np.float64)
            return replace(
                amount, name=self.asked.code, kind=np.full(flat.size, KINDS[like.kind], np.int64), shape=shape
            )
        utc = flat.astype("int64").astype("datetime64[s]")
        if self.weather is not None:
            found, low, high = self.weather.at(utc), 0.8, 1.25
        else:
            assert self.cloud is not None  # noqa: S101 - the one that is left
            share = self.cloud.at(np.clip(utc, self.cloud.times_utc[0], self.cloud.times_utc[-1]))
            found = irradiances_from_cloud(share, sun.elevation_deg)
            low, high = FORECAST_RANGE
        return perez_series(
            found.direct_normal_w_m2,
            found.diffuse_horizontal_w_m2,
            sun.elevation_deg,
            true_elevation_deg=sun.true_elevation_deg,
            day_of_year=day,
            dew_point_c=np.nan_to_num(found.dew_point_c, nan=10.0),
            name=self.asked.code,
            low=low,
            high=high,
        )

    def at(self, place: Place, when: datetime) -> str | Sky:
        """The sky at one moment. Raises InputError when a forecast does not reach there."""
        if self.cloud is not None:
            self.cloud.at(np.array([int(when.timestamp())]).astype("datetime64[s]"))
        found = self.over(place, np.array([when.timestamp()]))
        return found if isinstance(found, str) else found.at(0)

    def covers(self, times: tuple[datetime, ...]) -> bool:
        """False when a forecast says nothing of these moments at all."""
        if self.cloud is None:
            return True
        first, last = self.reach()
        return times[-1].timestamp() >= first and times[0].timestamp() <= last

    def reach(self) -> tuple[float, float]:
        """First and last moment that a forecast tells [s since 1970 UTC]; endless for any other sky."""
        if self.cloud is None:
            return -np.inf, np.inf
        seconds = self.cloud.times_utc.astype("datetime64[s]").astype(np.int64)
        return float(seconds[0]), float(seconds[-1])


def _day_of_year(seconds: Seconds) -> NDArray[np.float64]:
    days = seconds.astype("int64").astype("datetime64[s]").astype("datetime64[D]")
    return np.asarray((days - days.astype("datetime64[Y]")).astype(np.int64) + 1, dtype=np.float64)
