"""Laying a later frame over the reference: how the camera moved between the two.

First a shift by phase correlation of the gradients (Kuglin and Hines 1975; blind to slow changes of light), then
a shift with turn and scale by maximising the correlation (ECC: Evangelidis and Psarakis, IEEE PAMI 30 (2008)); when
the two do not fit, matched corners (ORB: Rublee et al., ICCV 2011) with RANSAC. All on a small copy.
"""

from dataclasses import dataclass

import cv2
import numpy as np
from numpy.typing import NDArray

SMALL_PX = 400
GOOD_FIT = 0.60
LARGEST_SKEW, ABOUT_AS_GOOD = 0.008, 0.02
"""How far a fit may be from a turn and a scale; and how much less another may correlate."""

REFOCUSED_SCALES = (0.004, 0.1)
"""How much larger or smaller focusing anew draws: less cannot be told from the fit's own error, and a thin lens brought
from the dish to infinity loses its magnification, a tenth for a frame ten sensors wide."""
ABOUT_MIDDLE = 0.125
"""Of the change of scale: the most that a shift (over the frame's width) or a turn [rad] may be, where the picture only
grew or shrank about its middle."""

Array = NDArray[np.float32]


@dataclass(frozen=True, eq=False)
class Registration:
    """How the reference lies in the frame."""

    matrix: NDArray[np.float64]
    """2 x 3, from pixels of the reference to pixels of the frame (same size)."""
    correlation: float
    """Of the two pictures laid over each other, -1 to 1."""
    shift_px: float
    """Of the middle of the frame, in its pixels."""
    turn_deg: float
    scale: float

    @property
    def fits(self) -> bool:
        """Whether the two show the same set-up."""
        return self.correlation >= GOOD_FIT


def only_scaled(scale: float, moved_share: float, turn_deg: float) -> bool:
    """Whether a picture only grew or shrank about its middle, by as much as focusing anew does (v = f (1 + m)).

    moved_share  shift of the middle over the frame's width. A hand that moves the camera shifts and turns it as well.
    """
    change = abs(scale - 1.0)
    least, most = REFOCUSED_SCALES
    aside = max(moved_share, abs(float(np.radians(turn_deg))))
    return least <= change <= most and aside <= ABOUT_MIDDLE * change


def _small(grey: Array) -> tuple[Array, float]:
    height, width = grey.shape
    scale = min(1.0, SMALL_PX / max(height, width))
    size = (round(width * scale), round(height * scale))
    small = cv2.resize(grey, size, interpolation=cv2.INTER_AREA) if scale < 1 else grey
    return np.asarray(small, np.float32), size[0] / width


def _flattened(small: Array) -> Array:
    """Without slow changes of light, in units of local contrast."""
    mean = cv2.GaussianBlur(small, (0, 0), 15)
    rest = small - mean
    spread = np.sqrt(cv2.GaussianBlur(rest * rest, (0, 0), 15)) + 0.01
    return np.asarray(rest / spread, np.float32)


def register(reference: Array, frame: Array) -> Registration:
    """Fit two grey pictures (0..1, the same size) of one set-up."""
    a, scale = _small(reference)
    b, _ = _small(frame)
    a, b = (_flattened(np.asarray(cv2.GaussianBlur(p, (0, 0), 1.5), np.float32)) for p in (a, b))
    best = _by_correlation(a, b)
    askew = best is not None and _skew(best[0]) > LARGEST_SKEW
    if best is None or best[1] < GOOD_FIT or askew:
        # on a plain table what was put down pulls the fit askew, which no camera does: a fit by corners that agree, or
        # none at all, is then believed if it is about as good
        stood = np.eye(2, 3), _correlation(a, b, np.eye(2, 3))
        least = -2.0 if best is None else best[1] - (ABOUT_AS_GOOD if askew else 0.0)
        others = (one for one in (_by_corners(a, b), stood) if one is not None and one[1] > least)
        best = next(others, best) or stood
    matrix = best[0].copy()
    matrix[:, 2] /= scale
    height, width = reference.shape
    middle = np.array([width / 2, height / 2, 1.0])
    shift = matrix @ middle - middle[:2]
    size = float(np.sqrt(abs(np.linalg.det(matrix[:, :2]))))
    turn = float(np.degrees(np.arctan2(matrix[1, 0], matrix[0, 0])))
    return Registration(matrix, best[1], float(np.hypot(*shift)), turn, size)


