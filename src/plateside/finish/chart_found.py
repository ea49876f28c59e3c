"""A chart of 24 patches in a frame: found by its patches, or read where its corners are given.

Patches are quadrangles of one size; their field is the smallest rectangle around them, and whether it is a chart at all
the colours say (`chart.profile_of`).
"""

from collections.abc import Iterator
from itertools import chain

import cv2
import numpy as np
from numpy.typing import NDArray

from plateside.finish.chart import patch_places
from plateside.ground.srgb import to_display
from plateside.model.pixels import LinearPicture

Corners = tuple[float, float, float, float, float, float, float, float]
"""x and y of the field of patches' corners, as shares of the picture: top left (brown), top right, bottom right, bottom
left (white)."""
SEARCH_PX = 900
_WITHIN = 0.4
"""Of a patch's side, about its middle, is read."""
_FEWEST_PATCHES, _MOST_PATCHES = 10, 60
"""Things beside a chart may be of its patches' size; hundreds are a cloth or tiles."""
_SAME_SIZE = 1.05
_LEAST_SHARE, _MOST_SHARE = 0.00015, 0.05
"""A patch's area, of the frame's."""


def patches_at(picture: LinearPicture, corners: Corners) -> NDArray[np.float64]:
    """Camera values (24, 3) of the patches, each the median of its middle; NaN where they are outside the picture."""
    height, width = picture.rgb.shape[:2]
    field = np.array([[0, 0], [1, 0], [1, 1], [0, 1]], np.float32)
    at = np.asarray(corners, np.float32).reshape(4, 2) * (width, height) - 0.5
    to_picture = cv2.getPerspectiveTransform(field, at.astype(np.float32))
    steps = np.linspace(-_WITHIN / 2, _WITHIN / 2, 15)
    x, y = np.meshgrid(steps / 6, steps / 4)
    within = np.stack([x.ravel(), y.ravel()], axis=1)
    places = (patch_places()[:, None] + within).reshape(1, -1, 2).astype(np.float64)
    places = np.asarray(cv2.perspectiveTransform(places, to_picture), float).reshape(24, -1, 2)
    column, row = (np.rint(places[..., n]).astype(int) for n in (0, 1))
    inside = (column >= 0) & (column < width) & (row >= 0) & (row < height)
    values = picture.rgb[np.clip(row, 0, height - 1), np.clip(column, 0, width - 1)].astype(float)
    values[~inside] = np.nan
    return np.asarray(np.median(values, axis=1))


def fields(picture: LinearPicture) -> Iterator[Corners]:
    """Where a chart's field of patches may be, the likeliest first; each way round."""
    balanced = picture.rgb * np.asarray(picture.white_balance, np.float32)
    scale = min(SEARCH_PX / max(balanced.shape[:2]), 1.0)
    size = (max(round(balanced.shape[1] * scale), 1), max(round(balanced.shape[0] * scale), 1))
    small = np.asarray(cv2.resize(balanced, size, interpolation=cv2.INTER_AREA), np.float32)
    level = max(float(np.quantile(small, 0.995)), 1e-6)
    shown = np.asarray(to_display(np.clip(small / level, 0, 1)) * 255, np.uint8)
    quads = quads_in(shown)
    for group in groups_of_one_size(quads):
        points = np.concatenate([quads[n] for n in group]).astype(np.float32)
        box = cv2.boxPoints(cv2.minAreaRect(points))
        sides = np.linalg.norm(np.roll(box, -1, axis=0) - box, axis=1)
        first = 0 if sides[0] > sides[1] else 1
        if not 1.15 < sides[first] / max(float(sides[first ^ 1]), 1e-6) < 2.0:
            continue
        box = np.roll(box, -first, axis=0)
        for turned in (box, np.roll(box, 2, axis=0)):
            shares = (turned + 0.5) / np.array(size)
            a, b, c, d, e, f, g, h = (float(v) for v in shares.ravel())
            yield a, b, c, d, e, f, g, h


def quads_in(shown: NDArray[np.uint8], least_share: float = _LEAST_SHARE) -> list[NDArray[np.float64]]:
    """Convex four-cornered outlines (4, 2) in any of the picture's planes.

    least_share  of the smallest one's area, of the frame's
    """
    found = []
    area = shown.shape[0] * shown.shape[1]
    for channel in range(shown.shape[2]):
        plane = cv2.medianBlur(np.ascontiguousarray(shown[..., channel]), 3)
        edges = cv2.dilate(cv2.Canny(plane, 15, 45), np.ones((3, 3), np.uint8))
        outlines, _ = cv2.findContours(255 - edges, cv2.RETR_LIST, cv2.CHAIN_APPROX_SIMPLE)
        for outline in outlines:
            size = cv2.contourArea(outline)
            if not least_share < size / area < _MOST_SHARE:
                continue
            quad = cv2.approxPolyDP(outline, 0.1 * cv2.arcLength(outline, True), True)
            (_, (w, h), _) = cv2.minAreaRect(outline)
            square = min(w, h) / max(w, h, 1e-6) > 0.55 and size > 0.75 * w * h
            if len(quad) == 4 and cv2.isContourConvex(quad) and square:
                found.append(quad.reshape(4, 2).astype(np.float64))
    return found


def groups_of_one_size(quads: list[NDArray[np.float64]]) -> list[list[int]]:
    """Groups of quadrangles of one size that are near each other, the largest first."""
    areas = np.array([cv2.contourArea(q.astype(np.float32)) for q in quads])
    middles = np.array([q.mean(axis=0) for q in quads]).reshape(-1, 2)
    groups: list[list[int]] = []
    if not quads:
        return groups
    from scipy.spatial import cKDTree

    tree = cKDTree(middles)
    # the area from which a group began that each is in
    begun = np.zeros(len(quads))
    for n in np.argsort(-areas):
        if begun[n] and areas[n] > begun[n] / _SAME_SIZE:
            continue  # a checked cloth has hundreds of one size: one beginning stands for all
        alike = (areas > areas[n] / 1.7) & (areas <= areas[n] * 1.15)
        side = np.sqrt(areas[n])
        near, front = {int(n)}, [int(n)]
        while front:  # from neighbour to neighbour
            around = tree.query_ball_point(middles[front], 1.7 * side)
            front = [m for m in set(chain.from_iterable(around)) if alike[m] and m not in near]
            near |= set(front)
        group = sorted(near)
        begun[group] = areas[n]
        places = {tuple(np.rint(middles[m] / side).astype(int)) for m in group}
        if _FEWEST_PATCHES <= len(places) <= _MOST_PATCHES and group not in groups:
            groups.append(group)
    return sorted(groups, key=len, reverse=True)[:6]
