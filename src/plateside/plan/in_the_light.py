"""Who stands in the light, and what a glossy dish mirrors, each in words with the way to mend it.

`light_findings`        shadows of camera, support and photographer, and mirror images
`key_points`            the key as points: the sun, or the window it comes by
`things_in_the_light`   camera, support and photographer as thick lines
"""

from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

from plateside.camera.gloss import Rectangle, elevation_for, mirrored
from plateside.camera.place import direction
from plateside.camera.setup import Finding, LightForShot, Point, SetUp
from plateside.camera.shadow import Capsule, blocked, falls_at, sun_patch, window_points
from plateside.model.gear import Support
from plateside.model.shoot import Shot
from plateside.model.studio import Studio
from plateside.plan.camera_needs import OVERHEAD_FROM_DEG
from plateside.plan.scene import board_rectangle, middle, room_box, window_rectangle

Array = NDArray[np.float64]

SHADE = 0.08
"""Share of the key that may be kept off the dish unseen: about a ninth of a stop."""


def light_findings(
    studio: Studio,
    shot: Shot,
    support: Support,
    s: SetUp,
    light: LightForShot,
    column: Point | None,
) -> list[Finding]:
    """Shadows and mirror images."""
    windows = [window_rectangle(studio, w) for w in studio.windows]
    out: list[Finding] = []
    key = key_points(windows, s.aim_m, light)
    if key is not None:
        out += shadow_findings(studio, shot, support, s, key, column, light)
    if shot.glossy:
        out += gloss_findings(studio, shot, s, windows)
    return out


def key_points(windows: Sequence[Rectangle], dish: Point, light: LightForShot) -> Array | None:
    """The key as points: the sun when it falls on the dish, else the window it comes by."""
    if light.direct_sun and light.key_faces_deg is not None:
        return sun_patch(dish, light.key_faces_deg, light.key_elevation_deg)
    if not windows:
        return None
    if light.key_faces_deg is None:
        return window_points(windows[0])
    towards = direction(light.key_faces_deg)

    def off(window: Rectangle) -> float:
        to = np.array(middle(window)) - np.array(dish)
        flat = np.array([to[0], to[1], 0.0])
        return -float(towards @ flat) / (float(np.linalg.norm(flat)) or 1.0)

    return window_points(min(windows, key=off))


def things_in_the_light(s: SetUp, support: Support, column: Point | None) -> dict[str, tuple[Capsule, ...]]:
    """Camera, support and photographer as thick lines."""
    lens, sensor = np.array(s.lens_m), np.array(s.sensor_m)
    axis = (sensor - lens) / (float(np.linalg.norm(sensor - lens)) or 1.0)
    back = sensor + axis * 0.03
    front = sensor - axis * 0.10
    out: dict[str, tuple[Capsule, ...]] = {"the camera": (Capsule(_point(front), _point(back), 0.06),)}
    behind = direction(s.camera_faces_deg) * -1.0
    offset = 0.0 if column is None else float(np.hypot(column[0] - s.lens_m[0], column[1] - s.lens_m[1]))
    if (
        support.kind == "arm"
        and column is not None
        and s.elevation_deg >= OVERHEAD_FROM_DEG
        and offset > 0.05
    ):
        top: Point = (column[0], column[1], s.lens_m[2])
        out["the arm"] = (Capsule(_point(lens), top, 0.025), Capsule((column[0], column[1], 0.6), top, 0.02))
        out["the tripod"] = tuple(
            _legs(np.array([column[0], column[1], 0.0]), 0.8, support.feet_radius_m, 0.0)
        )
        person = np.array(column) + behind * 0.3
    elif support.kind != "hand":
        foot = np.array([s.sensor_m[0], s.sensor_m[1], 0.0])
        out["the tripod"] = tuple(
            _legs(foot, s.sensor_m[2] - 0.12, support.feet_radius_m, np.radians(s.camera_faces_deg))
        )
        person = foot + behind * 0.45
    else:
        person = np.array([s.sensor_m[0], s.sensor_m[1], 0.0]) + behind * 0.25
    out["you"] = (
        Capsule((float(person[0]), float(person[1]), 0.3), (float(person[0]), float(person[1]), 1.5), 0.22),
    )
    return out


def _legs(foot: Array, top_m: float, radius_m: float, turn: float) -> list[Capsule]:
    out = []
    for i in range(3):
        a = turn + i * 2.0 * np.pi / 3.0
        end: Point = (float(foot[0] + radius_m * np.sin(a)), float(foot[1] + radius_m * np.cos(a)), 0.0)
        out.append(Capsule(end, (float(foot[0]), float(foot[1]), top_m), 0.018))
    return out


def _point(v: Array) -> Point:
    return (float(v[0]), float(v[1]), float(v[2]))


