"""Which sky is meant: a word, a CIE type, a typical year's weather file, or a pasted forecast of cloud cover."""

import contextlib
from dataclasses import dataclass, replace
from datetime import date, datetime
from pathlib import Path

import numpy as np
from numpy.typing import NDArray

from plateside.files.json_text import whole_bytes
from plateside.files.settings.guesses import nearest
from plateside.light.sky import SKY_WORDS, Sky, SkySeries, cie_sky, perez_series, word_series
from plateside.light.sky_light import KINDS
from plateside.light.sun import sun_positions
from plateside.light.weather.cloud import CloudCover, parse_cloud_cover
from plateside.light.weather.epw import parse_epw
from plateside.light.weather.hours import Weather
from plateside.light.weather.kasten1980 import irradiances_from_cloud
from plateside.light.weather.tmy3 import parse_tmy3
from plateside.model.errors import CouldNotError, InputError
from plateside.model.studio import Place

Seconds = NDArray[np.float64]

AMOUNT_OF_CIE = {**dict.fromkeys(range(1, 6), "overcast"), **dict.fromkeys(range(6, 11), "broken"),
                 11: "clear", 12: "clear", 13: "hazy", 14: "clear", 15: "hazy", 16: "overcast"}  # fmt: skip
"""A CIE type says how light is spread over the sky, not how much there is: that is taken from the nearest word."""

LARGEST_FILE_BYTES = 64 * 1024 * 1024
"""A year by the hour is two megabytes."""
FORECAST_RANGE = (0.55, 1.7)
"""Low and high of a forecast's light: the same cover can be thin or thick cloud. Ours, as the words' ranges are."""


@dataclass(frozen=True)
class SkyChoice:
    """The sky that was asked for; exactly one of word, CIE type, weather and cloud is set."""

    words: str
    """How it is told: 'clear sky', 'forecast in tomorrow.csv' ..."""
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
                amount, name=self.words, kind=np.full(flat.size, KINDS[like.kind], np.int64), shape=shape
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
            name=self.words,
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
        first, last = self._reach()
        return times[-1].timestamp() >= first and times[0].timestamp() <= last

    def check_day(self, times: tuple[datetime, ...]) -> None:
        """Raises InputError when a forecast says nothing of this day."""
        if not self.covers(times):
            first, last = self._reach()
            raise InputError(
                f"The forecast runs from {_utc(first)} to {_utc(last)} and says nothing of {times[0]:%Y-%m-%d}: "
                "give one of that day, or ask with a sky in words.",
                "Paste lines for that day, or use --sky.",
            )

    def _reach(self) -> tuple[float, float]:
        if self.cloud is None:
            return -np.inf, np.inf
        seconds = self.cloud.times_utc.astype("datetime64[s]").astype(np.int64)
        return float(seconds[0]), float(seconds[-1])


def _utc(seconds: float) -> str:
    return f"{str(np.datetime64(int(seconds), 's'))[:16].replace('T', ' ')} UTC"


def _day_of_year(seconds: Seconds) -> NDArray[np.float64]:
    days = seconds.astype("int64").astype("datetime64[s]").astype("datetime64[D]")
    return np.asarray((days - days.astype("datetime64[Y]")).astype(np.int64) + 1, dtype=np.float64)


def _text(path: Path, option: str) -> str:
    if not path.is_file():
        raise InputError(f"There is no file {path}: give {option} the path of a text file.")
    try:
        data = whole_bytes(path, LARGEST_FILE_BYTES)
    except (OSError, ValueError) as error:
        raise CouldNotError(f"{path} could not be read: {error}.") from error
    return weather_text(data)


def weather_text(data: bytes) -> str:
    """A weather file's text, in whatever encoding: a sheet saved as "Unicode text" has two bytes a letter."""
    for encoding in ("utf-16" if data[:2] in (b"\xff\xfe", b"\xfe\xff") else "utf-8-sig", "latin-1"):
        with contextlib.suppress(UnicodeDecodeError):
            return data.decode(encoding)
    raise AssertionError("every byte is a letter of Latin-1")


def choose_sky(
    sky: str, place: Place, weather: Path | None = None, forecast: Path | None = None, day: date | None = None
) -> SkyChoice:
    """The sky asked for, in words or by file.

    sky  clear, hazy, broken, overcast, or cie:1 to cie:16
    day  the day that bare times in a forecast belong to
    Raises InputError for an unknown word with the nearest one, and with the line for a file that cannot be read.
    """
    if weather is not None and forecast is not None:
        raise InputError("Both --weather and --forecast were given; choose one of the two.")
    if weather is not None:
        text = _text(weather, "--weather")
        found = parse_epw(text) if text[:9].upper().startswith("LOCATION,") else parse_tmy3(text)
        return SkyChoice(f"typical year at {found.place_name} ({weather.name})", weather=found)
    if forecast is not None:
        cloud = parse_cloud_cover(_text(forecast, "--forecast"), place.timezone, day)
        return SkyChoice(f"forecast in {forecast.name}", cloud=cloud)
    if sky in SKY_WORDS:
        return SkyChoice(f"{sky} sky", word=sky)
    if sky.startswith("cie:"):
        number = sky.removeprefix("cie:")
        if number.isdigit() and 1 <= int(number) <= 16:
            return SkyChoice(cie_sky(int(number), 1.0).name, cie=int(number))
        raise InputError(
            f"The sky type {sky!r} is not known; write cie:1 to cie:15, or cie:16 for the overcast sky."
        )
    near = nearest(sky, SKY_WORDS)
    meant = f" Did you mean {near}?" if near else ""
    raise InputError(f"The sky {sky!r} is not known; use {', '.join(SKY_WORDS)}, or cie:1 to cie:16.{meant}")
