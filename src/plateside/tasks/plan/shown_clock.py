"""A day's moments as minutes after its midnight, and in words.

`ClockSpan`   from one minute to another
`Clock`       the clock of one day
"""

from dataclasses import dataclass
from datetime import datetime, timedelta

from plateside.words.counting import short_day
from plateside.words.plan.day import range_phrase


@dataclass(frozen=True, kw_only=True)
class ClockSpan:
    """From one minute to another, after the local midnight of the day, with both in words."""

    start_min: float
    end_min: float
    words: str
    start_at: datetime
    end_at: datetime


class Clock:
    """Minutes of true time after the day's local midnight: an hour that clocks skip or repeat is not lost."""

    def __init__(self, midnight: datetime, several: bool = False) -> None:
        self._midnight, self._several = midnight, several
        self.ends = (midnight + timedelta(days=1)).replace(hour=0, minute=0)
        self.length_min = (self.ends.timestamp() - midnight.timestamp()) / 60.0

    def min_of(self, when: datetime) -> float:
        return (when.timestamp() - self._midnight.timestamp()) / 60.0

    def span(self, start: datetime, end: datetime) -> ClockSpan:
        words = range_phrase(start, end)
        return ClockSpan(
            start_min=self.min_of(start), end_min=self.min_of(end), start_at=start, end_at=end,
            words=f"{short_day(start.date())} {words}" if self._several else words,
        )  # fmt: skip

    def hours(self, first: float, last: float) -> tuple[tuple[float, str], ...]:
        zone = self._midnight.tzinfo
        out = []
        at = first
        while at <= last + 1e-6:
            when = datetime.fromtimestamp(self._midnight.timestamp() + 60.0 * at, zone)
            out.append((at, f"{when:%H:%M}"))
            at += 60.0
        return tuple(out)
