"""How blurred a held thing is in each frame of a burst: the frames laid over it, in the colours it stands out by.

The frames are cut out round the thing, each shifted as the thing went, in linear light. Brightness is measured, unless
the thing hardly stands out by it: then that mixture of red, green and blue in which its own edges are strongest beside
what does not go with it (the table that slides past behind: the ratio of two quadratic forms, R. A. Fisher, Annals of
Eugenics 7, 1936). Pixels in which the frames agree are trusted. Then each frame is compared with the sharpest
(`blur_between`).
"""

from collections.abc import Sequence

import cv2
import numpy as np
from numpy.typing import NDArray

from plateside.frames.blur_between import laid_out, more_blurred
from plateside.frames.edges import find_edges, smoothed
from plateside.frames.moving_object import MovingObject
from plateside.ground.srgb import LUMINANCE, byte_table

Array = NDArray[np.float32]

MARGIN_PX = 12
FEWEST = 400
"""Pixels of the thing's edges, below which nothing is said."""
COLOUR_BETTER = 4.0
"""A JPEG keeps colours at half its size: brightness is measured unless colours stand out by so much more."""
AGREES_PX = 3.0
"""So soft that blur makes no difference."""
LEAST_WIDTH2 = 0.3
MOST_WIDTH2 = 16.0
_LINEAR = byte_table()


def object_blur_widths(pictures: Sequence[NDArray[np.uint8]], thing: MovingObject) -> list[float] | None:
    """Width of the blur on the held thing in each frame: square root of its second moment in all directions [px].

    pictures  the burst's frames, of one size (height x width x 3, or grey), at which `thing` is scaled up

    Differences are measured, the least width is only guessed from its edges. None when too little of it is seen.
    """
    high, wide = pictures[0].shape[:2]
    scale = wide / thing.where.shape[1]
    where = cv2.resize(thing.where.astype(np.uint8), (wide, high), interpolation=cv2.INTER_NEAREST) > 0
    cuts, inside = _cut_out(pictures, thing, where, scale)
    if int(inside.sum()) < FEWEST:
        return None
    planes = _mixed(cuts, inside)
    laid = laid_out(planes)
    trust = _trust(planes, inside)
    reference = len(planes) // 2
    more = np.zeros(len(planes))
    for _ in range(3):
        more = np.array(
            [
                0.0
                if k == reference
                else float(np.trace(more_blurred(laid, reference, k, inside, trust).blur_px2))
                for k in range(len(planes))
            ]
        )
        if int(more.argmin()) == reference:
            break
        reference = int(more.argmin())
    least = _least_width2(cuts[reference], inside)
    return [float(v) for v in np.sqrt(np.maximum(more - more.min(), 0) + least)]


def _cut_out(
    pictures: Sequence[NDArray[np.uint8]], thing: MovingObject, where: NDArray[np.bool_], scale: float
) -> tuple[list[Array], NDArray[np.bool_]]:
    """Each frame round the thing, linear, height x width x colours, at one brightness; where every frame shows it."""
    high, wide = where.shape
    rows, columns = np.nonzero(where)
    x0, y0 = max(int(columns.min()) - MARGIN_PX, 0), max(int(rows.min()) - MARGIN_PX, 0)
    x1, y1 = min(int(columns.max()) + MARGIN_PX, wide), min(int(rows.max()) + MARGIN_PX, high)
    inside = where[y0:y1, x0:x1].copy()
    size = (x1 - x0, y1 - y0)
    cuts: list[Array] = []
    level = 0.0
    for one, small in zip(pictures, thing.matrices, strict=True):
        matrix = small.copy()
        matrix[:, 2] *= scale
        matrix[:, 2] += matrix[:, :2] @ np.array([x0, y0])
        flags = cv2.INTER_LANCZOS4 | cv2.WARP_INVERSE_MAP
        if np.array_equal(matrix[:, :2], np.eye(2)):
            # whole pixels: between them lies blur that the frame has not
            matrix[:, 2] = np.round(matrix[:, 2])
            flags = cv2.INTER_NEAREST | cv2.WARP_INVERSE_MAP
        border = cv2.BORDER_REPLICATE
        shown = cv2.warpAffine(one, matrix, size, flags=flags, borderMode=border)
        overlap = cv2.warpAffine(np.ones((high, wide), np.uint8), matrix, size, flags=flags)
        inside &= cv2.erode(overlap, np.ones((7, 7), np.uint8), borderValue=1) > 0
        brightness = float(np.mean(_LINEAR[one[::4, ::4]]))
        level = level or brightness
        linear = _LINEAR[shown] * np.float32(level / max(brightness, 1e-6))
        cuts.append(np.asarray(linear.reshape(*linear.shape[:2], -1), np.float32))
    return cuts, inside


