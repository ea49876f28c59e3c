"""Solve the set-up of a shot: lens, place, focus, f-number, shutter, ISO and support, each with its price."""

import math
from collections.abc import Sequence
from dataclasses import replace
from datetime import datetime

import numpy as np

from plateside.camera.alone import burst
from plateside.camera.findings import Finding, Unmet
from plateside.camera.motion import hand_limit_s, judge
from plateside.camera.noise import estimate
from plateside.camera.place import stand
from plateside.camera.setup import LightForShot, SetUp
from plateside.ground.exposure import (
    INCIDENT_C,
    close_loss_stops,
    effective_f_number,
    ev100_of_light,
    f_number_words,
    iso_words,
    level_share,
    lux_at_camera,
    shutter_words,
)
from plateside.model.errors import CouldNotError
from plateside.model.gear import Support
from plateside.model.shoot import Channel, Shot
from plateside.model.studio import Studio
from plateside.plan.camera_needs import needs_of
from plateside.plan.cautions import setup_cautions
from plateside.plan.extras import offers_of
from plateside.plan.facts import (
    background_of,
    bracket_of,
    coverage_of,
    depth_of,
    focus_on,
    moving_of,
    stack_of,
)
from plateside.plan.findings import place_findings
from plateside.plan.framing import framing_of
from plateside.plan.in_the_light import key_points, light_findings
from plateside.plan.merit import Gear, edge_blur, geometry
from plateside.plan.remedies import remedies_of
from plateside.plan.rigging import rig_of, stand_for
from plateside.plan.scene import named, spot_of, spot_point, window_rectangle
from plateside.plan.search import Best, GearCandidate, search
from plateside.plan.unlit import ASSUMED, ASSUMED_LX
from plateside.plan.unmet import unmet_of

HANDS = Support(name="hands", kind="hand", lowest_m=0.2, highest_m=1.9)
DARK_LX = 5.0
"""Under this there is no daylight to photograph by."""


class NoDaylightError(CouldNotError):
    """No light on the dish to photograph by."""

    def __init__(self, shot: str, when: datetime | None, illuminance_lx: float) -> None:
        super().__init__(f"{shot}: {illuminance_lx:.1f} lx")
        self.shot, self.when, self.illuminance_lx = shot, when, illuminance_lx


def metered_lx(light: LightForShot, elevation_deg: float, meter_factor: float = 1.0) -> float:
    """Light [lx] reckoned with: the level and the facing reading as the camera sees them, and by its own meter."""
    return lux_at_camera(light.horizontal_lx, light.facing_lx, level_share(elevation_deg)) * meter_factor


def candidates_of(studio: Studio, shot: Shot, channels: Sequence[Channel]) -> list[GearCandidate]:
    """Every lens, support and orientation the shot leaves open."""
    camera = named(studio.cameras, shot.camera, "camera", shot)
    spot = spot_of(studio, shot)
    lenses = studio.lenses
    if shot.lens or not lenses:
        lenses = (named(lenses, shot.lens, "lens", shot),)
    if shot.support:
        supports: tuple[Support, ...] = (named(studio.supports, shot.support, "support", shot),)
    else:
        hand_held = () if any(s.kind == "hand" for s in studio.supports) else (HANDS,)
        supports = (*studio.supports, *hand_held)
    ways = ("landscape", "portrait") if shot.orientation == "auto" else (shot.orientation,)
    return [
        GearCandidate(
            needs_of(shot, camera, channels, way),
            Gear(studio, camera, lens, support, spot, shot.camera_faces_deg),
        )
        for way in ways
        for lens in lenses
        for support in supports
    ]


def solve(studio: Studio, shot: Shot, channels: Sequence[Channel], light: LightForShot) -> SetUp:
    """The set-up of lowest cost for a shot in a studio under the light predicted.

    Raises InputError when the shot names gear or a spot that the studio does not have, NoDaylightError when there is
    no daylight to speak of.
    """
    candidates = candidates_of(studio, shot, channels)
    lux = metered_lx(light, shot.elevation, candidates[0].gear.camera.meter_factor)
    if not lux >= DARK_LX:
        raise NoDaylightError(shot.name, light.when, max(lux, 0.0))
    through = lux * 2.0 ** -(shot.polariser_stops or 0.0)
    best = search(candidates, through, shot.fall_height_mm / 1000.0)
    return _set_up(studio, shot, best, light, lux)


