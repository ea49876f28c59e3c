"""Sensor noise evened out, by how much there is: texture stays, what is no more than noise goes.

The light is first brought to a scale on which noise is alike everywhere (square root of light: F. J. Anscombe,
Biometrika 35 (1948), 246), then split into lightness and two colour differences. In the cosine transform of blocks of
8 x 8 that overlap by half (L. Yaroslavsky, "Local adaptive image restoration by sliding DCT", 1996) each coefficient
is kept by how much is there in the mean of the blocks around against what noise alone would be: all of it where that
is several times the noise's, none where it is no more. So a cloth, whose threads are everywhere, is told from noise
although no single thread could be. A weaker texture, no stronger than the noise itself, is told by more blocks: it is
in every direction from them, where beside an edge there is one side with nothing in it. How strong the noise is in
each coefficient follows from the sensor's, as interpolation smears it.
"""

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
_AROUND = (1, 2, 2)
"""Blocks to each side whose energy is taken together, of lightness and the two colour differences: coloured noise is
the one that is seen, and lightness holds the crumbs."""
_CUT, _STEEP = 1.25, (True, False, False)
"""Times the noise's own energy below which there is nothing else, and whether what has more is sooner kept whole than
by Wiener's rule, which leaves the least error and makes a weak texture weaker (see bench noise)."""
_FAR, _FAR_CUT = (2, 0, 0), 0.87
"""Texture: what the least of four groups of blocks has, diagonally about a block, so many to each side in each (0: not
looked for), and its cut. It is kept whole soon after: what is in every direction is no noise."""
_BAND_ROWS = 256
SPLIT = np.array([[0.25, 0.5, 0.25], [0.75, -0.5, -0.25], [-0.25, -0.5, 0.75]], np.float32)
JOINED = np.linalg.inv(SPLIT).astype(np.float32)


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
    variance: Floats
    """(3, 8, 8): of the noise in each coefficient"""


def evening(
    noise: tuple[tuple[float, float], ...] | None,
    amount: float,
    gain: Floats,
    matrix: Floats,
    shape: tuple[int, ...],
    smeared: bool,
) -> Evening | None:
    """How the noise of a picture of this shape is to be evened out; None: it is to be left alone.

    noise   as LinearPicture's
    amount  how much of it is to go (`strength`)
    gain    (3,) and matrix (3, 3): from its camera values to linear sRGB
    smeared as LinearPicture's; if not, noise is taken to be each pixel's own
    """
    if noise is None or amount == 0 or min(shape[:2]) < 4 * _SIDE:
        return None
    scale, each = _scale(noise, gain, matrix)
    spread = (_SMEARED if smeared else np.ones_like(_SMEARED)) * each[:, None, None]
    return Evening(amount, scale, (spread**2).astype(np.float32))


MARGIN_PX = _SIDE + max(*_AROUND, *(2 * far for far in _FAR)) * _STEP
"""Around a part, what it must be given besides: every block that touches it, and those around these."""
GRID_PX = _STEP
"""A part must begin at a multiple of it, or at the picture's edge: there blocks begin."""


def evened_part(linear: Floats, how: Evening) -> Floats:
    """A part of a picture without most of its noise; right from MARGIN_PX inwards, and at the picture's own edges."""
    a, root = np.float32(how.scale.a), np.float32(np.sqrt(how.scale.b))
    planes = np.empty((3, *linear.shape[:2]), np.float32)
    _to_planes(linear, a, root, SPLIT, planes)
    amount = np.float32(how.amount)
    for n, plane in enumerate(planes):
        cuts = np.float32(_CUT), np.float32(_FAR_CUT)
        plane[:] = _shrunk(plane, how.variance[n], amount, _AROUND[n], _STEEP[n], _FAR[n], cuts, DCT, _TURNED)
    out = np.empty(linear.shape, np.float32)
    _to_linear(planes, a, root, JOINED, out)
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

    how = evening(picture.noise, strength(picture), gain, matrix, linear.shape, picture.noise_smeared)
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
    planes = (SPLIT.astype(float) @ np.asarray(matrix, float)) ** 2
    middle = 0.18
    variance = planes @ (per_channel[0] * middle + per_channel[1])
    return Scale(float(a), float(b)), np.sqrt(variance / (a * middle + b))


