"""How much light a shot needs to be taken as it is wanted, before any hour is known.

`light_need`    one shot: f-number for the depth, shutter for what moves or for hands, ISO as far as it may go
`need_of_all`   the most demanding of several; without any, USUAL

Depth in thin-lens terms hardly depends on the focal length once the magnification is given: N = D m² / (2 c (1 + m)).
A still thing on a support is taken at base ISO and at most STILL_S: there the light is good, and with less it is still
usable, with a tripod and patience. What moves, or is taken by hand, may go to the highest ISO that you find usable.
"""

from collections.abc import Sequence
from dataclasses import dataclass

from plateside.camera.motion import MOVERS, hand_limit_s, longest_exposure_s, mover_speed_m_s
from plateside.ground.exposure import F_NUMBERS, INCIDENT_C, SHUTTERS, ScaleMark, level_share
from plateside.ground.figures import rounded
from plateside.light.good_hours import LEAST_LX
from plateside.model.light_answers import Asker, LightNeeds
from plateside.model.shoot import Channel, Shot
from plateside.model.studio import Studio
from plateside.plan.camera_needs import DEPTH_TOLERANCE, CameraNeeds, needs_of

STILL_S = 1.0
"""Longest shutter at which the light of a still thing on a tripod counts as good: beyond it floors creak and the light
drifts (common practice, no source)."""
PERSON_S = 1.0 / 15.0
"""Longest for somebody who holds still (common practice, no source)."""
MOVING_F = 8.0
"""The same for what moves: its light is short anyhow, and depth is given up first (common practice, no source)."""
CRISP = 2.0
"""Times its widest f-number, a lens is at its best: two stops down (common practice, no source)."""
SMALLEST_F = 16.0
"""A smaller aperture is not asked for: diffraction softens all of the picture."""


@dataclass(frozen=True)
class LightNeed:
    """The light from which on a shot can be taken as it is wanted."""

    shot: str
    """Empty: there is no shot or no camera yet, and a usual one is meant."""
    metered_lx: float
    """As the camera sees the dish: level and facing light mixed by the elevation [lx]."""
    level_share: float
    """Of the level light in that mix: sin² of the elevation."""
    f_number: float
    exposure_s: float
    iso: float
    typed_lx: float | None = None
    """The least that was asked for it by name, level light; None: what its settings need."""

    def needs(self, fill_stops: float | None, no_direct_sun: bool = True) -> LightNeeds:
        """As the light engine asks for it, to the two figures that it is told with; what was typed goes before."""
        if self.typed_lx is not None:
            return LightNeeds(no_direct_sun, self.typed_lx, fill_stops)
        return LightNeeds(
            no_direct_sun, float(rounded(self.metered_lx)), fill_stops, self.level_share,
            Asker(self.shot, self.f_number, self.exposure_s, self.iso),
        )  # fmt: skip


USUAL = LightNeed("", INCIDENT_C * 8.0**2 / (STILL_S * 100.0), 1.0, 8.0, STILL_S, 100.0)
"""f/8, 1 s and ISO 100: 160 lx."""


def light_need(studio: Studio, shot: Shot, channels: Sequence[Channel]) -> LightNeed:
    """What one shot needs; USUAL while the camera that it names is not there."""
    camera = next((c for c in studio.cameras if not shot.camera or c.name == shot.camera), None)
    if camera is None:
        return USUAL
    lenses = [x for x in studio.lenses if not shot.lens or x.name == shot.lens]
    ways = ("landscape", "portrait") if shot.orientation == "auto" else (shot.orientation,)
    needs = min(
        (needs_of(shot, camera, channels, way) for way in ways),
        key=lambda n: n.sensor_width_mm * n.sensor_height_mm / n.magnification**2,
    )
    exposure, still = _longest_s(studio, shot, needs, [x.focal_length_mm for x in lenses])
    widest = min((x.widest_aperture for x in lenses), default=2.8)
    f_number = _f_number(needs, widest, SMALLEST_F if still else MOVING_F)
    iso = camera.base_iso if still else camera.highest_iso
    effective = f_number * (1.0 + needs.magnification)
    through = 2.0 ** -(shot.polariser_stops or 0.0)
    lux = max(INCIDENT_C * effective**2 / through / (exposure * iso * camera.meter_factor), LEAST_LX)
    return LightNeed(
        shot.name, lux, level_share(shot.elevation), f_number, exposure, iso, typed_lx=shot.least_lx
    )


def need_of_all(studio: Studio, shots: Sequence[Shot], channels: Sequence[Channel]) -> LightNeed:
    """The most demanding shot's."""
    found = (light_need(studio, s, channels) for s in shots)
    return max(found, key=lambda n: n.metered_lx if n.typed_lx is None else n.typed_lx, default=USUAL)


def _f_number(needs: CameraNeeds, widest: float, smallest: float) -> float:
    """The widest mark whose depth of field holds the depth needed, two stops down at least and `smallest` at most."""
    m, depth = needs.magnification, needs.nearer_mm + needs.farther_mm
    wanted = (1.0 - DEPTH_TOLERANCE) * depth * m * m / (2.0 * needs.circle_mm * (1.0 + m))
    least = min(max(wanted, CRISP * widest * 0.97), smallest)
    return next(k.exact for k in F_NUMBERS if k.exact >= least - 1e-9)


def _longest_s(
    studio: Studio, shot: Shot, needs: CameraNeeds, focal_mm: Sequence[float]
) -> tuple[float, bool]:
    """The slowest mark that serves, and whether nothing moves and the camera stands."""
    mover = MOVERS[shot.moves]
    speed = mover_speed_m_s(shot.moves, shot.fall_height_mm / 1000.0)
    allowed = mover.circles * needs.circle_mm / needs.pixel_mm
    limits = [STILL_S, longest_exposure_s(speed, needs.magnification, allowed, needs.pixel_mm)]
    if shot.person:
        limits.append(PERSON_S)
    supports = [s for s in studio.supports if not shot.support or s.name == shot.support]
    if all(s.kind == "hand" for s in supports):
        focal = min(focal_mm, default=35.0)
        limits.append(hand_limit_s(focal, needs.crop_factor, needs.magnification))
    longest = min(limits)
    served: list[ScaleMark] = [k for k in SHUTTERS if k.exact <= longest * 2 ** (1 / 6)]
    return (served[0].exact if served else longest), longest >= STILL_S
