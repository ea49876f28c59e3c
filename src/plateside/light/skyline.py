"""The skyline higher or lower than the studio file has it."""

from dataclasses import replace
from math import atan2, radians, tan

from plateside.light.scene import Scene


def raised(scene: Scene, skyline_deg: float) -> Scene:
    """The scene with everything opposite standing so much higher, seen from its window's middle."""
    opposite = scene.opposite.copy()
    for opening in scene.openings:
        middle_z = opening["whole_corner"][2] + opening["whole_height"] / 2
        for k in range(opening["first_opposite"], opening["end_opposite"]):
            distance = opposite[k]["radius"]
            angle = atan2(scene.opposite[k]["top"] - middle_z, distance) + radians(skyline_deg)
            opposite[k]["top"] = middle_z + distance * tan(min(max(angle, -1.55), 1.55))
    return replace(scene, opposite=opposite)
