"""A second light of another colour (a lamp left on): settled by a frame with it off.

Two frames of one set-up laid over each other differ by the lamp's light alone, save for a change of the daylight or of
the white balance, which is the same everywhere.
"""

from dataclasses import dataclass

import cv2
import numpy as np
from numpy.typing import NDArray

from plateside.frames.colour import cast_of
from plateside.frames.facts import Box
from plateside.frames.register import Fit
from plateside.ground.srgb import LUMINANCE_32
from plateside.model.channels import highest, lowest

Array = NDArray[np.float32]

SETTLED_SHARE = 0.05


@dataclass(frozen=True)
class Settled:
    """What a frame with the lamp off proves."""

    lamp: bool
    share: float
    """Of the light at the place where the lamp is strongest, 0 to 1."""
    warmer_mired: float
    """The lamp's colour against the daylight's."""
    at: tuple[float, float]


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
    usable = (lowest(a) > 0.004) & (lowest(b) > 0.004) & (highest(a) < 0.9) & (highest(b) < 0.9)
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
    share = (extra @ LUMINANCE_32) / np.maximum(b @ LUMINANCE_32, 1e-4)
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
