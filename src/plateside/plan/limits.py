"""Where the cost of a place steps: distances at which a support, a wall, an arm or a crop just suffices.

Cost jumps there, so the best place often lies exactly on one of them, where no even grid has a point.
`focal_steps`, `loose_steps`   the focal lengths and loosenesses on either side of each step
"""

import numpy as np
from numpy.typing import NDArray

from plateside.plan.camera_needs import FRAME_TOLERANCE, HERO_ROOM, CameraNeeds, channel_room
from plateside.plan.merit import CLEARANCE_M, WALL_M, Gear, wall_gap_m

Array = NDArray[np.float64]

NUDGE = 1e-6


def lens_limits_mm(needs: CameraNeeds, gear: Gear) -> list[float]:
    """Aim-to-lens distances at which the support's heights are reached."""
    e = np.radians(needs.elevation_deg)
    if np.sin(e) < 1e-6:
        return []
    above = gear.spot.height_m + needs.aim_height_mm / 1000.0
    heights = [1.9] if gear.support.kind == "hand" else [gear.support.highest_m, gear.support.lowest_m]
    return [1000.0 * (h - above) / float(np.sin(e)) for h in heights]


def sensor_limits_mm(needs: CameraNeeds, gear: Gear) -> list[float]:
    """Aim-to-sensor distances at which a wall, the ceiling or the food is met."""
    e, a = np.radians(needs.elevation_deg), np.radians(gear.camera_faces_deg)
    room, spot = gear.studio.room, gear.spot
    x, y = spot.from_left_m, room.depth_m - spot.from_front_m
    out = [gear.lens.length_mm + needs.solid_nearer_mm + 1000.0 * CLEARANCE_M]
    above = spot.height_m + needs.aim_height_mm / 1000.0
    gap = wall_gap_m(needs, gear)
    for at, size, step, free in (
        (x, room.width_m, -float(np.sin(a) * np.cos(e)), gap),
        (y, room.depth_m, -float(np.cos(a) * np.cos(e)), gap),
        (above, room.height_m, float(np.sin(e)), WALL_M),
    ):
        if step > 1e-6:
            out.append(1000.0 * (size - free - at) / step)
        elif step < -1e-6:
            out.append(1000.0 * (at - free) / -step)
    return out


def focal_steps(needs: CameraNeeds, gear: Gear) -> Array:
    """Focal lengths of a zoom at which, with the frame as asked, a limit is just met; both sides of each."""
    lens, m = gear.lens, needs.magnification
    if lens.focal_length_to_mm is None:
        return np.array([])
    f = [s / (1.0 + 1.0 / m) for s in lens_limits_mm(needs, gear)]
    f += [d / (2.0 + m + 1.0 / m) for d in sensor_limits_mm(needs, gear)]
    both = np.array([v * k for v in f for k in (1.0 - NUDGE, 1.0 + NUDGE)])
    return both[(both >= lens.focal_length_mm) & (both <= lens.focal_length_to_mm)]


def loose_steps(needs: CameraNeeds, gear: Gear, focal_length_mm: float, loosest: float) -> Array:
    """Loosenesses at which, with a focal length, a limit is just met; both sides of each."""
    f, m0 = focal_length_mm, needs.magnification
    own = needs.sensor_width_mm * needs.sensor_height_mm / (m0 * m0)
    out = [FRAME_TOLERANCE * float(np.sqrt(needs.best_area_mm2 / own))]
    # at which the lens's front is just clear of the food
    out += _loose_at([gear.lens.length_mm + needs.solid_nearer_mm], f, m0)
    for s in lens_limits_mm(needs, gear):
        if s > f:
            out.append(m0 * (s - f) / f)
    out += _loose_at(sensor_limits_mm(needs, gear), f, m0)
    if gear.support.kind == "arm":
        out.append(
            m0
            * 2000.0
            * (gear.support.arm_reach_m - 0.08)
            / min(needs.sensor_width_mm, needs.sensor_height_mm)
        )
    frame = np.array([needs.sensor_width_mm / m0]), np.array([needs.sensor_height_mm / m0])
    for channel in needs.channels:
        room = channel_room(*frame, channel, needs.shown_width_mm, needs.shown_height_mm)
        if room.ratio[0] > 0:
            out.append(HERO_ROOM / float(room.ratio[0]))
    both = np.array([v * k for v in out for k in (1.0 - NUDGE, 1.0 + NUDGE)])
    return both[(both >= 1.0) & (both <= loosest)]


def _loose_at(sensor_mm: list[float], f: float, m0: float) -> list[float]:
    """Loosenesses at which the sensor stands at distances from the aim [mm]."""
    ks = [d / f - 2.0 for d in sensor_mm]
    return [m0 * (k + float(np.sqrt(k * k - 4.0))) / 2.0 for k in ks if k > 2.0]