def _set_up(studio: Studio, shot: Shot, best: Best, light: LightForShot, lux: float) -> SetUp:
    """The set-up in full, from the solver's answer."""
    needs, gear = best.candidate.needs, best.candidate.gear
    lens, camera, support, spot = gear.lens, gear.camera, gear.support, gear.spot
    pupil = lens.pupil_magnification
    g = geometry(needs, lens, np.array([best.focal_length_mm]), np.array([best.looseness]))
    f, m, s = best.focal_length_mm, float(g.magnification[0]), float(g.lens_distance_mm[0])
    circle = float(g.circle_mm[0])
    focus_s = float(edge_blur(needs, lens, g, np.array([best.f_number]))[0][0])
    # the sensor stays where it is: focusing nearer only moves the glass, so the scale reads from the same sensor
    focus_d = focus_s + float(g.sensor_distance_mm[0]) - s
    at = spot_point(studio, spot)
    aim = (at[0], at[1], at[2] + needs.aim_height_mm / 1000.0)
    lens_m = stand(aim, shot.camera_faces_deg, shot.elevation, s / 1000.0)
    sensor_m = stand(aim, shot.camera_faces_deg, shot.elevation, float(g.sensor_distance_mm[0]) / 1000.0)
    n_eff = effective_f_number(best.f_number, m, pupil)
    hand = hand_limit_s(f, needs.crop_factor, m) if support.kind == "hand" else None
    lost = shot.polariser_stops or 0.0
    right = best.exposure_s * lux * 2.0**-lost * best.iso / (INCIDENT_C * n_eff * n_eff)
    under = max(0.0, -math.log2(right) - 1 / 6)
    windows = [window_rectangle(studio, w) for w in studio.windows]
    side, column = "", None
    if support.kind == "arm" and support.arm_reach_m > 0 and needs.overhead:
        key = key_points(windows, aim, light)
        window = windows[0] if windows and key is not None else None
        side, column = stand_for(
            studio, spot, support, shot.camera_faces_deg, lens_m, window, [p.side for p in shot.boards]
        )
    elif support.kind != "hand":
        column = (sensor_m[0], sensor_m[1], 0.0)
    rig = rig_of(support, camera, lens, shot, column, side)
    many = burst(shot.moves, shot.person, best.exposure_s)
    percent, look = background_of(needs, lens, f, best.f_number, s, focus_s)
    out = SetUp(
        shot=shot.name,
        angle=shot.angle,
        camera=camera.name,
        lens=lens.name,
        support=support.name,
        support_kind=support.kind,
        spot=spot.name,
        orientation=needs.orientation,
        focal_length_mm=f,
        pupil_magnification=pupil,
        sensor_width_mm=needs.sensor_width_mm,
        sensor_height_mm=needs.sensor_height_mm,
        pixels_wide=needs.pixels_wide,
        pixels_high=needs.pixels_high,
        magnification=m,
        frame_width_mm=float(g.frame_width_mm[0]),
        frame_height_mm=float(g.frame_height_mm[0]),
        lens_distance_m=s / 1000.0,
        sensor_distance_m=float(g.sensor_distance_mm[0]) / 1000.0,
        focus_lens_distance_m=focus_s / 1000.0,
        focus_distance_m=focus_d / 1000.0,
        focus_on=focus_on(needs),
        focus_nearer_mm=s - focus_s,
        elevation_deg=shot.elevation,
        camera_faces_deg=shot.camera_faces_deg,
        aim_m=aim,
        lens_m=lens_m,
        sensor_m=sensor_m,
        surface_height_m=spot.height_m,
        lens_above_surface_m=lens_m[2] - spot.height_m,
        sensor_above_surface_m=sensor_m[2] - spot.height_m,
        lens_above_floor_m=lens_m[2],
        horizontal_offset_m=s / 1000.0 * math.cos(math.radians(shot.elevation)),
        f_number=best.f_number,
        f_number_words=f_number_words(best.f_number),
        effective_f_number=n_eff,
        close_loss_stops=close_loss_stops(m, pupil),
        polariser_stops=lost,
        exposure_s=best.exposure_s,
        exposure_words=shutter_words(best.exposure_s),
        iso=best.iso,
        iso_words=iso_words(best.iso),
        under_stops=under,
        illuminance_lx=lux,
        ev100=ev100_of_light(lux),
        light=light,
        coverage=coverage_of(needs, float(g.frame_width_mm[0]), float(g.frame_height_mm[0])),
        depth=depth_of(needs, lens, f, best.f_number, s, focus_s, circle),
        background_blur_percent=percent,
        background_look=look,
        background_wish_percent=needs.background_percent,
        motion=judge(
            shot.moves,
            shot.fall_height_mm / 1000.0,
            m,
            best.exposure_s,
            needs.pixel_mm,
            circle,
            hand,
        ),
        noise=estimate(
            camera.full_well_electrons, camera.read_noise_electrons, best.iso, camera.base_iso, under
        ),
        bracket=bracket_of(light, best.exposure_s, shot.moves),
        stack=None,
        rig=rig,
        checks=(),
        remedies=(),
        burst_frames=many.frames,
        burst=many,
        extras=shot.extras,
        offers=(),
        cautions=setup_cautions(shot, support, rig, sensor_m[2]),
        framing=framing_of(needs, (float(g.frame_width_mm[0]), float(g.frame_height_mm[0]))),
        moving=moving_of(needs, lens, s, focus_s, f, best.f_number, shot.moves, circle),
        unmet=(),
        merit=best.cost,
    )
    places = place_findings(studio, shot, needs, lens, support, out, column)
    out = replace(out, stack=stack_of(needs, lens, out, shot))
    out = replace(out, remedies=remedies_of(studio, shot, out, camera, lens, light))
    unmet = unmet_of(studio, shot, needs, lens, out, places)
    checks = [_of_unmet(u) for u in unmet if u.code == "frame"]
    checks += [c for c in places if not c.ok]
    checks += [_of_unmet(u) for u in unmet if u.code not in ("frame", "place")]
    checks += [c for c in places if c.ok]
    checks += _settings_findings(out, shot)
    checks += light_findings(studio, shot, support, out, light, column)
    return replace(out, checks=tuple(checks), unmet=unmet, offers=offers_of(shot, checks))


