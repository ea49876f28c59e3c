"""A forecast that the user pastes: a column of times and a column of cloud cover in percent.

Comma, semicolon, tab or spaces between the two; a heading line is allowed. Times are `2027-07-15T13:00`,
`2027-07-15 13:00` or, when the day is known, `13:00`; with an offset (`Z`, `+01:00`) they are taken as they
stand, without one they are the studio's own civil time.
"""

import re
from dataclasses import dataclass
from datetime import UTC, date, datetime
from zoneinfo import ZoneInfo

import numpy as np
from numpy.typing import NDArray

from plateside.light.weather.cells import lines_of, short
from plateside.model.errors import RefusedError

_EXAMPLE = "2027-07-15T13:00,80"
FIRST_YEAR, LAST_YEAR = 1990, 2200
_LONGEST_REACH_S = 5400
"""How far beyond its first and last line a forecast is believed [s]."""

# WMO words by eighths: few 1-2, scattered 3-4, broken 5-7, overcast 8. To a photographer 'broken' means that the
# sun comes and goes, which it does from 3 eighths; the bounds lie half way between eighths.
_CLEAR_BELOW = 2.5 / 8
_OVERCAST_FROM = 7.5 / 8


@dataclass(frozen=True)
class CloudCover:
    """Cloud cover over time."""

    times_utc: NDArray[np.datetime64]
    """Rising, shape (n,)."""
    share: NDArray[np.float64]
    """Share of the sky covered, 0 to 1, shape (n,)."""

    def at(self, times_utc: NDArray[np.datetime64]) -> NDArray[np.float64]:
        """Share covered at these moments, drawn straight between the lines.

        Raises InputError for moments more than an hour and a half before or after the forecast.
        """
        wanted = np.atleast_1d(np.asarray(times_utc, dtype="datetime64[s]")).astype(np.int64)
        known = self.times_utc.astype("datetime64[s]").astype(np.int64)
        outside = (wanted < known[0] - _LONGEST_REACH_S) | (wanted > known[-1] + _LONGEST_REACH_S)
        if outside.any():
            moment = np.datetime64(int(wanted[np.argmax(outside)]), "s")
            raise RefusedError(
                "forecast misses",
                first=_said(self.times_utc[0]),
                last=_said(self.times_utc[-1]),
                got=_said(moment),
            )
        return np.asarray(np.interp(wanted, known, self.share), dtype=np.float64)


def parse_cloud_cover(text: str, timezone: str, day: date | None = None) -> CloudCover:
    """The forecast in pasted text.

    timezone  IANA name, for times without an offset
    day       the day that bare times such as `13:00` belong to
    Raises InputError, with the line and an example, for what cannot be read.
    """
    zone = ZoneInfo(timezone)
    rows: dict[datetime, float] = {}
    heading_allowed = True
    for index, line in enumerate(lines_of(text), start=1):
        if not line.strip():
            continue
        cells = _cells(line)
        if len(cells) != 2:
            raise RefusedError("no two columns", line=index, got=short(line), example=_EXAMPLE)
        if heading_allowed and not re.search(r"\d", cells[1]):
            heading_allowed = False
            continue
        heading_allowed = False
        when = _moment(cells[0], zone, day, index)
        if when in rows:
            raise RefusedError("time twice", line=index, got=short(cells[0]))
        rows[when] = _share(cells[1], index)
    if not rows:
        raise RefusedError("no forecast", example=_EXAMPLE)
    times = sorted(rows)
    return CloudCover(
        times_utc=np.array([moment.replace(tzinfo=None) for moment in times], dtype="datetime64[s]"),
        share=np.array([rows[moment] for moment in times]),
    )


def _cells(line: str) -> list[str]:
    for separator in ("\t", ";", ","):
        if separator in line:
            return [cell.strip() for cell in line.split(separator)]
    head, _, tail = line.strip().rpartition(" ")
    return [head.strip(), tail.strip()] if head else [tail]


def _moment(text: str, zone: ZoneInfo, day: date | None, line: int) -> datetime:
    clock = re.fullmatch(r"(\d{1,2}):(\d{2})", text)
    try:
        if clock:
            if day is None:
                raise RefusedError("no date", line=line, got=short(text), example=_EXAMPLE)
            moment = datetime(day.year, day.month, day.day, int(clock[1]), int(clock[2]))
        else:
            moment = datetime.fromisoformat(text)
    except ValueError:
        raise RefusedError("no date and time", line=line, got=short(text), example=_EXAMPLE) from None
    if not FIRST_YEAR <= moment.year <= LAST_YEAR:
        raise RefusedError(
            "no year of a forecast", line=line, got=moment.year, lowest=FIRST_YEAR, highest=LAST_YEAR
        )
    if moment.tzinfo is None:
        moment = moment.replace(tzinfo=zone)
        if moment.astimezone(UTC).astimezone(zone).replace(tzinfo=None) != moment.replace(tzinfo=None):
            raise RefusedError("skipped time", line=line, got=short(text))
    return moment.astimezone(UTC)


def _share(text: str, line: int) -> float:
    try:
        percent = float(text.rstrip("% ").replace(",", "."))
    except ValueError:
        percent = float("nan")
    if not 0 <= percent <= 100:
        raise RefusedError("no cloud cover", line=line, got=short(text))
    return percent / 100


def _said(moment: np.datetime64) -> str:
    return str(moment.astype("datetime64[m]")).replace("T", " ") + " UTC"
