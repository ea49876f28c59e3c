"""The skyline higher or lower than the studio file has it."""

from dataclasses import replace
from math import atan2, radians, tan

from plateside.light.scene import Scene


def raised(scene: Scene, skyline_deg: float) -> Scene:
    """The scene with everything opposite standing so much higher, seen from its window's middle."""
    tops = scene.opposite_f.copy()
    for row_f, row_i in zip(scene.aperture_f, scene.aperture_i, strict=True):
        middle_z = row_f[18] + row_f[20] / 2
        for k in range(row_i[3], row_i[4]):
            distance = tops[k, 2]
            angle = atan2(scene.opposite_f[k, 5] - middle_z, distance) + radians(skyline_deg)
            tops[k, 5] = middle_z + distance * tan(min(max(angle, -1.55), 1.55))
    return replace(scene, opposite_f=tops)
