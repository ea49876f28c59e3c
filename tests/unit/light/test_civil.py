"""The wall clock. Dates of clock changes: EU Directive 2000/84/EC (last Sundays of March and October, 01:00 UTC), and
Australia's first Sundays of April and October (state Acts), Lord Howe Island by half an hour."""

from datetime import date, timedelta

import numpy as np
import pytest

from plateside.light.civil import RISE_ELEVATION_DEG, clock_changes, rise_and_set_hours, skipped_cells


def year(number: int) -> tuple[date, ...]:
    first = date(number, 1, 1)
    return tuple(first + timedelta(days=i) for i in range((date(number + 1, 1, 1) - first).days))


@pytest.mark.parametrize(
    ("zone", "forward", "back", "minutes"),
    [
        ("Europe/Lisbon", date(2027, 3, 28), date(2027, 10, 31), 60),
        ("Europe/London", date(2027, 3, 28), date(2027, 10, 31), 60),
        ("Australia/Melbourne", date(2027, 10, 3), date(2027, 4, 4), 60),
        ("Australia/Lord_Howe", date(2027, 10, 3), date(2027, 4, 4), 30),
    ],
)
def test_clocks_change_on_the_day_the_law_says(zone: str, forward: date, back: date, minutes: int) -> None:
    days = year(2027)
    changes = {days[i]: m for i, m in clock_changes(days, zone)}
    assert changes == {forward: minutes, back: -minutes}


def test_the_hour_that_does_not_exist() -> None:
    """Lisbon goes from 01:00 WET straight to 02:00 WEST (01:00 UTC)."""
    days = year(2027)
    skipped = skipped_cells(days, 15, "Europe/Lisbon")
    rows, slots = np.nonzero(skipped)
    assert {days[int(r)] for r in rows} == {date(2027, 3, 28)}
    assert slots.tolist() == [4, 5, 6, 7]


@pytest.mark.parametrize("zone", ["Asia/Tokyo", "UTC"])
def test_zones_without_summer_time_skip_nothing(zone: str) -> None:
    assert clock_changes(year(2027), zone) == ()
    assert not skipped_cells(year(2027), 30, zone).any()


def test_rise_and_set_on_a_known_curve() -> None:
    """A sun that climbs 10 deg an hour through the horizon at 07:10 and falls through it at 17:40."""
    hours = np.arange(0, 24, 1 / 12)
    elevation = RISE_ELEVATION_DEG + np.minimum(10 * (hours - (7 + 1 / 6)), 10 * (17 + 2 / 3 - hours))
    rises, sets = rise_and_set_hours(
        np.stack([elevation, np.full_like(elevation, -5), np.full_like(elevation, 5)]), 5
    )
    assert rises[0] == pytest.approx(7 + 1 / 6, abs=1e-9)
    assert sets[0] == pytest.approx(17 + 2 / 3, abs=1e-9)
    assert np.isnan(rises[1:]).all()
    assert np.isnan(sets[1:]).all()