def shadow_findings(
    studio: Studio,
    shot: Shot,
    support: Support,
    s: SetUp,
    key: Array,
    column: Point | None,
    light: LightForShot,
) -> list[Finding]:
    """Who stands in the light, and by how many stops."""
    things = things_in_the_light(s, support, column)
    in_hand = support.kind == "hand"
    shares = blocked(s.aim_m, shot.dish_width_mm / 2000.0, key, things)
    out = []
    for name in things:
        share = shares[name]
        if share < SHADE:
            continue
        stops = -np.log2(max(1.0 - share, 1e-3))
        mend = (
            ("hold it from another side, or put it on a support" if in_hand else "step aside for the frame")
            if name == "you"
            else "turn the set or use a longer lens from farther off"
            if name == "the camera"
            else "stand it on the other side"
        )
        keeps = "keep" if name == "you" else "keeps"
        out.append(
            Finding(
                kind="shadow",
                ok=name == "you" and not in_hand,
                words=f"{name} {keeps} {share:.0%} of the main light (the key) off the dish "
                f"({stops:.1f} stops): {mend}",
            )
        )
    if not out:
        out.append(
            Finding(kind="shadow", ok=True, words="neither camera, support nor you stand in the dish's light")
        )
    if light.direct_sun:
        at = falls_at(s.lens_m, _point(key[0]), s.surface_height_m)
        if at is not None:
            dx, dy = at[0] - s.aim_m[0], at[1] - s.aim_m[1]
            out.append(
                Finding(
                    kind="shadow",
                    ok=True,
                    words=f"in the sun the camera's shadow falls {np.hypot(dx, dy):.2f} m from the dish",
                )
            )
    return out


def gloss_findings(studio: Studio, shot: Shot, s: SetUp, windows: Sequence[Rectangle]) -> list[Finding]:
    """What the glossy dish mirrors, and how to fill or clear it."""
    rim: Point = (s.aim_m[0], s.aim_m[1], s.surface_height_m + shot.dish_height_mm / 1000.0)
    radius = shot.dish_width_mm / 2000.0
    dish_on_table: Point = (s.aim_m[0], s.aim_m[1], s.surface_height_m)
    boards = [board_rectangle(studio, shot, p, dish_on_table) for p in shot.boards]
    rectangles = [*windows, *boards]
    box = room_box(studio)
    shares = mirrored(rim, radius, s.lens_m, rectangles, box)
    said = ", ".join(f"{name} {share:.0%}" for name, share in sorted(shares.items(), key=lambda kv: -kv[1]))
    out = [Finding(kind="gloss", ok=True, words=f"the glossy surface mirrors: {said}")]
    distance = s.lens_distance_m
    itself = shares.get("camera", 0.0)
    if itself > 0.05:
        clear = elevation_for(
            "camera", False, rim, radius, s.camera_faces_deg, s.elevation_deg, distance, rectangles, box
        )
        tilt = "" if clear is None else f"{abs(clear - s.elevation_deg):.0f} degrees of tilt clears it; or "
        out.append(
            Finding(
                kind="gloss",
                ok=itself < 0.5,
                words=f"the camera sees itself in {itself:.0%} of it: {tilt}a black card with a hole for the lens",
            )
        )
    for window in windows:
        share = shares.get(window.name, 0.0)
        if 0.02 < share < 0.9:
            clear = elevation_for(
                window.name,
                False,
                rim,
                radius,
                s.camera_faces_deg,
                s.elevation_deg,
                distance,
                rectangles,
                box,
            )
            fill = elevation_for(
                window.name, True, rim, radius, s.camera_faces_deg, s.elevation_deg, distance, rectangles, box
            )
            ways = []
            if clear is not None:
                ways.append(f"{clear:.0f} degrees of elevation clears it")
            if fill is not None:
                ways.append(f"{fill:.0f} degrees fills it")
            out.append(
                Finding(
                    kind="gloss",
                    ok=True,
                    words=f"{window.name} mirrors in {share:.0%} of it; "
                    + (" and ".join(ways) or "no tilt clears it"),
                )
            )
    for placed, board in zip(shot.boards, boards, strict=True):
        share = shares.get(board.name, 0.0)
        if placed.side == "far" and share < 0.9:
            best = _board_that_fills(studio, shot, s, rim, radius, windows)
            if best is not None:
                out.append(
                    Finding(
                        kind="gloss",
                        ok=True,
                        words=f"{board.name} mirrors in {share:.0%}; at {best:.2f} m from the dish it fills it",
                    )
                )
    return out


def _board_that_fills(
    studio: Studio, shot: Shot, s: SetUp, rim: Point, radius: float, windows: Sequence[Rectangle]
) -> float | None:
    """Distance of the far board at which it mirrors in all of the dish; None when none does."""
    dish: Point = (s.aim_m[0], s.aim_m[1], s.surface_height_m)
    far = next(p for p in shot.boards if p.side == "far")
    for distance in np.linspace(radius + 0.02, 1.5, 60):
        board = board_rectangle(studio, shot, far, dish, float(distance))
        shares = mirrored(rim, radius, s.lens_m, [board, *windows], room_box(studio))
        if shares.get(board.name, 0.0) >= 0.9:
            return float(distance)
    return None