DCT = np.array(
    [
        [np.sqrt((1 if k == 0 else 2) / _SIDE) * np.cos(np.pi * (n + 0.5) * k / _SIDE) for n in range(_SIDE)]
        for k in range(_SIDE)
    ],
    np.float32,
)
"""Orthonormal cosine transform of 8 values (N. Ahmed et al., IEEE Trans. Computers 23 (1974), 90)."""
_TURNED = np.ascontiguousarray(DCT.T)


_LIGHT_SMEARED = [
    [1.66, 1.67, 1.62, 1.57, 1.50, 1.39, 1.29, 1.16], [1.67, 1.61, 1.56, 1.51, 1.43, 1.33, 1.20, 1.09],
    [1.62, 1.56, 1.56, 1.50, 1.42, 1.26, 1.15, 1.00], [1.57, 1.51, 1.50, 1.42, 1.31, 1.17, 1.03, 0.92],
    [1.50, 1.43, 1.42, 1.31, 1.19, 1.05, 0.91, 0.77], [1.39, 1.33, 1.26, 1.17, 1.05, 0.86, 0.72, 0.62],
    [1.29, 1.20, 1.15, 1.03, 0.91, 0.72, 0.59, 0.49], [1.16, 1.09, 1.00, 0.92, 0.77, 0.62, 0.49, 0.42],
]  # fmt: skip
_COLOUR_SMEARED = [
    [1.77, 1.53, 1.30, 1.00, 0.76, 0.53, 0.35, 0.23], [1.53, 1.33, 1.10, 0.86, 0.65, 0.47, 0.31, 0.21],
    [1.30, 1.10, 0.90, 0.72, 0.54, 0.39, 0.27, 0.20], [1.00, 0.86, 0.72, 0.55, 0.42, 0.31, 0.23, 0.18],
    [0.76, 0.65, 0.54, 0.42, 0.32, 0.25, 0.19, 0.16], [0.53, 0.47, 0.39, 0.31, 0.25, 0.20, 0.17, 0.15],
    [0.35, 0.31, 0.27, 0.23, 0.19, 0.17, 0.15, 0.14], [0.23, 0.21, 0.20, 0.18, 0.16, 0.15, 0.14, 0.14],
]  # fmt: skip
_SMEARED = np.array([_LIGHT_SMEARED, _COLOUR_SMEARED, _COLOUR_SMEARED])
"""(3, 8, 8) noise in each coefficient after LibRaw's AHD interpolation, over what each photosite's would be: measured
in a grey field of known noise (bench noise)."""


@njit(cache=True, nogil=True, fastmath=True)
def _shrunk(
    plane: Floats, variance: Floats, amount: np.float32, reach: int, steep: bool, far: int,
    cuts: tuple[np.float32, np.float32], dct: Floats, turned: Floats,
) -> Floats:  # fmt: skip
    """Each block with the share of its coefficients that is not noise; where blocks overlap, their mean.

    variance  (8, 8) of noise alone
    amount    how much of it goes
    reach     blocks to each side whose energy is taken together
    steep     what has more than noise is sooner kept whole
    far       blocks to each side in each of the four groups that tell a texture; 0: it is not looked for
    cuts      of what is near, and of a texture
    dct       the transform, and turned: its rows as columns
    """
    height, width = plane.shape
    down, across = (height - 8 + 3) // 4 + 1, (width - 8 + 3) // 4 + 1
    found = np.empty((down, across, 8, 8), np.float32)
    for a in range(down):
        for b in range(across):
            _into(plane, min(4 * a, height - 8), min(4 * b, width - 8), dct, turned, found[a, b])
    near = _energies(found, variance, reach)
    wide = _energies(found, variance, far) if far else near
    total = np.zeros((height, width), np.float32)
    weight = np.zeros((height, width), np.float32)
    least = np.empty((8, 8), np.float32)
    one = np.float32(1)
    for a in range(down):
        top, bottom = max(a - far, 0), min(a + far, down - 1)
        for b in range(across):
            if far:
                left, right = max(b - far, 0), min(b + far, across - 1)
                for k in range(8):
                    for j in range(8):
                        upper = min(wide[top, left, k, j], wide[top, right, k, j])
                        least[k, j] = min(upper, min(wide[bottom, left, k, j], wide[bottom, right, k, j]))
            size = one  # the level itself stays
            for k in range(8):
                for j in range(8):
                    if k + j > 0:
                        noise = min(cuts[0] / near[a, b, k, j], one)
                        if steep:
                            noise *= np.sqrt(noise)
                        if far:
                            beyond = min(cuts[1] / least[k, j], one) ** 2
                            noise = min(noise, beyond * beyond)
                        share = one - amount * noise
                        found[a, b, k, j] *= share
                        size += share * share
            y, x = min(4 * a, height - 8), min(4 * b, width - 8)
            _back(found[a, b], dct, turned, one / size, y, x, total, weight)
    return total / weight


