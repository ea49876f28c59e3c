"""What a shot asks of the camera: frame, depth, circle of confusion, channels, background, motion.

`CameraNeeds`, `needs_of`       everything that does not depend on lens, distance or settings
`circle_of`               circle of confusion: by the pictures delivered, within the format's and the pixels' bounds
`channel_room`            how a channel's crop holds the hero
"""

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from plateside.camera.motion import MOVERS, mover_speed_m_s
from plateside.camera.optics import circle_for_delivery_mm, circle_of_format_mm
from plateside.camera.setup import CircleFrom
from plateside.model.gear import Camera
from plateside.model.shoot import Channel, Shot

Array = NDArray[np.float64]

OVERHEAD_FROM_DEG = 75.0
"""From this elevation up the camera hangs over the table and is aimed at its surface."""
HERO_ROOM = 1.10
"""Room round the hero in every channel's crop (shoot loose, crop later: common practice)."""
NEAREST_OF_PLANE = 0.3
"""Share of the lens's distance: what a camera near the table shows of it nearer than that is not meant to be sharp
(common practice, no source)."""
LEVEL_ERROR_DEG = 2.0
"""How far off level the camera may be: depth added to a whole plane."""
FRAME_TOLERANCE = 1.05
"""A frame whose sides are at most this many times those asked is the frame asked: a tape and a hand do no better."""
DEPTH_TOLERANCE = 0.05
"""A depth of field, and a blur at its ends, this share off what is needed is 'just enough': the solver's and the tape's
own grain."""
HAND_ABOVE_MM = 100.0
"""How high over the dish's rim a hand works (common practice, no source)."""
HIGHEST_MM = 300.0
"""Over the rim: what begins higher is out of the picture, or over the lens (common practice, no source)."""
FRONT_SHARE = 1.0 / 6.0
"""Share of the hero's depth, from its front, that is sharp when only the front is to be."""
FRONT_MELT_PERCENT = 2.0
"""Background blur wanted when only the front is to be sharp and no wish is written."""


@dataclass(frozen=True, kw_only=True)
class CameraNeeds:
    """What the shot asks, for one orientation of the frame. Millimetres; depths along the lens's axis."""

    orientation: str
    sensor_width_mm: float
    sensor_height_mm: float
    pixels_wide: int
    pixels_high: int
    pixel_mm: float
    crop_factor: float
    frame_width_mm: float
    frame_height_mm: float
    magnification: float
    """At which the wanted frame just fills the sensor."""
    elevation_deg: float
    overhead: bool
    best_area_mm2: float
    """Of the smallest frame of the sensor's shape that holds what was asked, held the better of the ways left open."""
    hero_width_mm: float
    hero_height_mm: float
    """The hero as the picture shows it."""
    shown_width_mm: float
    shown_height_mm: float
    """What a channel's crop must hold, with HERO_ROOM: the hero, or as much of it as the frame asked for holds."""
    hero_depth_mm: float
    aim_height_mm: float
    """Aim point above the table top."""
    nearer_mm: float
    """Depth needed nearer than the aim point's plane."""
    farther_mm: float
    """Depth needed beyond it; negative when all of it is nearer."""
    solid_nearer_mm: float
    """The same as `nearer_mm` without what moves: how far the food itself comes towards the lens."""
    moving_nearer_mm: float
    """How far what moves comes towards the lens; 0 when nothing does."""
    plane_more_mm: float | None
    """Depth that a plane to be sharp needs besides its own, nearer; None: only the dish is to be."""
    moving_height_mm: float
    """Its highest point in the picture, above the table."""
    moving_counted: bool
    """Whether `nearer_mm` holds what moves; the shot may let it blur."""
    circle_mm: float
    circle_from: CircleFrom
    background_mm: float | None
    """Aim point to the background along the axis; None when the camera looks down."""
    background_percent: float | None
    speed_m_s: float
    streak_circles: float
    wants_stream: bool
    channels: tuple[Channel, ...]

    def near_end_mm(self, lens_distance_mm: Array) -> Array:
        """Where what is to be sharp begins, from the lens along its axis [mm].

        Of a plane no more is to be than the picture shows: its lower edge looks down by the elevation and half the
        angle of view, and meets the table there (a central projection).
        """
        s = lens_distance_mm
        if self.plane_more_mm is None:
            return s - self.nearer_mm
        e, half_view = math.radians(self.elevation_deg), np.arctan(self.frame_height_mm / 2.0 / s)
        above_table = s * math.sin(e) + self.aim_height_mm
        shown_from = np.maximum(above_table * np.cos(half_view) / np.sin(e + half_view), NEAREST_OF_PLANE * s)
        plane = np.minimum(s - shown_from + self.plane_more_mm, self.nearer_mm)
        moving = self.moving_nearer_mm if self.moving_counted else 0.0
        return np.asarray(s - np.maximum(plane, max(self.solid_nearer_mm, moving)))


