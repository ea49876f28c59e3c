"""How much more blurred a thing is in each frame of a burst than in the sharpest, laid over itself.

Two pictures of one thing, each blurred by something with a second moment of its own (a 2 x 2 covariance: a streak of
length L along d has L^2/12 d d'), differ by half the difference of the two covariances times the second derivatives,
to first order (the heat equation, B. M. ter Haar Romeny, Front-End Vision and Multi-Scale Image Analysis, 2003). So the
difference is found by least squares over the thing's pixels, together with what is left of a shift and of a change of
light (Lucas and Kanade, IJCAI 1981), then undone by streaks of that size (each picture is given what only the other
has) and found again until nothing is left. Pixels that fit no such change (the ground beside a moving thing, drops)
count little (Cauchy's weights). No edge has to be singled out, a blur that all frames share falls out, and edges of one
direction tell of blur in that direction only, where the least is assumed for the other.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import NDArray

from plateside.ground.spectrum import quick_length

Array = NDArray[np.float32]
Spectrum = NDArray[np.complex64]

SOFT_PX = 1.0
"""Gaussian given to all first, against grain."""
BORDER_PX = 16
COARSE_PX = 2.5
COARSE_ROUNDS = 3
"""What is left of the shift is found in softened pictures first."""
ROUNDS = 6
DONE_PX2 = 0.02
COARSE_DONE_PX = 0.05
MOST_STEP_PX = 1.5
RIDGE = 1e-3
"""Of the strongest direction's evidence: what holds a direction without edges at nothing."""
GAIN = 0.02
"""How well the frames' brightness is known, relative standard deviation."""
GAIN_WEIGHT = 30.0
OUTLIER = 2.0
"""Of the usual misfit."""
WEIGHTINGS = 3


@dataclass(frozen=True, eq=False)
class AlignedSpectra:
    """Spectra of pictures that lie over each other, and the frequencies they have [rad/px]."""

    spectra: tuple[Spectrum, ...]
    across: Array
    down: Array
    padded: tuple[int, int]
    size: tuple[int, int]

    def picture(self, spectrum: Spectrum) -> Array:
        """Back from a spectrum, without the border."""
        whole = np.fft.irfft2(spectrum, s=self.padded)
        high, wide = self.size
        return np.asarray(whole[BORDER_PX : BORDER_PX + high, BORDER_PX : BORDER_PX + wide], np.float32)


def laid_out(pictures: Sequence[Array]) -> AlignedSpectra:
    """Pictures of one size (height x width) made ready for `more_blurred`."""
    high, wide = pictures[0].shape
    padded = (
        quick_length(high + 2 * BORDER_PX),
        quick_length(wide + 2 * BORDER_PX),
    )
    down = (2 * np.pi * np.fft.fftfreq(padded[0])[:, None]).astype(np.float32)
    across = (2 * np.pi * np.fft.rfftfreq(padded[1])[None]).astype(np.float32)
    soft = np.exp(np.float32(-0.5 * SOFT_PX**2) * (across**2 + down**2))
    border = (
        (BORDER_PX, padded[0] - high - BORDER_PX),
        (BORDER_PX, padded[1] - wide - BORDER_PX),
    )
    spectra = tuple(
        np.asarray(
            np.fft.rfft2(np.pad(one.astype(np.float32), border, mode="symmetric")) * soft, np.complex64
        )
        for one in pictures
    )
    return AlignedSpectra(spectra, across, down, padded, (high, wide))


@dataclass(frozen=True, eq=False)
class Between:
    """What the second of two pictures has more than the first."""

    blur_px2: NDArray[np.float64]
    """2 x 2: its covariance less that of the first; x to the right, y down."""
    shift_px: tuple[float, float]
    gain: float


