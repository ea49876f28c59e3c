"""Decoded pictures as the cores take them: arrays with what is needed to read their numbers."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray


@dataclass(frozen=True, eq=False)
class LinearPicture:
    """A picture whose numbers are proportional to light. Upright (the file's orientation is applied)."""

    rgb: NDArray[np.float32]
    """Height x width x 3. Black is 0, the level at which the sensor (or the JPEG) saturates is
    `saturation`. Raw: camera colours before white balance. JPEG: linear sRGB."""
    saturation: tuple[float, float, float] = (1.0, 1.0, 1.0)
    """Level of each channel at which it is clipped."""
    white_balance: tuple[float, float, float] = (1.0, 1.0, 1.0)
    """As-shot multipliers, green = 1: multiply `rgb` by them to make a grey thing grey. JPEG: all 1."""
    to_srgb: tuple[tuple[float, float, float], ...] = ((1.0, 0.0, 0.0), (0.0, 1.0, 0.0), (0.0, 0.0, 1.0))
    """3 x 3 matrix from white-balanced camera colours to linear sRGB; rows sum to 1. JPEG: identity."""
    xyz_to_camera: tuple[tuple[float, float, float], ...] | None = None
    """3 x 3 matrix from CIE XYZ to camera colours (DNG's ColorMatrix sense); None for a JPEG."""
    is_raw: bool = False
    noise: tuple[tuple[float, float], ...] | None = None
    """For red, green and blue of one photosite (S, O): the variance of a level x is S x + O (DNG's NoiseProfile), by
    what the file says or by its own flat parts. None: not known, or a JPEG."""
    noise_smeared: bool = True
    """Interpolation of a Bayer mosaic has spread each photosite's noise over its neighbours."""
    scale: float = 1.0
    """Pixels of this picture per pixel of the whole picture along a side (half size: 0.5)."""


@dataclass(frozen=True)
class RawLevels:
    """How the levels of a raw (or, less surely, a JPEG) stand below saturation. Channels R, G, B."""

    is_raw: bool
    pixels: tuple[int, int, int]
    """Photosites (or pixels) counted in each channel."""
    clipped: tuple[int, int, int]
    """Of these, how many are at saturation (at or above 99 % of the white level over black)."""
    near: tuple[int, int, int]
    """How many are within a third of a stop of saturation, the clipped ones among them."""
    headroom_stops: tuple[float, float, float]
    """Stops that the exposure could rise before the brightest 0.05 % of the channel clips; 0 when it is clipped."""
    mean: tuple[float, float, float] = (0.0, 0.0, 0.0)
    """Mean level of each channel over saturation, 0 to 1."""

    @property
    def clipped_share(self) -> tuple[float, float, float]:
        """Share of each channel at saturation, 0 to 1."""
        r, g, b = (c / max(n, 1) for c, n in zip(self.clipped, self.pixels, strict=True))
        return r, g, b