def shift_between(a: Array, b: Array) -> tuple[tuple[float, float], float]:
    """(x, y) [px] from one picture to another of its size by phase correlation, and how sure that is (0 to 1)."""
    window = cv2.createHanningWindow((a.shape[1], a.shape[0]), cv2.CV_32F)
    # of sizes that need no padding OpenCV lays its window over the very pictures it is given
    (dx, dy), sure = cv2.phaseCorrelate(a.copy(), b.copy(), window)
    return (float(dx), float(dy)), float(sure)


def _by_correlation(a: Array, b: Array) -> tuple[NDArray[np.float64], float] | None:
    (dx, dy), _ = shift_between(a, b)
    start = np.array([[1, 0, dx], [0, 1, dy]], np.float32)
    if max(abs(dx), abs(dy)) > 0.4 * max(a.shape):
        start = np.array([[1, 0, 0], [0, 1, 0]], np.float32)
    stop = (cv2.TERM_CRITERIA_EPS | cv2.TERM_CRITERIA_COUNT, 40, 1e-5)
    try:
        _, matrix = cv2.findTransformECC(a, b, start, cv2.MOTION_AFFINE, stop, np.ones(b.shape, np.uint8), 3)
    except cv2.error:
        return None
    found = np.asarray(matrix, np.float64)
    if abs(np.linalg.det(found[:, :2]) - 1) > 0.3:
        return None
    return found, _correlation(a, b, found)


def _by_corners(a: Array, b: Array) -> tuple[NDArray[np.float64], float] | None:
    orb = cv2.ORB.create(nfeatures=600, fastThreshold=8)
    pictures = [np.clip(p * 40 + 128, 0, 255).astype(np.uint8) for p in (a, b)]
    (points_a, words_a), (points_b, words_b) = (orb.detectAndCompute(p, None) for p in pictures)
    if words_a is None or words_b is None or min(len(words_a), len(words_b)) < 12:
        return None
    pairs = cv2.BFMatcher(cv2.NORM_HAMMING, crossCheck=True).match(words_a, words_b)
    if len(pairs) < 10:
        return None
    src = np.array([points_a[m.queryIdx].pt for m in pairs], np.float32)
    dst = np.array([points_b[m.trainIdx].pt for m in pairs], np.float32)
    matrix, inside = cv2.estimateAffinePartial2D(src, dst, method=cv2.RANSAC, ransacReprojThreshold=2.0)
    if matrix is None or int(inside.sum()) < 8:
        return None
    found = np.asarray(matrix, np.float64)
    return found, _correlation(a, b, found)


def _skew(matrix: NDArray[np.float64]) -> float:
    """How far a fit is from a turn and a scale: by its two scales, and by what its axes lack of a right angle."""
    return float(np.hypot(matrix[0, 0] - matrix[1, 1], matrix[0, 1] + matrix[1, 0]))


def _correlation(a: Array, b: Array, matrix: NDArray[np.float64]) -> float:
    size = (a.shape[1], a.shape[0])
    flags = cv2.INTER_LINEAR | cv2.WARP_INVERSE_MAP
    back = cv2.warpAffine(b, matrix, size, flags=flags)
    overlap = cv2.warpAffine(np.ones_like(b), matrix, size, flags=flags) > 0.99
    if np.count_nonzero(overlap) < 0.2 * overlap.size:
        return -1.0
    # the middle of the ranked products is what unchanged parts say: a new prop must not hide a good fit
    tiles_a, tiles_b = a[overlap], back[overlap]
    n = tiles_a.size // 64
    if n < 8:
        return float(np.corrcoef(tiles_a, tiles_b)[0, 1])
    pa, pb = tiles_a[: n * 64].reshape(64, n), tiles_b[: n * 64].reshape(64, n)
    pa, pb = pa - pa.mean(axis=1, keepdims=True), pb - pb.mean(axis=1, keepdims=True)
    product = (pa * pb).sum(axis=1) / np.maximum(np.sqrt((pa**2).sum(axis=1) * (pb**2).sum(axis=1)), 1e-9)
    return float(np.percentile(product, 60))


def moved(x: Array, y: Array, matrix: NDArray[np.float64]) -> tuple[Array, Array]:
    """Points of the reference in the frame."""
    u = matrix[0, 0] * x + matrix[0, 1] * y + matrix[0, 2]
    v = matrix[1, 0] * x + matrix[1, 1] * y + matrix[1, 2]
    return u.astype(np.float32), v.astype(np.float32)
