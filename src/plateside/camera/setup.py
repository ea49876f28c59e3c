"""What a solved set-up is: where the camera stands, its settings, and what each of them costs.

The nouns only, so that the planned picture, the frame checks and the pages can share them; `plan.setup.solve`
makes them, and `words/plan` says them: numbers, names and codes stand here, no sentences. Positions are in the room's
own coordinates [m]: x right along the front wall, y forward to it, z up.

`LightForShot`  the light a shot is solved for; `typed_light` makes one of a reading
`SetUp`         the answer, with its `Coverage`, `Depth`, `Motion`, `Noise`, `Bracket`, `Stack`, `Rig`,
                `Moving` and `Framing`; what is found of it is in findings.py
"""

from dataclasses import dataclass
from datetime import datetime

from plateside.camera.alone import BurstAdvice
from plateside.camera.findings import Finding, Remedy, Unmet

Point = tuple[float, float, float]


@dataclass(frozen=True, kw_only=True)
class LightForShot:
    """The light on the dish that a shot is solved for, with its spread."""

    horizontal_lx: float
    """On the horizontal at the dish [lx]."""
    facing_lx: float
    """On a little plane at the dish that looks at the camera [lx]."""
    low_share: float = 0.7
    """Likely low over the middle value (10th percentile)."""
    high_share: float = 1.4
    """Likely high over the middle value (90th percentile)."""
    when: datetime | None = None
    """The moment meant, aware; None for light that was typed or read."""
    sky: str = ""
    key_faces_deg: float | None = None
    """Where the key comes from, seen from the dish: horizontal direction clockwise from +y (the front wall)."""
    key_elevation_deg: float = 30.0
    """Elevation of the key above the dish [deg]."""
    direct_sun: bool = False
    """Whether direct sun falls on the dish then."""
    best_when: datetime | None = None
    """The brightest good moment of the day, when known: what 'another hour' would give."""
    best_horizontal_lx: float | None = None
    source: str = "predicted"
    """Where the light comes from: predicted, reading, typed; assumed: nobody knows it yet."""


def typed_light(lux: float, when: datetime | None = None) -> LightForShot:
    """Light that was read or is assumed [lx]: even, with a small spread, by the first window."""
    return LightForShot(
        horizontal_lx=lux, facing_lx=lux, low_share=0.8, high_share=1.25, when=when, source="typed"
    )


@dataclass(frozen=True, kw_only=True)
class Coverage:
    """What one channel's crop, centred on the dish, holds."""

    channel: str
    crop_width_px: int
    crop_height_px: int
    """Pixels of the frame inside the crop."""
    crop_width_mm: float
    crop_height_mm: float
    """Size at the dish [mm]."""
    margin_percent: float
    """Room round the hero on the tighter side, share of the hero; negative: the hero is cut."""
    holds_hero: bool
    enough_pixels: bool
    part_of_dish: bool = False
    """Whether the frame asked for shows a part of the dish only."""
    text_space: str = "none"
    """The third of the crop left for text: top, bottom, left, right; none."""


@dataclass(frozen=True, kw_only=True)
class CircleFrom:
    """What decides the circle of confusion."""

    code: str
    """format: diagonal/1500 of the sensor; channel: the most demanding picture delivered; pixels: two of the sensor"""
    channel: str = ""
    width_px: int = 0
    cropped: bool = False
    """Whether the frame is looser than asked, and cropped to it."""


@dataclass(frozen=True, kw_only=True)
class Depth:
    """Depth of field against the depth needed; distances from the lens (principal plane) [m]."""

    near_m: float
    far_m: float
    """Limits of acceptable sharpness; far may be infinite."""
    needed_near_m: float
    needed_far_m: float
    total_mm: float
    needed_mm: float
    enough: bool
    """Whether it holds what is needed, within the tolerance that `verdict` states."""
    circle_mm: float
    """Circle of confusion used, on the sensor [mm]."""
    circle_from: CircleFrom
    diffraction_mm: float
    """Airy disc's first-zero diameter on the sensor at 550 nm [mm]."""
    edge_blur_mm: float
    """Blur at the edges of the needed depth, defocus and diffraction together [mm]."""
    front_melts: bool = False
    verdict: str = "enough"
    """enough; just enough: short, but within DEPTH_TOLERANCE; not enough."""


