"""Sensor noise evened out, by how much there is: texture stays, what is no more than noise goes.

The light is first brought to a scale on which noise is alike everywhere (square root of light: F. J. Anscombe,
Biometrika 35 (1948), 246), then split into lightness and two colour differences, and each is thresholded in the cosine
transform of blocks of 8 x 8 that overlap by half (L. Yaroslavsky, "Local adaptive image restoration by sliding DCT",
1996). A texture of one direction gathers in few coefficients that stand out of the noise, where the noise is spread
over all 64. How strong the noise is in each coefficient is read from the flattest blocks of the frame itself, since
interpolation has smeared it, but never taken for more than the sensor's own can be: a linen cloth is no noise.
"""

from collections.abc import Callable
from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass

import numpy as np
from numba import get_num_threads, njit
from numpy.typing import NDArray

from plateside.ground.srgb import LUMINANCE
from plateside.model.counted import CountedPicture
from plateside.model.pixels import LinearPicture

Floats = NDArray[np.float32]

NONE_BELOW, ALL_FROM = 0.02, 0.04
"""Noise of the metered middle grey over its own level: below the first nothing is done, from the second on all. A
sensor of APS-C size is about there at ISO 200 and ISO 800."""
_METERED = 10 / 78
_SIDE, _STEP = 8, 4
_THRESHOLDS, _SHARES = (2.3, 4.0, 4.0), (0.85, 1.0, 1.0)
"""Standard deviations below which a coefficient is noise, and how much of that goes, for lightness and the two colour
differences: coloured noise is the one that is seen, and lightness holds the crumbs (see bench noise)."""
_BAND_ROWS = 256
_LOOKED_AT = 60_000
_FLATTEST = 0.2
_BIAS = 1.16
"""The flattest fifth of blocks of pure noise has so much less of it than all (chi-square of 63; by trial)."""
_LARGEST_SHARE = 1.15
_SPLIT = np.array([[0.25, 0.5, 0.25], [0.75, -0.5, -0.25], [-0.25, -0.5, 0.75]], np.float32)
_JOINED = np.linalg.inv(_SPLIT).astype(np.float32)


@dataclass(frozen=True)
class Scale:
    """Linear light to a scale of even noise and back: t = 2 / a (sqrt(a x + b) - sqrt(b)), straight below 0."""

    a: float
    b: float

    def even(self, linear: Floats) -> Floats:
        a, root = np.float32(self.a), np.float32(np.sqrt(self.b))
        above = 2 / a * (np.sqrt(a * np.maximum(linear, 0) + root * root) - root)
        return np.asarray(above + np.minimum(linear, 0) / root, np.float32)

    def linear(self, even: Floats) -> Floats:
        a, root = np.float32(self.a), np.float32(np.sqrt(self.b))
        up = np.maximum(even, 0) * (a / 2) + root
        return np.asarray((up * up - root * root) / a + np.minimum(even, 0) * root, np.float32)


def strength(picture: LinearPicture | CountedPicture) -> float:
    """How much of the noise is to go, 0 to 1; 0 of a camera's JPEG, or where the noise is not known."""
    if picture.noise is None:
        return 0.0
    slope, floor = picture.noise[1]
    share = float(np.sqrt(max(slope * _METERED + floor, 0.0)) / _METERED)
    t = min(max((share - NONE_BELOW) / (ALL_FROM - NONE_BELOW), 0.0), 1.0)
    return t * t * (3 - 2 * t)


@dataclass(frozen=True, eq=False)
class Evening:
    """How a picture's noise is evened out, found once: any part of it then gives what the whole would give."""

    amount: float
    """how much of it is to go, 0 to 1"""
    scale: "Scale"
    limits: Floats
    """(3, 8, 8): below it a coefficient is no more than noise"""


Part = Callable[[tuple[int, int, int, int]], Floats]
"""Rows and columns (first, last, first, last) -> that part of a developed picture, (h, w, 3)."""


