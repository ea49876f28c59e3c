"""A second light of another colour (a lamp left on): suspected from one frame, settled by a frame with it off.

From one frame: things change colour abruptly, light changes colour slowly. Log-chroma gradients small enough to be
light are kept, large ones (edges of things) are dropped, and the rest is put together again by a Poisson equation:
Horn, "Determining lightness from an image", Computer Graphics and Image Processing 3 (1974), with chroma in
place of lightness. How far the field so found reaches from one end to the other, against its own roughness,
is the suspicion. Slow changes of colour in things (a glaze, a faded cloth) fool it: it is told as a suspicion.

With a second frame taken with the lamp off: the two laid over each other differ by the lamp's light alone, save for
a change of the daylight or of the white balance, which is the same everywhere.
"""

from dataclasses import dataclass

import cv2
import numpy as np
from numpy.typing import NDArray
from scipy import fft

from plateside.frames.colour import cast_of
from plateside.frames.exposure import LUMINANCE
from plateside.frames.facts import Box
from plateside.frames.register import Fit

Array = NDArray[np.float32]

_WORK_PX = 192
_EDGE = 0.035
"""Log-chroma steps above this between neighbouring cells (at 192 cells across) are things, not light."""
SUSPECT_FROM = 0.25
"""Log2 red over blue, from end to end of the field."""
SETTLED_SHARE = 0.05


@dataclass(frozen=True)
class Suspicion:
    """What one frame suggests."""

    strength: float
    """From 0 to 1; suspected from 0.5."""
    warm_stops: float
    """How much warmer the light is at its warmest than at its coolest: log2 of red over blue."""
    at: tuple[float, float]
    """Where it is warmest, shares of the frame."""


@dataclass(frozen=True)
class Settled:
    """What a frame with the lamp off proves."""

    lamp: bool
    share: float
    """Of the light at the place where the lamp is strongest, 0 to 1."""
    warmer_mired: float
    """The lamp's colour against the daylight's."""
    at: tuple[float, float]


def suspicion(linear: Array) -> Suspicion:
    """Suspect a second light in a small linear picture."""
    scale = _WORK_PX / max(linear.shape[:2])
    size = (max(round(linear.shape[1] * scale), 8), max(round(linear.shape[0] * scale), 8))
    small = np.asarray(cv2.resize(linear, size, interpolation=cv2.INTER_AREA), np.float32)
    usable = (small.min(axis=2) > 0.004) & (small.max(axis=2) < 0.92)
    chroma = np.log2(np.maximum(small[..., 0], 1e-4) / np.maximum(small[..., 2], 1e-4))
    green = np.log2(np.maximum(small[..., 1], 1e-4) / np.maximum(small[..., 2], 1e-4))
    # grain and fine texture would drown the slow change: small things are wiped away before differences are taken
    chroma, green = (np.asarray(cv2.medianBlur(cv2.medianBlur(p, 5), 5), np.float32) for p in (chroma, green))
    fy, fx = _kept(chroma, green, usable, 0), _kept(chroma, green, usable, 1)
    field = _poisson(fy, fx)
    known = field[usable]
    if known.size < 100:
        return Suspicion(0.0, 0.0, (0.5, 0.5))
    low, high = np.percentile(known, [5, 95])
    reach = float(high - low)
    row, column = np.unravel_index(int(np.argmax(cv2.GaussianBlur(field, (0, 0), 4))), field.shape)
    strength = float(1 / (1 + np.exp(-4 * (reach - SUSPECT_FROM) / SUSPECT_FROM)))
    return Suspicion(strength, reach, ((column + 0.5) / size[0], (row + 0.5) / size[1]))


def _kept(chroma: Array, green: Array, usable: NDArray[np.bool_], axis: int) -> Array:
    """Differences along an axis that may be light: small in chroma, between usable cells."""
    step, other = np.diff(chroma, axis=axis), np.diff(green, axis=axis)
    both = np.take(usable, range(usable.shape[axis] - 1), axis) & np.take(
        usable, range(1, usable.shape[axis]), axis
    )
    light = both & (np.abs(step) < _EDGE) & (np.abs(other) < _EDGE)
    # what lies under a thing's edge is taken to go on as its neighbourhood does
    weight = light.astype(np.float32)
    near = cv2.GaussianBlur(weight, (0, 0), 6) + 1e-3
    filled = cv2.GaussianBlur(np.where(light, step, 0).astype(np.float32), (0, 0), 6) / near
    return np.where(light, step, filled).astype(np.float32)


