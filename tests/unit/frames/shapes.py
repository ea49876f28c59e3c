"""A picture of plain shapes."""

import cv2
import numpy as np
from numpy.typing import NDArray


def shapes(seed: int = 0, width: int = 900, height: int = 600) -> NDArray[np.float32]:
    """Ellipses of even tone: steps of many heights in all directions, drawn four times finer and averaged down."""
    rng = np.random.default_rng(seed)
    picture = np.full((height * 4, width * 4), 0.35, np.float32)
    for _ in range(40):
        x, y = rng.uniform([0, 0], [width * 4, height * 4])
        a, b = rng.uniform(120, 500, 2)
        cv2.ellipse(
            picture,
            (int(x), int(y)),
            (int(a), int(b)),
            rng.uniform(0, 180),
            0,
            360,
            float(rng.uniform(0, 1)),
            -1,
        )
    return np.asarray(cv2.resize(picture, (width, height), interpolation=cv2.INTER_AREA), np.float32)
