"""Where the food is in a picture: what stands out in colour, is sharp, and lies near the middle.

Not recognition: three maps multiplied. Colour rarity against the border and the whole (after R. Achanta et al.,
"Frequency-tuned Salient Region Detection", CVPR 2009: distance in Lab from the mean), local contrast, and a broad
preference for the middle; then the smallest box that holds most of it, widened to what the shot says the dish measures.
"""

import math
from dataclasses import dataclass, replace

import cv2
import numpy as np
from numpy.typing import NDArray

from plateside.deliver.extent import Extent, food_extent
from plateside.deliver.rectangles import PixelRectangle, pixels_of
from plateside.model.channels import length
from plateside.model.shoot import Shot

LOOKED_AT_PX = 320
_HELD = 0.92
"""Share of the standing-out that the box must hold."""
_MEANT_TO_FILL = 0.9
"""A dish with this share of the frame's width or height was meant to fill it."""
_TIGHTER = 1.25
"""So many times larger than stated, by the mean of both sides, and the frame is tighter than the shot says."""
_ONE_SIDED = 0.85
"""A frame that is tighter makes the food larger both ways; a shadow or a second bowl only one."""


@dataclass(frozen=True)
class Subject:
    """Where the food is taken to be, and where the picture is busy."""

    box: PixelRectangle
    """in the picture's own pixels"""
    core: PixelRectangle
    """the dish itself, of the stated size, within the box: this must be whole; without a stated size, the box"""
    width_px: int
    height_px: int
    busy: NDArray[np.float32]
    """small map of detail, 0..1, same shape of picture"""
    larger: float = 1.0
    """how many times larger the food is in the picture than the shot list says; 1 when it fits or cannot be told"""
    runs_out: tuple[str, ...] = ()
    """sides of the frame that cut the food, where the shot list says it is whole: left, right, top, bottom"""


def find_subject(picture: NDArray[np.uint8], dish_share: tuple[float, float] | None = None) -> Subject:
    """The subject of a display picture (h, w, 3).

    dish_share  the dish's width and height as shares of the frame's, from the shot list: the dish is
                the window of that size which stands out most, and the box goes half a dish beyond it at most
    """
    height, width = picture.shape[:2]
    scale = LOOKED_AT_PX / max(height, width)
    size = (max(round(width * scale), 8), max(round(height * scale), 8))
    small = cv2.resize(picture, size, interpolation=cv2.INTER_AREA)
    lab = cv2.cvtColor(small.astype(np.float32) / 255, cv2.COLOR_RGB2Lab)
    soft = cv2.GaussianBlur(lab, (0, 0), 2.0)
    rows, columns = soft.shape[:2]

    edge = max(2, round(0.06 * min(rows, columns)))
    border = np.concatenate(
        [soft[:edge].reshape(-1, 3), soft[-edge:].reshape(-1, 3), soft[:, :edge].reshape(-1, 3),
         soft[:, -edge:].reshape(-1, 3)]
    )  # fmt: skip
    rare = length(soft - np.median(border, axis=0))
    rare += length(soft - np.asarray(cv2.mean(soft)[:3], np.float32))
    lightness = lab[..., 0]
    fine = np.abs(lightness - cv2.GaussianBlur(lightness, (0, 0), 1.5))
    detail = cv2.GaussianBlur(fine, (0, 0), 4.0)
    busy = _stretched(detail)
    y, x = np.mgrid[0:rows, 0:columns]
    middle = np.exp(-0.5 * (((x / columns - 0.5) / 0.36) ** 2 + ((y / rows - 0.5) / 0.36) ** 2))
    weight = (_stretched(rare) * 0.7 + busy * 0.5) * middle
    weight = np.maximum(weight - 0.25 * float(weight.max()), 0)
    box = core = _box_of(weight)
    larger, runs_out = 1.0, tuple[str, ...]()
    if dish_share is not None:
        core = _heaviest(weight, max(round(dish_share[0] * columns), 1), max(round(dish_share[1] * rows), 1))
        # a dish meant to fill the frame may leave it
        if (
            max(dish_share) < _MEANT_TO_FILL
            and (extent := food_extent(np.asarray(soft, np.float32), core)) is not None
        ):
            larger, runs_out = _larger(core, extent), extent.runs_out
            core = _both(core, extent.box) if larger > 1 else core
        box = _around(core, box, columns, rows)
    return Subject(
        _full_size(box, scale, width, height), _full_size(core, scale, width, height), width, height, busy,
        larger, runs_out,
    )  # fmt: skip


