"""Whether a retouched file still shows its picture, at the same place and size; its colours may be anything.

Parts of both are compared by the normalised correlation of their brightness (J. P. Lewis, "Fast Template Matching",
Vision Interface 1995): tone, colour and a new backdrop leave most parts alike; another frame, a cut or a turn none.
"""

import cv2
import numpy as np
from numpy.typing import NDArray

LOOKED_AT_PX = 384
_PART_PX = 16
_ALIKE, _LEAST_PARTS = 0.7, 0.25
"""So far a part must agree, and such a share of the parts that show anything; common practice, no source."""
_SHAPE = 0.012
"""Largest difference of two shapes, as a share: a pixel of a small export is no crop."""
_MOVED_PX = 2.0
"""Of LOOKED_AT_PX: what lies further off was not retouched in place."""


def same_shape(one: tuple[int, int], other: tuple[int, int]) -> bool:
    """Whether two sizes (width, height) are of one shape."""
    return bool(abs(np.log((one[0] / one[1]) / (other[0] / other[1]))) < _SHAPE)


def same_picture(one: NDArray[np.float32], other: NDArray[np.float32]) -> bool:
    """Whether two grey pictures of one shape, their longer sides about LOOKED_AT_PX, lie on each other."""
    height, width = one.shape
    laid = cv2.resize(other, (width, height), interpolation=cv2.INTER_AREA)
    first, second = (_detail(np.asarray(p, np.float32)) for p in (one, laid))
    mean = [_means(p) for p in (first, second)]
    spread = [_means(p * p) - m * m for p, m in zip((first, second), mean, strict=True)]
    together = _means(first * second) - mean[0] * mean[1]
    # a part without anything in it says nothing
    shows = spread[0] > max(float(np.median(spread[0])) * 0.25, 1e-7)
    if not shows.any():
        return True
    alike = together / np.sqrt(np.maximum(spread[0] * spread[1], 1e-12)) > _ALIKE
    if float(alike[shows].mean()) < _LEAST_PARTS:
        return False
    window = cv2.createHanningWindow((width, height), cv2.CV_32F)
    (x, y), sure = cv2.phaseCorrelate(first, second, window)
    return not (sure > 0.1 and max(abs(x), abs(y)) > _MOVED_PX)


def _detail(grey: NDArray[np.float32]) -> NDArray[np.float32]:
    """What is neither noise nor a slow change of the light, which lies on any other."""
    fine, coarse = (cv2.GaussianBlur(grey, (0, 0), sigma) for sigma in (1.0, _PART_PX / 4))
    return np.asarray(fine - coarse, np.float32)


def _means(picture: NDArray[np.float32]) -> NDArray[np.float64]:
    """Mean of each part (rows, columns)."""
    rows, columns = (max(side // _PART_PX, 1) for side in picture.shape)
    high, wide = min(picture.shape[0], rows * _PART_PX), min(picture.shape[1], columns * _PART_PX)
    parts = picture[: high - high % rows, : wide - wide % columns].astype(np.float64)
    return np.asarray(parts.reshape(rows, parts.shape[0] // rows, columns, -1).mean(axis=(1, 3)))
