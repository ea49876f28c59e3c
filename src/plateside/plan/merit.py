"""What a set-up costs, in stops of everything given up: the one measure the solver makes small.

`place_cost`      lens, distance, height, support: what does not depend on the settings
`settings_cost`   f-number, shutter, ISO: the rest
Both work on arrays, so the solver and the brute force of bench/setups.py share them.

Every term reads as 'worth so many stops of light'. The weights are ours (docs/decisions/0004-setups.md); the physics
in them is `plateside.camera`'s.
"""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from plateside.camera.motion import SILK_PX, fall_speed_m_s
from plateside.camera.optics import airy_mm, blur_disc_mm, equal_blur_focus_mm
from plateside.ground.exposure import INCIDENT_C, effective_f_number
from plateside.model.gear import Camera, Lens, Support
from plateside.model.room import Spot
from plateside.model.studio import Studio
from plateside.plan.camera_needs import (
    DEPTH_TOLERANCE,
    FRAME_TOLERANCE,
    HERO_ROOM,
    CameraNeeds,
    channel_room,
    close_up,
)
from plateside.plan.footing import FOOT_M

Array = NDArray[np.float64]

LOOSE = 2.0
"""per doubling of the frame's side beyond what was asked"""
LOST, LOST_MORE = 40.0, 10.0
"""for a frame that is not the one asked (beyond FRAME_TOLERANCE), and per doubling of its side: more than anything
else can cost together, so that it is given up only where no lens can give it"""
NO_CHANNEL = 60.0
"""for a frame that no channel can use: what is asked of the picture then counts before the frame's size"""
IN_FOOD = 60.0
"""for a lens whose front would be in the food"""
CUT = 3.0
"""per stop that a channel's crop is too small for the hero, mean over the channels"""
PIXELS = 1.0
"""per stop that a channel's crop has too few pixels, mean over the channels"""
STRETCH = 1.0
"""per stop of stretch in the frame's corners, 1/cos²"""
NEARNESS = 2.0
"""per stop that the hero's front is drawn larger than its back, beyond 1.25"""
SHORT = 2.0
"""per stop that the depth of field is too short, on top of the blur itself"""
WORD_OF_SHORT = 0.6
"""for a depth of field that is told to be too short, all of it from DEPTH_TOLERANCE on; for a shutter told too slow"""
NOISE = 0.8
"""per stop of ISO above base; half as much again from two stops on"""
EXPOSURE = 4.0
"""per stop of wrong exposure beyond the scales' own rounding"""
MOTION = 2.0
"""per stop that the shutter is too slow for what moves, or for hands"""
SLOW = 0.05
"""per stop that the shutter is slower than 1/30 s: things settle, floors creak, light drifts"""
MELT = 2.0
"""per stop that the background's blur falls short of the wish"""
SOFT_WIDE = 0.4
"""blur of a lens at its widest f-number, in circles of confusion (common practice: stop down two)"""
CLEARANCE_M = 0.06
"""least space between the lens's front and the food"""
WALL_M = 0.08
"""room for the camera's back against a wall or the ceiling"""


@dataclass(frozen=True)
class Gear:
    """What a candidate is made of."""

    studio: Studio
    camera: Camera
    lens: Lens
    support: Support
    spot: Spot
    camera_faces_deg: float


@dataclass(frozen=True)
class CandidateGeometry:
    """Arrays over candidates (focal length, looseness) [mm]."""

    focal_length_mm: Array
    magnification: Array
    lens_distance_mm: Array
    sensor_distance_mm: Array
    frame_width_mm: Array
    frame_height_mm: Array
    circle_mm: Array
    """Circle of confusion; finer where the frame is looser than asked, since the picture is then cropped."""


def geometry(needs: CameraNeeds, lens: Lens, focal_length_mm: Array, looseness: Array) -> CandidateGeometry:
    """Distances for focal lengths and for frames `looseness` times as wide as asked; closest focus is kept."""
    f = focal_length_mm
    k = lens.closest_focus_m * 1000.0 / f - 2.0
    # a closest focus under four focal lengths belongs to a lens that reaches life size
    closest = np.where(k > 2.0, 2.0 / (k + np.sqrt(np.maximum(k * k - 4.0, 0.0))), 1.0)
    m = np.minimum(needs.magnification / looseness, closest)
    return CandidateGeometry(
        focal_length_mm=f,
        magnification=m,
        lens_distance_mm=f * (1.0 + 1.0 / m),
        sensor_distance_mm=f * (2.0 + m + 1.0 / m),
        frame_width_mm=needs.sensor_width_mm / m,
        frame_height_mm=needs.sensor_height_mm / m,
        circle_mm=needs.circle_mm * np.minimum(1.0, m / needs.magnification),
    )


def above(x: Array) -> Array:
    """max(0, log2 x): stops above one."""
    return np.asarray(np.maximum(0.0, np.log2(np.maximum(x, 1e-12))))


