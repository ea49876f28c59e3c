"""What the light engine answers: frozen, typed, every figure with its spread.

Spread      a value with the range it may really lie in
Needs       what light a shot asks for
Asker       the shot and settings that ask for it
Standing    a board that really stands in the room
Hung        a sheet that hangs over a window
Cast        how the room has tinted the light
SpotLight   one spot at one moment
Interval    from one moment to another
DayLight    one spot over one day
YearLight   one spot over one year

Faces are little planes at the dish: the horizontal one lies on the table top, looking up; the four upright ones
stand SENSOR_LIFT_M above the table and look at the front, right, back and left wall; the camera's looks at the camera.
"""

from dataclasses import dataclass, field
from datetime import date, datetime

import numpy as np
from numpy.typing import NDArray

from plateside.model.room import Diffuser

Array = NDArray[np.float64]
Mask = NDArray[np.bool_]
IntArray = NDArray[np.int64]


@dataclass(frozen=True)
class Spread:
    """A value and the range in which it may really lie (about two times in three)."""

    value: float
    low: float
    high: float


@dataclass(frozen=True)
class Asker:
    """The shot that asks for so much light, with its settings."""

    shot: str
    """Empty: there is no shot or no camera yet, and a usual one on a tripod is meant."""
    f_number: float
    exposure_s: float
    iso: float


@dataclass(frozen=True)
class LightNeeds:
    """What light a shot asks for."""

    no_direct_sun: bool = True
    at_least_lx: float = 0.0
    """At the dish, as `level_share` mixes it."""
    at_most_key_fill_stops: float | None = None
    """How much darker the shadow side may be; None: any."""
    level_share: float = 1.0
    """Share of the horizontal in the light that counts; the rest is what falls on the side towards the camera."""
    because: Asker | None = None
    """What asks for so much light; None when it was typed."""

    @property
    def level(self) -> bool:
        """The least light is level light, on the table; otherwise it faces the camera."""
        return self.level_share >= 0.995


@dataclass(frozen=True)
class StandingBoard:
    """A board standing in the room: a thin rectangle, both faces of the same reflectance.

    x_m, y_m, z_m        its centre in the room's coordinates
    normal_bearing_deg   true bearing that its face looks to
    tilt_deg             how far the face is tipped up from upright (90: it lies face up)
    """

    x_m: float
    y_m: float
    z_m: float
    normal_bearing_deg: float
    width_m: float
    height_m: float
    reflectance: tuple[float, float, float]
    tilt_deg: float = 0.0
    name: str = ""


@dataclass(frozen=True)
class Hung:
    """A sheet over a window, just inside the glass.

    window        the window's name; empty: the first window
    covers_share  share of the window covered, from the top down
    """

    window: str
    diffuser: Diffuser
    covers_share: float = 1.0


@dataclass(frozen=True)
class Cast:
    """How room and surroundings have tinted the light, against the light that comes from the sky and sun alone."""

    mired: Spread
    """Positive is warmer [mired]."""
    duv: Spread
    """Positive is greener, negative more magenta [CIE 1960 uv]."""
    tints: tuple[str, ...]
    """Such as ('warm', 'slightly green'): colour.tints_of; empty when there is none to speak of."""


