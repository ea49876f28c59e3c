"""The year as a clock on the wall shows it: one column a day, one row for each slot of local civil time.

Where clocks go forward an hour does not exist: its cells are empty. Where they go back an hour comes twice: the first
is shown. So a line of constant sun moves by one hour on those two days, as it does in the kitchen.
"""

import itertools
from datetime import UTC, date, datetime
from zoneinfo import ZoneInfo

import numpy as np
from numpy.typing import NDArray

RISE_ELEVATION_DEG = -0.2667
"""Apparent elevation of the sun's centre when its upper edge touches a level horizon: half its width below."""


def skipped_cells(days: tuple[date, ...], step_min: int, timezone: str) -> NDArray[np.bool_]:
    """(days, slots): true where the clock never shows that time."""
    zone = ZoneInfo(timezone)
    slots = 1440 // step_min
    skipped = np.zeros((len(days), slots), bool)
    for column, _ in clock_changes(days, timezone):
        for row in {max(column - 1, 0), column}:
            day = days[row]
            for slot in range(slots):
                minute = slot * step_min
                wall = datetime(day.year, day.month, day.day, minute // 60, minute % 60, tzinfo=zone)
                there = wall.astimezone(UTC).astimezone(zone)
                skipped[row, slot] = there.replace(tzinfo=None) != wall.replace(tzinfo=None)
    return skipped


def clock_changes(days: tuple[date, ...], timezone: str) -> tuple[tuple[int, int], ...]:
    """(index of the first day with the new time at noon, minutes the clock went forward; negative: back)."""
    zone = ZoneInfo(timezone)
    noons = [datetime(d.year, d.month, d.day, 12, tzinfo=zone).utcoffset() for d in days]
    minutes = [0.0 if offset is None else offset.total_seconds() / 60 for offset in noons]
    return tuple(
        (i + 1, round(later - earlier))
        for i, (earlier, later) in enumerate(itertools.pairwise(minutes))
        if later != earlier
    )


def rise_and_set_hours(
    sun_elevation_deg: NDArray[np.float64], step_min: int
) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
    """First rise and last setting of each day [clock hours], from elevations (days, slots); NaN where none."""
    above = sun_elevation_deg - RISE_ELEVATION_DEG
    days = len(above)
    rises, sets = np.full(days, np.nan), np.full(days, np.nan)
    for i in range(days):
        row = above[i]
        up, down = (
            np.nonzero((row[:-1] <= 0) & (row[1:] > 0))[0],
            np.nonzero((row[:-1] > 0) & (row[1:] <= 0))[0],
        )
        if len(up):
            rises[i] = _crossing(row, int(up[0])) * step_min / 60
        if len(down):
            sets[i] = _crossing(row, int(down[-1])) * step_min / 60
    return rises, sets


def _crossing(row: NDArray[np.float64], k: int) -> float:
    return k + float(row[k] / (row[k] - row[k + 1]))