def place_cost(needs: CameraNeeds, gear: Gear, g: CandidateGeometry) -> Array:
    """Cost of lens, distance and support [stops]."""
    s_m = g.lens_distance_mm / 1000.0
    wanted = np.sqrt(needs.frame_width_mm * needs.frame_height_mm)
    side = np.sqrt(g.frame_width_mm * g.frame_height_mm)
    cost = LOOSE * above(side / wanted) + lost_cost(side / np.sqrt(needs.best_area_mm2))
    cut, few = np.zeros_like(s_m), np.zeros_like(s_m)
    uncut = np.full(s_m.shape, not needs.channels)
    for channel in needs.channels:
        room = channel_room(
            g.frame_width_mm, g.frame_height_mm, channel, needs.shown_width_mm, needs.shown_height_mm
        )
        cut = cut + above(HERO_ROOM / np.maximum(room.ratio, 1e-3))
        uncut = uncut | (room.ratio >= HERO_ROOM - 0.005)
        few = np.maximum(
            few, above(channel.width_px / (room.crop_width / g.frame_width_mm * needs.pixels_wide))
        )
    if not close_up(needs):
        cost = cost + np.where(uncut, 0.0, NO_CHANNEL)
    # the mean: one odd channel gets a second frame rather than spoiling this one for the others
    cost = cost + (CUT * cut + PIXELS * few) / max(len(needs.channels), 1)

    half = np.hypot(needs.sensor_width_mm, needs.sensor_height_mm) / 2.0
    tangent = half / (g.focal_length_mm * (1.0 + g.magnification))
    cost = cost + STRETCH * np.log2(1.0 + tangent * tangent)
    depth = np.minimum(needs.hero_depth_mm, 1.8 * g.lens_distance_mm)
    front_over_back = (g.lens_distance_mm + depth / 2) / (g.lens_distance_mm - depth / 2)
    cost = cost + NEARNESS * above(front_over_back / 1.25)

    clearance = (g.sensor_distance_mm - gear.lens.length_mm - needs.solid_nearer_mm) / 1000.0
    cost = cost + _gap(CLEARANCE_M - clearance, 3.0, 20.0) + _gap(-clearance, IN_FOOD, IN_FOOD)
    return np.asarray(cost + support_cost(needs, gear, g) + room_cost(needs, gear, g))


def lost_cost(looser: Array) -> Array:
    """Cost [stops] of a frame whose side is so many times that of the best frame for what was asked."""
    return np.asarray(np.where(looser > FRAME_TOLERANCE * (1 + 1e-9), LOST + LOST_MORE * above(looser), 0.0))


def support_cost(needs: CameraNeeds, gear: Gear, g: CandidateGeometry) -> Array:
    """Cost of what holds the camera [stops]."""
    support, e = gear.support, np.radians(needs.elevation_deg)
    cost = np.zeros_like(g.lens_distance_mm)
    lens_height = gear.spot.height_m + (needs.aim_height_mm + g.lens_distance_mm * np.sin(e)) / 1000.0
    if support.kind == "hand":
        # hands cannot be put back where they were; overhead they also tire
        return cost + 1.0 + (1.0 if needs.overhead else 0.0) + _gap(lens_height - 1.9, 1.0, 10.0)
    cost = (
        cost
        + _gap(lens_height - support.highest_m, 4.0, 20.0)
        + _gap(support.lowest_m - lens_height, 4.0, 20.0)
    )
    if support.kind == "arm":
        if needs.overhead:
            return cost + _gap(needed_reach_m(needs, g) - support.arm_reach_m, 2.0, 10.0)
        return cost + 0.5
    # a plain tripod's legs come into a picture looked at from above
    return cost + 0.2 * max(0.0, needs.elevation_deg - 65.0)


def needed_reach_m(needs: CameraNeeds, g: CandidateGeometry) -> Array:
    """Arm from the column to the camera so that the column stays out of the picture [m]."""
    return np.minimum(g.frame_width_mm, g.frame_height_mm) / 2000.0 + 0.08


def wall_gap_m(needs: CameraNeeds, gear: Gear) -> float:
    """From the camera's back to a wall [m]: a tripod under it needs half the reach of its feet, two of them turned
    along the wall."""
    if gear.support.kind == "hand" or (gear.support.kind == "arm" and needs.overhead):
        return WALL_M
    return max(WALL_M, gear.support.feet_radius_m / 2.0 + FOOT_M)


