"""A day planned before its light is known: a studio that has no window yet, or no place for the dish.

`why_unlit`       what the studio still lacks: no window or no spot; empty when its light can be predicted
`assumed_light`   the light that set-ups are solved for meanwhile
`any_hour`        every hour of the day alike, so that the kitchen and the clock alone decide
`without_light`   the plan, saying so
"""

from dataclasses import replace
from datetime import datetime

import numpy as np

from plateside.camera.setup import LightForShot
from plateside.model.studio import Studio
from plateside.plan.day_plan import DayPlan, LightOfShot

ASSUMED_LX = 500.0
"""A dish beside a middling window, in shade (common practice, no source): it decides shutter and ISO, not the place."""
ASSUMED = "assumed"
"""The source of such light, in LightForShot.source."""


def why_unlit(studio: Studio) -> str:
    """no window or no spot; empty when the studio's light can be predicted."""
    if not studio.windows:
        return "no window"
    return "" if studio.spots else "no spot"


def assumed_light(when: datetime | None = None) -> LightForShot:
    """Even light of ASSUMED_LX."""
    return LightForShot(
        horizontal_lx=ASSUMED_LX, facing_lx=ASSUMED_LX, low_share=0.8, high_share=1.25, when=when, source=ASSUMED
    )  # fmt: skip


def any_hour(day_from: datetime, day_to: datetime) -> LightOfShot:
    """Each hour as good as the next."""
    return LightOfShot((day_from, day_to), np.full(2, ASSUMED_LX), np.full(2, True))


def without_light(day: DayPlan, why: str, studio: Studio) -> DayPlan:
    """The plan without a word on light."""
    slots = tuple(replace(s, good_light=False, illuminance_lx=0.0, stops_under_best=0.0) for s in day.slots)
    assumed = ASSUMED_LX if studio.spots else None
    return replace(day, slots=slots, good_light=(), unlit=why, assumed_lx=assumed)