def evening(
    noise: tuple[tuple[float, float], ...] | None,
    amount: float,
    gain: Floats,
    matrix: Floats,
    shape: tuple[int, ...],
    part: Part,
) -> Evening | None:
    """How the noise of a picture of this shape is to be evened out; None: it is to be left alone.

    noise   as LinearPicture's
    amount  how much of it is to go (`strength`)
    gain    (3,) and matrix (3, 3): from its camera values to linear sRGB
    part    any part of it, developed
    """
    if noise is None or amount == 0 or min(shape[:2]) < 4 * _SIDE:
        return None
    scale, largest = _scale(noise, gain, matrix)
    limits = _limits(_looked_at(shape, part), scale, largest)
    return Evening(amount, scale, limits * np.array(_THRESHOLDS, np.float32)[:, None, None])


MARGIN_PX = _SIDE
"""Around a part, what it must be given besides: every block that touches it."""
GRID_PX = _STEP
"""A part must begin at a multiple of it, or at the picture's edge: there blocks begin."""


def evened_part(linear: Floats, how: Evening) -> Floats:
    """A part of a picture without most of its noise; right from MARGIN_PX inwards, and at the picture's own edges."""
    a, root = np.float32(how.scale.a), np.float32(np.sqrt(how.scale.b))
    planes = np.empty((3, *linear.shape[:2]), np.float32)
    _to_planes(linear, a, root, _SPLIT, planes)
    for plane, limit, share in zip(planes, how.limits, _SHARES, strict=True):
        plane += np.float32(how.amount * share) * (_thresholded(plane, limit, _DCT) - plane)
    out = np.empty(linear.shape, np.float32)
    _to_linear(planes, a, root, _JOINED, out)
    return out


@njit(cache=True, nogil=True)
def _to_planes(linear: Floats, a: np.float32, root: np.float32, split: Floats, planes: Floats) -> None:
    """`Scale.even` and the three planes in one pass."""
    zero, two = np.float32(0), np.float32(2)
    even = np.empty(3, np.float32)
    for y in range(linear.shape[0]):
        for x in range(linear.shape[1]):
            for n in range(3):
                light = linear[y, x, n]
                above = two / a * (np.sqrt(a * max(light, zero) + root * root) - root)
                even[n] = above + min(light, zero) / root
            for n in range(3):
                planes[n, y, x] = split[n, 0] * even[0] + split[n, 1] * even[1] + split[n, 2] * even[2]


@njit(cache=True, nogil=True)
def _to_linear(planes: Floats, a: np.float32, root: np.float32, joined: Floats, out: Floats) -> None:
    zero, half = np.float32(0), np.float32(0.5)
    for y in range(out.shape[0]):
        for x in range(out.shape[1]):
            for n in range(3):
                even = joined[n, 0] * planes[0, y, x] + joined[n, 1] * planes[1, y, x]
                even += joined[n, 2] * planes[2, y, x]
                up = max(even, zero) * (a * half) + root
                out[y, x, n] = (up * up - root * root) / a + min(even, zero) * root


def evened(linear: Floats, picture: LinearPicture, gain: Floats, matrix: Floats) -> Floats:
    """A whole developed picture (h, w, 3) without most of its noise; `picture` is what it was developed from."""
    height = linear.shape[0]

    def part(at: tuple[int, int, int, int]) -> Floats:
        return linear[at[0] : at[1], at[2] : at[3]]

    how = evening(picture.noise, strength(picture), gain, matrix, linear.shape, part)
    if how is None:
        return linear
    out = np.empty_like(linear)

    def band(top: int) -> None:
        first, last = max(top - MARGIN_PX, 0), min(top + _BAND_ROWS + MARGIN_PX, height)
        bottom = min(top + _BAND_ROWS, height)
        out[top:bottom] = evened_part(linear[first:last], how)[top - first : bottom - first]

    with ThreadPoolExecutor(get_num_threads()) as threads:
        list(threads.map(band, range(0, height, _BAND_ROWS)))
    return out


