"""A year of hours from an EPW file.

Source of the layout: EnergyPlus documentation, Auxiliary Programs, "EnergyPlus Weather File (EPW) Data
Dictionary". Eight header lines, LOCATION first and DATA PERIODS last; then one line an hour with, counted from
1: year, month, day, hour (1 to 24, the hour that ends then), minute, uncertainty flags, dry bulb, 8 dew point
[degC], ..., 14 global horizontal, 15 direct normal, 16 diffuse horizontal [Wh/m2 in that hour, so W/m2 on
average], ..., 23 total sky cover [tenths]. Times are local standard time, LOCATION's field 9 hours from UTC.
Missing: 9999 for radiation, 99.9 for the dew point, 99 for the sky cover.
"""

import numpy as np

from plateside.light.weather.cells import check_day, lines_of, number
from plateside.light.weather.hours import Weather, year_table
from plateside.model.errors import RefusedError

HEADERS = 8
_FEWEST_FIELDS = 23
_RADIATION_MISSING = 9999.0
_DEW_POINT_MISSING = 99.9
_COVER_MISSING = 99.0
_RADIATION = (
    ("direct normal radiation", 14),
    ("diffuse horizontal radiation", 15),
    ("global horizontal radiation", 13),
)


def parse_epw(text: str) -> Weather:
    """The weather in the text of an EPW file.

    Raises InputError, with the line, when the text is not an EPW file, when it does not hold one record an
    hour, or when a radiation value is missing (such an hour cannot be guessed: take another file).
    """
    lines = lines_of(text)
    place = [cell.strip() for cell in lines[0].split(",")] if lines else []
    if not place or place[0].upper() != "LOCATION" or len(place) < 10:
        raise RefusedError("no EPW file", line=1)
    latitude = number(place[6], "the latitude", 1, -90, 90)
    longitude = number(place[7], "the longitude", 1, -180, 180)
    offset = number(place[8], "the time zone", 1, -12, 14)
    altitude = number(place[9], "the altitude", 1, -1000, 9999)
    _one_record_an_hour(lines)
    stamps: list[tuple[int, int, int]] = []
    values: list[tuple[float, ...]] = []
    for index, line in enumerate(lines[HEADERS:], start=HEADERS + 1):
        if not line.strip():
            continue
        cells = line.split(",")
        if len(cells) < _FEWEST_FIELDS:
            raise RefusedError("EPW line cut", line=index, got=len(cells))
        month = int(number(cells[1], "the month", index, 1, 12))
        day = int(number(cells[2], "the day", index, 1, 31))
        hour = int(number(cells[3], "the hour", index, 1, 24))
        check_day(month, day, index)
        radiation = []
        for what, field in _RADIATION:
            value = number(cells[field], f"the {what}", index, 0, _RADIATION_MISSING)
            if value == _RADIATION_MISSING:
                raise RefusedError("value missing", line=index, what=what, mark=9999)
            radiation.append(value)
        dew = number(cells[7], "the dew point", index, -100, 100)
        cover = number(cells[22], "the sky cover", index, 0, _COVER_MISSING)
        stamps.append((month, day, hour))
        values.append(
            (
                *radiation,
                np.nan if dew >= _DEW_POINT_MISSING else dew,
                np.nan if cover > 10 else cover / 10,
            )
        )
    if not stamps:
        raise RefusedError("EPW without hours", header_lines=HEADERS)
    when = np.array(stamps, dtype=np.int64)
    table = np.array(values, dtype=np.float64)
    return Weather(
        place_name=place[1],
        latitude_deg=latitude,
        longitude_deg=longitude,
        altitude_m=altitude,
        utc_offset_h=offset,
        hours=year_table(when[:, 0], when[:, 1], when[:, 2], tuple(table.T)),
    )


def _one_record_an_hour(lines: list[str]) -> None:
    """Refuse files with several records an hour: DATA PERIODS,periods,records an hour,..."""
    if len(lines) < HEADERS:
        raise RefusedError("EPW cut in its header", got=len(lines), header_lines=HEADERS)
    cells = lines[HEADERS - 1].split(",")
    if cells[0].strip().upper() != "DATA PERIODS" or len(cells) < 3:
        raise RefusedError("EPW header damaged", line=HEADERS)
    if number(cells[2], "records an hour", HEADERS, 1, 60) != 1:
        raise RefusedError("EPW not hourly", line=HEADERS, got=cells[2].strip())