def room_cost(needs: CameraNeeds, gear: Gear, g: CandidateGeometry) -> Array:
    """Cost of standing outside the room [stops]."""
    e, a = np.radians(needs.elevation_deg), np.radians(gear.camera_faces_deg)
    room, d = gear.studio.room, g.sensor_distance_mm / 1000.0
    x = gear.spot.from_left_m - np.sin(a) * np.cos(e) * d
    y = room.depth_m - gear.spot.from_front_m - np.cos(a) * np.cos(e) * d
    z = gear.spot.height_m + needs.aim_height_mm / 1000.0 + np.sin(e) * d
    gap = wall_gap_m(needs, gear)
    out = np.maximum.reduce(
        [
            gap - x,
            x - room.width_m + gap,
            gap - y,
            y - room.depth_m + gap,
            z - room.height_m + WALL_M,
        ]
    )
    return _gap(out, 6.0, 30.0)


def _gap(short_m: Array, start: float, slope: float) -> Array:
    """0 while there is no shortage, else a step and a slope per metre."""
    return np.asarray(np.where(short_m > 1e-9, start + slope * short_m, 0.0))


def snapped_iso(camera: Camera, wanted: Array) -> Array:
    """ISO to the nearest third of a stop, within the camera's range."""
    thirds = np.round(3.0 * np.log2(np.maximum(wanted, 1e-9) / 100.0))
    low, high = np.round(3.0 * np.log2(np.array([camera.base_iso, camera.highest_iso]) / 100.0))
    return np.asarray(100.0 * 2.0 ** (np.clip(thirds, low, high) / 3.0))


def edge_blur(needs: CameraNeeds, lens: Lens, g: CandidateGeometry, f_number: Array) -> tuple[Array, Array]:
    """Focus distance and defocus blur at the ends of the depth needed [mm], when focused for equal blur."""
    f, s = g.focal_length_mm, g.lens_distance_mm
    near = np.maximum(needs.near_end_mm(s), 1.05 * f)
    far = np.maximum(s + needs.farther_mm, near)
    offset = f * (1.0 / lens.pupil_magnification - 1.0)
    focus = np.maximum(equal_blur_focus_mm(near, far, offset), 1.06 * f)
    return focus, blur_disc_mm(f, f_number, focus, near, lens.pupil_magnification)


def _slow(times: Array) -> Array:
    """Cost [stops] of a shutter so many times too slow; from a sixth of a stop on it is told, which costs too."""
    stops = above(times)
    return MOTION * stops + WORD_OF_SHORT * np.clip(6.0 * stops, 0.0, 1.0)


def settings_cost(
    needs: CameraNeeds,
    gear: Gear,
    g: CandidateGeometry,
    f_number: Array,
    exposure_s: Array,
    illuminance_lx: float,
    fall_m: float,
) -> tuple[Array, Array]:
    """Cost of the settings [stops], and the ISO each needs. All arrays broadcast against each other."""
    lens, camera = gear.lens, gear.camera
    f, m, c = g.focal_length_mm, g.magnification, g.circle_mm
    n_eff = effective_f_number(f_number, m, np.asarray(lens.pupil_magnification))

    focus, defocus = edge_blur(needs, lens, g, f_number)
    soft = SOFT_WIDE * c * (lens.widest_aperture / f_number) ** 1.5
    blur2 = defocus**2 + airy_mm(n_eff) ** 2 + soft**2
    cost = np.log2(1.0 + blur2 / c**2) + SHORT * above(defocus / c)
    # a frame told to be short of depth must be worth it: no third of a stop saved for that
    cost = cost + WORD_OF_SHORT * np.clip((defocus / c - 1.0) / DEPTH_TOLERANCE, 0.0, 1.0)

    iso = snapped_iso(camera, n_eff**2 * INCIDENT_C / (illuminance_lx * exposure_s))
    wrong = np.abs(np.log2(exposure_s * illuminance_lx * iso / (INCIDENT_C * n_eff**2)))
    cost = cost + EXPOSURE * np.maximum(0.0, wrong - 1 / 6) + 0.3 * np.minimum(wrong, 1 / 6)
    gain = np.log2(iso / camera.base_iso)
    cost = cost + NOISE * np.maximum(0.0, gain) + NOISE / 2 * np.maximum(0.0, gain - 2.0)

    if needs.speed_m_s > 0:
        streak = needs.speed_m_s * 1000.0 * m * exposure_s
        cost = cost + _slow(streak / (needs.streak_circles * c))
    if needs.wants_stream:
        stream = fall_speed_m_s(fall_m) * 1000.0 * m * exposure_s / needs.pixel_mm
        cost = cost + MELT * above(SILK_PX / stream)
    if gear.support.kind == "hand":
        cost = cost + _slow(exposure_s * f * needs.crop_factor * (1.0 + 2.0 * m))
    cost = cost + SLOW * above(exposure_s * 30.0)

    if needs.background_mm is not None and needs.background_percent:
        behind = g.lens_distance_mm + needs.background_mm
        percent = (
            100.0 * blur_disc_mm(f, f_number, focus, behind, lens.pupil_magnification) / needs.sensor_width_mm
        )
        cost = cost + MELT * above(needs.background_percent / np.maximum(percent, 1e-6))
    return np.asarray(cost), iso
