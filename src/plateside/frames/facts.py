"""What is measured of a frame: frozen, JSON-able, without judgement.

Places are shares of the upright picture (0,0 upper left, 1,1 lower right); boxes are (x0, y0, x1, y1).
"""

from dataclasses import dataclass, field, fields
from math import log2
from typing import Any

Box = tuple[float, float, float, float]


@dataclass(frozen=True)
class ExposureFacts:
    """How bright the frame is, and what is lost."""

    stops: float
    """Outside the default aim, bright positive, 0 inside: the brightest matt part at 30 to 86 % of display white."""
    bright_level: float
    """The brightest matt part, linear, display white = 1 (a glint does not count)."""
    middle_level: float
    """Median luminance, linear."""
    clipped_share: float
    """Share of the frame at saturation: in any channel of a raw, in all of a JPEG."""
    glint_share: float
    """Of the frame: clipped, but only as small mirror-like highlights."""
    lost_share: float
    """Of the frame: clipped as an area: detail is gone."""
    lost_on_subject_share: float
    """Of the subject's box: clipped as an area."""
    lost_box: Box | None
    """Round the largest lost area."""
    headroom_stops: tuple[float, float, float]
    """Per channel R, G, B until the brightest parts clip."""
    from_raw: bool
    """Measured in the raw; a JPEG misjudges headroom by up to a stop."""
    aim: str = "brightest matt part"
    """What `stops` is held against: that, or the grey card at 18 % of display white (12.8 % of a raw's saturation), or
    the reference, where there is one and no card (`stops` is then how much brighter the frame is than it)."""


@dataclass(frozen=True)
class FocusFacts:
    """Where and how sharp it is. Spreads are standard deviations of the blur, in pixels of the measured picture."""

    subject_spread_px: float | None
    """Of the sharpest edges on the subject; None when it has no edges."""
    around_spread_px: float | None
    """Of the sharpest edges elsewhere."""
    best_spread_px: float | None
    """Of the sharpest tile of the frame."""
    sharpest_at: tuple[float, float] | None
    """Middle of the sharpest tile."""
    along_px2: float
    """How much more the subject's edges are spread in one direction than across it [px^2, at working size]."""
    direction_deg: float
    """That direction, counter-clockwise from horizontal, 0 to 180."""
    around_along_px2: float
    around_direction_deg: float
    edges_on_subject: int
    edges_around: int
    noise: float
    """Standard deviation of the grain, encoded 0..1."""
    measured_px: int = 0
    """Longer side of the picture measured: 3000 for a frame of 24 megapixels."""
    features: tuple[float, ...] = ()
    """Numbers by which `kinds` tells the kind of blur; see `blur_features`."""
    rows_px2: tuple[float, ...] = ()
    """Squared spread of the sharper edges in bands from the top of the frame to its bottom, at working size; -1 where
    there are too few."""
    sharp_across: float = -1.0
    """Around the hero: share of the frame where edges across `direction_deg` are sharp; -1: too few are seen."""
    core: tuple[float, ...] = ()
    """`features` with the inner part of the hero's box in the place of the whole: the box is a guess, and the table
    that shows within it is as sharp as ever while the hero moves. Empty where too few edges lie there."""
    clear_share: float = -1.0
    """Share of the frame where edges of every direction are sharp; -1: too few are seen."""


@dataclass(frozen=True)
class ColourFacts:
    """The light's colour against neutral."""

    cast_mired: float
    """Warm positive."""
    tint_stops: float
    """Green positive, magenta negative: green against the mean of red and blue."""
    source: str
    """grey card, or grey world (less sure)"""
    card_box: Box | None = None
    """Inside the grey card, when one was named or found."""
    card_confidence: float = 0.0
    """1 for a card that was named; a found one is used from 0.7."""
    card_level: float | None = None
    """Luminance of the card used, linear, display white = 1; a metered 18 % card stands at 0.18."""


@dataclass(frozen=True)
class Ball:
    """A matt ball and the light on it."""

    ratio_stops: float
    """log2((key + fill) / fill): how far the shadow side is down."""
    from_right: float
    from_above: float
    from_camera: float
    """Towards the key, seen from the camera; a unit vector. Negative `from_camera`: it stands behind the ball."""
    at: tuple[float, float]
    """Middle of the ball, shares of the frame."""
    width: float
    """Of the ball, share of the frame's width."""
    confidence: float

    @property
    def key_from(self) -> str:
        """Where the key comes from, codes joined by a space: left or right, above or below, behind, camera."""
        side = "left" if self.from_right < -0.35 else "right" if self.from_right > 0.35 else ""
        height = "above" if self.from_above > 0.35 else "below" if self.from_above < -0.35 else ""
        depth = "behind" if self.from_camera < -0.25 else "" if side or height else "camera"
        return " ".join(w for w in (side, height, depth) if w)


@dataclass(frozen=True)
class CardInFrame:
    """The set card in the frame, and how the camera stands to it."""

    paper: str
    back: bool
    frame_width_mm: float
    """What the frame holds at the card, side to side."""
    elevation_deg: float
    roll_deg: float
    tilt_right_deg: float
    tilt_up_deg: float
    distance_mm: float
    markers: int


@dataclass(frozen=True)
class FrameFacts:
    """All that one frame tells by itself."""

    version: str
    width_px: int
    height_px: int
    subject_box: Box
    exposure: ExposureFacts
    focus: FocusFacts
    colour: ColourFacts
    provisional: bool = False
    """True of a first look: of a raw only the preview was read, and a ball was not looked for."""
    ball: Ball | None = None
    """A matt ball or egg in the frame, and key against fill on it."""
    card: CardInFrame | None = None
    """The set card, when the frame shows it."""
    remarks: tuple[str, ...] = field(default=())

    @property
    def sharpness(self) -> float | None:
        """Grows with sharpness, in stops: minus log2 of the subject's spread; compares frames of one shot."""
        spread = self.focus.subject_spread_px
        return None if spread is None else -log2(max(spread, 0.25))


def _restored(kind: type, value: dict[str, Any]) -> Any:
    known = {f.name for f in fields(kind)}
    return kind(**{k: tuple(v) if isinstance(v, list) else v for k, v in value.items() if k in known})


def facts_from_json(value: dict[str, Any]) -> FrameFacts:
    """The inverse of `tasks.report.as_json` for FrameFacts."""
    parts: dict[str, Any] = {
        "exposure": _restored(ExposureFacts, value["exposure"]),
        "focus": _restored(FocusFacts, value["focus"]),
        "colour": _restored(ColourFacts, value["colour"]),
        "ball": _restored(Ball, value["ball"]) if value.get("ball") else None,
        "card": _restored(CardInFrame, value["card"]) if value.get("card") else None,
    }
    facts: FrameFacts = _restored(FrameFacts, value | parts)
    return facts
