"""The facts of a solved set-up: crops, depth, focus, background, bracket, stack."""

import math
from dataclasses import replace

import numpy as np

from plateside.camera.optics import (
    airy_mm,
    blur_disc_mm,
    combined_blur_mm,
    depth_limits_mm,
    magnification_at,
)
from plateside.camera.setup import Bracket, Coverage, Depth, LightForShot, Moving, SetUp, Stack
from plateside.camera.stack import positions
from plateside.ground.exposure import SHUTTERS as SHUTTER_MARKS
from plateside.ground.exposure import effective_f_number, nearest
from plateside.model.gear import Lens
from plateside.model.shoot import Shot
from plateside.plan.camera_needs import DEPTH_TOLERANCE, HERO_ROOM, CameraNeeds, channel_room, close_up

WIDE_STOPS = 1.2
"""From here on the light's spread asks for a bracket."""
MOST_STACKED = 60
"""Beyond this many frames a stack is not offered."""


def coverage_of(needs: CameraNeeds, frame_width_mm: float, frame_height_mm: float) -> tuple[Coverage, ...]:
    """What each channel's crop holds."""
    out = []
    for channel in needs.channels:
        frame = np.array([frame_width_mm]), np.array([frame_height_mm])
        room = channel_room(*frame, channel, needs.shown_width_mm, needs.shown_height_mm)
        w, h, shown = float(room.crop_width[0]), float(room.crop_height[0]), float(room.ratio[0])
        # room.ratio is of what the frame is to show of the dish; the margin is told of the dish itself
        ratio = shown * min(
            needs.shown_width_mm / needs.hero_width_mm, needs.shown_height_mm / needs.hero_height_mm
        )
        if needs.shown_width_mm >= needs.hero_width_mm and needs.shown_height_mm >= needs.hero_height_mm:
            ratio = shown
        px_w = math.floor(w / frame_width_mm * needs.pixels_wide + 1e-6)
        px_h = math.floor(h / frame_height_mm * needs.pixels_high + 1e-6)
        margin = 100.0 * (ratio - 1.0)
        out.append(
            Coverage(
                channel=channel.name,
                crop_width_px=px_w,
                crop_height_px=px_h,
                crop_width_mm=w,
                crop_height_mm=h,
                margin_percent=margin,
                holds_hero=ratio >= 1.0 or (close_up(needs) and shown >= HERO_ROOM - 0.005),
                enough_pixels=px_w >= channel.width_px and px_h >= channel.height_px,
                part_of_dish=close_up(needs),
                text_space=channel.text_space,
            )
        )
    return tuple(out)


def depth_of(
    needs: CameraNeeds,
    lens: Lens,
    f: float,
    f_number: float,
    lens_distance_mm: float,
    focus_mm: float,
    circle_mm: float,
) -> Depth:
    """Depth of field against the depth needed."""
    pupil = lens.pupil_magnification
    near, far = depth_limits_mm(f, f_number, circle_mm, focus_mm, pupil)
    needed_near = float(needs.near_end_mm(np.asarray(lens_distance_mm)))
    needed_far = lens_distance_mm + needs.farther_mm
    airy = airy_mm(effective_f_number(f_number, magnification_at(f, focus_mm), pupil))
    defocus = float(
        np.max(
            blur_disc_mm(
                np.array([f, f]),
                np.array([f_number, f_number]),
                np.array([focus_mm, focus_mm]),
                np.array([max(needed_near, f * 1.01), max(needed_far, f * 1.02)]),
                pupil,
            )
        )
    )
    total, needed = far - near, needed_far - needed_near
    return Depth(
        near_m=near / 1000.0,
        far_m=far / 1000.0,
        needed_near_m=needed_near / 1000.0,
        needed_far_m=needed_far / 1000.0,
        total_mm=total,
        needed_mm=needed,
        enough=depth_verdict(total, needed, defocus / circle_mm) != "not enough",
        circle_mm=circle_mm,
        circle_from=replace(needs.circle_from, cropped=circle_mm <= 0.99 * needs.circle_mm),
        diffraction_mm=airy,
        edge_blur_mm=combined_blur_mm(defocus, airy),
        front_melts=needs.background_percent is not None,
        verdict=depth_verdict(total, needed, defocus / circle_mm),
    )


