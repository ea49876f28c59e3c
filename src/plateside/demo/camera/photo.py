"""A linear scene from an ordinary photograph, when nothing has been traced.

The photograph's light becomes the scene's; distance is guessed: a table seen from the given elevation, the dish
raised upon it in the middle, whatever is above the horizon far away. Such a scene says that it is a photograph
and how many times it was enlarged.
"""

import math

import cv2
import numpy as np
from numpy.typing import NDArray

from plateside.ground.srgb import to_linear
from plateside.model.errors import RefusedError
from plateside.picture.scene import LinearScene

FARTHEST = 4.0
"""No guessed distance is more than this many times the dish's."""


def table_depth_mm(
    size_px: tuple[int, int], mm_per_px: float, distance_mm: float, elevation_deg: float
) -> NDArray[np.float32]:
    """Distance along the lens axis of a table that fills the frame, seen from this elevation [mm].

    A ray at angle t above the axis meets the table at z = s / (1 - tan t / tan e).
    """
    width, height = size_px
    rise = ((height - 1) / 2.0 - np.arange(height)) * mm_per_px / distance_mm
    fall = 1.0 - rise / math.tan(math.radians(min(elevation_deg, 89.999)))
    depth = distance_mm / np.maximum(fall, 1.0 / FARTHEST)
    return np.repeat(depth[:, None], width, axis=1).astype(np.float32)


def scene_from_photo(
    picture: NDArray[np.uint8],
    *,
    width_px: int = 1200,
    height_px: int | None = None,
    illuminance_lx: float = 480.0,
    frame_width_mm: float = 450.0,
    distance_mm: float = 700.0,
    elevation_deg: float = 45.0,
    dish_centre: tuple[float, float] = (0.5, 0.5),
    dish_width_share: float = 0.5,
    dish_height_mm: float = 60.0,
    source: str = "a photograph",
) -> LinearScene:
    """A scene from an sRGB photograph (height x width x 3, 8 bits).

    Its white (255) becomes a white surface under `illuminance_lx`; distances are a plausible ramp.
    The picture is cut to the wanted shape about its middle and enlarged to it; `origin` says so.
    """
    if picture.ndim != 3 or picture.shape[2] != 3 or picture.dtype != np.uint8:
        raise RefusedError("no photograph of 8 bits", got=f"{picture.shape} {picture.dtype}")
    rows, columns = picture.shape[:2]
    height = height_px or round(width_px * rows / columns / 2) * 2
    zoom = max(width_px / columns, height / rows)
    cut_w, cut_h = min(columns, round(width_px / zoom)), min(rows, round(height / zoom))
    left, top = (columns - cut_w) // 2, (rows - cut_h) // 2
    cut = to_linear(picture[top : top + cut_h, left : left + cut_w] / 255.0).astype(np.float32)
    method = cv2.INTER_CUBIC if zoom > 1.0 else cv2.INTER_AREA
    linear = np.clip(cv2.resize(cut, (width_px, height), interpolation=method), 0.0, None)
    white = illuminance_lx / math.pi
    mm_per_px = frame_width_mm / width_px
    depth = table_depth_mm((width_px, height), mm_per_px, distance_mm, elevation_deg)
    x, y = np.meshgrid(np.arange(width_px) / width_px, np.arange(height) / height)
    radius = dish_width_share / 2
    squash = max(math.sin(math.radians(elevation_deg)), 0.35)
    across = (x - dish_centre[0]) / radius
    along = (y - dish_centre[1]) * height / width_px / (radius * squash)
    r = np.hypot(across, along)
    dish = r < 1.0
    raised = np.clip(1.0 - r**6, 0.0, 1.0) * dish_height_mm * math.sin(math.radians(elevation_deg))
    depth = (depth - np.where(dish, raised, 0.0)).astype(np.float32)
    identity = np.where(dish, 1, 0).astype(np.int16)
    behind = depth > distance_mm * FARTHEST * 0.98
    identity[behind & ~dish] = 2
    focus = float(depth[dish].mean()) if dish.any() else distance_mm
    origin = source if zoom <= 1.0 else f"{source}, enlarged {zoom:.1f} times"
    return LinearScene(
        rgb=(linear * np.float32(white)).astype(np.float32),
        depth_mm=depth,
        identity=identity,
        names=("surface", "dish", "background"),
        white_rgb=(white, white, white),
        mm_per_px=mm_per_px,
        focus_distance_mm=focus,
        origin=origin,
    )
