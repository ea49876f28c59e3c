"""A set-up drawn to scale from the side, with the heights and lengths a tape measures."""

import math

import numpy as np

from plateside.camera.place import axes, direction, faces_deg
from plateside.camera.setup import SetUp
from plateside.drawing import above, beside
from plateside.drawing.board import Board
from plateside.drawing.labels import XY
from plateside.drawing.palette import ACCENT, INK, SOFT
from plateside.model.gear import Lens, Support
from plateside.model.room import Window
from plateside.model.shoot import Shot
from plateside.model.studio import Studio
from plateside.plan.beside import SIDES
from plateside.plan.camera_needs import OVERHEAD_FROM_DEG
from plateside.plan.scene import spot_of, table_edge_m
from plateside.plan.setup import HANDS
from plateside.words import drawings as said
from plateside.words.units import Units, length, length_mm, units_of


def side_view(studio: Studio, shot: Shot, s: SetUp, width_px: float = 460.0) -> str:
    """SVG of the side: camera, lens, field, depth of field, table, boards, window; heights and distances."""
    spot, lens, support = spot_of(studio, shot), _lens(studio, s), support_of(studio, s)
    faces, units = side_faces_deg(s), units_of(studio.place.units)
    near_edge = table_edge_m(studio, spot, faces + 180.0)
    far_edge = table_edge_m(studio, spot, faces)
    sensor, lens_at = _in_side(s, faces, s.sensor_m), _in_side(s, faces, s.lens_m)
    walls = _walls_ahead(studio, s, faces)
    left = min(-near_edge, sensor[0]) - 0.22
    right = max(far_edge, 0.35) + 0.12
    column = None
    if s.rig is not None and s.rig.column_m is not None:
        column = _in_side(s, faces, s.rig.column_m)[0]
        left, right = (
            min(left, column - support.feet_radius_m),
            max(right, column + support.feet_radius_m + 0.04),
        )
    for placed in shot.boards:
        off = math.radians(SIDES[placed.side] + s.camera_faces_deg - faces)
        if abs(math.cos(off)) > 0.99:
            at = placed.distance_m * math.cos(off)
            left, right = min(left, at - 0.2), max(right, at + 0.2)
    ahead = [w for w in walls if 0 < w[0] < right + 0.55]
    if ahead:
        right = max(right, ahead[0][0] + 0.1)
    behind = [w for w in walls if left - 0.55 < w[0] < 0]
    if behind:
        left = min(left, behind[0][0] - 0.1)
    top = max(sensor[1] + 0.16, spot.height_m + 0.75)
    if studio.room.height_m - top < 0.35:
        top = studio.room.height_m + 0.03
    b = Board(left, -0.02, right, top, width_px, (64.0, 18.0, 16.0, 58.0))

    b.line((left, 0.0), (right, 0.0), INK, 1.4)
    if top > studio.room.height_m:
        b.line((left, studio.room.height_m), (right, studio.room.height_m), INK, 1.4)
    for u, window in ahead[:1] + behind[:1]:
        (x, floor), (_, ceiling), out = (
            b.at((u, 0.0)),
            b.at((u, min(top, studio.room.height_m))),
            math.copysign(1.0, u),
        )
        b.parts.append(beside.wall(x, ceiling, floor, out))
        if window is not None:
            low, high = window.sill_m, min(window.sill_m + window.height_m, top)
            b.parts.append(beside.opening(x, b.at((u, high))[1], b.at((u, low))[1], out))
            b.words((u, high - 0.02), window.name, -out * 8, 12, "end" if u > 0 else "start", 11, SOFT)

    h = spot.height_m
    (table_left, table_y), (table_right, _) = b.at((-near_edge, h)), b.at((far_edge, h))
    b.parts.append(beside.table(table_left, table_right, table_y, b.at((0.0, 0.0))[1]))
    _field(b, s, faces, units)
    _support_side(b, s, support, sensor, column)
    high_px = max(shot.dish_height_mm / 1000.0, 0.012) * b.scale
    b.parts.append(beside.dish(b.at((0.0, h))[0], table_y, shot.dish_width_mm / 2000.0 * b.scale, high_px))
    for placed in shot.boards:
        turn = (SIDES[placed.side] + s.camera_faces_deg - faces) % 360.0
        if min(turn, 360.0 - turn) < 1.0 or abs(turn - 180.0) < 1.0:
            u = placed.distance_m * (-1.0 if abs(turn - 180.0) < 1.0 else 1.0)
            board = next((x for x in studio.boards if x.name == placed.board), None)
            if board is not None:
                ends = b.at((u, h)), b.at((u, h + board.height_m))
                b.parts.append(above.board(ends, above.tone(board.reflectance)))
                b.words((u, h + board.height_m), said.board_name(board.name), 0, -6, "middle", 11, ACCENT)
    _camera_side(b, s, faces, lens)

    b.measure((left, 0.0), (left, h), length(h, units), 14.0)
    b.measure((left, h), (left, lens_at[1]), length(s.lens_above_surface_m, units), 14.0)
    b.measure((left, 0.0), (left, sensor[1]), said.sensor_at(length(sensor[1], units)), 46.0)
    if s.horizontal_offset_m > 0.04:
        b.measure(
            (lens_at[0], 0.0),
            (0.0, 0.0),
            length(s.horizontal_offset_m, units),
            18.0,
            1.0 if lens_at[0] > 0 else -1.0,
        )
    if ahead:
        b.measure((0.0, 0.0), (ahead[0][0], 0.0), length(ahead[0][0], units), 18.0, -1.0)
    if column is not None and s.elevation_deg >= OVERHEAD_FROM_DEG and abs(column) > 0.05:
        a, z = sorted((column, 0.0))
        b.measure((a, 0.0), (z, 0.0), said.arm_of(length(abs(column), units)), 38.0, -1.0)
    angle = -math.degrees(math.atan2(-(sensor[1] - b_aim(s)), -sensor[0])) if abs(sensor[0]) > 0.02 else -90.0
    middle_of = ((lens_at[0]) * 0.5, (lens_at[1] + b_aim(s)) * 0.5)
    b.words(
        middle_of,
        length(s.lens_distance_m, units),
        0 if angle != -90.0 else -9,
        -6,
        turn=_readable(angle),
        weight="600",
    )
    b.scale_bar()
    return b.svg(
        said.from_the_side(s.shot),
        said.from_the_side_told(length(s.lens_above_surface_m, units)),
        f"{s.shot}-side",
    )


