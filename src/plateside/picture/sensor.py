"""From focal-plane exposure to 14-bit numbers.

Photons arrive at random (Poisson); the amplifier adds Gaussian noise, one part before the gain and one after it;
numbers stand between a black and a white level. The colour matrix is the made camera's own, of the kind that
real sensors have: greens strongest, red and blue weaker, all three overlapping.
"""

import numpy as np
from numpy.typing import NDArray

from plateside.ground.srgb import TO_XYZ, WHITE_XYZ
from plateside.model.gear import Camera

Float = NDArray[np.float32]
Matrix = NDArray[np.float64]

BLACK_LEVEL = 512
WHITE_LEVEL = 16383
READ_BEFORE_GAIN = 0.4
"""Share of the read noise at base ISO that arises before the gain, so that stays at high ISO."""

_XYZ_TO_CAMERA: Matrix = np.array([[0.90, -0.31, -0.08], [-0.44, 1.28, 0.17], [-0.07, 0.17, 0.62]])
XYZ_TO_CAMERA: Matrix = _XYZ_TO_CAMERA / float(_XYZ_TO_CAMERA[1] @ WHITE_XYZ)
"""CIE XYZ (D65) to the made camera's red, green and blue; green of white is 1 (DNG ColorMatrix1)."""

SRGB_TO_CAMERA: Matrix = XYZ_TO_CAMERA @ TO_XYZ


def neutral_of(white: tuple[float, float, float]) -> tuple[float, float, float]:
    """Camera values of this white (linear sRGB), the largest 1."""
    values = SRGB_TO_CAMERA @ np.asarray(white, dtype=np.float64)
    r, g, b = values / values.max()
    return float(r), float(g), float(b)


def mosaic_shares(saturation_shares: Float) -> Float:
    """Linear sRGB in shares of saturation (height x width x 3) to one camera value a pixel, RGGB."""
    out = np.empty(saturation_shares.shape[:2], dtype=np.float32)
    rows = SRGB_TO_CAMERA.astype(np.float32)
    for top, left, channel in ((0, 0, 0), (0, 1, 1), (1, 0, 1), (1, 1, 2)):
        out[top::2, left::2] = saturation_shares[top::2, left::2] @ rows[channel]
    return np.maximum(out, 0.0)


def exposed(shares: Float, camera: Camera, iso: float, rng: np.random.Generator) -> NDArray[np.uint16]:
    """Shares of saturation to raw numbers, with photon and read noise."""
    saturation_electrons = camera.full_well_electrons * camera.base_iso / iso
    electrons = rng.poisson(shares * np.float32(saturation_electrons)).astype(np.float32)
    gain = camera.base_iso / iso
    before = READ_BEFORE_GAIN * camera.read_noise_electrons
    after = np.sqrt(1.0 - READ_BEFORE_GAIN**2) * camera.read_noise_electrons * gain
    electrons += rng.standard_normal(shares.shape, dtype=np.float32) * np.float32(np.hypot(before, after))
    numbers = BLACK_LEVEL + electrons * np.float32((WHITE_LEVEL - BLACK_LEVEL) / saturation_electrons)
    return np.asarray(np.clip(np.rint(numbers), 0, WHITE_LEVEL), dtype=np.uint16)
