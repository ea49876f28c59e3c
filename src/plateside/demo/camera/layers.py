"""Things put into a scene after it was drawn: cards, plates, layer by layer, and a poured stream."""

from dataclasses import replace
from typing import Any

import cv2
import numpy as np
from numpy.typing import NDArray

from plateside.demo.camera.take import Exposure
from plateside.picture.scene import LinearScene


def _named(scene: LinearScene, name: str) -> tuple[tuple[str, ...], int]:
    """The scene's names with this one among them, and its number."""
    if name in scene.names:
        return scene.names, scene.names.index(name)
    return (*scene.names, name), len(scene.names)


def with_pour(scene: LinearScene, take: Exposure, *, seed: int = 0) -> tuple[LinearScene, float]:
    """A stream poured from above the frame while the shutter was open; returns the scene and its streak [px].

    The stream thins as it falls (continuity: its width goes with the square root of the speed's inverse); its
    ripples run along it by speed times shutter time, so a long exposure turns them to silk.
    """
    if take.pour_at is None:
        return scene, 0.0
    width, height = scene.size_px
    land_x, land_y = take.pour_at[0] * width, take.pour_at[1] * height
    streak_px = take.pour_speed_m_s * take.exposure_s * 1000.0 / scene.mm_per_px
    rng = np.random.default_rng(seed + 17)
    rows = np.arange(height, dtype=np.float32)
    speed = np.sqrt(0.25 + 0.75 * np.clip(rows / max(land_y, 1.0), 0, 1))
    half = 0.5 * take.pour_width_mm / scene.mm_per_px / np.sqrt(speed)
    ripple_px = max(3.0, 9.0 / scene.mm_per_px)
    noise = rng.standard_normal((height, 2)).astype(np.float32)
    ripple: NDArray[Any] = cv2.GaussianBlur(noise, (1, 2 * round(ripple_px) + 1), ripple_px / 3)
    ripple /= max(float(np.abs(ripple).max()), 1e-6)
    if streak_px > 1.0:
        ripple = cv2.blur(ripple, (1, max(1, round(streak_px))), borderType=cv2.BORDER_REFLECT)
    half = half * (1.0 + 0.28 * ripple[:, 0])
    middle = land_x + 0.35 * half.mean() * ripple[:, 1]
    x = np.arange(width, dtype=np.float32)[None, :]
    across = (x - middle[:, None]) / half[:, None]
    below = rows[:, None] < land_y
    cover = np.clip((1.0 - np.abs(across)) * half[:, None] + 0.5, 0.0, 1.0) * below
    body = 0.55 + 0.45 * np.sqrt(np.clip(1.0 - across**2, 0.0, 1.0)) * (1.0 - 0.35 * across)
    glint = 0.9 * np.exp(-(((across + 0.45) / 0.16) ** 2)) * (0.7 + 0.5 * ripple[:, :1])
    light = np.asarray(scene.white_rgb, dtype=np.float32)
    stream = (np.asarray(take.pour_colour, np.float32) * body[..., None] + glint[..., None]) * light
    # where it lands: a small bright ring
    ring_r = np.hypot(x - land_x, (rows[:, None] - land_y) * 1.8)
    mean_half = float(half.mean())
    ring = 0.35 * np.exp(-(((ring_r - 2.4 * mean_half) / (0.5 * mean_half)) ** 2))
    rgb = scene.rgb * (1.0 + ring[..., None])
    rgb = (rgb * (1.0 - cover[..., None]) + np.maximum(stream, 0.0) * cover[..., None]).astype(np.float32)
    names, number = _named(scene, "pour")
    identity, depth = scene.identity.copy(), scene.depth_mm.copy()
    on = cover > 0.5
    identity[on] = number
    landing = scene.depth_mm[min(height - 1, max(0, int(land_y))), min(width - 1, max(0, int(land_x)))]
    depth[on] = landing
    out = replace(
        scene, rgb=rgb, depth_mm=depth, identity=identity, names=names, objects=(*scene.objects, "pour")
    )
    return out, float(streak_px)
