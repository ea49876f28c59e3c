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
Trend         where the light goes, by the readings of frames
LightLeft     how long it lasts on set, by readings and by prediction

`light` in the first two is the engine's own answer (light_answers.py), every figure with its range. What measured light
teaches: light/meter/facts.py.
"""

from dataclasses import dataclass
from datetime import date, datetime

from plateside.model.light_answers import Array, DayLight, Interval, LightNeeds, SpotLight, Spread


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


AS_IT_IS = "as it is"
"""The kind of a what-if that changes nothing."""


@dataclass(frozen=True)
class WhatIf:
    """One way to change the set, and what it gains."""

    kind: str
    """as it is, bare window, sheet, half blocked, board, nearer"""
    light: SpotLight
    gain_stops: float
    """Light on the horizontal against the set as it is [stops]; -inf when no light is left."""
    key_fill_change_stops: float
    """Change of the key-to-fill ratio [stops]; negative is softer."""
    thing: str = ""
    """The sheet's or the board's name."""
    side: str = ""
    """left, right, near or far of the dish, seen from the camera: where the board stands."""
    distance_m: float = 0.0
    """Of the board from the dish, or of the nearer spot from the front wall."""


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
    needs: LightNeeds
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
    needs: LightNeeds
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
    needs: LightNeeds
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


@dataclass(frozen=True)
class Trend:
    """Where the light goes."""

    stops_per_10_min: float
    now_stops: float
    """Against the first reading (or the reference), by the fitted line."""
    minutes_left: float | None
    """Until it has fallen, or risen, by the limit; None when it does not go there."""
    readings: int
    spread_stops: float
    """Median distance of the readings from the line."""
    lux: float | None = None
    """Light on the dish in the newest frame [lx], about."""


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
    cct_k: float = 0.0
    """Colour of today's light now, as white balance has it [K]; 0 without daylight."""

    @property
    def code(self) -> str:
        """going or steady by the readings; good, later or none by the prediction alone."""
        if self.trend is not None:
            return "steady" if self.until is None else "going"
        if self.predicted.until is not None:
            return "good"
        return "later" if self.predicted.again is not None else "none"
