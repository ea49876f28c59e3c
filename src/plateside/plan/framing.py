"""The frame in three steps: what was asked, what the sensor's and the channels' shapes make of it, what the lens gives.

`framing_of`       the three, and whether the frame asked for is kept
`smallest_frame`   the smallest frame of a shape that holds the dish in every channel's crop
`able`             whether a lens can give a frame at all: its closest focus, and its front clear of the food
"""

import math
from collections.abc import Sequence

import numpy as np

from plateside.camera.optics import magnification_from_sensor
from plateside.camera.setup import Framing
from plateside.model.gear import Lens
from plateside.model.shoot import Channel
from plateside.plan.camera_needs import FRAME_TOLERANCE, HERO_ROOM, CameraNeeds, channel_room

Sides = tuple[float, float]

MOST_LOOSE = 12.0
"""Times the frame asked for, beyond which no channel is worth its frame."""


def framing_of(needs: CameraNeeds, got: Sides) -> Framing:
    """What was asked and what became of it; `got` is the set-up's frame [mm]."""
    asked = (needs.frame_width_mm, needs.frame_height_mm)
    shaped = (needs.sensor_width_mm / needs.magnification, needs.sensor_height_mm / needs.magnification)
    channels = smallest_frame(needs, shaped, needs.channels)
    asking = tuple(c.name for c in needs.channels if smallest_frame(needs, shaped, (c,)) != shaped)
    looser = math.sqrt(got[0] * got[1] / needs.best_area_mm2)
    return Framing(
        asked_mm=asked,
        sensor_mm=shaped,
        channels_mm=channels,
        channels_by=asking,
        got_mm=got,
        as_asked=looser <= FRAME_TOLERANCE + 1e-6,
    )


def same(one: Sides, other: Sides) -> bool:
    """Whether both sides agree within FRAME_TOLERANCE."""
    return all(
        1 / FRAME_TOLERANCE - 1e-6 <= a / b <= FRAME_TOLERANCE + 1e-6 for a, b in zip(one, other, strict=True)
    )


def smallest_frame(needs: CameraNeeds, shaped: Sides, channels: Sequence[Channel]) -> Sides | None:
    """The smallest frame of `shaped`'s shape, no smaller than it, whose crops of all `channels` hold the dish."""

    def holds(k: float) -> bool:
        frame = np.array([shaped[0] * k]), np.array([shaped[1] * k])
        rooms = (channel_room(*frame, c, needs.shown_width_mm, needs.shown_height_mm) for c in channels)
        return all(float(r.ratio[0]) >= HERO_ROOM - 0.005 for r in rooms)

    if holds(1.0):
        return shaped
    low, high = 1.0, MOST_LOOSE
    if not holds(high):
        return None
    for _ in range(30):
        middle = math.sqrt(low * high)
        low, high = (low, middle) if holds(middle) else (middle, high)
    return shaped[0] * high, shaped[1] * high


def turned(needs: CameraNeeds) -> Sides:
    """The smallest frame of the sensor held the other way that holds what was asked."""
    m = min(needs.sensor_height_mm / needs.frame_width_mm, needs.sensor_width_mm / needs.frame_height_mm)
    return needs.sensor_height_mm / m, needs.sensor_width_mm / m


def closest_magnification(lens: Lens, focal_length_mm: float) -> float:
    """The largest magnification that a lens's closest focus allows; life size under four focal lengths."""
    closest_mm = 1000.0 * lens.closest_focus_m
    return (
        1.0 if closest_mm <= 4.0 * focal_length_mm else magnification_from_sensor(focal_length_mm, closest_mm)
    )


def able(needs: CameraNeeds, lens: Lens, magnification: float) -> str:
    """Why a lens cannot give a magnification: 'closest focus' or 'working distance'; empty when it can."""
    top = lens.focal_length_to_mm or lens.focal_length_mm
    focal = (
        np.geomspace(lens.focal_length_mm, top, 25) if top > lens.focal_length_mm else [lens.focal_length_mm]
    )
    why = "closest focus"
    for f in focal:
        if closest_magnification(lens, float(f)) * FRAME_TOLERANCE < magnification:
            continue
        sensor_mm = f * (2.0 + magnification + 1.0 / magnification)
        if sensor_mm - lens.length_mm - needs.solid_nearer_mm > 0.0:
            return ""
        why = "working distance"
    return why
