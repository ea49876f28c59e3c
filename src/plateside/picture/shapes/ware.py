"""Plates, bowls and glasses: what food stands in and on."""

from functools import lru_cache

import numpy as np

from plateside.picture.shapes.material import Colour, Material, linear
from plateside.picture.shapes.mesh import Mesh, Thing, lathe
from plateside.picture.shapes.texture import clouds, tinted

CHINA = linear("#efece4")


@lru_cache(maxsize=16)
def glazed(colour: Colour, gloss: float = 0.09, seed: int = 21) -> Material:
    """Stoneware glaze: a little uneven, with fine specks."""
    factor = 0.95 + 0.08 * clouds(seed, 1.6) - 0.35 * (clouds(seed + 1, 0.2) > 0.985)
    return Material(colour=colour, picture=tinted(colour, factor.astype(np.float32)), gloss=gloss)


def bowl_profile(width_m: float, height_m: float) -> list[tuple[float, float]]:
    """Foot, outside, rim and inside of a bowl."""
    r, h = width_m / 2, height_m
    t = max(0.004, 0.022 * width_m)
    return [
        (0.0, 0.002),
        (0.40 * r, 0.0),
        (0.43 * r, 0.004),
        (0.46 * r, 0.06 * h),
        (0.74 * r, 0.28 * h),
        (0.93 * r, 0.66 * h),
        (r, 0.985 * h),
        (r - 0.25 * t, h),
        (r - 0.8 * t, 0.995 * h),
        (0.93 * r - t, 0.66 * h),
        (0.72 * r - t, 0.32 * h),
        (0.40 * r, 0.15 * h),
        (0.0, 0.12 * h),
    ]


def bowl(width_m: float, height_m: float, material: Material, name: str = "bowl") -> Thing:
    """A round bowl standing on z = 0."""
    return Thing(name, lathe(bowl_profile(width_m, height_m), fine=5), material)


def inner_radius(width_m: float, height_m: float, z: float) -> float:
    """Radius of the bowl's inside at a height above its foot [m]."""
    inside = bowl_profile(width_m, height_m)[8:]
    heights = [p[1] for p in inside][::-1]
    radii = [p[0] for p in inside][::-1]
    return float(np.interp(z, heights, radii))


def plate(width_m: float, height_m: float, material: Material, name: str = "plate") -> Thing:
    """A plate with a low rim standing on z = 0."""
    r, h = width_m / 2, height_m
    t = max(0.003, 0.016 * width_m)
    profile = [
        (0.0, 0.001),
        (0.55 * r, 0.0),
        (0.60 * r, 0.003),
        (0.72 * r, 0.22 * h),
        (0.97 * r, 0.90 * h),
        (r, h - 0.3 * t),
        (0.995 * r, h),
        (0.95 * r, h - 0.15 * t),
        (0.74 * r, 0.30 * h + t),
        (0.66 * r, 0.16 * h + t),
        (0.40 * r, 0.08 * h + t),
        (0.0, 0.08 * h + t),
    ]
    return Thing(name, lathe(profile, fine=5), material)


def plate_floor(width_m: float, height_m: float) -> float:
    """Height of the plate's well above the table [m]."""
    return 0.08 * height_m + max(0.003, 0.016 * width_m)


def tumbler(width_m: float, height_m: float, wall_m: float = 0.0022) -> Mesh:
    """The outside of a straight glass, slightly wider at the top."""
    r, h = width_m / 2, height_m
    return lathe(
        [(0.0, 0.0), (0.80 * r, 0.0), (0.83 * r, 0.002), (0.90 * r, 0.45 * h), (r, h), (r - wall_m, h)],
        fine=6,
        segments=128,
    )
