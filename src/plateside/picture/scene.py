"""A scene in linear light, drawn once, from which any number of made frames come."""

from dataclasses import dataclass, field

import numpy as np
from numpy.typing import NDArray

from plateside.ground.srgb import LUMINANCE_32

Float = NDArray[np.float32]
Identity = NDArray[np.int16]
Colour = tuple[float, float, float]


@dataclass(frozen=True, kw_only=True)
class LinearScene:
    """What the camera looks at: light, distance and what is what, for each pixel, all in focus.

    `rgb` is linear sRGB scaled so that 0.2126 R + 0.7152 G + 0.0722 B is the luminance [cd/m2].
    `depth_mm` is the distance along the lens axis from the front principal plane [mm].
    `identity` numbers the things in the picture; `names[k]` says what number k is.
    """

    rgb: Float
    depth_mm: Float
    identity: Identity
    names: tuple[str, ...]
    white_rgb: Colour
    """Luminance of a perfect white card lying at the dish, as linear sRGB [cd/m2]; its lux over pi."""
    mm_per_px: float
    """Size of one pixel in the plane of focus at the dish [mm]."""
    focus_distance_mm: float
    """Distance at which the planned picture is focused [mm]."""
    origin: str = "traced"
    """Where it came from: 'traced', or 'a photograph, enlarged 2.7 times' ..."""
    objects: tuple[str, ...] = field(default=())
    """Things put in after the scene was drawn, in order (layers, cards)."""

    @property
    def illuminance_lx(self) -> float:
        """Light at the dish [lx]."""
        return float(np.pi * float(LUMINANCE_32 @ np.asarray(self.white_rgb, dtype=np.float32)))

    @property
    def size_px(self) -> tuple[int, int]:
        """Width and height [px]."""
        return int(self.rgb.shape[1]), int(self.rgb.shape[0])
