"""A year of hours from a TMY3 file (CSV).

Source of the layout: S. Wilcox, W. Marion, Users Manual for TMY3 Data Sets, NREL/TP-581-43156 (2008). Line 1:
station number, "name", state, hours from UTC, latitude, longitude, altitude. Line 2: column names, units in
them. Then a line an hour: date MM/DD/YYYY and the time HH:MM at which the hour ends, 01:00 to 24:00, local
standard time. Negative values (-9900) mean missing.
"""

import csv
import re

import numpy as np

from plateside.light.weather.cells import check_day, lines_of, number, short
from plateside.light.weather.hours import Weather, year_table
from plateside.model.errors import RefusedError

_NEEDED = {
    "date": r"^Date",
    "time": r"^Time",
    "direct": r"^DNI \(W/m\^2\)",
    "diffuse": r"^DHI \(W/m\^2\)",
    "global": r"^GHI \(W/m\^2\)",
}
_WANTED = {"dew": r"^Dew-?point \(C\)", "cloud": r"^TotCld \(tenths\)"}


def parse_tmy3(text: str) -> Weather:
    """The weather in the text of a TMY3 file.

    Raises InputError, with the line, when the text is not TMY3 or a radiation value is missing.
    """
    rows = _rows(text)
    if len(rows) < 3 or len(rows[0]) < 7:
        raise RefusedError("no TMY3 file", line=1)
    place = rows[0]
    offset = number(place[3], "the time zone", 1, -12, 14)
    latitude = number(place[4], "the latitude", 1, -90, 90)
    longitude = number(place[5], "the longitude", 1, -180, 180)
    altitude = number(place[6], "the altitude", 1, -1000, 9999)
    column = _columns(rows[1])
    stamps: list[tuple[int, int, int]] = []
    values: list[tuple[float, ...]] = []
    for line, cells in enumerate(rows[2:], start=3):
        if not any(cell.strip() for cell in cells):
            continue
        if len(cells) <= max(column.values()):
            raise RefusedError("TMY3 line cut", line=line, got=len(cells))
        stamps.append(_stamp(cells[column["date"]], cells[column["time"]], line))
        radiation = []
        for name, what in (("direct", "DNI"), ("diffuse", "DHI"), ("global", "GHI")):
            value = number(cells[column[name]], what, line, -9999, 2000)
            if value < 0:
                raise RefusedError("value missing", line=line, what=what, mark=value)
            radiation.append(value)
        values.append(
            (*radiation, _or_nan(cells, column, "dew", -99, 1), _or_nan(cells, column, "cloud", 0, 10))
        )
    if not stamps:
        raise RefusedError("TMY3 without hours")
    when = np.array(stamps, dtype=np.int64)
    table = np.array(values, dtype=np.float64)
    return Weather(
        place_name=place[1].strip(),
        latitude_deg=latitude,
        longitude_deg=longitude,
        altitude_m=altitude,
        utc_offset_h=offset,
        hours=year_table(when[:, 0], when[:, 1], when[:, 2], tuple(table.T)),
    )


def _rows(text: str) -> list[list[str]]:
    reader = csv.reader(lines_of(text))
    try:
        return list(reader)
    except csv.Error as error:
        raise RefusedError("TMY3 damaged", line=reader.line_num, fault=str(error)) from None


def _columns(names: list[str]) -> dict[str, int]:
    found = {}
    for key, pattern in (_NEEDED | _WANTED).items():
        places = [i for i, name in enumerate(names) if re.match(pattern, name.strip())]
        if places:
            found[key] = places[0]
        elif key in _NEEDED:
            raise RefusedError("no such column", line=2, got=pattern[1:].replace(chr(92), ""))
    return found


def _stamp(date: str, time: str, line: int) -> tuple[int, int, int]:
    day = re.fullmatch(r"\s*(\d{1,2})/(\d{1,2})/\d{4}\s*", date)
    hour = re.fullmatch(r"\s*(\d{1,2}):00\s*", time)
    if not day or not hour or not 1 <= int(hour[1]) <= 24:
        raise RefusedError("no TMY3 stamp", line=line, date=short(date), time=short(time))
    month, of_month = int(day[1]), int(day[2])
    if not 1 <= month <= 12 or not 1 <= of_month <= 31:
        raise RefusedError("no TMY3 date", line=line, got=short(date))
    check_day(month, of_month, line)
    return month, of_month, int(hour[1])


def _or_nan(cells: list[str], column: dict[str, int], name: str, lowest: float, divide: float) -> float:
    """An unimportant value: NaN when the file has none."""
    if name not in column:
        return float("nan")
    try:
        value = float(cells[column[name]])
    except ValueError:
        return float("nan")
    return value / divide if lowest <= value <= 100 else float("nan")