def circle_of(
    sensor_width_mm: float, sensor_height_mm: float, pixel_mm: float, channels: Sequence[Channel]
) -> tuple[float, CircleFrom]:
    """Circle of confusion [mm] and what decides it: 1.5 pixels of the most demanding picture delivered, kept between
    two pixels of the sensor and diagonal/1500."""
    classical = circle_of_format_mm(sensor_width_mm, sensor_height_mm)
    best, because = classical, CircleFrom(code="format")
    for channel in channels:
        crop = min(sensor_width_mm, sensor_height_mm * channel.width_px / channel.height_px)
        circle = circle_for_delivery_mm(crop, channel.width_px)
        if circle < best:
            best = circle
            because = CircleFrom(code="channel", channel=channel.name, width_px=channel.width_px)
    if best < 2.0 * pixel_mm:
        best, because = 2.0 * pixel_mm, CircleFrom(code="pixels")
    return best, because


def needs_of(shot: Shot, camera: Camera, channels: Sequence[Channel], orientation: str) -> CameraNeeds:
    """What the shot asks, with the camera held upright or lying."""
    long_mm, short_mm = camera.sensor_width_mm, camera.sensor_height_mm
    lying = orientation == "landscape"
    sensor_w, sensor_h = (long_mm, short_mm) if lying else (short_mm, long_mm)
    pixels_w, pixels_h = (
        (camera.pixels_wide, camera.pixels_high) if lying else (camera.pixels_high, camera.pixels_wide)
    )
    pixel = long_mm / camera.pixels_wide
    wanted = tuple(c for c in channels if not shot.channels or c.name in shot.channels)
    e = math.radians(shot.elevation)
    overhead = shot.elevation >= OVERHEAD_FROM_DEG
    d, h = shot.dish_width_mm, shot.dish_height_mm
    m = min(sensor_w / shot.frame_width_mm, sensor_h / shot.frame_height_mm)
    # a flat thing seen edge on still has a line to keep whole
    hero_w, hero_h = d, max(d * math.sin(e) + h * math.cos(e), 1.0)
    # a close crop cuts the dish as you want it: a channel need not hold more than the frame
    shown_w = min(hero_w, shot.frame_width_mm / HERO_ROOM)
    shown_h = min(hero_h, shot.frame_height_mm / HERO_ROOM)
    uncut = [c for c in wanted if _holds(sensor_w / m, sensor_h / m, c, shown_w, shown_h)]
    # a channel whose crop cuts the hero gets its own frame, so it does not ask this one for sharpness
    circle, because = circle_of(sensor_w, sensor_h, pixel, uncut)
    across, up = d * math.cos(e), h * math.sin(e)
    aim = 0.0 if overhead else h / 2.0
    # the hero's depth about the aim point: about its middle, or, from above, from its rim down to the table
    nearer, farther = (up + across / 2, across / 2) if overhead else ((across + up) / 2, (across + up) / 2)
    # the lens may come over the table that is to be sharp, not into the dish
    solid, plane_more = nearer, None
    if shot.sharp == "front":
        farther = FRONT_SHARE * (across + up) - nearer
    elif shot.sharp == "plane":
        half = min(shot.frame_height_mm / 2 / math.tan(max(e, math.radians(10))), 400.0)
        level = (
            math.hypot(shot.frame_width_mm, shot.frame_height_mm)
            / 2
            * math.sin(math.radians(LEVEL_ERROR_DEG))
        )
        lift = aim * math.sin(e)
        plane_more = level + up - lift
        nearer, farther = max(nearer, half + plane_more), max(farther, half + level + lift)

    height = moving_height_mm(shot)
    moving = max(0.0, (height - aim) * math.sin(e)) if height > 0 else 0.0
    counted = moving > 0 and shot.moves != "steam" and shot.sharp != "front" and "blur" not in shot.deliberate
    if counted:
        nearer = max(nearer, moving)

    percent = shot.background_blur_percent
    if percent is None and shot.sharp == "front" and not overhead:
        percent = FRONT_MELT_PERCENT
    mover = MOVERS[shot.moves]
    return CameraNeeds(
        orientation=orientation,
        sensor_width_mm=sensor_w,
        sensor_height_mm=sensor_h,
        pixels_wide=pixels_w,
        pixels_high=pixels_h,
        pixel_mm=pixel,
        crop_factor=math.hypot(36.0, 24.0) / math.hypot(long_mm, short_mm),
        frame_width_mm=shot.frame_width_mm,
        frame_height_mm=shot.frame_height_mm,
        magnification=m,
        best_area_mm2=min(_shaped_area_mm2(shot, a, b) for a, b in _ways(shot, long_mm, short_mm)),
        elevation_deg=shot.elevation,
        overhead=overhead,
        hero_width_mm=hero_w,
        hero_height_mm=hero_h,
        shown_width_mm=shown_w,
        shown_height_mm=shown_h,
        hero_depth_mm=across + up,
        aim_height_mm=aim,
        nearer_mm=nearer,
        farther_mm=farther,
        solid_nearer_mm=solid,
        moving_nearer_mm=moving,
        plane_more_mm=plane_more,
        moving_height_mm=height,
        moving_counted=counted,
        circle_mm=circle,
        circle_from=because,
        background_mm=None if overhead else (across / 2 + shot.background_gap_mm * math.cos(e)),
        background_percent=None if overhead else percent,
        speed_m_s=mover_speed_m_s(shot.moves, shot.fall_height_mm / 1000.0),
        streak_circles=mover.circles,
        wants_stream=mover.wants_stream,
        channels=wanted,
    )