@dataclass(frozen=True, kw_only=True)
class Moving:
    """How far a hand, a stream or falling grains reach out of the depth that is sharp."""

    what: str
    height_mm: float
    """Its highest point in the picture, above the table [mm]."""
    counted: bool
    """Whether the depth needed holds it; false when the shot lets it blur."""
    blur_px: float
    """Blur disc of that point, in the camera's own pixels."""
    blur_mm: float
    """The same at that point [mm]."""
    sharp: bool


@dataclass(frozen=True, kw_only=True)
class Framing:
    """The frame in three steps, each width and height at the aim point [mm]."""

    asked_mm: tuple[float, float]
    sensor_mm: tuple[float, float]
    """The smallest frame of the sensor's shape, held this way, that holds what was asked."""
    channels_mm: tuple[float, float] | None
    """The smallest that also holds the dish in every channel's crop; None when no frame of this shape does."""
    channels_by: tuple[str, ...]
    """The channels whose crop asks for more than the sensor's shape gives; empty when none does."""
    got_mm: tuple[float, float]
    """What the lens gives."""
    as_asked: bool
    """Whether the lens gives what the sensor's shape makes of the asked, within FRAME_TOLERANCE."""


@dataclass(frozen=True, kw_only=True)
class Motion:
    """What moves, against the shutter."""

    moves: str
    speed_m_s: float
    streak_px: float
    """Streak of the thing that must hold still, in the camera's own pixels."""
    allowed_px: float
    holds: bool
    stream_px: float = 0.0
    """Streak of what is poured or falls, which may be wanted."""
    hand_limit_s: float | None = None
    """Longest hand-held exposure by the reciprocal rule; None on a support."""
    limit_s: float | None = None
    """Longest exposure at which what moves keeps to the streak allowed; None when nothing moves."""


@dataclass(frozen=True, kw_only=True)
class Noise:
    """A noise estimate for the mid-tone."""

    snr: float
    snr_at_base: float
    stops_above_base: float
    verdict: str
    """clean, slight, noisy or very noisy: ISO 12232's 40, 20 (half of it) and 10"""
    base_iso: float


@dataclass(frozen=True, kw_only=True)
class Bracket:
    """Frames at other exposures, when the light's spread is wide."""

    step_stops: float
    exposures_s: tuple[float, ...]
    spread_stops: float
    """From the likely low of the light to its likely high."""


@dataclass(frozen=True, kw_only=True)
class Stack:
    """Frames at other focus, when one frame cannot hold the depth."""

    f_number: float
    frames: int
    positions_m: tuple[float, ...]
    """Focus distances from the sensor, nearest first [m]."""
    step_mm: float
    exposure_s: float


@dataclass(frozen=True, kw_only=True)
class Rig:
    """The support's statics. Arithmetic, not approval: the maker's limits override."""

    safety_over_leg: float
    safety_between_legs: float
    bag_kg: float
    """Bag on the column for the wanted safety between legs."""
    counterweight_kg: float
    """Weight behind the column that balances the arm."""
    counterweight_at_m: float
    wanted_safety: float
    settle_s: float
    over_load_limit: bool
    column_m: Point | None
    """Where the column stands on the floor; None when there is none."""
    side: str
    """Of the camera on which an arm's column stands: left, right, near or far; empty: the camera is over the column."""
    arm_folded: bool
    """Whether an arm is folded back over its column."""
    torque_n_m: float
    load_kg: float
    """Camera and lens."""
    load_limit_kg: float | None