def _looked_at(shape: tuple[int, ...], part: Part) -> Floats:
    """Blocks (n, 8, 8, 3) from all over a picture."""
    height, width = shape[:2]
    step = _SIDE * max(int(np.sqrt((height // _SIDE) * (width // _SIDE) / _LOOKED_AT)), 1)
    columns = np.arange(0, width - _SIDE + 1, step)[:, None] + np.arange(_SIDE)
    rows = [part((y, y + _SIDE, 0, width))[:, columns] for y in range(0, height - _SIDE + 1, step)]
    return np.asarray(np.concatenate([np.swapaxes(row, 0, 1) for row in rows]), np.float32)


def _scale(
    noise: tuple[tuple[float, float], ...], gain: Floats, matrix: Floats
) -> tuple[Scale, NDArray[np.float64]]:
    """The scale of even noise in luminance, and how much noise each of the three planes can have on it."""
    slopes, floors = np.asarray(noise, float).T
    gains = np.asarray(gain, float)
    # of a grey: each balanced channel is as bright as the luminance
    per_channel = np.stack([slopes * gains, floors * gains**2])  # variance = [0] x + [1]
    weights = (LUMINANCE @ np.asarray(matrix, float)) ** 2
    a, b = per_channel @ weights
    b = max(b, (a * 1e-3) ** 1.0 * 1e-2, 1e-9)
    planes = (_SPLIT.astype(float) @ np.asarray(matrix, float)) ** 2
    middle = 0.18
    variance = planes @ (per_channel[0] * middle + per_channel[1])
    return Scale(float(a), float(b)), np.sqrt(variance / (a * middle + b))


def _limits(picked: Floats, scale: Scale, largest: NDArray[np.float64]) -> Floats:
    """Standard deviation of the noise in each coefficient (3, 8, 8), by the flattest blocks."""
    light = picked.mean(axis=(1, 2, 3))
    picked = picked[(light > 0.004) & (picked.max(axis=(1, 2, 3)) < 0.9)]
    cap = (_LARGEST_SHARE * largest)[:, None, None] * np.ones((3, _SIDE, _SIDE))
    if len(picked) < 50:
        return cap.astype(np.float32)
    even = np.moveaxis(scale.even(picked) @ _SPLIT.T, -1, 0)
    found = np.einsum("ij,cnjk,lk->cnil", _DCT, even, _DCT)
    ac = (found[0] ** 2).sum(axis=(1, 2)) - found[0, :, 0, 0] ** 2
    flat = found[:, ac <= np.quantile(ac, _FLATTEST)]
    # the median of the absolute is 0.6745 of a normal's standard deviation
    sigma = np.median(np.abs(flat), axis=1) / 0.6745
    sigma[0] *= _BIAS
    sigma[:, 0, 0] = 0  # the level itself stays
    return np.asarray(np.minimum(sigma, cap), np.float32)


_DCT = np.array(
    [
        [np.sqrt((1 if k == 0 else 2) / _SIDE) * np.cos(np.pi * (n + 0.5) * k / _SIDE) for n in range(_SIDE)]
        for k in range(_SIDE)
    ],
    np.float32,
)
"""Orthonormal cosine transform of 8 values (N. Ahmed et al., IEEE Trans. Computers 23 (1974), 90)."""


@njit(cache=True, nogil=True, fastmath=True)
def _thresholded(plane: Floats, limit: Floats, dct: Floats) -> Floats:
    """Each block without the coefficients that are no more than noise; where blocks overlap, their mean."""
    height, width = plane.shape
    total = np.zeros((height, width), np.float32)
    weight = np.zeros((height, width), np.float32)
    block = np.empty((8, 8), np.float32)
    half = np.empty((8, 8), np.float32)
    y = 0
    while True:
        x = 0
        while True:
            for i in range(8):
                for k in range(8):
                    s = np.float32(0)
                    for n in range(8):
                        s += dct[k, n] * plane[y + i, x + n]
                    half[i, k] = s
            kept = 0
            for k in range(8):
                for j in range(8):
                    s = np.float32(0)
                    for n in range(8):
                        s += dct[k, n] * half[n, j]
                    if abs(s) <= limit[k, j]:
                        s = np.float32(0)
                    else:
                        kept += 1
                    block[k, j] = s
            for i in range(8):
                for j in range(8):
                    s = np.float32(0)
                    for k in range(8):
                        s += dct[k, i] * block[k, j]
                    half[i, j] = s
            share = np.float32(1.0 / max(kept, 1))
            for i in range(8):
                for j in range(8):
                    s = np.float32(0)
                    for k in range(8):
                        s += half[i, k] * dct[k, j]
                    total[y + i, x + j] += share * s
                    weight[y + i, x + j] += share
            if x == width - 8:
                break
            x = min(x + 4, width - 8)
        if y == height - 8:
            break
        y = min(y + 4, height - 8)
    return total / weight