@dataclass(frozen=True)
class SpotLight:
    """The light at one spot at one moment."""

    spot: str
    when: datetime
    sky: str
    sun_elevation_deg: float
    """With refraction."""
    sun_bearing_deg: float
    """True bearing, clockwise from north."""
    sun_on_dish: bool
    sun_window: str
    """The window through which the sun reaches the dish; empty when it does not."""
    horizontal_lx: Spread
    front_lx: Spread
    right_lx: Spread
    back_lx: Spread
    left_lx: Spread
    camera_lx: Spread
    direct_sun_lx: Spread
    """The direct sun's part of the horizontal; zero when the sun is not on the dish."""
    key_fill_stops: Spread
    """Brightest against darkest upright side that the camera sees."""
    key_direction: str
    """One of KEY_DIRECTIONS, seen by the camera."""
    key_bearing_deg: float
    """True bearing from which the key comes."""
    key_elevation_deg: float
    vector_lx: tuple[float, float, float]
    """Illuminance vector in the room's coordinates, pointing to where the light comes from."""
    vector_scalar_ratio: Spread
    modelling: str
    """The published band of the vector-to-scalar ratio, as 'strong'."""
    shadow_edge_mm: Spread
    """Width of the soft edge of the shadow that something `shadow_of_mm` high throws on the table."""
    shadow_of_mm: float
    sun_patch: tuple[tuple[tuple[float, float], ...], ...]
    """Polygons (x, y) [m] on the table top where sun falls, one for each window, boards' shadows not taken out."""
    cct_k: Spread
    duv: float
    """Distance of the light's colour from the Planckian locus [CIE 1960 uv]; positive is greener."""
    cast: Cast
    light_rgb: tuple[float, float, float]
    """Colour of the light on the horizontal in linear sRGB, scaled to luminance 1."""
    ev100: Spread
    """Exposure value at ISO 100 for the light on the horizontal (incident, C = 250)."""
    camera_ev100: Spread
    evenness_plate_stops: Spread
    """Brightest to darkest place on the plate."""
    evenness_frame_stops: Spread
    """Brightest to darkest place in the frame, on the table."""
    plate_mm: float = 260.0
    frame_mm: tuple[float, float] = (450.0, 300.0)

    @property
    def faces_lx(self) -> dict[str, Spread]:
        """The upright faces by the wall they look at."""
        return {"front": self.front_lx, "right": self.right_lx, "back": self.back_lx, "left": self.left_lx}


@dataclass(frozen=True)
class Interval:
    """From one moment to another, both in the place's own zone."""

    start: datetime
    end: datetime

    @property
    def minutes(self) -> float:
        # By true time: two moments of one zone would be subtracted by their clocks, wrong on days when clocks change.
        return (self.end.timestamp() - self.start.timestamp()) / 60

    def left_min(self, at: datetime) -> float:
        """Minutes from a moment to the end; 0 when the moment is not within."""
        if not self.start.timestamp() <= at.timestamp() < self.end.timestamp():
            return 0.0
        return (self.end.timestamp() - at.timestamp()) / 60


@dataclass(frozen=True)
class DayLight:
    """One spot over one civil day, at equal steps. All arrays have shape (n,) unless said."""

    spot: str
    day: date
    timezone: str
    sky: str
    times: tuple[datetime, ...]
    sun_elevation_deg: Array
    sun_bearing_deg: Array
    horizontal_lx: Array
    horizontal_low_lx: Array
    horizontal_high_lx: Array
    faces_lx: Array
    """Front, right, back, left; shape (4, n)."""
    camera_lx: Array
    key_fill_stops: Array
    sun_on_dish: Mask
    sunrise: datetime | None
    """The last before the highest point, perhaps on the day before; None when the sun was up all the half day."""
    transit: datetime
    sunset: datetime | None
    """The first after it, perhaps on the next day; None when the sun stays up."""
    always_up: bool
    """Polar day: the sun does not set."""
    never_up: bool
    """Polar night: the sun does not rise."""
    sun_intervals: tuple[Interval, ...]
    """When direct sun is on the dish."""
    needs: LightNeeds
    good: tuple[Interval, ...]
    """When the needs are met."""
    step_min: float = 5.0

    @property
    def good_min(self) -> float:
        """Minutes of good light, by true time."""
        return sum(span.minutes for span in self.good)

    def light_left_min(self, at: datetime) -> float:
        """Minutes from `at` until the needs are no longer met; 0 when they are not met now."""
        return max((span.left_min(at) for span in self.good), default=0.0)


@dataclass(frozen=True)
class YearLight:
    """One spot over one year on a grid of civil days and minutes of the civil day.

    Where clocks are put forward the missing hour is filled as if they had not been; where they are put back the
    first of the two like hours stands.
    """

    spot: str
    year: int
    timezone: str
    sky: str
    dates: tuple[date, ...]
    minutes: Array
    """Minute of the civil day, shape (steps,)."""
    sun_elevation_deg: Array
    """Shape (days, steps)."""
    sun_bearing_deg: Array
    horizontal_lx: Array
    """Shape (days, steps), as all that follow unless said."""
    faces_lx: Array
    """Front, right, back, left; shape (4, days, steps)."""
    camera_lx: Array
    key_fill_stops: Array
    sun_on_dish: Mask
    spread: tuple[float, float] = (1.0, 1.0)
    """The range of the horizontal: low and high as factors on it, by day."""
    extra: dict[str, Array] = field(default_factory=dict)