def side_faces_deg(s: SetUp) -> float:
    """Direction to the right in the side view: the look direction, or, overhead, from the column to the lens."""
    if s.elevation_deg >= OVERHEAD_FROM_DEG and s.rig is not None and s.rig.column_m is not None:
        away = np.array(s.lens_m) - np.array(s.rig.column_m)
        if float(np.hypot(away[0], away[1])) > 0.05:
            return faces_deg(away)
    return s.camera_faces_deg


def b_aim(s: SetUp) -> float:
    """Height of the aim point [m]."""
    return s.aim_m[2]


def _lens(studio: Studio, s: SetUp) -> Lens:
    return next(lens for lens in studio.lenses if lens.name == s.lens)


def support_of(studio: Studio, s: SetUp) -> Support:
    return next((x for x in studio.supports if x.name == s.support), HANDS)


def _in_side(s: SetUp, faces: float, point: tuple[float, float, float]) -> XY:
    """A point in the side view: along the view's direction from the dish, and up."""
    flat = direction(faces)
    return (float((point[0] - s.aim_m[0]) * flat[0] + (point[1] - s.aim_m[1]) * flat[1]), point[2])


def _walls_ahead(studio: Studio, s: SetUp, faces: float) -> list[tuple[float, Window | None]]:
    """Walls the view's direction meets squarely enough, as (distance along it, window or None), nearest first."""
    flat, room = direction(faces), studio.room
    out = []
    for wall, normal, reach in (
        ("front", (0.0, 1.0), room.depth_m - s.aim_m[1]),
        ("back", (0.0, -1.0), s.aim_m[1]),
        ("right", (1.0, 0.0), room.width_m - s.aim_m[0]),
        ("left", (-1.0, 0.0), s.aim_m[0]),
    ):
        slope = float(flat[0] * normal[0] + flat[1] * normal[1])
        if abs(slope) < 0.85:
            continue
        window = next((w for w in studio.windows if studio.wall_of(w) == wall), None)
        out.append((reach / slope, window))
    return sorted(out, key=lambda w: abs(w[0]))


