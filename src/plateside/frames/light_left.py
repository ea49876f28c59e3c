"""How long the light of a shot lasts: by the camera's readings of it, and by the day's prediction."""

from dataclasses import dataclass
from datetime import date, datetime

from plateside.frames.trend import Trend
from plateside.light.facts import LeftFacts


@dataclass(frozen=True)
class LightLeft:
    """What is known on set of the light."""

    shot: str
    trend: Trend | None
    """By the readings; None when they are too few."""
    until: datetime | None
    """By the readings; None when the light does not go."""
    predicted: LeftFacts
    """For today, whatever day the shoot is planned for."""
    planned_for: date | None
    """The shoot's day, when that is not today."""

    @property
    def code(self) -> str:
        """going or steady by the readings; good, later or none by the prediction alone."""
        if self.trend is not None:
            return "steady" if self.until is None else "going"
        if self.predicted.until is not None:
            return "good"
        return "later" if self.predicted.again is not None else "none"
