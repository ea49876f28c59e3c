"""The light engine against light that Radiance has traced."""

from typing import Any

import numpy as np

from plateside.light.moment import light_at
from tests.radiance.rooms import objects

FACES = ("horizontal", "front", "right", "back", "left", "camera")


def engine_lux(case: dict[str, Any]) -> dict[str, float]:
    """What the engine says of a case, by face."""
    made = objects(case)
    light = light_at(
        made.studio,
        made.spot,
        made.when,
        made.sky,
        camera_faces_deg=made.camera_faces_deg,
        elevation_deg=made.camera_elevation_deg,
        boards=made.boards,
        hung=made.hung,
    )
    return {face: float(getattr(light, f"{face}_lx").value) for face in FACES}


def deviations(one: dict[str, Any]) -> np.ndarray:
    """Engine over reference less one, by face."""
    ours, theirs = engine_lux(one["case"]), one["reference"]["lux"]
    return np.array([ours[face] / theirs[face] - 1 for face in FACES])