def marked(subject: Subject, shares: tuple[float, float, float, float]) -> Subject:
    """The subject with the dish where she marked it (shares of the picture: x, y, width, height).

    What the tool measured of the food's size counts no more; that the frame cuts it, only where her mark
    reaches the frame's edge.
    """
    core = pixels_of(shares, subject.width_px, subject.height_px)
    at_edge = {
        "left": core.x <= 1, "right": core.right >= subject.width_px - 1,
        "top": core.y <= 1, "bottom": core.bottom >= subject.height_px - 1,
    }  # fmt: skip
    return replace(
        subject,
        box=_around(core, subject.box, subject.width_px, subject.height_px),
        core=core,
        larger=1.0,
        runs_out=tuple(side for side in subject.runs_out if at_edge[side]),
    )


def _larger(core: PixelRectangle, extent: Extent) -> float:
    """How many times as large as expected; 1 when it may be a shadow or a neighbour of the dish's colour."""
    wide, high = extent.box.width / core.width, extent.box.height / core.height
    times = math.sqrt(wide * high)
    return times if times >= _TIGHTER and min(wide, high) >= _ONE_SIDED else 1.0


def _both(one: PixelRectangle, other: PixelRectangle) -> PixelRectangle:
    x, y = min(one.x, other.x), min(one.y, other.y)
    return PixelRectangle(x, y, max(one.right, other.right) - x, max(one.bottom, other.bottom) - y)


def _full_size(box: PixelRectangle, scale: float, width: int, height: int) -> PixelRectangle:
    x, y = min(int(box.x / scale), width - 1), min(int(box.y / scale), height - 1)
    wide = min(max(round(box.right / scale) - x, 1), width - x)
    return PixelRectangle(x, y, wide, min(max(round(box.bottom / scale) - y, 1), height - y))


def dish_share(shot: Shot, width_px: int, height_px: int) -> tuple[float, float]:
    """The dish's width and height as shares of a frame that holds what the shot list asks for."""
    covered_w = max(shot.frame_width_mm, shot.frame_height_mm * width_px / height_px)
    covered_h = covered_w * height_px / width_px
    tilt = math.radians(shot.elevation)
    # a round dish seen at an angle: its depth foreshortened, its side coming up
    apparent_h = shot.dish_width_mm * math.sin(tilt) + shot.dish_height_mm * math.cos(tilt)
    return min(shot.dish_width_mm / covered_w, 0.95), min(apparent_h / covered_h, 0.95)


def _stretched(values: NDArray[np.float32]) -> NDArray[np.float32]:
    low, high = np.percentile(values, [5, 99])
    return np.asarray(np.clip((values - low) / max(float(high - low), 1e-6), 0, 1), np.float32)


def _box_of(weight: NDArray[np.floating]) -> PixelRectangle:
    """The box between the shares of weight that lie outside it, side by side."""
    rows, columns = weight.shape
    if float(weight.sum()) <= 0:
        return PixelRectangle(columns // 4, rows // 4, columns // 2, rows // 2)
    left, right = _span(weight.sum(axis=0))
    top, bottom = _span(weight.sum(axis=1))
    return PixelRectangle(left, top, max(right - left, 1), max(bottom - top, 1))


def _span(profile: NDArray[np.floating]) -> tuple[int, int]:
    outside = (1 - _HELD) / 4
    run = np.cumsum(profile) / profile.sum()
    return int(np.searchsorted(run, outside)), int(np.searchsorted(run, 1 - outside)) + 1


def _heaviest(weight: NDArray[np.floating], wide: int, high: int) -> PixelRectangle:
    """The window of that size that holds the most weight: the dish."""
    rows, columns = weight.shape
    wide, high = min(wide, columns), min(high, rows)
    total = np.zeros((rows + 1, columns + 1))
    total[1:, 1:] = weight.cumsum(axis=0).cumsum(axis=1)
    weight_inside = total[high:, wide:] - total[:-high, wide:] - total[high:, :-wide] + total[:-high, :-wide]
    # of windows that hold as much, the middle one: a small dish floats freely in a large window
    best = np.argwhere(weight_inside >= weight_inside.max() * 0.995)
    y, x = best[np.argmin(np.abs(best - best.mean(axis=0)).sum(axis=1))]
    return PixelRectangle(int(x), int(y), wide, high)


def _around(core: PixelRectangle, box: PixelRectangle, columns: int, rows: int) -> PixelRectangle:
    """The dish, and what stands out near it: not further than half the dish beyond its edges, inside the picture."""
    left = max(min(core.x, max(box.x, core.x - core.width // 2)), 0)
    top = max(min(core.y, max(box.y, core.y - core.height // 2)), 0)
    right = min(max(core.right, min(box.right, core.right + core.width // 2)), columns)
    bottom = min(max(core.bottom, min(box.bottom, core.bottom + core.height // 2)), rows)
    return PixelRectangle(left, top, right - left, bottom - top)