def _poisson(fy: Array, fx: Array) -> Array:
    """The field whose differences are nearest to these (least squares), mean 0; by the cosine transform."""
    height, width = fy.shape[0] + 1, fy.shape[1]
    divergence = np.zeros((height, width))
    divergence[:-1] += fy
    divergence[1:] -= fy
    divergence[:, :-1] += fx
    divergence[:, 1:] -= fx
    spectrum = fft.dctn(divergence, norm="ortho")
    u = (
        2 * np.cos(np.pi * np.arange(height) / height)[:, None]
        + 2 * np.cos(np.pi * np.arange(width) / width)[None]
    )
    scale = u - 4
    scale[0, 0] = 1.0
    spectrum /= scale
    spectrum[0, 0] = 0.0
    field = fft.idctn(spectrum, norm="ortho")
    # divergence of the differences of f is the Laplacian of f
    return np.asarray(field, np.float32)


def settled(on: Array, off: Array, fit: Fit, picture_width: int, box: Box | None = None) -> Settled:
    """Compare a frame with the suspected lamp `on` to one with it `off` (small linear pictures, same exposure).

    fit  from `register(off, on)`; box  where it matters (the hero), else the whole frame
    """
    height, width = off.shape[:2]
    matrix = fit.matrix.copy()
    matrix[:, 2] *= width / picture_width
    flags = cv2.INTER_LINEAR | cv2.WARP_INVERSE_MAP
    laid = np.asarray(
        cv2.warpAffine(on, matrix, (width, height), flags=flags, borderValue=(-1.0, -1.0, -1.0)), np.float32
    )
    # a lamp's light is smooth: a small copy holds all of it
    half = (max(width // 3, 16), max(height // 3, 16))
    off = np.asarray(cv2.resize(off, half, interpolation=cv2.INTER_AREA), np.float32)
    laid = np.asarray(cv2.resize(laid, half, interpolation=cv2.INTER_AREA), np.float32)
    width, height = half
    sigma = width / 60
    a, b = cv2.GaussianBlur(off, (0, 0), sigma), cv2.GaussianBlur(laid, (0, 0), sigma)
    usable = (a.min(axis=2) > 0.004) & (b.min(axis=2) > 0.004) & (a.max(axis=2) < 0.9) & (b.max(axis=2) < 0.9)
    if box is not None:
        v, u = np.mgrid[0:height, 0:width]
        inside = (u >= box[0] * width) & (u < box[2] * width) & (v >= box[1] * height) & (v < box[3] * height)
        if np.count_nonzero(usable & inside) > 100:
            usable &= inside
    if np.count_nonzero(usable) < 100:
        return Settled(False, 0.0, 0.0, (0.5, 0.5))
    ratio = b / np.maximum(a, 1e-4)
    # where red grew least against blue the lamp does not reach: there the daylight (and the camera's white
    # balance) alone changed, and the same everywhere
    warmer_here = ratio[..., 0] / np.maximum(ratio[..., 2], 1e-4)
    free = usable & (warmer_here <= np.percentile(warmer_here[usable], 15))
    daylight = np.array([float(np.median(ratio[..., c][free])) for c in range(3)], np.float32)
    extra = np.maximum(b - daylight * a, 0)
    share = (extra @ LUMINANCE) / np.maximum(b @ LUMINANCE, 1e-4)
    share = np.where(usable, share, 0)
    level = float(np.percentile(share[usable], 98))
    row, column = np.unravel_index(
        int(np.argmax(cv2.GaussianBlur(share.astype(np.float32), (0, 0), 3))), share.shape
    )
    top = usable & (share >= np.percentile(share[usable], 90))
    # lamp over daylight on the same things: their colours cancel
    colour = np.array(
        [float(np.median((extra[..., c] / np.maximum(a[..., c], 1e-4))[top])) for c in range(3)]
    )
    warmer, _ = cast_of(np.maximum(colour, 1e-4))
    return Settled(
        level >= SETTLED_SHARE and warmer > 10, level, warmer, ((column + 0.5) / width, (row + 0.5) / height)
    )
