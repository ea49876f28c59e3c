"""One calm tone curve for a whole set, with the highlights kept.

    f(x) = s x^p / (x^p + k),   f(0) = 0,  f(0.18) = 0.18,  f(white) = 1

The saturating power curve of K. I. Naka and W. A. H. Rushton, Journal of Physiology 185 (1966), 536; with p = 1
it is x / (1 + x) of E. Reinhard et al., "Photographic Tone Reproduction for Digital Images" (2002), eq. 3, scaled.
The two constants follow from the two pins. It is laid on one value for each pixel and the three channels keep
their ratios, so that a sauce does not change hue with its brightness.
"""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from plateside.ground.srgb import LUMINANCE, Floats
from plateside.model.channels import highest
from plateside.model.errors import RefusedError

MIDDLE_GREY = 0.18
CALM_CONTRAST = 1.4
"""Steepness about middle grey 1.2, as a quiet film print has it (common practice, no source)."""
LARGEST_WHITE = 8.0


@dataclass(frozen=True)
class Curve:
    """A tone curve from scene-linear to display-linear."""

    contrast: float = 1.0
    """p, about the steepness around middle grey in logarithms"""
    white: float = 1.0
    """scene value that becomes the display's white"""

    def __post_init__(self) -> None:
        if not 1.0 <= self.white <= LARGEST_WHITE:
            raise RefusedError("no white", got=self.white, lowest=1.0, highest=LARGEST_WHITE)
        if not 1.0 <= self.contrast <= 2.0:
            raise RefusedError("no contrast", got=self.contrast, lowest=1.0, highest=2.0)

    @property
    def is_straight(self) -> bool:
        """True when the curve changes nothing."""
        return self.contrast == 1.0 and self.white == 1.0

    @property
    def constants(self) -> tuple[float, float]:
        """s and k, from the pins at middle grey and white."""
        g, w = MIDDLE_GREY**self.contrast, self.white**self.contrast
        k = (1 - MIDDLE_GREY) * w * g / (MIDDLE_GREY * w - g)
        return (w + k) / w, k

    def __call__(self, values: Floats) -> NDArray[np.float64]:
        """The curve on scene-linear values of any shape; 1 from white upwards, 0 below 0."""
        x = np.clip(np.asarray(values, dtype=np.float64), 0.0, self.white)
        if self.is_straight:
            return x
        slope, k = self.constants
        powered = x**self.contrast
        return np.asarray(slope * powered / (powered + k))


STRAIGHT = Curve()


def set_curve(highlights: list[float], scene_referred: bool) -> Curve:
    """The one curve for a set.

    highlights      for each picture, the value that only its brightest 0.1 % exceed, after its gains
    scene_referred  True for developed raws; False for pictures that the camera has already toned,
                    which only get room for the highlights that a gain lifted above white
    """
    brightest = max([1.0, *(h for h in highlights if np.isfinite(h))])
    return Curve(CALM_CONTRAST if scene_referred else 1.0, min(brightest, LARGEST_WHITE))


def apply_curve(linear: Floats, curve: Curve) -> Floats:
    """The curve on a picture (..., 3): float32 0..1, hue kept, nothing clipped channel by channel.

    The value it is laid on is the power norm (r^3 + g^3 + b^3) / (r^2 + g^2 + b^2): grey maps to itself, and a
    strong colour is led by its strongest channel. What still lies outside the display is drawn to grey of the same
    luminance until it fits.
    """
    rgb = np.maximum(linear, 0).astype(np.float32, copy=False)
    squares = rgb * rgb
    below = np.maximum(squares @ np.ones(3, np.float32), 1e-30)
    norm = np.einsum("...c,...c->...", squares, rgb) / below
    scale = np.ones_like(norm)
    if not curve.is_straight:
        slope, k = curve.constants
        powered = np.power(norm, np.float32(curve.contrast))
        scale = np.float32(slope) * powered / ((powered + np.float32(k)) * np.maximum(norm, 1e-12))
    scale = np.where(norm >= curve.white, 1 / np.maximum(norm, 1e-12), scale)
    return fit_display(rgb * scale[..., None])


def fit_display(linear: Floats) -> Floats:
    """Draw colours above 1 to grey of their own luminance until they fit; the rest is untouched."""
    top = highest(linear)
    out = top > 1
    if not out.any():
        return linear
    result = linear.copy()
    picked = linear[out]
    y = np.minimum(picked @ LUMINANCE.astype(linear.dtype), 1)[..., None]
    keep = (1 - y) / np.maximum(picked.max(axis=-1, keepdims=True) - y, 1e-12)
    result[out] = np.clip(y + (picked - y) * np.minimum(keep, 1), 0, 1)
    return result