def _trust(planes: Sequence[Array], inside: NDArray[np.bool_]) -> Array:
    """How well the frames agree at each pixel, 0 to 1: what slides past behind the thing does not."""
    soft = np.stack([cv2.GaussianBlur(one, (0, 0), AGREES_PX) for one in planes])
    off = np.asarray(soft.var(axis=0), np.float32)
    usual = float(np.median(off[inside])) + 1e-12
    return np.asarray(1 / (1 + off / usual), np.float32)


def _mixed(cuts: Sequence[Array], inside: NDArray[np.bool_]) -> list[Array]:
    """The mixture of the colours in which the thing stands out most, height x width."""
    if cuts[0].shape[2] == 1:
        return [np.ascontiguousarray(one[..., 0]) for one in cuts]
    edges = []
    for one in cuts:
        soft = cv2.GaussianBlur(one, (0, 0), 1.0)
        across, down = (cv2.Sobel(soft, cv2.CV_32F, *of)[inside] / 8 for of in ((1, 0), (0, 1)))
        edges.append(np.concatenate([across, down]))
    stack = np.stack(edges).astype(np.float64)
    ranked = np.sort(stack, axis=0)
    own = (ranked[(len(ranked) - 1) // 2] + ranked[len(ranked) // 2]) / 2
    rest = (stack - own).reshape(-1, own.shape[1])
    signal, noise = own.T @ own / len(own), rest.T @ rest / len(rest)
    noise += np.eye(len(noise)) * 0.02 * np.trace(noise) / len(noise) + 1e-12 * np.eye(len(noise))
    # the mixture whose signal is largest against its noise, in colours whose noise is alike in all (whitened)
    whitened = np.linalg.inv(np.linalg.cholesky(noise))
    mixture = whitened.T @ np.linalg.eigh(whitened @ signal @ whitened.T)[1][:, -1]
    if _stands_out(LUMINANCE, signal, noise) * COLOUR_BETTER >= _stands_out(mixture, signal, noise):
        mixture = LUMINANCE
    mixture = (mixture / np.abs(mixture).sum()).astype(np.float32)
    return [np.ascontiguousarray(one @ mixture) for one in cuts]


def _stands_out(
    mixture: NDArray[np.float64], signal: NDArray[np.float64], noise: NDArray[np.float64]
) -> float:
    return float(mixture @ signal @ mixture / (mixture @ noise @ mixture))


def _least_width2(cut: Array, inside: NDArray[np.bool_]) -> float:
    """Second moment in both directions, from the spread of this frame's edges [px^2]."""
    light = (255 * np.sqrt(np.clip(cut.mean(axis=2), 0, 1))).astype(np.uint8)
    edges = find_edges(smoothed(light))
    spreads = edges.spread2[inside[edges.y, edges.x]] if len(edges) else np.zeros(0)
    middle = float(np.median(spreads)) if spreads.size else 0.0
    return float(np.clip(2 * middle, LEAST_WIDTH2, MOST_WIDTH2))