@njit(cache=True, nogil=True, fastmath=True)
def _energies(found: Floats, variance: Floats, reach: int) -> Floats:
    """Energy of each coefficient over that of noise alone, in the mean of the blocks up to `reach` away."""
    down, across = found.shape[:2]
    beside = np.zeros_like(found)
    for a in range(down):
        for b in range(across):
            for c in range(max(b - reach, 0), min(b + reach + 1, across)):
                for k in range(8):
                    for j in range(8):
                        beside[a, b, k, j] += found[a, c, k, j] * found[a, c, k, j]
    out = np.empty_like(found)
    for a in range(down):
        top, bottom = max(a - reach, 0), min(a + reach + 1, down)
        for b in range(across):
            out[a, b] = np.float32(1e-30)
            for c in range(top, bottom):
                for k in range(8):
                    for j in range(8):
                        out[a, b, k, j] += beside[c, b, k, j]
            blocks = np.float32((bottom - top) * (min(b + reach + 1, across) - max(b - reach, 0)))
            for k in range(8):
                for j in range(8):
                    out[a, b, k, j] /= variance[k, j] * blocks
    return out


@njit(cache=True, nogil=True, fastmath=True)
def _into(plane: Floats, y: int, x: int, dct: Floats, turned: Floats, out: Floats) -> None:
    """The cosine transform of the block at (x, y). The inner loops are of eight values that lie side by side."""
    half = np.empty((8, 8), np.float32)
    for i in range(8):
        for k in range(8):
            half[i, k] = plane[y + i, x] * turned[0, k]
        for n in range(1, 8):
            value = plane[y + i, x + n]
            for k in range(8):
                half[i, k] += value * turned[n, k]
    for k in range(8):
        for j in range(8):
            out[k, j] = dct[k, 0] * half[0, j]
        for n in range(1, 8):
            share = dct[k, n]
            for j in range(8):
                out[k, j] += share * half[n, j]


@njit(cache=True, nogil=True, fastmath=True)
def _back(
    block: Floats,
    dct: Floats,
    turned: Floats,
    share: np.float32,
    y: int,
    x: int,
    total: Floats,
    weight: Floats,
) -> None:
    """The block (8, 8) of coefficients as a part of the picture, `share` of it added up."""
    half = np.empty((8, 8), np.float32)
    for i in range(8):
        for j in range(8):
            half[i, j] = turned[i, 0] * block[0, j]
        for k in range(1, 8):
            part = turned[i, k]
            for j in range(8):
                half[i, j] += part * block[k, j]
    line = np.empty(8, np.float32)
    for i in range(8):
        for j in range(8):
            line[j] = half[i, 0] * dct[0, j]
        for k in range(1, 8):
            part = half[i, k]
            for j in range(8):
                line[j] += part * dct[k, j]
        for j in range(8):
            total[y + i, x + j] += share * line[j]
            weight[y + i, x + j] += share
