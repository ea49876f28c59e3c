"""One exposure on disk, what its file says of itself, and what was measured of it."""

from dataclasses import dataclass
from datetime import datetime


@dataclass(frozen=True)
class Settings:
    """What the file's metadata says; None where it says nothing. Nominal values as the camera wrote them."""

    taken_at: datetime | None = None
    """Naive: the camera's own clock. The shoot's zone and the camera's offset make it true time."""
    camera_model: str = ""
    camera_make: str = ""
    lens_model: str = ""
    focal_length_mm: float | None = None
    f_number: float | None = None
    exposure_s: float | None = None
    iso: int | None = None
    auto_iso: bool | None = None
    auto_white_balance: bool | None = None
    stabiliser_on: bool | None = None
    exposure_bias_stops: float | None = None
    focus_distance_m: float | None = None
    orientation: int = 1
    """EXIF tag 274, 1 to 8."""
    sensor_width_mm: float | None = None
    """Across the picture as the sensor lies, by EXIF's resolution of the focal plane."""
    focal_length_35mm: float | None = None
    """EXIF tag 41989, whole millimetres."""
    baseline_exposure_stops: float | None = None
    """A DNG's BaselineExposure: by how much it asks to be brightened."""
    noise_profile: tuple[tuple[float, float], ...] | None = None
    """A DNG's NoiseProfile of red, green and blue (see LinearPicture.noise)."""
    picture_setting: str = ""
    """How the camera says it makes its own pictures: contrast, saturation, picture style. Compared, not shown."""


@dataclass(frozen=True)
class Frame:
    """One exposure. A raw and the JPEG beside it are one frame."""

    id: str
    """Content hash (BLAKE2b-128, hex) of the file that is used: the raw when there is one."""
    name: str
    """File name within the frames folder, with forward slashes."""
    width_px: int
    height_px: int
    is_raw: bool
    settings: Settings
    companion: str = ""
    """Name of the JPEG beside a raw."""


@dataclass(frozen=True)
class Dial:
    """A mark of a dial that is to be changed, nominal values."""

    name: str
    """shutter [s], iso or aperture [f-number]"""
    now: float
    to: float


@dataclass(frozen=True)
class Act:
    """One thing to change, or to know, as facts; `words.set.acts` says it.

    What `amount` and `against` are, for each code that has them:

        expose              light_stops: by how much the light itself changed since the test frame
        looks dark          stops: to the default aim; asked where no shot says how bright it should be
        shake, moved        amount: length of the streak [px of the file]; shake: degrees, its direction
        focus mm            amount: how far to move the focus [mm], way nearer or further; rough: about
        less depth          amount, against: f-number now, of the test frame; without them, less is in focus
        camera moved        share of the frame's width it is away, degrees turned, scale
        card level, card roll, card height, card distance
                            amount: degrees or mm, way: whereto; card height: degrees now, against: wanted
        card width          amount, against: width of the frame [mm] now, asked
        white board         amount, against: how far the shadow side is down [stops], asked; way closer or further
        key and fill        amount: the same; against: its change since the test frame [stops]
        lux                 amount: light on the dish [lx]
        turn camera         way: landscape or portrait; by: what asks for it (amount x against px)
        zoom, aperture, iso, shutter changed        amount, against: now, of the test frame (mm, f-number, ISO, s)
    """

    code: str
    kind: str = ""
    """exposure, focus, shake, motion, colour, level, light, settings, scene, file"""
    stops: float | None = None
    """exposure to add, brighter positive"""
    dial: Dial | None = None
    at: tuple[float, float] | None = None
    """where, shares of the frame"""
    amount: float | None = None
    against: float | None = None
    light_stops: float | None = None
    degrees: float | None = None
    share: float | None = None
    """of the light that a lamp gives there, or of the frame's width, 0 to 1"""
    scale: float | None = None
    mired: float | None = None
    """warmer positive"""
    way: str = ""
    """whereto, or why: a code"""
    by: str = ""
    """what it was measured by, a code: grey card, ball, test frame, plan"""
    name: str = ""
    """of what asks for it: a channel"""
    rough: bool = False
    """the size is not sure"""
    probably: bool = False
    """the act itself is not sure: look first"""
    confidence: float = 1.0
    weight: int = 1
    """2 spoils the frame, 1 should be changed, 0 is a remark."""


KEEP = Act("keep", confidence=0.9, weight=0)


@dataclass(frozen=True)
class Verdict:
    """What is said of a frame: good, adjust or again, with the one thing to change first."""

    word: str
    """good, adjust or again"""
    acts: tuple[Act, ...] = ()
    confidence: float = 1.0
    rests_on: tuple[str, ...] = ()
    """codes: test frame, accepted (it is the test frame itself), or less sure: alone, another scene, another shape;
    beside them: first look, lamp off"""

    @property
    def first(self) -> Act:
        """The one thing to change, or to keep the frame."""
        return self.acts[0] if self.acts else KEEP
