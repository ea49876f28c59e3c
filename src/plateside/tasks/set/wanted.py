"""What a shot's set-up wants of its frames, solved once for each shot."""

from dataclasses import dataclass, field

from plateside.camera.setup import typed_light
from plateside.files.settings.load import OpenShoot
from plateside.frames.set_up_acts import WantedGeometry, Why
from plateside.model.errors import CouldNotError, InputError
from plateside.model.shoot import Shot
from plateside.plan.camera_needs import FRAME_TOLERANCE
from plateside.plan.setup import solve

LIKELY_LX = 480.0
"""Light by which the set-up is solved when only its geometry is asked: it decides f-number and time, not the place."""


@dataclass(frozen=True)
class WantedOfShot:
    """What frames of a shot are held against."""

    where: WantedGeometry | None = None
    """None when the set-up could not be solved."""
    why: Why = field(default_factory=Why)
    orientation_sure: bool = False
    """Asked for by the shot or by a channel's shape; False: the plan only thought it better."""


def wanted_of(opened: OpenShoot, shot: Shot) -> WantedOfShot:
    """The plan's own set-up of a shot, by the same search that the call sheet is made with."""
    try:
        found = solve(opened.studio, shot, opened.shoot.channels, typed_light(LIKELY_LX))
    except (CouldNotError, InputError):
        return WantedOfShot()
    where = WantedGeometry(
        orientation=found.orientation,
        elevation_deg=found.elevation_deg,
        distance_mm=1000 * found.lens_distance_m,
        focus_mm=1000 * found.focus_lens_distance_m,
        front_mm=max(1000 * (found.focus_lens_distance_m - found.depth.near_m), 1.0),
        back_mm=max(min(1000 * (found.depth.far_m - found.focus_lens_distance_m), 1e6), 1.0),
        focal_length_mm=found.focal_length_mm,
        f_number=found.f_number,
        sensor_width_mm=found.sensor_width_mm,
        frame_width_mm=found.frame_width_mm,
    )
    if shot.orientation != "auto":
        return WantedOfShot(where, Why("shot"), True)
    upright = where.orientation == "portrait"
    across, up = found.framing.asked_mm
    if (up > FRAME_TOLERANCE * across) if upright else (across > FRAME_TOLERANCE * up):
        return WantedOfShot(where, Why("frame"), True)
    for channel in opened.shoot.channels:
        shaped = channel.height_px > channel.width_px if upright else channel.width_px > channel.height_px
        if shaped and (not shot.channels or channel.name in shot.channels):
            return WantedOfShot(
                where, Why("channel", channel.name, channel.width_px, channel.height_px), True
            )
    return WantedOfShot(where)
