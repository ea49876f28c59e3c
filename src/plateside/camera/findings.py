"""What is found of a set-up: codes, names and numbers that `words/plan` says.

`Unmet`     a wish of the shot that the set-up does not meet
`Finding`   one thing found: a check, a shadow, a mirror image; `Lack` is what does not fit
`Way`       a way out of either
`Remedy`    more light, with its price
"""

from dataclasses import dataclass
from datetime import datetime


@dataclass(frozen=True, kw_only=True)
class Way:
    """One way out of what is not as asked; which fields are used goes by the code."""

    code: str
    """of the frame: hold (name: orientation), crop (size [px], names: channels with too few), lens (name), macro
    (value: magnification), own shape, own frame, deliver (value [px]), second frame (name: orientation, size [mm]),
    leave out (name), ask for (size [mm])
    of depth, blur and motion: aperture (value: f-number, stops), stack (count, value: step [mm]), let blur, far soft,
    soft or crop, wider (value: f-number), background (value [m]), longer lens, support, shutter (value [s],
    stops), slower shutter, higher fall, remedy (name: the remedy's code, stops)
    of places: face (value: instead of `was` [deg]), nearer lens (name, value: focal length of a zoom [mm]), spot
    (name), frame tighter, move table, shorter lens, lower table, higher table, clamp, arm, other support, dish to edge,
    column on table, other side, hold other side, step aside, turn set; board at (value [m])"""
    name: str = ""
    names: tuple[str, ...] = ()
    size: tuple[float, ...] = ()
    value: float | None = None
    was: float | None = None
    stops: float | None = None
    count: int | None = None


@dataclass(frozen=True, kw_only=True)
class Unmet:
    """A wish of the shot that the set-up does not meet."""

    code: str
    """frame, shape, place, channel, pixels, depth, background, motion, stream or light"""
    about: str = ""
    """The channel, when the wish is one channel's; the lens that is in the way of the frame."""
    limit_m: float | None = None
    """Closest focus of that lens."""
    asked: tuple[float, ...] = ()
    got: tuple[float, ...] = ()
    unit: str = ""
    """Of `asked` and `got`: mm, px, %, s, stops or m."""
    reason: str
    """closest focus, working distance, sensor shape, channel shape, ceiling, room, height, arm, clearance, lens, light,
    hand, motion or depth"""
    ways_out: tuple[Way, ...] = ()
    fails: bool = True
    """False: worth knowing, and nothing stands in the way."""
    place: "Finding | None" = None
    """Of the code place: what was found there."""


@dataclass(frozen=True, kw_only=True)
class Finding:
    """One thing found: a check, a shadow, a mirror image."""

    kind: str
    """the code of an unmet wish (see Unmet), or: ceiling, room, stand, height, arm, focus, clearance, support, shadow,
    gloss, hero, moving, light, rig or person"""
    ok: bool
    code: str
    """ceiling; room: fits, no room; stand: dish to edge, turn legs, stand beside; support: no arm; height: too high
    hand-held, support too low, support too high, screen; arm: column in frame, table edge, reaches, legs in frame;
    focus; clearance; hero; shadow: shades, clear, camera's shadow; gloss: mirrors, camera, window, board; moving;
    light: assumed; rig: over limit, tips; person: alone; unmet"""
    about: str = ""
    """Name of the support, channel, window or board; of shadows camera, arm, tripod or you; else the side."""
    of: str = ""
    """What is in the way: a wall, a piece of furniture."""
    got: float | None = None
    asked: float | None = None
    unit: str = ""
    """Of `got` and `asked`: m, mm, share, %, lx or safety."""
    parts: tuple[tuple[str, float], ...] = ()
    """What a glossy dish mirrors, and the share of it."""
    clears_deg: float | None = None
    fills_deg: float | None = None
    """Elevation (of the camera in the dish: tilt) at which a mirror image leaves the dish, or fills it."""
    ways: tuple[Way, ...] = ()
    lacks: tuple["Lack", ...] = ()
    unmet: Unmet | None = None
    """Of the code unmet: the wish."""


@dataclass(frozen=True)
class Lack:
    """Something that does not fit."""

    code: str
    """camera: into `what`; feet: of the support `about` into `what`; column: of `about` on the table; person: at the
    table, behind, or behind or beside the camera"""
    short_m: float
    what: str
    """The wall, the furniture or the table that is in the way."""
    about: str = ""

    @property
    def of_camera(self) -> bool:
        """Whether the camera itself does not fit."""
        return self.code == "camera"


@dataclass(frozen=True, kw_only=True)
class Remedy:
    """One way out when the light cannot hold the shutter, with its price."""

    code: str
    """aperture (f-numbers; price: depth [mm], limit: depth needed), iso (price: signal to noise), shutter ([s]; price:
    streak [px], limit: streak allowed), hour (when), nearer (dish to window [m]; price: fall-off over 0.2 m [stops]),
    board (name, there: its distance [m]; price: share of the key), support (name: empty when you have none)"""
    gains_stops: float
    name: str = ""
    when: datetime | None = None
    here: float | None = None
    there: float | None = None
    price_here: float | None = None
    price_there: float | None = None
    price_limit: float | None = None
