"""Where the hero is expected in a frame: the middle, as large as the shot says."""

import math
from typing import Any

import numpy as np
from numpy.typing import NDArray

from plateside.frames.facts import Box
from plateside.model.shoot import Shot

ELLIPSE = 0.97
"""The hero fills its box as an ellipse, a little inside, so that the background does not speak for it."""


def subject_box(shot: Shot | None, width_px: int, height_px: int) -> Box:
    """Box of the hero in shares of the upright picture; without a shot, the middle half.

    The dish is seen foreshortened: its height in the picture is depth x sin(elevation) + height x cos(elevation).
    The frame holds what the shot asks for and, by its own shape, more on two sides.
    """
    if shot is None:
        return 0.25, 0.25, 0.75, 0.75
    shape = width_px / height_px
    frame_width = max(shot.frame_width_mm, shot.frame_height_mm * shape)
    frame_height = frame_width / shape
    elevation = math.radians(shot.elevation)
    high = shot.dish_width_mm * math.sin(elevation) + shot.dish_height_mm * math.cos(elevation)
    half_width = min(max(shot.dish_width_mm / frame_width, 0.12), 0.96) / 2
    half_height = min(max(high / frame_height, 0.12), 0.96) / 2
    return 0.5 - half_width, 0.5 - half_height, 0.5 + half_width, 0.5 + half_height


def on_subject(x: NDArray[Any], y: NDArray[Any], box: Box, width: int, height: int) -> NDArray[np.bool_]:
    """Which points lie in the ellipse that fills the subject's box: its corners are background."""
    cx, cy = (box[0] + box[2]) / 2 * width, (box[1] + box[3]) / 2 * height
    rx, ry = max((box[2] - box[0]) / 2 * width, 1.0), max((box[3] - box[1]) / 2 * height, 1.0)
    return np.asarray(((x - cx) / rx) ** 2 + ((y - cy) / ry) ** 2 <= ELLIPSE**2)


def wants_shallow(shot: Shot | None) -> bool:
    """Whether the shot asks for a background that melts."""
    if shot is None:
        return False
    return shot.sharp == "front" or (shot.background_blur_percent or 0.0) >= 0.5
