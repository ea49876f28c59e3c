"""Colours of the same places of the scene in two pictures."""

from dataclasses import dataclass
from typing import Any

import cv2
import numpy as np
from numpy.typing import NDArray

from plateside.ground.srgb import Floats
from plateside.model.channels import highest, lowest

_DARKEST, _BRIGHTEST = 0.004, 0.92


@dataclass(frozen=True, eq=False)
class Shared:
    """What both pictures show: the same places of the scene."""

    theirs: Floats
    """colours of the reference (n, 3)"""
    mine: Floats
    """colours of the picture"""
    x: Floats
    """where in the picture, shares of its width (n,)"""
    y: Floats
    raised: "tuple[Shared, ...]" = ()
    """the same of each thing that stands up from the table"""

    def only(self, which: NDArray[np.bool_]) -> "Shared":
        """Some of the places (n,)."""
        return Shared(self.theirs[which], self.mine[which], self.x[which], self.y[which], self.raised)

    def within(self, mask: NDArray[np.bool_] | None) -> NDArray[np.bool_]:
        """Which of the places (n,) are in a part (h, w) of the picture; None: in no part that is known."""
        if mask is None:
            return np.zeros(len(self.x), bool)
        rows, columns = (
            np.clip((v * n).astype(int), 0, n - 1) for v, n in zip((self.y, self.x), mask.shape, strict=True)
        )
        return np.asarray(mask[rows, columns])


def shared_at(theirs: Floats, mine: Floats, at: NDArray[Any], back: Floats, size: tuple[int, ...]) -> Shared:
    """Colours at places (n, 2) of the reference [px], which `back` (3, 3) carries to the picture of that size."""
    places = np.column_stack([at, np.ones(len(at))]) @ back.T
    x, y = ((places[:, n] / places[:, 2] + 0.5) / size[1 - n] for n in (0, 1))
    return Shared(theirs.astype(np.float64), mine.astype(np.float64), x, y)


def usable(linear: Floats) -> NDArray[np.bool_]:
    """Pixels that are neither near black nor near clipping in any channel."""
    return np.asarray((lowest(linear) > _DARKEST) & (highest(linear) < _BRIGHTEST))


def blurred(linear: Floats, sigma_px: float) -> NDArray[np.float32]:
    """A picture (h, w, 3) smoothed, so that noise and a pixel's error do not matter."""
    return np.asarray(cv2.GaussianBlur(linear.astype(np.float32), (0, 0), sigma_px), np.float32)