def more_blurred(
    laid: AlignedSpectra, first: int, second: int, where: NDArray[np.bool_], trust: Array
) -> Between:
    """Compare two of the pictures over the thing's pixels (height x width), each with its trust, 0 to 1."""
    excess = np.zeros((2, 2))
    shift, gain = np.zeros(2), 0.0
    kx, ky = laid.across, laid.down
    softer = np.exp(np.float32(-0.5 * COARSE_PX**2) * (kx**2 + ky**2))
    for _ in range(COARSE_ROUNDS):
        mean, rest = _evened(laid, first, second, excess, shift, gain)
        mean, rest = mean * softer, rest * softer
        columns_seen = np.stack([laid.picture(1j * k * mean)[where] for k in (kx, ky)], axis=1).astype(
            np.float64
        )
        trusted = trust[where].astype(np.float64)
        step = _shifted(columns_seen, trusted, laid.picture(rest)[where].astype(np.float64))
        shift -= step
        if np.abs(step).max() < COARSE_DONE_PX:
            break
    for _ in range(ROUNDS):
        mean, rest = _evened(laid, first, second, excess, shift, gain)
        columns = [1j * kx * mean, 1j * ky * mean, mean]
        columns += [-0.5 * kx * kx * mean, -kx * ky * mean, -0.5 * ky * ky * mean]
        columns_seen = np.stack([laid.picture(c)[where] for c in columns], axis=1).astype(np.float64)
        left = laid.picture(rest)[where].astype(np.float64)
        step = _solved(columns_seen, left, trust[where].astype(np.float64), excess, gain)
        shift -= step[:2]
        gain += float(step[2])
        change = np.array([[step[3], step[4]], [step[4], step[5]]])
        excess = excess + change
        if np.abs(change).max() < DONE_PX2:
            break
    return Between(excess, (float(shift[0]), float(shift[1])), gain)


def _evened(
    laid: AlignedSpectra,
    first: int,
    second: int,
    excess: NDArray[np.float64],
    shift: NDArray[np.float64],
    gain: float,
) -> tuple[Spectrum, Spectrum]:
    """Mean and difference of the two, each given the blur that only the other has, and laid over each other."""
    values, turns = np.linalg.eigh(excess)
    a = laid.spectra[first]
    way = np.exp(1j * (np.float32(shift[0]) * laid.across + np.float32(shift[1]) * laid.down))
    b = laid.spectra[second] * way.astype(np.complex64) * np.float32(1 / (1 + gain))
    for value, turn in zip(values, turns.T, strict=True):
        # a streak of this second moment, as a box along its direction
        long = np.sqrt(12 * abs(value)) / (2 * np.pi)
        along = np.float32(long * turn[0]) * laid.across + np.float32(long * turn[1]) * laid.down
        streak = np.sinc(along).astype(np.float32)
        if value > 0:
            a = a * streak
        else:
            b = b * streak
    return np.asarray((a + b) / 2, np.complex64), np.asarray(b - a, np.complex64)


def _shifted(
    columns_seen: NDArray[np.float64], trusted: NDArray[np.float64], left: NDArray[np.float64]
) -> NDArray[np.float64]:
    """The shift [px] that explains what is left, pixels that fit none counting little."""
    weight: NDArray[Any] = trusted
    step = np.zeros(2)
    for _ in range(WEIGHTINGS):
        weighted = (columns_seen * weight[:, None]).T
        step = np.linalg.solve(weighted @ columns_seen + 1e-12 * np.eye(2), weighted @ left)
        misfit = left - columns_seen @ step
        usual = 1.48 * float(np.median(np.abs(misfit))) + 1e-6
        weight = trusted / (1 + (misfit / (OUTLIER * usual)) ** 2)
    return np.asarray(np.clip(step, -MOST_STEP_PX, MOST_STEP_PX))


def _solved(
    columns_seen: NDArray[np.float64],
    left: NDArray[np.float64],
    trusted: NDArray[np.float64],
    excess: NDArray[np.float64],
    gain: float,
) -> NDArray[np.float64]:
    """(shift, gain, excess): weighted least squares that holds the whole of excess and gain near nothing."""
    normal_matrix = np.array([excess[0, 0], excess[0, 1], excess[1, 1]])
    misfit: NDArray[Any] = left
    weight: NDArray[Any] = trusted
    step = np.zeros(6)
    for n in range(WEIGHTINGS):
        usual = 1.48 * float(np.median(np.abs(misfit))) + 1e-6
        if n:
            weight = trusted / (1 + (misfit / (OUTLIER * usual)) ** 2)
        weighted = (columns_seen * weight[:, None]).T
        normal, right = weighted @ columns_seen, weighted @ left
        ridge = RIDGE * float(np.diag(normal)[3:].max()) + 1e-12
        prior = np.array([0.0, 0.0, GAIN_WEIGHT * (usual / GAIN) ** 2, ridge, ridge, ridge])
        right -= prior * np.concatenate([[0.0, 0.0, gain], normal_matrix])
        step = np.linalg.solve(normal + np.diag(prior + 1e-12), right)
        misfit = left - columns_seen @ step
    return np.asarray(step)
