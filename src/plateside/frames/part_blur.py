"""A part of the hero that is more blurred than in the test frame: steam, a hand, a leaf that sank, a spoon that fell.

Two pictures of one thing, one of them more blurred by a second moment (a 2 x 2 covariance; a streak of length L along d
has L^2/12 d d'), differ to first order by half of it times the second derivatives (the heat equation: B. M. ter Haar
Romeny, Front-End Vision and Multi-Scale Image Analysis, 2003). So it is found by least squares in small windows, beside
what a shift and a change of light explain (Lucas and Kanade, IJCAI 1981). What was laid on the dish or taken off is no
blur of what was there: there the second derivatives explain little of the difference. No edge has to be singled out, so
smooth food and a streak so long that fine edges vanish are seen too.
"""

from dataclasses import dataclass

import cv2
import numpy as np
from numpy.typing import NDArray

from plateside.frames.facts import Box
from plateside.frames.register import Registration
from plateside.frames.subject import on_subject

Array = NDArray[np.float32]

WIDE_PX = 600
"""Longer side of the picture that is looked at: a movement of 14 px of 1500 is 5.6 px there."""
SOFT_PX = 1.3
WINDOW_PX = 19
STEP_PX = 6
LEAST_PX2 = 0.7
"""Second moment along the streak from which a window counts [px^2 at WIDE_PX]: 2.9 px, or 7 of 1500."""
EXPLAINED = 0.55
"""Of what neither shift nor light explains."""
ABOVE_GRAIN = 3.0
"""Of what grain alone would leave, root mean square."""
LEAST_DIFFERENCE = 0.008
"""Of the encoded level there, root mean square: less is compression's own."""
DARK, COARSE_PX = 0.05, 12.0
WHITE = 0.97
"""Encoded."""
STREAK = 0.5
"""Of a part's blur in one direction, as a share of all of it: more, and it has moved."""
ONE_WAY = 0.6
"""Of a streak's directions, window by window: their mean over their length, as of a movement and not of a new thing."""
FEWEST_WINDOWS = 3


@dataclass(frozen=True)
class PartBlur:
    """The largest part of the hero that is blurred while the rest is not."""

    share: float
    """Of the hero; 0: there is none."""
    at: tuple[float, float]
    """Its middle, shares of the test frame."""
    along: float
    """How much more it is blurred in one direction, as a share of the larger: 1 what moved, 0 what is out of focus; -1
    where there is none."""


NOTHING = PartBlur(0.0, (0.5, 0.5), -1.0)


def part_blur(reference: Array, frame: Array, fit: Registration, box: Box) -> PartBlur:
    """Compare two grey pictures (0..1, encoded, one size) of a set-up, `fit` from `register(reference, frame)`."""
    height, width = reference.shape
    scale = min(WIDE_PX / max(height, width), 1.0)
    size = (round(width * scale), round(height * scale))
    matrix = fit.matrix.copy()
    flags = cv2.INTER_CUBIC | cv2.WARP_INVERSE_MAP
    back = cv2.warpAffine(frame, matrix, (width, height), flags=flags, borderMode=cv2.BORDER_REPLICATE)
    shown = [
        np.asarray(cv2.resize(p, size, interpolation=cv2.INTER_AREA), np.float32) for p in (reference, back)
    ]
    a, b = (_evened(p) for p in shown)
    mean, rest = np.asarray((a + b) / 2, np.float32), np.asarray(b - a, np.float32)
    rows, places = _grid(size, box)
    if rows.size == 0:
        return NOTHING
    n, r, e = _summed(_columns(mean), rest, rows, places)
    left_small, _ = _solved(n[:, :4, :4], r[:, :4], e)
    left_all, found = _solved(n, r, e)
    grain = _grain(rest)
    level = np.sqrt(np.maximum(left_small, 0) / WINDOW_PX**2)
    explained = 1 - left_all / np.maximum(left_small, 1e-12)
    xx, xy, yy = found[:, 4], found[:, 5], found[:, 6]
    swing = np.hypot((xx - yy) / 2, xy)
    most, least = (xx + yy) / 2 + swing, (xx + yy) / 2 - swing
    # what all of the hero has is another setting of the lens, or the laying over, and no part's
    detail = n[:, 4, 4] + n[:, 6, 6]
    # what a brighter light burnt out has lost its detail, and has not moved
    burnt = cv2.dilate(
        ((shown[1] >= WHITE) & (shown[0] < WHITE)).astype(np.uint8), np.ones((WINDOW_PX,) * 2, np.uint8)
    )
    everywhere = detail >= 0.25 * float(np.median(detail))
    all_have = max(float(np.median(least[everywhere])), 0.0)
    blurred = (level > max(ABOVE_GRAIN * grain, LEAST_DIFFERENCE)) & (explained > EXPLAINED)
    blurred &= (most - all_have > LEAST_PX2) & (least > -0.35 * most) & (burnt[rows, places] == 0)
    # the direction twice turned, as long as the blur is directed
    along = np.clip(2 * swing / np.maximum(most - all_have, 1e-6), 0, 1)
    turned = ((xx - yy) / 2 + 1j * xy) / np.maximum(swing, 1e-9) * along
    return _largest(rows, places, blurred, np.asarray(turned, np.complex128), size)


