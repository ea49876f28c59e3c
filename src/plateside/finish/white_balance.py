"""White balance: one gain for each channel, in linear light (von Kries in the camera's or display's own primaries).

A gain keeps the luminance of what it makes grey, so that white balance and exposure stay two separate facts.
"""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from plateside.ground.srgb import LUMINANCE, Floats, mired_shift
from plateside.model.errors import InputError

LARGEST_GAIN = 8.0
"""Three stops for one channel: beyond it the patch is not grey, or black, or clipped."""


class NotGrey(InputError):  # noqa: N818 - what the patch is, in words
    """A patch can be no grey card; `reason` is black, clipped or coloured."""

    def __init__(self, reason: str) -> None:
        super().__init__(f"no grey card: {reason}")
        self.reason = reason


@dataclass(frozen=True)
class Gains:
    """What the linear picture is multiplied by."""

    red: float = 1.0
    green: float = 1.0
    blue: float = 1.0

    @property
    def array(self) -> NDArray[np.float64]:
        """As (3,)."""
        return np.array([self.red, self.green, self.blue])

    @property
    def exposure_stops(self) -> float:
        """The part that is the same in all channels, by the luminance of what becomes grey [stops]."""
        return float(-np.log2(LUMINANCE @ (1 / self.array)))

    @property
    def balance(self) -> "Gains":
        """The part that is colour only."""
        return of_array(self.array * 2**-self.exposure_stops)

    @property
    def mired(self) -> float:
        """How much warmer (positive) or cooler the gains make a grey [mired]."""
        return mired_shift(self.balance.array)

    def times(self, other: "Gains") -> "Gains":
        """Both, one after the other."""
        return of_array(self.array * other.array)


NONE = Gains()


def of_array(values: Floats) -> Gains:
    """Gains from (3,)."""
    red, green, blue = (float(v) for v in values)
    return Gains(red, green, blue)


def from_grey(patch: Floats) -> Gains:
    """Gains that make a grey card's linear RGB (3,) or (n, 3) neutral and keep its luminance.

    Raises NotGrey when the patch is too dark, clipped, or too far from grey to be a grey card.
    """
    values = np.asarray(patch, dtype=np.float64).reshape(-1, 3)
    rgb = np.median(values, axis=0)
    if not np.all(np.isfinite(rgb)) or rgb.min() <= 1e-4:
        raise NotGrey("black")
    if rgb.max() >= 0.98:
        raise NotGrey("clipped")
    gains = (LUMINANCE @ rgb) / rgb
    if gains.max() > LARGEST_GAIN or gains.min() < 1 / LARGEST_GAIN:
        raise NotGrey("coloured")
    return of_array(gains)