def _settings_findings(s: SetUp, shot: Shot) -> list[Finding]:
    """What the settings say: what moves out of focus, light, load, and how to be in the picture alone."""
    out: list[Finding] = []
    if s.moving is not None:
        out.append(Finding(kind="moving", ok=True, code="moving"))
    if s.light.source == ASSUMED:
        out.append(Finding(kind="light", ok=False, code="assumed", got=ASSUMED_LX, unit="lx"))
    if shot.person:
        out.append(Finding(kind="person", ok=True, code="alone"))
    rig = s.rig
    if rig is not None and rig.over_load_limit:
        out.append(
            Finding(
                kind="rig", ok=False, code="over limit", about=s.support, got=rig.load_kg, asked=rig.load_limit_kg,
                unit="kg",
            )
        )  # fmt: skip
    if rig is not None and rig.safety_over_leg < rig.wanted_safety:
        out.append(
            Finding(
                kind="rig", ok=False, code="tips", about=s.support, got=rig.safety_over_leg, asked=rig.wanted_safety,
                unit="safety",
            )
        )  # fmt: skip
    return out


def _of_unmet(wish: Unmet) -> Finding:
    """A wish that is not met, among the checks."""
    return Finding(kind=wish.code, ok=not wish.fails, code="unmet", unmet=wish)