def close_up(needs: CameraNeeds) -> bool:
    """Whether the frame asked for cuts the dish: as you want it."""
    return needs.frame_width_mm < needs.hero_width_mm or needs.frame_height_mm < needs.hero_height_mm


def moving_height_mm(shot: Shot) -> float:
    """The highest point in the picture of what moves or works over the dish, above the table; 0: nothing does.

    A hand works HAND_ABOVE_MM over the rim; a stream, drops and grains begin at `fall_height_mm` over it, with the
    hand that lets them fall; steam is counted as a hand is. What the frame does not show is left out.
    """
    if shot.moves == "nothing" and not shot.person:
        return 0.0
    falls = shot.moves in ("silk pour", "frozen drops", "falling sugar")
    over = min(shot.fall_height_mm if falls else HAND_ABOVE_MM, HIGHEST_MM)
    aim = 0.0 if shot.elevation >= OVERHEAD_FROM_DEG else shot.dish_height_mm / 2.0
    upright = math.cos(math.radians(shot.elevation))
    shown = aim + shot.frame_height_mm / 2.0 / upright if upright > 0.02 else math.inf
    return min(shot.dish_height_mm + over, shown)


def _ways(shot: Shot, long_mm: float, short_mm: float) -> list[tuple[float, float]]:
    """The sensor's sides, across and up, in each way that the shot lets it be held."""
    ways = {"landscape": (long_mm, short_mm), "portrait": (short_mm, long_mm)}
    return list(ways.values()) if shot.orientation == "auto" else [ways[shot.orientation]]


def _shaped_area_mm2(shot: Shot, sensor_w: float, sensor_h: float) -> float:
    """Of the smallest frame of a sensor's shape that holds what was asked."""
    m = min(sensor_w / shot.frame_width_mm, sensor_h / shot.frame_height_mm)
    return sensor_w * sensor_h / (m * m)


@dataclass(frozen=True)
class ChannelRoom:
    """How one channel's crop holds the hero; arrays over frame sizes."""

    crop_width: Array
    crop_height: Array
    ratio: Array
    """The hero could grow by this factor and still be whole."""


def channel_room(
    frame_width: Array, frame_height: Array, channel: Channel, hero_width: float, hero_height: float
) -> ChannelRoom:
    """The crop of a channel's shape that best holds a hero in the middle of the frame.

    The largest crop first; where text asks for an empty third, the crop is shifted, and made smaller in tenths,
    until the hero fits its other two thirds with `HERO_ROOM`.
    """
    shape = channel.width_px / channel.height_px
    full_w = np.minimum(frame_width, frame_height * shape)
    full_h = full_w / shape
    out_w, out_h, out_ratio = full_w.copy(), full_h.copy(), np.zeros_like(full_w)
    sizes = (1.0,) if channel.text_space == "none" else (1.0, 0.9, 0.8, 0.7, 0.6)
    for size in sizes:
        w, h = full_w * size, full_h * size
        fits_w, fits_h = w, h
        if channel.text_space in ("top", "bottom"):
            fits_h = _beside_text(frame_height, h)
        elif channel.text_space in ("left", "right"):
            fits_w = _beside_text(frame_width, w)
        ratio = np.minimum(fits_w / hero_width, fits_h / hero_height)
        better = (out_ratio < HERO_ROOM) & (ratio > out_ratio)
        out_w, out_h = np.where(better, w, out_w), np.where(better, h, out_h)
        out_ratio = np.where(better, ratio, out_ratio)
    return ChannelRoom(out_w, out_h, out_ratio)


def _holds(frame_width: float, frame_height: float, channel: Channel, hero_w: float, hero_h: float) -> bool:
    room = channel_room(np.array([frame_width]), np.array([frame_height]), channel, hero_w, hero_h)
    return float(room.ratio[0]) >= HERO_ROOM - 0.005


def _beside_text(frame: Array, crop: Array) -> Array:
    """Largest hero, in the frame's middle, that fits two thirds of a crop which may be shifted within the frame."""
    shift = np.minimum((frame - crop) / 2.0, crop / 6.0)
    return np.asarray(2.0 * (crop / 6.0 + shift))
