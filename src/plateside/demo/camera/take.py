"""How one made frame is taken, and what is known to be true of it."""

from dataclasses import dataclass
from datetime import datetime

Colour = tuple[float, float, float]
Point = tuple[float, float]


@dataclass(frozen=True, kw_only=True)
class Exposure:
    """One press of the shutter: the settings, and what went wrong or right while it was open."""

    exposure_s: float = 1 / 3
    f_number: float = 8.0
    iso: int = 100
    focal_length_mm: float | None = None
    """Left out: the lens's own [mm]."""
    focus_distance_mm: float | None = None
    """Lens to the plane of sharp focus [mm]; left out: where the scene was planned to be sharp."""
    taken_at: datetime = datetime(2027, 7, 15, 13, 0)
    """Naive: the camera's own clock."""
    planned_exposure_s: float | None = None
    """What was planned for this f-number and ISO [s]; left out, what an incident meter at the dish asks for."""

    light_stops: float = 0.0
    """Change of the window's light against the scene [stops]: a cloud is negative."""
    light_mired_shift: float = 0.0
    """Change of the light's colour [mired]: a cloud before the sun is warmer, open shade cooler (negative)."""
    lamp_share: float = 0.0
    """Light of a room lamp at the middle of the frame, as a share of the window's light there."""
    lamp_temperature_k: float = 2700.0
    lamp_from: Point = (1.3, -0.4)
    """Where the lamp hangs, in frame widths from the top left corner (x right, y down)."""
    lamp_height: float = 0.9
    """Its height above the table, in frame widths."""

    shake_px: float = 0.0
    """Length of the camera's movement in the finished frame [px]."""
    shake_direction_deg: float = 0.0
    """Direction of the streaks, anticlockwise from the frame's long horizontal [deg]."""
    moving: str = ""
    """Name of the thing in the scene that moved while the shutter was open."""
    motion_px: float = 0.0
    motion_direction_deg: float = 0.0
    pour_at: Point | None = None
    """Where a poured stream lands, in shares of the frame (x, y)."""
    pour_speed_m_s: float = 1.25
    pour_width_mm: float = 5.0
    pour_colour: Colour = (0.22, 0.30, 0.06)
    """Reflectance of what is poured (linear sRGB)."""

    tilt_deg: float = 0.0
    """Camera pitched from square (top of the frame away) [deg]."""
    yaw_deg: float = 0.0
    roll_deg: float = 0.0
    shift_px: Point = (0.0, 0.0)
    """The whole frame shifted (a nudged tripod) [px]."""

    white: Colour | None = None
    """Colour taken as white (linear sRGB); left out, the scene's own light without the lamp (as from a card)."""
    auto_white_balance: bool = False
    auto_exposure: bool = False
    exposure_bias_stops: float = 0.0


@dataclass(frozen=True, kw_only=True)
class Disc:
    """Blur disc of one thing in the scene."""

    name: str
    depth_mm: float
    diameter_mm: float
    """On the sensor [mm]."""
    diameter_px: float


@dataclass(frozen=True, kw_only=True)
class Truth:
    """What is true of a made frame, by construction."""

    take: Exposure
    illuminance_lx: float
    """Light at the dish while it was taken, lamp included [lx]."""
    ev100: float
    stops_from_metered: float
    """Brighter (positive) or darker than an incident meter at the dish asks for [stops]."""
    stops_from_planned: float
    """The same against what was planned in the planned light, a lamp's light aside: that goes away with the lamp."""
    clipped_share: float
    """Share of raw values at the white level."""
    focus_mm: float
    """Lens to the plane of sharp focus [mm]."""
    focus_error_mm: float
    """Plane of focus minus the planned one [mm]; negative is too near."""
    discs: tuple[Disc, ...]
    shake_px: float
    motion_px: float
    lamp_share: float
    kinds: tuple[str, ...]
    """Everything that is amiss: exposure, focus, shake, motion, lamp, light, tilt; empty when nothing is."""
    enlarged: float
    """How many times the scene was enlarged to the frame's size; 1 when not."""
    origin: str
    """Where the scene came from: traced, or a photograph."""
    seed: int
