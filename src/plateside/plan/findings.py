"""What a solved place meets: walls, furniture, ceiling, reach, closest focus, crops, each in words."""

from collections.abc import Sequence

import numpy as np

from plateside.camera.place import out_of_box_m
from plateside.camera.setup import Coverage, Finding, Point, SetUp
from plateside.model.gear import Lens, Support
from plateside.model.shoot import Shot
from plateside.model.studio import Studio
from plateside.plan.camera_needs import HERO_ROOM, CameraNeeds
from plateside.plan.merit import CLEARANCE_M, WALL_M
from plateside.plan.scene import room_box, spot_of, table_edge_m
from plateside.plan.standing import stand_of, standing_findings

EYE_LEVEL_M = 1.6


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
        out.append(
            Finding(
                kind="ceiling",
                ok=False,
                words=f"the camera would be {outside:.2f} m into the ceiling: frame tighter, or use a shorter lens",
            )
        )
    at = stand_of(studio, spot_of(studio, shot), support, s, column, shot.dish_width_mm)
    standing = standing_findings(at, s.focal_length_mm, studio.lenses)
    if outside <= 1e-6 and not any(f.kind == "room" for f in standing):
        left = studio.room.height_m - s.sensor_m[2]
        out.append(Finding(kind="room", ok=True, words=f"fits the room, {left:.2f} m under the ceiling"))
    out += standing
    if support.kind == "hand" and needs.overhead and not any(one.kind == "arm" for one in studio.supports):
        out.append(
            Finding(
                kind="support",
                ok=True,
                words="held by hand, for the studio has no arm that reaches over the table: with one, frames stay "
                "level and alike, and the shutter may be slow",
            )
        )
    if support.kind == "hand":
        if s.lens_above_floor_m > 1.9:
            out.append(
                Finding(
                    kind="height",
                    ok=False,
                    words=f"the lens is {s.lens_above_floor_m:.2f} m up, too high to hold: an arm, or frame tighter",
                )
            )
    elif s.lens_above_floor_m > support.highest_m + 1e-6:
        out.append(
            Finding(
                kind="height",
                ok=False,
                words=f"the lens must be {s.lens_above_floor_m:.2f} m up and {support.name} reaches "
                f"{support.highest_m:.2f} m: a lower table, a shorter lens, or another support",
            )
        )
    elif s.lens_above_floor_m < support.lowest_m - 1e-6:
        out.append(
            Finding(
                kind="height",
                ok=False,
                words=f"the lens must be {s.lens_above_floor_m:.2f} m up and {support.name} goes no lower than "
                f"{support.lowest_m:.2f} m: a higher table or a clamp on it",
            )
        )
    if s.sensor_m[2] > EYE_LEVEL_M and support.kind != "hand":
        out.append(
            Finding(
                kind="height",
                ok=True,
                words=f"{s.sensor_m[2]:.2f} m up is too high to look into: tilt the screen or view from afar, no chair",
            )
        )
    if support.kind == "arm" and needs.overhead:
        out.append(_reach(studio, shot, needs, support, s, column))
    elif support.kind == "tripod" and needs.elevation_deg > 65.0:
        out.append(
            Finding(
                kind="arm",
                ok=needs.elevation_deg < 75.0,
                words="a plain tripod's legs come into a picture taken from above: use an arm",
            )
        )
    if s.sensor_distance_m < lens.closest_focus_m - 1e-4:
        out.append(
            Finding(
                kind="focus", ok=False, words=f"nearer than the lens focuses, {lens.closest_focus_m:.2f} m"
            )
        )
    clearance = s.sensor_distance_m - (lens.length_mm + needs.solid_nearer_mm) / 1000.0
    if clearance < CLEARANCE_M:
        out.append(
            Finding(
                kind="clearance",
                ok=False,
                words=f"only {clearance * 1000:.0f} mm between lens and food: steam and splashes; use a longer lens",
            )
        )
    out += _coverage_findings(s.coverage)
    return out


def _reach(
    studio: Studio, shot: Shot, needs: CameraNeeds, support: Support, s: SetUp, column: Point | None
) -> Finding:
    need = min(s.frame_width_mm, s.frame_height_mm) / 2000.0 + 0.08
    if support.arm_reach_m < need - 1e-6:
        return Finding(
            kind="arm",
            ok=False,
            words=f"the arm reaches {support.arm_reach_m:.2f} m and {need:.2f} m keeps the column out of the picture",
        )
    if column is not None:
        away = np.array(column) - np.array(s.lens_m)
        faces = float(np.degrees(np.arctan2(away[0], away[1])))
        edge = table_edge_m(studio, next(p for p in studio.spots if p.name == s.spot), faces)
        if edge > support.arm_reach_m + 0.02:
            return Finding(
                kind="arm",
                ok=False,
                words=f"the arm reaches {support.arm_reach_m:.2f} m; the table's edge is {edge:.2f} m from the dish: "
                "move the dish to the edge or stand the column on the table",
            )
    return Finding(
        kind="arm", ok=True, words=f"the arm needs {need:.2f} m and reaches {support.arm_reach_m:.2f} m"
    )


def _coverage_findings(coverage: Sequence[Coverage]) -> list[Finding]:
    out = []
    # a close crop that shows a part of the dish, as asked, has no room round it to speak of
    tight = [
        c for c in coverage if c.holds_hero and 0.0 <= c.margin_percent < 100.0 * (HERO_ROOM - 1.0) - 0.5
    ]
    for c in tight:
        out.append(
            Finding(
                kind="hero",
                ok=True,
                words=f"{c.channel}: only {c.margin_percent:.0f} % of room round the dish",
            )
        )
    return out
