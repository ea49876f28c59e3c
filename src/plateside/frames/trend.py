"""The light on the dish, read by the camera, and where it is going.

ISO 2720: E = C N^2 / (t S) with C = 250 is the light for which an 18 % grey card stands at its standard level (0.18 of
display white). A card, or anything of known reflectance, at another level scales it. The trend is a straight line
through log2 of the light, by Theil and Sen (1950, 1968): the median of all slopes, so one cloud does not bend it.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime

import numpy as np

from plateside.ground.exposure import INCIDENT_C
from plateside.model.frame import Settings
from plateside.model.light_facts import Trend

CARD = 0.18
FEWEST = 3
SHORTEST_MIN = 2.0
"""Readings over less time than this tell no trend."""


@dataclass(frozen=True)
class LightSample:
    """Light at one moment, against any fixed zero [stops]."""

    at: datetime
    """All of one trend aware, or all by the same camera's clock."""
    stops: float


def illuminance_lx(level: float, settings: Settings, reflectance: float = CARD) -> float | None:
    """Light on something of known reflectance that stands at `level` of display white [lx].

    None when the settings are not known. Display white is 1, a metered 18 % card 0.18.
    """
    time, number, iso = settings.exposure_s, settings.f_number, settings.iso
    if not time or not number or not iso or level <= 0:
        return None
    return INCIDENT_C * number**2 / (time * iso) * level / reflectance


def light_stops(picture_stops: float, settings_stops: float) -> float:
    """How much the light itself changed, when the picture and the settings changed by these [stops]."""
    return picture_stops - settings_stops


def trend(readings: Sequence[LightSample], limit_stops: float = 1.0) -> Trend | None:
    """The trend of the readings; None when they are too few or too close in time.

    limit_stops  how far the light may fall or rise from the zero before the set-up no longer works
    """
    if len(readings) < FEWEST:
        return None
    ordered = sorted(readings, key=lambda r: r.at)
    start = ordered[0].at
    minutes = np.array([(r.at - start).total_seconds() / 60 for r in ordered])
    stops = np.array([r.stops for r in ordered])
    if minutes[-1] < SHORTEST_MIN:
        return None
    i, j = np.triu_indices(len(ordered), 1)
    apart = minutes[j] - minutes[i]
    far = apart > 0.25
    slope = float(np.median((stops[j] - stops[i])[far] / apart[far]))
    level = float(np.median(stops - slope * minutes))
    now = level + slope * float(minutes[-1])
    left = None
    if abs(slope) * 10 >= 0.05:
        goal = -limit_stops if slope < 0 else limit_stops
        left = max((goal - now) / slope, 0.0)
    rest = float(np.median(np.abs(stops - (level + slope * minutes))))
    return Trend(10 * slope, now, left, len(ordered), rest)
