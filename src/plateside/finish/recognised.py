"""The same things in two pictures: recognised by their features, and laid on each other.

SIFT: D. G. Lowe, IJCV 60 (2004), 91; homography by RANSAC: M. A. Fischler and R. C. Bolles, CACM 24 (1981), 381.
"""

from dataclasses import dataclass

import cv2
import numpy as np
from numpy.typing import NDArray

from plateside.finish.raised import FARTHEST_PX, followed
from plateside.finish.shared import Shared, blurred, shared_at, usable
from plateside.ground.srgb import LUMINANCE, Floats, to_display

Mask = NDArray[np.bool_]

_FEWEST_FEATURES = 25
_FEWEST_OF_MOVED = 12
"""Of what was moved besides: less than to tell by itself, as it only must not differ."""
_MOST_MOVED = 3
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
    dish: Mask | None
    """the dish alone, as near as its stated size tells"""
    keys: tuple[cv2.KeyPoint, ...]
    descriptors: NDArray[np.float32] | None
    """what describes each key, (n, 128)"""


def look(linear: Floats, subject: Mask | None = None, dish: Mask | None = None) -> MatchView:
    """Find the features of a small linear picture (h, w, 3); subject, dish as in `MatchView`, (h, w)."""
    return MatchView(linear, subject, dish, *_features(linear))


def same_things(view: MatchView, other: MatchView) -> tuple[Shared, ...]:
    """Colours of the reference and of the picture at the same places of the scene; empty: nothing was recognised.

    Several, where things were moved: a bowl that stands elsewhere lies on itself by one homography, the table by
    another. What most features agree on is first; beside what moved with it, each holds places that are not the same.
    """
    mine, theirs = _pairs(view, other)
    found = list[Shared]()
    first: Floats | None = None
    fewest = max(_FEWEST_FEATURES, len(mine) // 4)
    cv2.setRNGSeed(1)
    while len(mine) >= fewest and len(found) < _MOST_MOVED:
        fitted, inliers = cv2.findHomography(mine, theirs, cv2.RANSAC, 3.0)
        if fitted is None or int(inliers.sum()) < fewest:
            break
        homography, agree = np.asarray(fitted, np.float64), inliers.ravel() > 0
        if first is None or _aside_px(first, homography, mine[agree]) > FARTHEST_PX:
            shared = _laid(view.linear, other.linear, homography, stands_up=first is None)
            found += [] if shared is None else [shared]
        first = homography if first is None else first
        mine, theirs, fewest = mine[~agree], theirs[~agree], _FEWEST_OF_MOVED
    return tuple(found)


def _pairs(view: MatchView, other: MatchView) -> tuple[NDArray[np.float32], NDArray[np.float32]]:
    """Where features of the picture are, and the same ones in the reference (n, 2) [px]."""
    none = np.empty((0, 2), np.float32)
    if view.descriptors is None or other.descriptors is None:
        return none, none
    if min(len(view.keys), len(other.keys)) < _FEWEST_FEATURES:
        return none, none
    pairs = cv2.BFMatcher(cv2.NORM_L2).knnMatch(other.descriptors, view.descriptors, k=2)
    good = [p[0] for p in pairs if len(p) == 2 and p[0].distance < 0.75 * p[1].distance]
    mine = np.array([other.keys[m.queryIdx].pt for m in good], np.float32).reshape(-1, 2)
    return mine, np.array([view.keys[m.trainIdx].pt for m in good], np.float32).reshape(-1, 2)


def _laid(reference: Floats, picture: Floats, homography: Floats, *, stands_up: bool) -> Shared | None:
    """Both pictures where the one is laid on the other; None: they hardly meet.

    stands_up  look for what stands up from the plane, too
    """
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
    if stands_up:
        return followed(soft, laid, both, back, size)
    at = np.argwhere(both)[:, ::-1]
    return shared_at(soft[both], laid[both], at, back, size)


def _aside_px(one: Floats, other: Floats, places: NDArray[np.float32]) -> float:
    """How far apart two homographies carry the same places (n, 2), in the median."""
    carried = [cv2.perspectiveTransform(places[None], h)[0] for h in (one, other)]
    return float(np.median(np.linalg.norm(carried[0] - carried[1], axis=1)))


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
