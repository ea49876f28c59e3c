"""sRGB, the one place for its primaries and its curve: between linear light, what a display shows, and CIE Lab.

sRGB's transfer and primaries: IEC 61966-2-1:1999. Lab: CIE 15:2004, white D65 (x 0.3127, y 0.3290, 2 degrees).
Pictures are (..., 3) arrays; linear light has 1.0 at the display's white, and may go above it.
"""

import numpy as np
from numpy.typing import NDArray

from plateside.ground.temperature import mccamy_cct_k

Floats = NDArray[np.floating]

TO_XYZ = np.array(
    [
        [0.4123907992659595, 0.357584339383878, 0.1804807884018343],
        [0.21263900587151036, 0.715168678767756, 0.07219231536073371],
        [0.01933081871559185, 0.11919477979462599, 0.9505321522496606],
    ]
)
"""Linear sRGB to CIE XYZ, Y of white = 1: from the primaries' and white's chromaticities of IEC 61966-2-1."""

FROM_XYZ = np.linalg.inv(TO_XYZ)
"""CIE XYZ to linear sRGB."""

LUMINANCE = TO_XYZ[1]
"""Weights of red, green and blue in luminance."""

LUMINANCE_32 = LUMINANCE.astype(np.float32)
"""The same for pictures, which stay 32 bits wide."""

WHITE_XYZ = TO_XYZ.sum(axis=1)
"""XYZ of the display's white (D65)."""

_LINEAR_END = 0.04045
_EPSILON = (6 / 29) ** 3
_KAPPA = (29 / 6) ** 2 / 3
_LAB = np.array([[0.0, 116.0, 0.0], [500.0, -500.0, 0.0], [0.0, 200.0, -200.0]])
"""What L*, a* and b* take of the bent X, Y and Z."""


def to_linear(display: Floats) -> Floats:
    """Display values 0..1 to linear light 0..1. Odd about zero, so that noise below black survives."""
    size = np.abs(display)
    return np.sign(display) * np.where(
        size <= _LINEAR_END, size / 12.92, np.power((size + 0.055) / 1.055, 2.4)
    )


def to_display(linear: Floats) -> Floats:
    """Linear light to display values; 0..1 stays in 0..1. Inverse of `to_linear`."""
    size = np.abs(linear)
    return np.sign(linear) * np.where(
        size <= _LINEAR_END / 12.92, size * 12.92, 1.055 * np.power(size, 1 / 2.4) - 0.055
    )


def byte_table() -> NDArray[np.float32]:
    """Linear light of the 256 display values."""
    return to_linear(np.arange(256) / 255.0).astype(np.float32)


def to_xyz(linear: Floats) -> Floats:
    """Linear sRGB to XYZ, Y of white = 1."""
    return linear @ TO_XYZ.T.astype(linear.dtype, copy=False)


def to_lab(linear: Floats) -> Floats:
    """Linear sRGB to CIE L*a*b* under D65: L* 0..100."""
    ratio = to_xyz(linear) / WHITE_XYZ
    f = np.where(ratio > _EPSILON, np.cbrt(ratio), _KAPPA * ratio + 4 / 29)
    return np.stack(
        [116 * f[..., 1] - 16, 500 * (f[..., 0] - f[..., 1]), 200 * (f[..., 1] - f[..., 2])], axis=-1
    )


def lab_slopes(linear: Floats) -> Floats:
    """How much `to_lab` changes with each channel of linear sRGB (..., 3): (..., 3, 3), Lab by channel."""
    ratio = to_xyz(linear) / WHITE_XYZ
    bent = ratio > _EPSILON
    steep = np.where(bent, 1 / (3 * np.cbrt(np.where(bent, ratio, 1.0)) ** 2), _KAPPA)
    return np.asarray(_LAB @ (steep[..., None] * (TO_XYZ / WHITE_XYZ[:, None])))


def colour_temperature_k(linear: Floats) -> float:
    """Correlated colour temperature [K] of one colour (`mccamy_cct_k`); meant for near-greys of 2,800 to 12,500 K."""
    x, y, z = (float(v) for v in to_xyz(np.asarray(linear, dtype=np.float64)))
    total = x + y + z
    if total <= 0:
        return float("nan")
    return mccamy_cct_k(x / total, y / total)


def mired_shift(linear: Floats) -> float:
    """How far a colour that should be grey lies from the display's white, along warm to cool [mired].

    Positive is warmer (more amber) than white. 0 for grey.
    """
    kelvin = colour_temperature_k(linear)
    return 1e6 / kelvin - 1e6 / colour_temperature_k(np.ones(3))
