"""A set-up drawn to scale from above, front wall at the top, with the lengths a tape measures."""

import math

import numpy as np

from plateside.camera.gloss import Rectangle
from plateside.camera.place import axes, direction
from plateside.camera.setup import SetUp
from plateside.drawing import above
from plateside.drawing.board import Board
from plateside.drawing.kit import element
from plateside.drawing.labels import XY
from plateside.drawing.openings import WALL_PX, walls
from plateside.drawing.palette import ACCENT, INK, SOFT
from plateside.drawing.setup_side import support_of
from plateside.model.gear import Support
from plateside.model.shoot import Shot
from plateside.model.studio import Studio
from plateside.plan.beside import SIDES, toward
from plateside.plan.camera_needs import OVERHEAD_FROM_DEG
from plateside.plan.footing import feet, leg_turn
from plateside.plan.scene import board_rectangle, middle, spot_of, window_rectangle
from plateside.words import drawings as said
from plateside.words.units import length, units_of


def top_view(studio: Studio, shot: Shot, s: SetUp, width_px: float = 460.0) -> str:
    """SVG of the room from above: windows, table, dish, boards, camera, its field, tripod; distances."""
    room, spot, support = studio.room, spot_of(studio, shot), support_of(studio, s)
    units = units_of(studio.place.units)
    x, y = s.aim_m[0], s.aim_m[1]
    w, d = spot.table_width_m / 2, spot.table_depth_m / 2
    table = [(x - w, y - d), (x + w, y - d), (x + w, y + d), (x - w, y + d)]
    table = [(min(max(px, 0), room.width_m), min(max(py, 0), room.depth_m)) for px, py in table]
    low, high = _extent(studio, shot, s, support, table)
    b = Board(low[0], low[1], high[0], high[1], width_px, (16.0, 40.0, 16.0, 46.0))
    view = b.above(room.depth_m, room.width_m)
    windows_shown = [
        w
        for w in studio.windows
        if _is_shown(window_rectangle(studio, w), room.width_m, room.depth_m, low, high)
    ]
    clip_id = f"{s.shot}-above-part"
    b.parts.append(_part_drawn(b, low, high, clip_id))
    drawn = (
        above.floor(view) + walls(view) + "".join(above.furniture(view, block) for block in studio.furniture)
    )
    drawn += "".join(above.opening(studio, view, w) for w in windows_shown) + above.table(studio, view, spot)
    b.parts.append(element("g", drawn, clip_path=f"url(#{clip_id})"))
    for window in windows_shown:
        at, wall = middle(window_rectangle(studio, window)), studio.wall_of(window)
        if wall == "front":
            b.words((at[0], room.depth_m), window.name, 0, -14, "middle", 11, SOFT)
        elif wall == "back":
            b.words((at[0], 0.0), window.name, 0, 22, "middle", 11, SOFT)
        else:
            b.words((at[0], at[1]), window.name, 12 if wall == "left" else -12, 0, "middle", 11, SOFT, 90.0)
    b.shape(_inside(_frame_on_table(s), room.width_m, room.depth_m), ACCENT, ACCENT, 1.0, 0.10)
    b.parts.append(above.plate(b.at((x, y)), shot.dish_width_mm / 2000.0 * b.scale))
    for placed in shot.boards:
        r = board_rectangle(studio, shot, placed, (x, y, spot.height_m))
        a, z = (r.corner[0], r.corner[1]), (r.corner[0] + r.edge_u[0], r.corner[1] + r.edge_u[1])
        tone = next(above.tone(one.reflectance) for one in studio.boards if one.name == placed.board)
        b.parts.append(above.board((b.at(a), b.at(z)), tone))
        b.measure((x, y), (middle(r)[0], middle(r)[1]), length(placed.distance_m, units), 26.0)
        out = toward(s.camera_faces_deg + SIDES[placed.side])
        b.words((middle(r)[0], middle(r)[1]), r.name, out[0] * 12, -out[1] * 14 + 4, "middle", 11, ACCENT)
    _camera_top(b, studio, s, support)
    if s.horizontal_offset_m > 0.04:
        b.measure(
            (s.lens_m[0], s.lens_m[1]), (x, y), said.lens_at(length(s.horizontal_offset_m, units)), 16.0
        )
    # the tape to the front wall runs on the side of the table where the camera is not
    away = -1.0 if s.sensor_m[0] <= x + 0.05 else 1.0
    clear = (w + 0.06) * b.scale
    if high[1] > room.depth_m - 0.01:
        b.measure((x, y), (x, room.depth_m), length(spot.from_front_m, units), clear, away)
    else:
        b.words((x, high[1]), said.front_wall(length(spot.from_front_m, units)), 0, -6, "middle", 11, SOFT)
    below = (y - low[1]) * b.scale + 16.0
    if low[0] < 0.01:
        b.measure((0.0, y), (x, y), said.to_left_wall(length(spot.from_left_m, units)), below, -1.0)
    else:
        b.words(
            (low[0], low[1]), said.dish_from_left(length(spot.from_left_m, units)), 0, 20, "start", 11, SOFT
        )
    b.scale_bar()
    return b.svg(
        said.from_above(s.shot),
        said.from_above_told(length(spot.from_front_m, units)),
        f"{s.shot}-above",
    )


