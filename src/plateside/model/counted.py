"""A whole picture as its decoder left it: whole numbers, so that nothing large is copied before it is finished."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from plateside.model.pixels import LinearPicture


@dataclass(frozen=True, eq=False)
class CountedPicture:
    """Height x width x 3 numbers, upright; times `per_count` they are what LinearPicture's `rgb` is."""

    counts: NDArray[np.uint16] | NDArray[np.float32]
    per_count: tuple[float, float, float] = (1.0, 1.0, 1.0)
    saturation: tuple[float, float, float] = (1.0, 1.0, 1.0)
    white_balance: tuple[float, float, float] = (1.0, 1.0, 1.0)
    to_srgb: tuple[tuple[float, float, float], ...] = ((1.0, 0.0, 0.0), (0.0, 1.0, 0.0), (0.0, 0.0, 1.0))
    is_raw: bool = False
    noise: tuple[tuple[float, float], ...] | None = None
    noise_smeared: bool = True
    """As LinearPicture's, each."""

    @property
    def linear(self) -> LinearPicture:
        """The same with its numbers proportional to light, all at once: for small pictures."""
        rgb = np.asarray(self.counts * np.asarray(self.per_count, np.float32), np.float32)
        return LinearPicture(
            rgb,
            self.saturation,
            self.white_balance,
            self.to_srgb,
            None,
            self.is_raw,
            self.noise,
            self.noise_smeared,
        )


def counted(picture: LinearPicture) -> CountedPicture:
    """A picture that was decoded to linear light as it is."""
    return CountedPicture(
        np.ascontiguousarray(picture.rgb, np.float32), (1.0, 1.0, 1.0), picture.saturation,
        picture.white_balance, picture.to_srgb, picture.is_raw, picture.noise, picture.noise_smeared,
    )  # fmt: skip
