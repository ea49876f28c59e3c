"""What a solved place meets: walls, furniture, ceiling, reach, closest focus, crops, each as a finding."""

from collections.abc import Sequence

import numpy as np

from plateside.camera.findings import Finding, Way
from plateside.camera.place import out_of_box_m
from plateside.camera.setup import Coverage, Point, SetUp
from plateside.model.gear import Lens, Support
from plateside.model.shoot import Shot
from plateside.model.studio import Studio
from plateside.plan.camera_needs import HERO_ROOM, CameraNeeds
from plateside.plan.merit import CLEARANCE_M, WALL_M
from plateside.plan.scene import room_box, spot_of, table_edge_m
from plateside.plan.standing import stand_of, standing_findings

EYE_LEVEL_M = 1.6
HAND_HIGHEST_M = 1.9


def place_findings(
    studio: Studio,
    shot: Shot,
    needs: CameraNeeds,
    lens: Lens,
    support: Support,
    s: SetUp,
    column: Point | None,
) -> list[Finding]:
    """What room, support and lens say to the place."""
    out: list[Finding] = []
    outside, side = out_of_box_m(s.sensor_m, room_box(studio).size, WALL_M)
    if outside > 1e-6 and side == "ceiling":
        tighter = (Way(code="frame tighter"), Way(code="shorter lens"))
        out.append(Finding(kind="ceiling", ok=False, code="ceiling", got=outside, unit="m", ways=tighter))
    at = stand_of(studio, spot_of(studio, shot), support, s, column, shot.dish_width_mm)
    standing = standing_findings(at, s.focal_length_mm, studio.lenses)
    if outside <= 1e-6 and not any(f.kind == "room" for f in standing):
        left = studio.room.height_m - s.sensor_m[2]
        out.append(Finding(kind="room", ok=True, code="fits", got=left, unit="m"))
    out += standing
    if support.kind == "hand" and needs.overhead and not any(one.kind == "arm" for one in studio.supports):
        out.append(Finding(kind="support", ok=True, code="no arm"))
    out += _height(support, s)
    if support.kind == "arm" and needs.overhead:
        out.append(_reach(studio, shot, needs, support, s, column))
    elif support.kind == "tripod" and needs.elevation_deg > 65.0:
        out.append(
            Finding(kind="arm", ok=needs.elevation_deg < 75.0, code="legs in frame", ways=(Way(code="arm"),))
        )
    if s.sensor_distance_m < lens.closest_focus_m - 1e-4:
        out.append(
            Finding(
                kind="focus", ok=False, code="focus", got=s.sensor_distance_m, asked=lens.closest_focus_m, unit="m"
            )
        )  # fmt: skip
    clearance = s.sensor_distance_m - (lens.length_mm + needs.solid_nearer_mm) / 1000.0
    if clearance < CLEARANCE_M:
        ways = (Way(code="longer lens"),)
        out.append(
            Finding(
                kind="clearance", ok=False, code="clearance", got=1000.0 * clearance, unit="mm", ways=ways
            )
        )
    out += _coverage_findings(s.coverage)
    return out


def _height(support: Support, s: SetUp) -> list[Finding]:
    """Whether the support, or hands, reach the lens's height, and whether you can look at the screen there."""
    out, up, ways = list[Finding](), s.lens_above_floor_m, tuple[Way, ...]()
    if support.kind == "hand":
        if up > HAND_HIGHEST_M:
            ways = (Way(code="arm"), Way(code="frame tighter"))
            out.append(
                Finding(kind="height", ok=False, code="too high hand-held", got=up, unit="m", ways=ways)
            )
        return out
    if up > support.highest_m + 1e-6:
        ways = Way(code="lower table"), Way(code="shorter lens"), Way(code="other support")
        out.append(
            Finding(
                kind="height", ok=False, code="support too low", about=support.name, got=up, asked=support.highest_m,
                unit="m", ways=ways,
            )
        )  # fmt: skip
    elif up < support.lowest_m - 1e-6:
        ways = (Way(code="higher table"), Way(code="clamp"))
        out.append(
            Finding(
                kind="height", ok=False, code="support too high", about=support.name, got=up, asked=support.lowest_m,
                unit="m", ways=ways,
            )
        )  # fmt: skip
    if s.sensor_m[2] > EYE_LEVEL_M:
        out.append(Finding(kind="height", ok=True, code="screen", got=s.sensor_m[2], unit="m"))
    return out


def _reach(
    studio: Studio, shot: Shot, needs: CameraNeeds, support: Support, s: SetUp, column: Point | None
) -> Finding:
    need, reach = min(s.frame_width_mm, s.frame_height_mm) / 2000.0 + 0.08, support.arm_reach_m
    if reach < need - 1e-6:
        return Finding(kind="arm", ok=False, code="column in frame", got=reach, asked=need, unit="m")
    if column is not None:
        away = np.array(column) - np.array(s.lens_m)
        faces = float(np.degrees(np.arctan2(away[0], away[1])))
        edge = table_edge_m(studio, next(p for p in studio.spots if p.name == s.spot), faces)
        if edge > reach + 0.02:
            ways = (Way(code="dish to edge"), Way(code="column on table"))
            return Finding(
                kind="arm", ok=False, code="table edge", got=reach, asked=edge, unit="m", ways=ways
            )
    return Finding(kind="arm", ok=True, code="reaches", got=reach, asked=need, unit="m")


def _coverage_findings(coverage: Sequence[Coverage]) -> list[Finding]:
    # a close crop that shows a part of the dish, as asked, has no room round it to speak of
    tight = [
        c for c in coverage if c.holds_hero and 0.0 <= c.margin_percent < 100.0 * (HERO_ROOM - 1.0) - 0.5
    ]
    return [
        Finding(kind="hero", ok=True, code="hero", about=c.channel, got=c.margin_percent, unit="%")
        for c in tight
    ]
