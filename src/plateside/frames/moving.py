"""What moves in a burst (a hand, a spoon, a pour), and eyes: where sharpness matters more than on the dish.

What moves: the frames of a burst laid over the middle one and brought to its brightness; where they differ most.
Eyes: a boosted cascade of simple features (P. Viola and M. Jones, CVPR 2001), with the weights that come with OpenCV
(haarcascade_frontalface_default, haarcascade_eye; Intel License Agreement, a BSD licence of three clauses).
"""

from collections.abc import Sequence
from functools import cache

import cv2
import numpy as np
from numpy.typing import NDArray

from plateside.frames.facts import Box
from plateside.frames.register import register

Array = NDArray[np.float32]

DIFFERS = 0.10
"""Of the encoded range: grain and a pixel's misfit stay below, a hand against the table does not."""
STOOD_STILL = 1.05
"""Of the misfit that is left by a fit: no more than this, and the camera is taken to have stood still."""
SMALLEST_SHARE = 0.003
LARGEST_SHARE = 0.6
"""More than this of the frame changed: the camera or the light moved, not a hand."""
BESIDE_LARGEST = 0.2
FACE_SHARE = 0.12
"""A face narrower than this share of the frame is not what the picture is of."""


def laid_over(greys: Sequence[Array]) -> tuple[Array, NDArray[np.bool_]] | None:
    """The frames of a burst laid over the middle one and brought to its brightness; None when they do not fit.

    greys  small grey pictures of one burst, encoded 0..1, the same size
    Returns frames x height x width, and where every frame shows something.
    """
    laid = laid_by(greys)
    return None if laid is None else laid[:2]


def laid_by(
    greys: Sequence[Array],
) -> tuple[Array, NDArray[np.bool_], tuple[NDArray[np.float64], ...]] | None:
    """As `laid_over`, and by what (2 x 3, from pixels of the middle frame to those of each)."""
    if len({g.shape for g in greys}) != 1:
        return None
    middle = greys[len(greys) // 2]
    height, width = middle.shape
    laid, matrices, overlap = [], [], np.ones((height, width), bool)
    flags = cv2.INTER_LINEAR | cv2.WARP_INVERSE_MAP
    for one in greys:
        fit = register(middle, one)
        if not fit.fits:
            return None
        matrix = fit.matrix
        back = _brought(np.asarray(cv2.warpAffine(one, matrix, (width, height), flags=flags)), middle)
        unmoved = _brought(one, middle)
        if _misfit(unmoved, middle) <= STOOD_STILL * _misfit(back, middle):
            # on a tripod: what moves in the frame has pulled the fit away
            matrix, back = np.eye(2, 3), unmoved
        overlap &= cv2.warpAffine(np.ones_like(one), matrix, (width, height), flags=flags) > 0.99
        laid.append(back)
        matrices.append(matrix)
    return np.stack(laid), overlap, tuple(matrices)


def _brought(one: Array, to: Array) -> Array:
    """The frame at the other's brightness."""
    return np.asarray(one * np.float32(np.median(to) / max(float(np.median(one)), 1e-3)), np.float32)


def _misfit(one: Array, other: Array) -> float:
    """Mean difference, in which no pixel counts for more than a misfit of an edge does."""
    return float(np.minimum(np.abs(one - other), DIFFERS / 2).mean())


def moving_box(greys: Sequence[Array]) -> Box | None:
    """Round what moves, in shares of the frame; None when nothing does, or everything.

    greys  two or more small grey pictures of one burst, encoded 0..1, the same size
    """
    if len(greys) < 2:
        return None
    laid = laid_over(greys)
    if laid is None:
        return None
    height, width = greys[0].shape
    stack, overlap = np.stack([cv2.GaussianBlur(one, (0, 0), 2) for one in laid[0]]), laid[1]
    differs = (((stack.max(axis=0) - stack.min(axis=0)) > DIFFERS) & overlap).astype(np.uint8)
    differs = cv2.morphologyEx(differs, cv2.MORPH_OPEN, np.ones((5, 5), np.uint8))
    differs = cv2.morphologyEx(differs, cv2.MORPH_CLOSE, np.ones((15, 15), np.uint8))
    share = float(differs.mean())
    if not SMALLEST_SHARE <= share <= LARGEST_SHARE:
        return None
    _count, _labels, stats, _middles = cv2.connectedComponentsWithStats(differs)
    parts = stats[1:]
    parts = parts[parts[:, cv2.CC_STAT_AREA] >= BESIDE_LARGEST * parts[:, cv2.CC_STAT_AREA].max()]
    x0, y0 = parts[:, cv2.CC_STAT_LEFT].min(), parts[:, cv2.CC_STAT_TOP].min()
    x1 = (parts[:, cv2.CC_STAT_LEFT] + parts[:, cv2.CC_STAT_WIDTH]).max()
    y1 = (parts[:, cv2.CC_STAT_TOP] + parts[:, cv2.CC_STAT_HEIGHT]).max()
    return float(x0 / width), float(y0 / height), float(x1 / width), float(y1 / height)


def eyes_box(grey: NDArray[np.uint8]) -> Box | None:
    """Round the eyes of the largest face, in shares of the frame; None when there is no face with an eye.

    grey  eight bits, some 750 px on the longer side
    """
    height, width = grey.shape
    least = round(FACE_SHARE * width)
    faces = _cascade("haarcascade_frontalface_default").detectMultiScale(grey, 1.1, 6, minSize=(least, least))
    for x, y, w, h in sorted((tuple(int(v) for v in face) for face in faces), key=lambda f: -f[2]):
        # eyes are in the upper half of a face: below, a mouth and nostrils are taken for them
        upper = np.ascontiguousarray(grey[y : y + h // 2 + h // 10, x : x + w])
        eyes = _cascade("haarcascade_eye").detectMultiScale(upper, 1.05, 5, minSize=(w // 8, w // 8))
        if len(eyes):
            found = np.asarray(eyes, float)
            x0, y0 = x + found[:, 0].min(), y + found[:, 1].min()
            x1, y1 = x + (found[:, 0] + found[:, 2]).max(), y + (found[:, 1] + found[:, 3]).max()
            return float(x0 / width), float(y0 / height), float(x1 / width), float(y1 / height)
    return None


@cache
def _cascade(name: str) -> cv2.CascadeClassifier:
    folder = cv2.data.haarcascades  # type: ignore[attr-defined]  # there, but not in the stubs
    return cv2.CascadeClassifier(f"{folder}{name}.xml")
