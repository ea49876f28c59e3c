"""One made frame from a scene, a camera, a lens and a take."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from plateside.model.studio import Camera, Lens
from plateside.picture.made.scene import LinearScene
from plateside.picture.made.take import Take, Truth


@dataclass(frozen=True, kw_only=True)
class MadeFrame:
    """A made frame: raw mosaic, the camera's own JPEG, and the truth."""

    mosaic: NDArray[np.uint16]
    """Bayer mosaic RGGB, 14 bits, height x width."""
    black_level: int
    white_level: int
    neutral: tuple[float, float, float]
    """Camera values of what was taken as white, largest 1 (DNG AsShotNeutral)."""
    colour_matrix: NDArray[np.float64]
    """CIE XYZ (D65) to camera, 3 x 3 (DNG ColorMatrix1, CalibrationIlluminant1 21)."""
    picture: NDArray[np.uint8]
    """The camera's own sRGB picture, height x width x 3."""
    camera: Camera
    lens: Lens
    truth: Truth


def make_frame(
    scene: LinearScene,
    camera: Camera,
    lens: Lens,
    take: Take,
    *,
    size_px: tuple[int, int] | None = None,
    seed: int = 0,
) -> MadeFrame:
    """Take a frame of the scene.

    size_px   width and height of the frame [px], even numbers; left out, the scene's own
    seed      of photon and read noise; the same seed gives the same frame

    Raises InputError when the size is odd or the thing said to move is not in the scene.
    """
    raise NotImplementedError
