"""What is watched, and how: a shoot of two shots, pictures of its bowl, and one watch of it."""

from pathlib import Path

import numpy as np

from plateside.tasks.set.events import Event
from plateside.tasks.set.watch import watch
from tests.shoots.bowl import SHOOT
from tests.synthetic.faults import frame_of
from tests.synthetic.scenes import Scene, flat

TWO_SHOTS = (
    SHOOT + '[[shots]]\nname = "spoon"\nangle = "overhead"\nframe_width_mm = 450\nframe_height_mm = 300\n'
)


def bowl_picture(scene: Scene, seed: int, lamp: float = 0.0) -> np.ndarray:
    """The scene by daylight, with a warm lamp at the right adding up to this share of daylight."""
    v, u = np.mgrid[0:600, 0:900]
    spot = np.exp(-(((u - 650) / 220) ** 2 + ((v - 250) / 200) ** 2)).astype(np.float32)[..., None]
    # 2700 K against D65: linear sRGB of a Planckian radiator, from memory, about 1.7 : 0.9 : 0.25
    warm = 1 + spot * np.array([1.7, 0.9, 0.25], np.float32) * np.float32(lamp)
    return frame_of(flat(scene) * np.float32(0.45) * warm, np.random.default_rng(seed))


def run(root: Path) -> list[Event]:
    """One watch until all is told, on a clock of its own."""
    now = [0.0]
    told: list[Event] = []

    def step(seconds: float) -> None:
        now[0] += max(seconds, 0.3)

    watch(root, told.append, once=True, clock=lambda: now[0], sleep=step)
    return told
