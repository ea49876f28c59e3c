"""What moves, against the shutter: streaks of hands, pours, drops, sugar and steam; the hand-held limit.

`fall_speed_m_s`    free fall, sqrt(v0² + 2 g z): the upper bound for thick liquids
`streak_px`         v m t / p
`MOVERS`            how fast each kind moves and how long a streak still reads as sharp (common practice, no source)
`longest_exposure_s`, `hand_limit_s`, `judge`

A steady pour has a still outline, so its silk is free of the shutter; what must hold still is the hand, unless
the drops are wanted frozen.
"""

import math
from dataclasses import dataclass

from plateside.camera.setup import Motion

GRAVITY_M_S2 = 9.80665


def fall_speed_m_s(fall_m: float, start_m_s: float = 0.0) -> float:
    """Speed after a fall, without drag [m/s]."""
    return math.sqrt(start_m_s**2 + 2.0 * GRAVITY_M_S2 * fall_m)


def streak_px(speed_m_s: float, magnification: float, exposure_s: float, pixel_mm: float) -> float:
    """Length of the streak on the sensor [px] of something that moves across the view."""
    return speed_m_s * 1000.0 * magnification * exposure_s / pixel_mm


def longest_exposure_s(speed_m_s: float, magnification: float, allowed_px: float, pixel_mm: float) -> float:
    """Longest shutter [s] for a streak of at most `allowed_px`; infinite when nothing moves."""
    if speed_m_s <= 0:
        return math.inf
    return allowed_px * pixel_mm / (speed_m_s * 1000.0 * magnification)


def hand_limit_s(
    focal_length_mm: float, crop_factor: float, magnification: float = 0.0, stabiliser_stops: float = 0.0
) -> float:
    """Longest hand-held exposure [s]: 1/(f x crop), tightened by (1 + 2m) at close range. A rule of thumb."""
    return math.pow(2.0, stabiliser_stops) / (focal_length_mm * crop_factor * (1.0 + 2.0 * magnification))


@dataclass(frozen=True)
class Mover:
    """How one kind of motion is treated."""

    speed_m_s: float | None
    """Speed of what must hold still; None: the fall's own speed."""
    circles: float
    """Streak that still reads as meant, in circles of confusion."""
    wants_stream: bool = False
    """Whether the stream itself should streak."""


MOVERS: dict[str, Mover] = {
    "nothing": Mover(0.0, 1.0),
    "hand": Mover(0.10, 2.0),
    "silk pour": Mover(0.05, 2.0, wants_stream=True),
    "frozen drops": Mover(None, 4.0),
    "steam": Mover(0.30, 8.0),
    "falling sugar": Mover(None, 12.0),
}

SILK_PX = 20.0
"""A stream streaked by less than this shows its drops (common practice, no source)."""


def mover_speed_m_s(moves: str, fall_m: float) -> float:
    """Speed of what must hold still [m/s]."""
    speed = MOVERS[moves].speed_m_s
    return fall_speed_m_s(fall_m) if speed is None else speed


def judge(
    moves: str,
    fall_m: float,
    magnification: float,
    exposure_s: float,
    pixel_mm: float,
    circle_mm: float,
    hand_limit_s: float | None = None,
) -> Motion:
    """What the shutter makes of the motion."""
    mover = MOVERS[moves]
    speed = mover_speed_m_s(moves, fall_m)
    allowed = mover.circles * circle_mm / pixel_mm
    streak = streak_px(speed, magnification, exposure_s, pixel_mm)
    stream = (
        streak_px(fall_speed_m_s(fall_m), magnification, exposure_s, pixel_mm)
        if moves in ("silk pour", "frozen drops", "falling sugar")
        else 0.0
    )
    # a sixth of a stop is the rounding of the shutter scale
    holds = streak <= allowed * 2 ** (1 / 6) and (
        hand_limit_s is None or exposure_s <= hand_limit_s * 2 ** (1 / 6)
    )
    limit = None if moves == "nothing" else longest_exposure_s(speed, magnification, allowed, pixel_mm)
    return Motion(
        moves=moves,
        speed_m_s=speed,
        streak_px=streak,
        allowed_px=allowed,
        holds=holds,
        stream_px=stream,
        hand_limit_s=hand_limit_s,
        limit_s=limit,
    )