def _field(b: Board, s: SetUp, faces: float, units: Units) -> None:
    """The field of view and, in it, the depth of field."""
    look = axes(s.camera_faces_deg, s.elevation_deg)
    flat = direction(faces)
    lens = _in_side(s, faces, s.lens_m)
    f = (float(look.forward @ flat), float(look.forward[2]))
    up = (-f[1], f[0])
    # seen from the picture's own side the field is its height, from its top or bottom its width
    across = abs(float(look.right @ flat)) > 0.7
    half = (s.frame_width_mm if across else s.frame_height_mm) / 2000.0 / s.lens_distance_m

    def edge(distance: float, sign: float) -> XY:
        return (
            lens[0] + f[0] * distance + up[0] * sign * half * distance,
            lens[1] + f[1] * distance + up[1] * sign * half * distance,
        )

    reach = s.lens_distance_m
    b.shape([lens, edge(reach, 1), edge(reach, -1)], SOFT, "none", 0.0, 0.06)
    near = s.depth.near_m
    far = min(s.depth.far_m, reach * 1.6)
    b.shape([edge(near, 1), edge(far, 1), edge(far, -1), edge(near, -1)], ACCENT, "none", 0.0, 0.22)
    b.line(edge(s.focus_lens_distance_m, 1), edge(s.focus_lens_distance_m, -1), ACCENT, 1.6)
    b.line(lens, (lens[0] + f[0] * reach, lens[1] + f[1] * reach), SOFT, 0.8, "4 4")
    if math.isfinite(s.depth.total_mm):
        at = edge(s.focus_lens_distance_m, -1 if up[0] < 0 else 1)
        text, room_px = said.sharp_for(length_mm(s.depth.total_mm, units, 1)), b.width_px - b.at(at)[0]
        if room_px > 92.0:
            b.words(at, text, 8, 3, "start", 11, ACCENT)
        else:
            b.words(edge(s.focus_lens_distance_m, 1 if up[0] < 0 else -1), text, -8, 3, "end", 11, ACCENT)


def _camera_side(b: Board, s: SetUp, faces: float, lens: Lens) -> None:
    look = axes(s.camera_faces_deg, s.elevation_deg)
    flat = direction(faces)
    sensor = _in_side(s, faces, s.sensor_m)
    f = (float(look.forward @ flat), float(look.forward[2]))
    up = (-f[1], f[0])

    def box(a: float, z: float, half: float) -> list[XY]:
        return [
            (sensor[0] + f[0] * t + up[0] * v, sensor[1] + f[1] * t + up[1] * v)
            for t, v in ((a, half), (z, half), (z, -half), (a, -half))
        ]

    b.shape(box(0.02, min(lens.length_mm / 1000.0, s.sensor_distance_m * 0.8), 0.034), INK, INK, 1.0)
    b.shape(box(-0.035, 0.025, 0.052), INK, INK, 1.0)


def _support_side(b: Board, s: SetUp, support: Support, sensor: XY, column: float | None) -> None:
    if column is None:
        return
    over = s.elevation_deg >= OVERHEAD_FROM_DEG
    top = sensor[1] if over else sensor[1] - 0.05
    if over and abs(column - sensor[0]) > 0.02:
        b.line((column, top), (sensor[0], top), SOFT, 3.0)
    hub = min(0.75, top * 0.6) if over else max(top - 0.12, 0.2)
    b.line((column, hub), (column, top), SOFT, 3.0)
    for side in (-1.0, 1.0):
        b.line((column, hub), (column + side * support.feet_radius_m * 0.87, 0.0), SOFT, 2.2)
    if s.rig is not None and s.rig.bag_kg > 0.005:
        b.line((column, hub), (column, 0.2), SOFT, 1.0)
        b.shape(
            [(column - 0.05, 0.2), (column + 0.05, 0.2), (column + 0.06, 0.06), (column - 0.06, 0.06)],
            SOFT,
            "none",
            0,
            0.6,
        )
        b.words((column, 0.13), said.bag_of(s.rig.bag_kg), 16, 4, "start", 10.5, SOFT)


def _readable(turn: float) -> float:
    """A turn under which words are not upside down."""
    turn = (turn + 180.0) % 360.0 - 180.0
    return turn - 180.0 if turn > 90.0 else turn + 180.0 if turn < -90.0 else turn
