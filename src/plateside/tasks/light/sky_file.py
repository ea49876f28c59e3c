"""Your own forecast or weather file, given on the page: read, checked, and kept in the shoot's folder `sky`.

The page's answer to the command's --forecast and --weather. A forecast is kept with its times written out, so that bare
times go on meaning the day they were given for.
"""

import math
import re
from datetime import date, datetime
from pathlib import Path
from zoneinfo import ZoneInfo

import numpy as np

from plateside.files.atomic import write_text
from plateside.files.settings.load import open_shoot
from plateside.light.weather.cloud import parse_cloud_cover
from plateside.model.errors import InputError
from plateside.model.light_facts import SkyKept
from plateside.tasks.light.choice import sky_file
from plateside.tasks.light.sky import is_epw, parse_year
from plateside.words.light import refusals
from plateside.words.light.skies import FORECAST_HEAD

EARTH_KM = 6371.0
_NO_TEXT = re.compile("[\x00-\x08\x0e-\x19\x1b-\x1f]")
"""Bytes that pictures, sheets and documents hold from their first kilobyte on, and no text does."""
FAR_KM = 100.0
"""A station farther away may have other weather: behind hills, off the coast (our judgement)."""


def keep_sky_file(root: Path, text: str, day: date) -> SkyKept:
    """Keep what was given; a forecast or a year that was there before gives way.

    day  the day that bare times in a forecast belong to
    Raises InputError, with the line, for what is neither; nothing is kept then.
    """
    place = open_shoot(root).studio.place
    text = text.removeprefix("\ufeff")
    if _NO_TEXT.search(text):
        raise InputError(refusals.NO_TEXT_FILE)
    if _is_year(text):
        found = parse_year(text)
        write_text(sky_file(root, "typical year"), text)
        away_km = apart_km(found.latitude_deg, found.longitude_deg, place.latitude_deg, place.longitude_deg)
        far = away_km if away_km > FAR_KM else None
        return SkyKept("typical year", station=found.place_name, far_km=far, place=place.name)
    cloud = parse_cloud_cover(text, place.timezone, day)
    seconds = cloud.times_utc.astype("datetime64[s]")
    rows = [f"{at}Z,{100 * share:g}" for at, share in zip(seconds, cloud.share, strict=True)]
    write_text(sky_file(root, "forecast"), "\n".join([FORECAST_HEAD, *rows]) + "\n")
    first, last = (
        datetime.fromtimestamp(int(at), ZoneInfo(place.timezone))
        for at in (seconds[0].astype(np.int64), seconds[-1].astype(np.int64))
    )
    return SkyKept("forecast", place=place.name, first=first, last=last)


def apart_km(latitude_1: float, longitude_1: float, latitude_2: float, longitude_2: float) -> float:
    """Between two places along the great circle [km], degrees in (haversine; a sphere of 6371 km)."""
    a, b = math.radians(latitude_1), math.radians(latitude_2)
    turn = math.radians(longitude_2 - longitude_1)
    half = math.sin((b - a) / 2) ** 2 + math.cos(a) * math.cos(b) * math.sin(turn / 2) ** 2
    return 2 * EARTH_KM * math.asin(min(1.0, math.sqrt(half)))


def _is_year(text: str) -> bool:
    """An EPW file, or a TMY3 one: its second line names the columns."""
    return is_epw(text) or "ETR" in "".join(text.splitlines()[1:2])
