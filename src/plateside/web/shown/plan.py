"""What the Plan page is sent: the shoot as it is saved, and the day behind it."""

from collections.abc import Mapping
from dataclasses import dataclass

from plateside.tasks.plan.shown import PlannedDay


@dataclass(frozen=True)
class DayAnswer:
    """The day, and which of its planned pictures are rendered: their words by quality, by the picture's key."""

    day: PlannedDay
    drawn: Mapping[str, Mapping[str, str]]
