"""One exposure on disk, what its file says of itself, and what the tool and the photographer said of it."""

from dataclasses import dataclass
from datetime import datetime


@dataclass(frozen=True)
class Settings:
    """What the file's metadata says; None where it says nothing. Nominal values as the camera wrote them."""

    taken_at: datetime | None = None
    """Naive: the camera's own clock. The shoot's zone and the camera's offset make it true time."""
    camera_model: str = ""
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
class Act:
    """One thing to change."""

    words: str
    """In the photographer's words and units: 'Two thirds of a stop brighter: 1/3 s to 1/2 s'."""
    stops: float | None = None
    kind: str = ""
    """exposure, focus, shake, motion, colour, level, light, settings, scene, file"""
    confidence: float = 1.0
    weight: int = 1
    """2 spoils the frame, 1 should be changed, 0 is a remark."""


@dataclass(frozen=True)
class Verdict:
    """What the tool says of a frame: good, adjust or again, with the one next act first."""

    word: str
    """good, adjust or again"""
    acts: tuple[Act, ...] = ()
    confidence: float = 1.0
    sure_because: str = ""
    """What the judgement rests on: 'against the reference', 'no reference: less sure' ..."""

    @property
    def next_act(self) -> str:
        """The one next act, in words."""
        return self.acts[0].words if self.acts else "Keep it."
