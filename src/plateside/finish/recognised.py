"""The same things in two pictures: recognised by their features, and laid on each other.

SIFT: D. G. Lowe, IJCV 60 (2004), 91; homography by RANSAC: M. A. Fischler and R. C. Bolles, CACM 24 (1981), 381.
"""

from dataclasses import dataclass

import cv2
import numpy as np
from numpy.typing import NDArray

from plateside.finish.raised import followed
from plateside.finish.shared import Shared, blurred, usable
from plateside.ground.srgb import LUMINANCE, Floats, to_display

Mask = NDArray[np.bool_]

_FEWEST_FEATURES = 25
_MOST_FEATURES = 1000
_BLUR_PX = 2.5
_NEAREST = 4.0
"""So many times as large a thing may be in one of two pictures that are compared."""


@dataclass(frozen=True, eq=False)
class MatchView:
    """A small linear picture, looked at once: its features are found once, however often it is compared."""

    linear: Floats
    subject: Mask | None
    """where the food is (True); surroundings are the rest"""
    keys: tuple[cv2.KeyPoint, ...]
    descriptors: NDArray[np.float32] | None
    """what describes each key, (n, 128)"""


def look(linear: Floats, subject: Mask | None = None) -> MatchView:
    """Find the features of a small linear picture."""
    return MatchView(linear, subject, *_features(linear))


def same_things(view: MatchView, other: MatchView) -> Shared | None:
    """Colours of the reference and of the picture at the same places of the scene, or None."""
    reference, keys_1, descriptors_1 = view.linear, view.keys, view.descriptors
    picture, keys_2, descriptors_2 = other.linear, other.keys, other.descriptors
    if descriptors_1 is None or descriptors_2 is None or min(len(keys_1), len(keys_2)) < _FEWEST_FEATURES:
        return None
    pairs = cv2.BFMatcher(cv2.NORM_L2).knnMatch(descriptors_2, descriptors_1, k=2)
    good = [p[0] for p in pairs if len(p) == 2 and p[0].distance < 0.75 * p[1].distance]
    if len(good) < _FEWEST_FEATURES:
        return None
    mine = np.array([keys_2[m.queryIdx].pt for m in good], dtype=np.float32)
    theirs = np.array([keys_1[m.trainIdx].pt for m in good], dtype=np.float32)
    cv2.setRNGSeed(1)
    homography, inliers = cv2.findHomography(mine, theirs, cv2.RANSAC, 3.0)
    if homography is None or int(inliers.sum()) < max(_FEWEST_FEATURES, len(good) // 4):
        return None
    back, size = np.linalg.inv(homography), picture.shape[:2]
    # a little blur, so that grain, focus and a pixel's error do not matter: as wide in both where one was nearer
    height, width = reference.shape[:2]
    nearer = float(np.clip(_enlarged(back, width / 2, height / 2), 1 / _NEAREST, _NEAREST))
    smooth = blurred(picture, _BLUR_PX * max(nearer, 1.0))
    laid = np.asarray(
        cv2.warpPerspective(smooth, homography, (width, height), flags=cv2.INTER_LINEAR), np.float32
    )
    whole = np.ones(picture.shape[:2], np.uint8)
    there = cv2.warpPerspective(whole, homography, (width, height), flags=cv2.INTER_NEAREST)
    there = cv2.erode(there, np.ones((9, 9), np.uint8))
    soft = blurred(reference, _BLUR_PX * max(1 / nearer, 1.0))
    both = (there > 0) & usable(soft) & usable(laid)
    if both.sum() < 0.02 * both.size:
        return None
    return followed(soft, laid, both, back, size)


def _enlarged(homography: Floats, x: float, y: float) -> float:
    """How many times as long a short line at a place becomes: the root of the Jacobian's determinant."""
    below = abs(float(homography[2] @ (x, y, 1)))
    return float(np.sqrt(abs(np.linalg.det(homography)) / max(below, 1e-9) ** 3))


def _features(linear: Floats) -> tuple[tuple[cv2.KeyPoint, ...], NDArray[np.float32] | None]:
    """SIFT on lightness stretched to the same range, so that a dark frame has as many as a bright one."""
    light = to_display(np.clip(linear @ LUMINANCE, 0, None))
    low, high = np.percentile(light, [1, 99])
    grey = np.clip((light - low) / max(float(high - low), 1e-6), 0, 1)
    sift = cv2.SIFT_create(nfeatures=_MOST_FEATURES)  # type: ignore[attr-defined]
    keys, descriptors = sift.detectAndCompute((grey * 255).astype(np.uint8), None)
    return tuple(keys), descriptors