@dataclass(frozen=True, kw_only=True)
class SetUp:
    """The set-up of one shot. Numbers exact (2**(k/6)); `f_number_words` and its like are the camera's own marks."""

    shot: str
    angle: str
    camera: str
    lens: str
    support: str
    support_kind: str
    """tripod, arm or hand"""
    spot: str
    orientation: str
    """upright or lying"""

    focal_length_mm: float
    pupil_magnification: float
    sensor_width_mm: float
    sensor_height_mm: float
    """The sensor as it is held: width across the picture."""
    pixels_wide: int
    pixels_high: int
    magnification: float
    """At the aim point's plane."""
    frame_width_mm: float
    frame_height_mm: float
    """What the frame holds at the aim point's plane, square to the lens's axis [mm]."""
    lens_distance_m: float
    """Aim point to the lens (principal plane) along the axis [m]."""
    sensor_distance_m: float
    """Aim point to the sensor along the axis [m]."""
    focus_lens_distance_m: float
    """Plane of sharp focus to the lens [m]."""
    focus_distance_m: float
    """Plane of sharp focus to the sensor [m]: what the focus scale says."""
    focus_on: str
    """surface, front or middle: of the dish, but for the surface"""
    focus_nearer_mm: float
    """How much nearer to the lens than the middle of the dish (above the surface, looking down) the focus is set."""

    elevation_deg: float
    """Elevation of the camera above the dish: 90 looks straight down."""
    camera_faces_deg: float
    """Horizontal look direction, clockwise from +y seen from above; for an overhead, where the picture's top is."""
    aim_m: Point
    lens_m: Point
    sensor_m: Point
    """Aim point, lens and sensor in the room [m]."""
    surface_height_m: float
    """Height of the table top above the floor [m]."""
    lens_above_surface_m: float
    sensor_above_surface_m: float
    lens_above_floor_m: float
    horizontal_offset_m: float
    """Dish to the lens along the floor [m]."""

    f_number: float
    f_number_words: str
    effective_f_number: float
    close_loss_stops: float
    """Light lost to the close focus, already in the exposure."""
    polariser_stops: float
    """Light that a polariser takes, already in the exposure; 0 without one."""
    exposure_s: float
    exposure_words: str
    iso: float
    iso_words: str
    under_stops: float
    """How far the frame falls short of full exposure; 0 when the light is enough."""
    illuminance_lx: float
    """Light reckoned with, averaged over what the camera sees [lx]."""
    ev100: float

    light: LightForShot
    coverage: tuple[Coverage, ...]
    depth: Depth
    background_blur_percent: float
    """Blur disc of the background as share of the frame's width [%]."""
    background_look: str
    """none (the camera looks down), texture, soft or melted (common practice, no source)"""
    background_wish_percent: float | None
    motion: Motion
    noise: Noise
    bracket: Bracket | None
    stack: Stack | None
    rig: Rig | None
    checks: tuple[Finding, ...]
    remedies: tuple[Remedy, ...]
    burst_frames: int
    """Frames to take for a likely good one."""
    burst: BurstAdvice
    extras: tuple[str, ...]
    """Frames taken besides: clean frame, grey card."""
    offers: tuple[str, ...]
    """What would help and is not there: polariser, clean frame, grey card (plan/extras.py)."""
    cautions: tuple[str, ...]
    """Codes: rig, no chair, pour, steam, flour or helper; see words/cautions.py."""
    framing: Framing
    moving: Moving | None
    """None when nothing moves, or when what moves is level with the dish."""
    unmet: tuple[Unmet, ...]
    """Every wish that is not met, the frame's first: each is a check as well, so that no face leaves it out."""
    merit: float
    """Cost in stops of everything given up; lower is better (docs/decisions/0004-setups.md)."""

    @property
    def works(self) -> bool:
        """Whether nothing stands in the way of taking the frame as solved."""
        return all(c.ok for c in self.checks)