def _extent(studio: Studio, shot: Shot, s: SetUp, support: Support, table: list[XY]) -> tuple[XY, XY]:
    """Corners of the part of the room worth drawing: table, camera, column, boards, and walls that are near."""
    room = studio.room
    points = [*table, (s.sensor_m[0], s.sensor_m[1])]
    if s.rig is not None and s.rig.column_m is not None:
        c, r = s.rig.column_m, support.feet_radius_m
        points += [(c[0] - r, c[1] - r), (c[0] + r, c[1] + r)]
    for placed in shot.boards:
        r2 = board_rectangle(studio, shot, placed, (s.aim_m[0], s.aim_m[1], s.surface_height_m))
        points += [
            (r2.corner[0], r2.corner[1]),
            (r2.corner[0] + r2.edge_u[0], r2.corner[1] + r2.edge_u[1]),
        ]
    xs, ys = [p[0] for p in points], [p[1] for p in points]
    low, high = [min(xs) - 0.25, min(ys) - 0.2], [max(xs) + 0.35, max(ys) + 0.2]
    if s.aim_m[1] > room.depth_m - 1.7:
        high[1] = room.depth_m
    for i, size in enumerate((room.width_m, room.depth_m)):
        # a wall within half a metre of the picture's edge belongs in it
        low[i] = 0.0 if low[i] < 0.5 else low[i]
        high[i] = size if high[i] > size - 0.5 else high[i]
    return (low[0] - 0.05, low[1] - 0.05), (high[0] + 0.05, high[1] + 0.05)


def _is_shown(r: Rectangle, width_m: float, depth_m: float, low: XY, high: XY) -> bool:
    """Whether enough of a window is in the part drawn, and in a wall of it."""
    ends = ((r.corner[0], r.corner[1]), (r.corner[0] + r.edge_u[0], r.corner[1] + r.edge_u[1]))
    a, z = ((min(max(p[0], low[0]), high[0]), min(max(p[1], low[1]), high[1])) for p in ends)
    return math.dist(a, z) >= 0.05 and (a[0] in (0.0, width_m) or a[1] in (0.0, depth_m))


def _part_drawn(b: Board, low: XY, high: XY, clip_id: str) -> str:
    """The part of the room that is drawn, and the thickness of a wall round it, as a frame to cut by."""
    (left, bottom), (right, top) = b.at(low), b.at(high)
    around = WALL_PX + 1.0
    frame = element("rect", x=left - around, y=top - around, width=right - left + 2 * around,
                    height=bottom - top + 2 * around)  # fmt: skip
    return element("clipPath", frame, id=clip_id)


def _frame_on_table(s: SetUp) -> list[XY]:
    """The picture's corners, projected through the lens on the table top."""
    look = axes(s.camera_faces_deg, s.elevation_deg)
    lens = np.array(s.lens_m)
    out: list[XY] = []
    for a, v in ((-0.5, 0.5), (0.5, 0.5), (0.5, -0.5), (-0.5, -0.5)):
        ray = (
            look.forward * s.lens_distance_m
            + look.right * a * s.frame_width_mm / 1000.0
            + look.up * v * s.frame_height_mm / 1000.0
        )
        drop = lens[2] - s.surface_height_m
        t = drop / -ray[2] if ray[2] < -1e-6 else 3.0
        t = min(t, 2.2)
        p = lens + ray * t
        out.append((float(p[0]), float(p[1])))
    return out


def _inside(points: list[XY], width_m: float, depth_m: float) -> list[XY]:
    """A convex polygon cut to the room, wall by wall (Sutherland and Hodgman)."""
    for axis, limit, sign in ((0, 0.0, 1.0), (0, width_m, -1.0), (1, 0.0, 1.0), (1, depth_m, -1.0)):
        out: list[XY] = []
        for i, p in enumerate(points):
            q = points[(i + 1) % len(points)]
            dp, dq = sign * (p[axis] - limit), sign * (q[axis] - limit)
            if dp >= 0:
                out.append(p)
            if dp * dq < 0:
                t = dp / (dp - dq)
                out.append((p[0] + t * (q[0] - p[0]), p[1] + t * (q[1] - p[1])))
        points = out
        if not points:
            break
    return points


def _camera_top(b: Board, studio: Studio, s: SetUp, support: Support) -> None:
    flat = direction(s.camera_faces_deg)
    right = direction(s.camera_faces_deg + 90.0)
    at = np.array([s.sensor_m[0], s.sensor_m[1]])
    if s.rig is not None and s.rig.column_m is not None:
        c = np.array(s.rig.column_m[:2])
        over = s.elevation_deg >= OVERHEAD_FROM_DEG
        toward = at - c if over and float(np.hypot(*(at - c))) > 0.05 else np.array([flat[0], flat[1]])
        at_floor = (float(c[0]), float(c[1]))
        turn, _short = leg_turn(
            studio,
            at_floor,
            support.feet_radius_m,
            math.degrees(math.atan2(float(toward[0]), float(toward[1]))),
        )
        for foot in feet(at_floor, support.feet_radius_m, turn):
            b.line((float(c[0]), float(c[1])), foot, SOFT, 2.0)
        if over:
            b.line((float(c[0]), float(c[1])), (float(at[0]), float(at[1])), SOFT, 3.0)
        b.disc((float(c[0]), float(c[1])), 0.03, SOFT, SOFT)

    def box(a: float, z: float, half: float) -> list[XY]:
        return [
            (
                float(at[0] + flat[0] * t + right[0] * v),
                float(at[1] + flat[1] * t + right[1] * v),
            )
            for t, v in ((a, half), (z, half), (z, -half), (a, -half))
        ]

    if s.elevation_deg < OVERHEAD_FROM_DEG:
        b.shape(box(0.02, 0.11, 0.034), INK, INK, 1.0)
    b.shape(box(-0.04, 0.04, 0.068), INK, INK, 1.0)
