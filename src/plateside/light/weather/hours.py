"""A typical year, hour by hour, and what it says of any moment.

Weather files speak local *standard* time: summer time is never in them. A row is the mean over the hour that
ends at its stamp, so its value belongs to the middle of that hour. Between two middles the values are drawn
straight; the caller, who knows where the sun stands, takes the sun away when it is below the horizon.
"""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from plateside.model.errors import RefusedError

Floats = NDArray[np.float64]
_DAYS_BEFORE = np.cumsum([0, 31, 29, 31, 30, 31, 30, 31, 31, 30, 31, 30])  # every year as a leap year
_FEBRUARY_29 = 31 + 28
HOURS_IN_TABLE = 366 * 24


@dataclass(frozen=True)
class Irradiances:
    """What reaches the ground outside, each of shape (n,)."""

    direct_normal_w_m2: Floats
    """On a face turned to the sun [W/m2]."""
    diffuse_horizontal_w_m2: Floats
    """From the sky alone, on the horizontal [W/m2]."""
    global_horizontal_w_m2: Floats
    """From sky and sun, on the horizontal [W/m2]."""
    dew_point_c: Floats
    """Dew point [degC], for the water in the air; NaN where the file has none."""
    cloud_share: Floats
    """Share of the sky covered, 0 to 1; NaN where the file has none."""


@dataclass(frozen=True)
class Weather:
    """One typical year at one place, in local standard time; every array has shape (366 * 24,).

    Row `24 * d + h` is the mean over the hour from h to h + 1 of day d, where day 59 is 29 February (a copy
    of the 28th when the file has none). NaN marks hours that are not in the file.
    """

    place_name: str
    latitude_deg: float
    longitude_deg: float
    altitude_m: float
    utc_offset_h: float
    hours: Irradiances

    def at(self, times_utc: NDArray[np.datetime64]) -> Irradiances:
        """The year's irradiances at these moments (UTC, shape (n,)), whatever their year.

        Raises InputError when the file does not reach there.
        """
        offset_s = np.timedelta64(round(self.utc_offset_h * 3600), "s")
        local = np.atleast_1d(np.asarray(times_utc, dtype="datetime64[s]")) + offset_s
        month = local.astype("datetime64[M]").astype(np.int64) % 12
        day = (local.astype("datetime64[D]") - local.astype("datetime64[M]").astype("datetime64[D]")).astype(
            int
        )
        second = (local - local.astype("datetime64[D]")).astype("timedelta64[s]").astype(np.float64)
        place = (_DAYS_BEFORE[month] + day) * 24 + second / 3600 - 0.5  # rows are worth their hour's middle
        before = np.floor(place).astype(np.int64)
        weight = place - before
        rows = before % HOURS_IN_TABLE, (before + 1) % HOURS_IN_TABLE

        def drawn(column: Floats) -> Floats:
            first, second_ = column[rows[0]], column[rows[1]]
            return np.asarray(first * (1 - weight) + second_ * weight, dtype=np.float64)

        answer = Irradiances(*(drawn(getattr(self.hours, name)) for name in Irradiances.__dataclass_fields__))
        missing = np.isnan(answer.direct_normal_w_m2 + answer.diffuse_horizontal_w_m2)
        if missing.any():
            moment = str(local[np.argmax(missing)])[5:16].replace("T", " ")
            raise RefusedError("no hour for", moment=str(moment))
        return answer


def year_table(
    month: NDArray[np.int64], day: NDArray[np.int64], hour: NDArray[np.int64], columns: tuple[Floats, ...]
) -> Irradiances:
    """File rows put where `Weather.hours` keeps them.

    month   1 to 12, shape (n,)
    day     1 to 31
    hour    1 to 24: the hour that ends then
    columns  the five columns of `Irradiances`, each of shape (n,)
    """
    rows = (_DAYS_BEFORE[month - 1] + day - 1) * 24 + hour - 1
    tables = []
    for column in columns:
        table = np.full(HOURS_IN_TABLE, np.nan)
        table[rows] = column
        leap = slice(_FEBRUARY_29 * 24, _FEBRUARY_29 * 24 + 24)
        if np.isnan(table[leap]).all():
            table[leap] = table[leap.start - 24 : leap.start]
        tables.append(table)
    return Irradiances(*tables)
