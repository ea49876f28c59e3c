"""Where each pixel of a finished picture comes from, so that it is taken once: one resampling for all that moves it."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from plateside.finish.by_hand import straightened_size, straightening
from plateside.finish.tiles import Part, Placing

Floats = NDArray[np.float32]


@dataclass(frozen=True, eq=False)
class Flat:
    """A plane moved onto a plane: turned, levelled, squared."""

    size: tuple[int, int]
    to_source: NDArray[np.float64]
    """3 x 3, from the finished picture's pixels to the developed one's"""

    def sources(self, part: Part) -> tuple[tuple[Floats, Floats], ...]:
        """See `tiles.Placing`."""
        return (self.source(*grid(part)),)

    def source(self, x: NDArray[np.float64], y: NDArray[np.float64]) -> tuple[Floats, Floats]:
        """Where places of the finished picture come from [px]."""
        m = self.to_source
        below = m[2, 0] * x + m[2, 1] * y + m[2, 2]
        from_x = (m[0, 0] * x + m[0, 1] * y + m[0, 2]) / below
        from_y = (m[1, 0] * x + m[1, 1] * y + m[1, 2]) / below
        return from_x.astype(np.float32), from_y.astype(np.float32)

    def shading(self, part: Part) -> Floats | None:
        """None: light is left as it is."""
        return None


def grid(part: Part) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
    """x (1, w) and y (h, 1) of a part's pixels."""
    y, bottom, x, right = part
    return np.arange(x, right, dtype=float)[None, :], np.arange(y, bottom, dtype=float)[:, None]


def placing_of(size: tuple[int, int], turned_degrees: float) -> Placing | None:
    """What a hand's straightening asks for; None: nothing moves. `size`: width and height of the developed picture."""
    if not turned_degrees:
        return None
    wanted = straightened_size(*size, turned_degrees)
    return Flat(wanted, np.asarray(np.linalg.inv(straightening(size, wanted, turned_degrees)), np.float64))
