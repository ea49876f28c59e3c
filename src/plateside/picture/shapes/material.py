"""What a thing is made of: colour, gloss, texture."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from plateside.ground.srgb import to_linear

Colour = tuple[float, float, float]
"""Reflectance, linear sRGB 0..1."""


@dataclass(frozen=True)
class Material:
    """One opaque or thin material."""

    colour: Colour = (0.6, 0.6, 0.6)
    gloss: float = 0.0
    """0 matt; otherwise a clear coat (index 1.5) of this roughness: 0.3 satin, 0.1 glazed, 0.02 wet."""
    picture: NDArray[np.float32] | None = None
    """Texture in linear sRGB (rows, columns, 3), in place of the colour."""
    relief: NDArray[np.float32] | None = None
    """Heights (rows, columns) in 0..1, drawn as bumps."""
    relief_depth: float = 0.0
    """Strength of the bumps."""
    kind: str = "solid"
    """solid, glass (thin clear pane) or metal"""


def linear(srgb_hex: str) -> Colour:
    """'#rrggbb' to linear sRGB reflectance, kept under 0.9 and over 0.01: no real thing is whiter or blacker."""
    digits = srgb_hex.lstrip("#")
    values = np.array([int(digits[k : k + 2], 16) for k in (0, 2, 4)]) / 255.0
    r, g, b = np.clip(to_linear(values), 0.01, 0.9)
    return float(r), float(g), float(b)


def shade(colour: Colour, factor: float) -> Colour:
    """A colour made lighter or darker."""
    r, g, b = (min(max(v * factor, 0.005), 0.92) for v in colour)
    return r, g, b


def mixed(a: Colour, b: Colour, share: float) -> Colour:
    """Between two colours; share 1 is the second."""
    r, g, bl = (x * (1 - share) + y * share for x, y in zip(a, b, strict=True))
    return r, g, bl
