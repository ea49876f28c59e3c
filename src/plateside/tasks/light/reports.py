"""What the light task hands back: frozen, documented, the same for people and programs.

MomentReport   the light at one spot at one moment, and what is left of that day
DayReport      one spot over one day
WeekReport     seven days, and the best of them
YearReport     one spot over one year, by month and by day

`light` in the first two is the engine's own answer (light/answers.py), every figure with its spread. `sentences` are
the same facts in words, as `lines()` gives them.
"""

from dataclasses import dataclass
from datetime import date, datetime

from plateside.light.answers import DayLight, Interval, LightNeeds, SpotLight, Spread
from plateside.light.what_if import WhatIf


@dataclass(frozen=True)
class SpotRank:
    """One table spot against the others."""

    spot: str
    illuminance_lx: Spread
    """At the moment asked for, or at the brightest good moment of the day."""
    against_best_stops: float
    sun_on_dish: bool
    good: tuple[Interval, ...]
    good_min: float


@dataclass(frozen=True)
class OtherSky:
    """The same moment under another sky."""

    sky: str
    illuminance_lx: Spread


@dataclass(frozen=True)
class MomentReport:
    """The light at one spot at one moment, and what is left of that day."""

    place: str
    timezone: str
    spot: str
    at: datetime
    sky: str
    light: SpotLight
    exposure_s: float | None
    """At f/8 and ISO 100, exact; None when there is no light to speak of."""
    exposure_words: str
    """The same as a camera marks it, with its range."""
    key_from: str
    """The side of the camera that the key comes from, in words."""
    sun_on_dish_times: tuple[Interval, ...]
    good: tuple[Interval, ...]
    needs: LightNeeds
    light_left_min: float
    no_daylight_this_day: bool
    other_skies: tuple[OtherSky, ...]
    spots: tuple[SpotRank, ...]
    """Best first; empty when the studio has one spot."""
    what_ifs: tuple[WhatIf, ...]
    pictures: tuple[str, ...]
    sentences: tuple[str, ...]

    def lines(self) -> list[str]:
        return list(self.sentences)


@dataclass(frozen=True)
class DayReport:
    """The light at one spot over one day."""

    place: str
    timezone: str
    spot: str
    day: date
    sky: str
    light: DayLight
    usable: tuple[Interval, ...]
    """When there is too little light for what the shots need, and enough for a tripod when nothing moves."""
    brightest_good_at: datetime
    """The brightest of the good moments, or of all when none is good."""
    brightest_good_lx: Spread
    good_min: float
    no_daylight: bool
    spots: tuple[SpotRank, ...]
    pictures: tuple[str, ...]
    sentences: tuple[str, ...]

    def lines(self) -> list[str]:
        return list(self.sentences)


@dataclass(frozen=True)
class WeekDay:
    """One day of a week, at the spot that is best on it."""

    day: date
    spot: str
    good: tuple[Interval, ...]
    good_min: float
    brightest_good_lx: Spread
    no_daylight: bool


@dataclass(frozen=True)
class WeekReport:
    """Seven days (fewer when a forecast ends sooner), and the best of them."""

    place: str
    timezone: str
    sky: str
    needs: LightNeeds
    days: tuple[WeekDay, ...]
    best: WeekDay | None
    """None when no day has good light."""
    sentences: tuple[str, ...]

    def lines(self) -> list[str]:
        return list(self.sentences)


@dataclass(frozen=True)
class MonthLight:
    """One month: how much good light it has."""

    month: int
    good_h_per_day: float
    days_with_good_light: int
    sun_on_dish_h: float
    """In the whole month."""


@dataclass(frozen=True)
class YearDay:
    """One day of the year in short."""

    day: date
    brightest_lx: float
    good_min: float
    good: tuple[str, ...]
    """Spans of good light by the clock: '06:45-10:15'."""
    sun_on_dish_min: float
    no_daylight: bool
    """The sun does not rise."""


@dataclass(frozen=True)
class YearReport:
    """The light at one spot over one year."""

    place: str
    timezone: str
    spot: str
    year: int
    sky: str
    needs: LightNeeds
    months: tuple[MonthLight, ...]
    days: tuple[YearDay, ...]
    pictures: tuple[str, ...]
    sentences: tuple[str, ...]

    def lines(self) -> list[str]:
        return list(self.sentences)