def depth_verdict(total_mm: float, needed_mm: float, end_circles: float) -> str:
    """Whether a depth of field holds what is needed: enough, just enough, not enough.

    end_circles  blur at the worse end of the depth needed, in circles of confusion
    """
    if end_circles > 1.0 + DEPTH_TOLERANCE or total_mm < (1.0 - DEPTH_TOLERANCE) * needed_mm:
        return "not enough"
    # what reads the same in whole millimetres is the same
    return "enough" if round_mm(total_mm) >= round_mm(needed_mm) else "just enough"


def round_mm(value_mm: float) -> float:
    """Whole millimetres; infinity stays."""
    return float(round(value_mm)) if math.isfinite(value_mm) else value_mm


def moving_of(
    needs: CameraNeeds,
    lens: Lens,
    s_mm: float,
    focus_mm: float,
    f: float,
    f_number: float,
    moves: str,
    circle_mm: float,
) -> Moving | None:
    """How far the highest point of what moves is out of focus; None when nothing moves, or when it is level with the
    dish and its depth is the dish's own."""
    if needs.moving_nearer_mm <= max(needs.solid_nearer_mm, 1e-6):
        return None
    at = max(s_mm - needs.moving_nearer_mm, 1.05 * f)
    blur = blur_disc_mm(f, f_number, focus_mm, at, lens.pupil_magnification)
    px, mm = blur / needs.pixel_mm, blur / magnification_at(f, at)
    return Moving(
        what=moves,
        height_mm=needs.moving_height_mm,
        counted=needs.moving_counted,
        blur_px=px,
        blur_mm=mm,
        sharp=blur <= (1.0 + DEPTH_TOLERANCE) * circle_mm,
    )


def focus_on(needs: CameraNeeds) -> str:
    """What to focus on, so that near and far end of the depth needed are equally sharp: surface, front or middle."""
    return "surface" if needs.overhead else "front" if needs.farther_mm < 0 else "middle"


def background_of(
    needs: CameraNeeds, lens: Lens, f: float, f_number: float, lens_distance_mm: float, focus_mm: float
) -> tuple[float, str]:
    """Blur of the background as share of the frame's width [%], and how it looks: none, texture, soft or melted."""
    if needs.background_mm is None:
        return 0.0, "none"
    behind = lens_distance_mm + needs.background_mm
    disc = blur_disc_mm(f, f_number, focus_mm, behind, lens.pupil_magnification)
    percent = 100.0 * disc / needs.sensor_width_mm
    return percent, "texture" if percent < 1 else "soft" if percent < 3 else "melted"


def bracket_of(light: LightForShot, exposure_s: float, moves: str) -> Bracket | None:
    """Three exposures when the light is uncertain by a stop or more; none for things that move."""
    spread = math.log2(light.high_share / light.low_share)
    if spread < WIDE_STOPS or moves != "nothing":
        return None
    step = min(2.0, max(2 / 3, round(spread / 2.0 * 3.0) / 3.0))
    marks = list(dict.fromkeys(nearest(SHUTTER_MARKS, exposure_s * 2.0**k) for k in (-step, 0.0, step)))
    if len(marks) < 3:
        return None
    return Bracket(
        step_stops=step,
        exposures_s=tuple(m.exact for m in marks),
        spread_stops=spread,
    )


def stack_of(needs: CameraNeeds, lens: Lens, s: SetUp, shot: Shot) -> Stack | None:
    """A focus stack, when one frame cannot hold the depth crisply and nothing moves."""
    crisp = s.depth.enough and s.depth.edge_blur_mm <= 1.25 * s.depth.circle_mm
    if crisp or shot.moves != "nothing" or shot.person:
        return None
    f_number = min(max(2.0 * lens.widest_aperture, 4.0), 8.0, s.f_number)
    circle = max(2.0 * needs.pixel_mm, s.depth.circle_mm / math.sqrt(2.0))
    places = positions(
        s.focal_length_mm,
        f_number,
        circle,
        s.depth.needed_near_m * 1000.0,
        s.depth.needed_far_m * 1000.0,
        s.pupil_magnification,
    )
    if len(places) > MOST_STACKED or len(places) < 2:
        return None
    extra = s.sensor_distance_m * 1000.0 - s.lens_distance_m * 1000.0
    step = (places[-1] - places[0]) / (len(places) - 1)
    return Stack(
        f_number=f_number,
        frames=len(places),
        positions_m=tuple((p + extra) / 1000.0 for p in places),
        step_mm=step,
        exposure_s=s.exposure_s * (f_number / s.f_number) ** 2,
    )
