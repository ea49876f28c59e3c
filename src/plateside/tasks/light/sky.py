"""Which sky is meant: a word, a CIE type, a typical year's weather file, or a pasted forecast of cloud cover."""

import contextlib
from datetime import date, datetime
from pathlib import Path

import numpy as np

from plateside.files.json_text import whole_bytes
from plateside.files.settings.guesses import nearest
from plateside.light.cie_types import TRADITIONAL
from plateside.light.sky import SKY_WORDS
from plateside.light.sky_choice import SkyChoice
from plateside.light.weather.cloud import parse_cloud_cover
from plateside.light.weather.epw import parse_epw
from plateside.light.weather.hours import Weather
from plateside.light.weather.tmy3 import parse_tmy3
from plateside.model.errors import CouldNotError, InputError
from plateside.model.light_facts import SkyAsked
from plateside.model.room import Place
from plateside.words.light import refusals

LARGEST_FILE_BYTES = 64 * 1024 * 1024
"""A year by the hour is two megabytes."""


def check_day(sky: SkyChoice, times: tuple[datetime, ...]) -> None:
    """Raises InputError when a forecast says nothing of this day."""
    if not sky.covers(times):
        first, last = (_utc(s) for s in sky.reach())
        raise InputError(*refusals.forecast_misses(first, last, f"{times[0]:%Y-%m-%d}"))


def _utc(seconds: float) -> str:
    return f"{str(np.datetime64(int(seconds), 's'))[:16].replace('T', ' ')} UTC"


def _text(path: Path, option: str) -> str:
    if not path.is_file():
        raise InputError(refusals.no_file(path, option))
    try:
        data = whole_bytes(path, LARGEST_FILE_BYTES)
    except (OSError, ValueError) as error:
        raise CouldNotError(refusals.unread_file(path, error)) from error
    return weather_text(data)


def weather_text(data: bytes) -> str:
    """A weather file's text, in whatever encoding: a sheet saved as "Unicode text" has two bytes a letter."""
    for encoding in ("utf-16" if data[:2] in (b"\xff\xfe", b"\xfe\xff") else "utf-8-sig", "latin-1"):
        with contextlib.suppress(UnicodeDecodeError):
            return data.decode(encoding)
    raise AssertionError("every byte is a letter of Latin-1")


def choose_sky(
    sky: str,
    place: Place,
    weather: Path | None = None,
    forecast: Path | None = None,
    day: date | None = None,
    name_files: bool = True,
) -> SkyChoice:
    """The sky asked for, in words or by file.

    sky         clear, hazy, broken, overcast, or cie:1 to cie:16
    day         the day that bare times in a forecast belong to
    name_files  whether the answer names the files; a page's own copies have names that say nothing
    Raises InputError for an unknown word with the nearest one, and with the line for a file that cannot be read.
    """
    if weather is not None and forecast is not None:
        raise InputError(refusals.TWO_SKY_FILES)
    if weather is not None:
        found = parse_year(_text(weather, "--weather"))
        asked = SkyAsked("typical year", found.place_name, weather.name if name_files else "")
        return SkyChoice(asked, weather=found)
    if forecast is not None:
        cloud = parse_cloud_cover(_text(forecast, "--forecast"), place.timezone, day)
        return SkyChoice(SkyAsked("forecast", file=forecast.name if name_files else ""), cloud=cloud)
    if sky in SKY_WORDS:
        return SkyChoice(SkyAsked("word", sky), word=sky)
    if sky.startswith("cie:"):
        number = sky.removeprefix("cie:")
        if number.isdigit() and 1 <= int(number) <= TRADITIONAL:
            return SkyChoice(SkyAsked("cie", f"cie:{int(number)}"), cie=int(number))
        raise InputError(refusals.no_sky_type(sky))
    raise InputError(refusals.no_sky(sky, SKY_WORDS, nearest(sky, SKY_WORDS), TRADITIONAL))


def is_epw(text: str) -> bool:
    """An EPW file names its place first."""
    return text[:9].upper().startswith("LOCATION,")


def parse_year(text: str) -> Weather:
    """A typical year, EPW or TMY3. Raises InputError with the line."""
    return parse_epw(text) if is_epw(text) else parse_tmy3(text)
