"""Small scenes in linear light for the made camera's tests."""

import math

import numpy as np

from plateside.model.gear import Camera, Lens
from plateside.picture.scene import LinearScene

CAMERA = Camera(name="the camera")
LENS = Lens(name="35", focal_length_mm=35.0)


def flat_scene(
    reflectances: "tuple[tuple[float, float, float], ...]" = ((0.18, 0.18, 0.18),),
    *,
    lux: float = 480.0,
    patch_px: int = 96,
    depth_mm: float = 700.0,
    focus_mm: float = 700.0,
) -> LinearScene:
    """Matt patches side by side, lying flat under even light, one identity each."""
    white = lux / math.pi
    strips = [
        np.full((patch_px, patch_px, 3), r, dtype=np.float32) for r in np.asarray(reflectances, np.float32)
    ]
    rgb = np.concatenate(strips, axis=1) * np.float32(white)
    identity = np.repeat(np.repeat(np.arange(len(strips)), patch_px)[None], patch_px, axis=0).astype(np.int16)
    return LinearScene(
        rgb=rgb,
        depth_mm=np.full(rgb.shape[:2], depth_mm, dtype=np.float32),
        identity=identity,
        names=tuple(f"patch {k}" for k in range(len(strips))),
        white_rgb=(white, white, white),
        mm_per_px=450.0 / rgb.shape[1],
        focus_distance_mm=focus_mm,
    )


def point_scene(depth_mm: float, focus_mm: float, *, size_px: int = 256, lux: float = 20000.0) -> LinearScene:
    """One bright pixel in the dark."""
    white = lux / math.pi
    rgb = np.zeros((size_px, size_px, 3), dtype=np.float32)
    rgb[size_px // 2, size_px // 2] = white
    return LinearScene(
        rgb=rgb,
        depth_mm=np.full((size_px, size_px), depth_mm, dtype=np.float32),
        identity=np.zeros((size_px, size_px), dtype=np.int16),
        names=("point",),
        white_rgb=(white, white, white),
        mm_per_px=1.0,
        focus_distance_mm=focus_mm,
    )
