"""What the light task hands back, a frozen object for each question: numbers, names and codes. Words say them.

SkyAsked      which sky the answer is for
HourFacts     one spot at one moment
MomentFacts   the same with what is left of that day
ChangesFacts  changes of the set side by side
DayFacts      one spot over one day
WeekFacts     seven days, and the best of them
YearFacts     one spot over one year, by month and by day
LeftFacts     how long the light lasts, by prediction
SkyKept       a forecast or weather file that was kept

`light` in the first two is the engine's own answer (answers.py), every figure with its range. What measured light
teaches: meter/facts.py.
"""

from dataclasses import dataclass
from datetime import date, datetime

from plateside.light.answers import Array, DayLight, Interval, Needs, SpotLight, Spread
from plateside.light.what_if import WhatIf


@dataclass(frozen=True)
class SkyAsked:
    """Which sky an answer is for."""

    kind: str
    """word, cie, typical year or forecast"""
    name: str = ""
    """clear, hazy, broken or overcast; cie:1 to cie:16; the typical year's station"""
    file: str = ""
    """The file's name, when it was given on the command line."""

    @property
    def code(self) -> str:
        """A word for the sky, as commands take it."""
        return self.name if self.kind in ("word", "cie") else self.kind


@dataclass(frozen=True)
class SpotRank:
    """One table spot against the others."""

    spot: str
    illuminance_lx: Spread
    """At the moment asked for, or at the brightest good moment of the day; level, on the table."""
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
class SunNear:
    """Where the sun falls, against the dish."""

    code: str
    """down: below the horizon; away: not on the table; table: on it; edge: on the edge of the dish; dish: on it"""
    near_m: float | None = None
    """From the patch of sun to the middle of the dish; None when there is none."""


@dataclass(frozen=True)
class LeftFacts:
    """How long the good light lasts, by prediction."""

    left_min: float
    """0: it is not good now."""
    until: datetime | None
    """When it ends; None when it is not good now."""
    again: datetime | None
    """When it begins again on this day; None when it is good now, or not again."""


@dataclass(frozen=True)
class HourFacts:
    """The light at one spot at one moment."""

    place: str
    timezone: str
    units: str
    """metric or imperial: how lengths are shown"""
    spot: str
    at: datetime
    sky: SkyAsked
    light: SpotLight
    dark: bool
    """Too little daylight for a picture."""
    sun: SunNear
    exposure_s: float | None
    """At f/8 and ISO 100, exact; None in the dark."""
    exposure_range_s: tuple[float, float] | None
    """The same at the low and the high end of the light."""
    key_from: str
    """left, right, behind (the dish), camera (its side), above"""
    camera_faces_deg: float
    camera_given: bool
    """False when nobody said where the camera looks, and the usual side light was taken."""


@dataclass(frozen=True)
class MomentFacts(HourFacts):
    """The same with what is left of that day, other skies, other spots and changes of the set."""

    sun_on_dish_times: tuple[Interval, ...]
    good: tuple[Interval, ...]
    usable: tuple[Interval, ...]
    """When there is too little light for what the shots need, and enough for a tripod when nothing moves."""
    needs: Needs
    light_left_min: float
    left: LeftFacts
    no_daylight_this_day: bool
    other_skies: tuple[OtherSky, ...]
    spots: tuple[SpotRank, ...]
    """Best first; empty when the studio has one spot."""
    what_ifs: tuple[WhatIf, ...]
    pictures: tuple[str, ...] = ()


@dataclass(frozen=True)
class ChangesFacts:
    """The usual changes of the set at a moment."""

    at: datetime
    units: str
    changes: tuple[WhatIf, ...]
    """The first is the set as it is; empty in the dark."""


@dataclass(frozen=True)
class Elsewhere:
    """Another table spot's day."""

    spot: str
    horizontal_lx: Array
    """Over the day's times, level, on the table."""
    good_min: float


@dataclass(frozen=True)
class DayFacts:
    """The light at one spot over one day."""

    place: str
    timezone: str
    units: str
    """metric or imperial: how lengths are shown"""
    spot: str
    day: date
    sky: SkyAsked
    light: DayLight
    usable: tuple[Interval, ...]
    """When there is too little light for what the shots need, and enough for a tripod when nothing moves."""
    brightest_good_at: datetime
    """The brightest of the good moments, or of all when none is good."""
    brightest_good_lx: Spread
    strongest: Interval | None
    """The good moments round the brightest within half a stop of it; None when that is nearly all of them."""
    key_from: str
    """At the brightest: left, right, behind, camera"""
    good_min: float
    no_daylight: bool
    spots: tuple[SpotRank, ...]
    elsewhere: tuple[Elsewhere, ...]
    pictures: tuple[str, ...] = ()


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
class WeekFacts:
    """Seven days (fewer when a forecast ends sooner), and the best of them."""

    place: str
    timezone: str
    sky: SkyAsked
    needs: Needs
    days: tuple[WeekDay, ...]
    best: WeekDay | None
    """None when no day has good light."""
    missing: int
    """Days of the seven that a forecast does not reach."""
    alike: bool
    """The days' good light differs so little that they are no choice."""


@dataclass(frozen=True)
class MonthLight:
    """One month: how much good light it has."""

    month: int
    good_h_per_day: float
    days_with_good_light: int
    sun_on_dish_h: float
    """In the whole month."""
    middle_day: date | None
    """The middle one of its days with good light; None when there is none."""


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
class YearFacts:
    """The light at one spot over one year."""

    place: str
    timezone: str
    spot: str
    year: int
    sky: SkyAsked
    needs: Needs
    months: tuple[MonthLight, ...]
    days: tuple[YearDay, ...]
    dark_days: int
    """Days on which the sun does not rise."""
    sunny_days: int
    """Days with direct sun on the dish."""
    sunniest: YearDay | None
    longest: YearDay | None
    """The day with the longest good light; None when no day has any."""
    pictures: tuple[str, ...] = ()


@dataclass(frozen=True)
class SkyKept:
    """A forecast or weather file of yours, kept with the shoot."""

    kind: str
    """forecast or typical year"""
    station: str = ""
    """Of a typical year."""
    far_km: float | None = None
    """How far the station is from the studio, when that is too far; None otherwise."""
    place: str = ""
    """The studio's."""
    first: datetime | None = None
    """Of a forecast, in the studio's zone."""
    last: datetime | None = None