def _evened(plain: Array) -> Array:
    """Detail alone: a change of light, or its slope, is an offset of the logarithm and goes with what is coarse."""
    log = np.log(plain + np.float32(DARK))
    fine = cv2.GaussianBlur(log, (0, 0), SOFT_PX)
    return np.asarray(fine - cv2.GaussianBlur(log, (0, 0), COARSE_PX), np.float32)


def _columns(mean: Array) -> list[Array]:
    """What may differ between the two: shift, gain, offset, and the three second derivatives."""
    x = cv2.Sobel(mean, cv2.CV_32F, 1, 0, scale=1 / 8)
    y = cv2.Sobel(mean, cv2.CV_32F, 0, 1, scale=1 / 8)
    xx = cv2.filter2D(mean, cv2.CV_32F, np.array([[1, -2, 1]], np.float32)) / 2
    yy = cv2.filter2D(mean, cv2.CV_32F, np.array([[1], [-2], [1]], np.float32)) / 2
    xy = cv2.Sobel(x, cv2.CV_32F, 0, 1, scale=1 / 8)
    return [np.asarray(c, np.float32) for c in (x, y, mean, np.ones_like(mean), xx, xy, yy)]


def _summed(
    columns: list[Array], rest: Array, rows: NDArray[np.int64], places: NDArray[np.int64]
) -> tuple[NDArray[np.float64], NDArray[np.float64], NDArray[np.float64]]:
    """Normal equations of the windows at these places: (n, 7, 7), (n, 7), (n)."""
    edge = WINDOW_PX // 2 + 1
    top, left = max(int(rows.min()) - edge, 0), max(int(places.min()) - edge, 0)
    part = slice(top, int(rows.max()) + edge + 1), slice(left, int(places.max()) + edge + 1)
    at = rows - top, places - left

    def summed(one: Array, other: Array) -> NDArray[np.float64]:
        product = one[part] * other[part]
        window = (WINDOW_PX, WINDOW_PX)
        return np.asarray(cv2.boxFilter(product, cv2.CV_64F, window, normalize=False)[at], np.float64)

    k = len(columns)
    products, right = np.empty((rows.size, k, k)), np.empty((rows.size, k))
    for i in range(k):
        for j in range(i, k):
            products[:, i, j] = products[:, j, i] = summed(columns[i], columns[j])
        right[:, i] = summed(columns[i], rest)
    return products, right, summed(rest, rest)


def _solved(
    normal: NDArray[np.float64], right: NDArray[np.float64], energy: NDArray[np.float64]
) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
    """(squares left, solution) of many small least squares; directions without detail are held at nothing."""
    k = normal.shape[1]
    size = np.einsum("nii->n", normal) / k
    ridge = np.eye(k) * 1e-6 * size[:, None, None]
    if k > 4:
        second = normal[:, 4, 4] + normal[:, 6, 6]
        for i in (4, 5, 6):
            ridge[:, i, i] += 0.02 * second
    found = np.linalg.solve(normal + ridge + 1e-12 * np.eye(k), right[..., None])[..., 0]
    left = energy - 2 * np.einsum("ni,ni->n", found, right) + np.einsum("ni,nij,nj->n", found, normal, found)
    return np.maximum(left, 0.0), found


def _grid(size: tuple[int, int], box: Box) -> tuple[NDArray[np.int64], NDArray[np.int64]]:
    """Middles of the windows on the hero, rows and columns."""
    width, height = size
    y, x = np.mgrid[STEP_PX // 2 : height : STEP_PX, STEP_PX // 2 : width : STEP_PX]
    inside = on_subject(x, y, box, width, height)
    edge = WINDOW_PX // 2
    inside &= (x >= edge) & (y >= edge) & (x < width - edge) & (y < height - edge)
    return y[inside], x[inside]


def _grain(rest: Array) -> float:
    """Root mean square of grain in the difference: what the middle of all places shows."""
    return 1.48 * float(np.median(np.abs(rest - cv2.blur(rest, (9, 9)))))


def _largest(
    rows: NDArray[np.int64],
    places: NDArray[np.int64],
    blurred: NDArray[np.bool_],
    turned: NDArray[np.complex128],
    size: tuple[int, int],
) -> PartBlur:
    """The largest connected part that is blurred as one thing is: in one direction, or in none."""
    shape = (size[1] // STEP_PX + 1, size[0] // STEP_PX + 1)
    mask, ways = np.zeros(shape, np.uint8), np.zeros(shape, np.complex128)
    mask[rows // STEP_PX, places // STEP_PX] = blurred
    ways[rows // STEP_PX, places // STEP_PX] = turned
    count, labels, stats, middles = cv2.connectedComponentsWithStats(mask, connectivity=8)
    for best in 1 + np.argsort(-stats[1:, cv2.CC_STAT_AREA]) if count > 1 else ():
        area = int(stats[best, cv2.CC_STAT_AREA])
        if area < FEWEST_WINDOWS:
            break
        way = ways[labels == best]
        along, one_way = float(np.median(np.abs(way))), float(np.abs(way.mean()))
        if along < STREAK or one_way >= ONE_WAY * along:
            x, y = ((float(v) + 0.5) * STEP_PX / side for v, side in zip(middles[best], size, strict=True))
            return PartBlur(area / len(rows), (min(x, 1.0), min(y, 1.0)), along)
    return NOTHING
