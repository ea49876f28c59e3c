"""What measured light taught, a frozen object for each question: numbers, names and codes. Words say them."""

from dataclasses import dataclass
from datetime import datetime

from plateside.light.meter.bearing import BearingFound
from plateside.light.meter.fit import FitReport
from plateside.model.light_answers import Spread


@dataclass(frozen=True)
class SavedReading:
    """A reading put into the studio file, and how far the model was from it."""

    studio_file: str
    spot: str
    at: datetime
    sky: str
    source: str
    """lux or grey card"""
    illuminance_lx: float
    spread_stops: float
    """One standard deviation of the reading itself [stops]."""
    predicted_lx: Spread
    off_stops: float
    """Measured over predicted [stops]."""
    readings: int
    """How many the studio file now holds."""
    fit_needs: int
    """How many a fit needs."""
    instead: int = 0
    """How many entries of the same reading it took the place of."""


@dataclass(frozen=True)
class CardRead:
    """The light on a grey card by its raw."""

    illuminance_lx: float
    spread_stops: float
    """One standard deviation [stops]."""
    when: datetime | None
    """By the camera's clock and its offset; None when the frame does not say it."""


@dataclass(frozen=True)
class BearingKept:
    """A window's bearing from noted moments."""

    window: str
    found: BearingFound
    written_to: str
    """The studio file when it was written there, else empty."""


@dataclass(frozen=True)
class SavedFit:
    """The studio fitted to its readings, and written."""

    studio_file: str
    found: FitReport
