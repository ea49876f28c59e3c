"""A picture finished a tile at a time, from what its decoder counted to 16 bits: nothing else of its size is held.

What must be known of the whole picture (its lost colours, its noise) is found first; then any part of it is developed
from the counts, and gives the same numbers, to the last bit however many threads work at it.
"""

from collections.abc import Iterator
from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass
from typing import Protocol

import cv2
import numpy as np
from numba import get_num_threads, njit
from numpy.typing import NDArray

from plateside.finish.across import Across
from plateside.finish.chart import ColourProfile
from plateside.finish.develop import Balanced, balanced
from plateside.finish.highlights import Known, known_colours, rebuilt_part
from plateside.finish.lens import put_right
from plateside.finish.noise import GRID_PX, MARGIN_PX, Evening, evened_part, evening, strength
from plateside.finish.quick import displayed, scales_of
from plateside.finish.render import DISPLAY_16
from plateside.finish.tone import Curve
from plateside.finish.white_balance import Gains
from plateside.ground.srgb import LUMINANCE_32
from plateside.model.counted import CountedPicture
from plateside.model.progress import Progress, silent

Floats = NDArray[np.float32]
Part = tuple[int, int, int, int]
"""Rows and columns: first, last, first, last."""
SIDE_PX = 512
_POINTS = 16384
_REACH_PX = 3
"""Around a place, what cubic interpolation reads, and rounding."""


class Placing(Protocol):
    """Where each pixel of the finished picture comes from: straightened, squared, without its lens's faults."""

    @property
    def size(self) -> tuple[int, int]:
        """Width and height of the finished picture [px]."""
        ...

    def sources(self, part: Part) -> tuple[tuple[Floats, Floats], ...]:
        """For a part of the finished picture, x and y in the developed one [px]: once, or for red, green and blue."""
        ...

    def shading(self, part: Part) -> Floats | None:
        """For a part of the developed picture, what its light is multiplied by, (h, w) or (h, w, 3); None: nothing."""
        ...


@dataclass(frozen=True, eq=False)
class Developing:
    """What is known of a whole picture, by which any part of it is developed."""

    picture: CountedPicture
    by: Balanced | None
    """None: a camera's JPEG, whose colours are made"""
    known: Known | None
    even: Evening | None
    profile: ColourProfile | None = None
    """by a chart, in place of the camera's matrix"""
    across: Across | None = None
    """by how much its light is evened"""

    @property
    def size(self) -> tuple[int, int]:
        """Width and height [px]."""
        return self.picture.counts.shape[1], self.picture.counts.shape[0]

    def part(self, at: Part) -> Floats:
        """Rows and columns `at` in linear sRGB, as `develop` gives them, its light evened."""
        linear = self._clean(at)
        if self.across is None:
            return linear
        top, bottom, left, right = at
        width, height = self.size
        return linear * self.across.factors(top, bottom, (height, width), left, right)

    def _clean(self, at: Part) -> Floats:
        if self.even is None:
            return self._plain(at)
        y, bottom, x, right = at
        width, height = self.size
        top, left = max(y - MARGIN_PX, 0) // GRID_PX * GRID_PX, max(x - MARGIN_PX, 0) // GRID_PX * GRID_PX
        end, side = min(bottom + MARGIN_PX, height), min(right + MARGIN_PX, width)
        # a block that begins at another place than in the whole picture would give other numbers
        end = end if end == height else min(-(-end // GRID_PX) * GRID_PX, height)
        side = side if side == width else min(-(-side // GRID_PX) * GRID_PX, width)
        wide = evened_part(self._plain((top, end, left, side)), self.even)
        return wide[y - top : bottom - top, x - left : right - left]

    def _plain(self, at: Part) -> Floats:
        counts = self.picture.counts
        if self.by is None:
            return np.asarray(counts[at[0] : at[1], at[2] : at[3]], np.float32)
        by = self.by
        matrix = by.matrix if self.profile is None else np.eye(3, dtype=np.float32)
        linear = rebuilt_part(counts, by.gain, by.top, by.luminance, matrix, self.known, at)
        return linear if self.profile is None else self.profile(linear)


def developing(
    picture: CountedPicture,
    white_balance: tuple[float, float, float] | None = None,
    profile: ColourProfile | None = None,
) -> Developing:
    """Find what must be known of the whole picture; as `develop`, which does it all at once."""
    if not picture.is_raw:
        return Developing(picture, None, None, None)
    by = balanced(picture, white_balance)
    known = known_colours(picture.counts, by.gain, by.top, by.luminance)
    gain = np.asarray(by.gain / np.asarray(picture.per_count, np.float32), np.float32)
    even = evening(
        picture.noise, strength(picture), gain, by.matrix, picture.counts.shape, picture.noise_smeared
    )
    return Developing(picture, by, known, even, profile)


def rendered(
    of: Developing, gains: Gains, curve: Curve, placing: Placing | None = None, progress: Progress = silent
) -> NDArray[np.uint16]:
    """The finished picture (h, w, 3), sRGB, 16 bits. `progress` counts rows of tiles and may raise Cancelled."""
    width, height = of.size if placing is None else placing.size
    out = np.empty((height, width, 3), np.uint16)
    factor, scale = gains.array.astype(np.float32), scales_of(curve, _POINTS)
    white = np.float32(curve.white)

    def tile(at: Part) -> None:
        linear = of.part(at) if placing is None else placed(of, placing, at)
        view = out[at[0] : at[1], at[2] : at[3]]
        _render(linear, factor, scale, white, LUMINANCE_32, DISPLAY_16, view)

    rows = list(range(0, height, SIDE_PX))
    with ThreadPoolExecutor(get_num_threads()) as threads:
        for top in rows:
            progress(top, height)
            parts = [(top, min(top + SIDE_PX, height), *across) for across in _across(width)]
            list(threads.map(tile, parts))
    progress(height, height)
    return out


def placed(of: Developing, placing: Placing, at: Part) -> Floats:
    """A part of the finished picture in linear light, each pixel taken from where it comes from, in one resampling."""
    maps = placing.sources(at)
    whole_width, whole_height = of.size
    xs, ys = [m[0] for m in maps], [m[1] for m in maps]
    left, right = _reach(xs, whole_width)
    top, bottom = _reach(ys, whole_height)
    region = of.part((top, bottom, left, right))
    shading = placing.shading((top, bottom, left, right))
    if shading is not None:
        region = put_right(region, shading, None if of.by is None else of.by.matrix)
    region = np.ascontiguousarray(region)
    here = [(x - np.float32(left), y - np.float32(top)) for x, y in maps]
    if len(here) == 1:
        return np.maximum(_taken(region, *here[0]), 0)
    planes = [_taken(np.ascontiguousarray(region[..., n]), x, y) for n, (x, y) in enumerate(here)]
    return np.maximum(np.stack(planes, axis=-1), 0)


def _taken(region: Floats, x: Floats, y: Floats) -> Floats:
    return np.asarray(cv2.remap(region, x, y, cv2.INTER_CUBIC, borderMode=cv2.BORDER_REPLICATE), np.float32)


def _reach(places: list[Floats], size: int) -> tuple[int, int]:
    low = min(float(p.min()) for p in places)
    high = max(float(p.max()) for p in places)
    first = min(max(int(np.floor(low)) - _REACH_PX, 0), size - 1)
    return first, min(max(int(np.ceil(high)) + _REACH_PX + 1, first + 1), size)


def _across(width: int) -> Iterator[tuple[int, int]]:
    return ((x, min(x + SIDE_PX, width)) for x in range(0, width, SIDE_PX))


@njit(cache=True, nogil=True, fastmath=True)
def _render(
    linear: Floats, factor: Floats, scale: Floats, white: np.float32, luminance: Floats,
    display: NDArray[np.uint16], out: NDArray[np.uint16],
) -> None:  # fmt: skip
    zero, one, last, half = np.float32(0), np.float32(1), np.float32(len(display) - 1), np.float32(0.5)
    for y in range(linear.shape[0]):
        for x in range(linear.shape[1]):
            red = max(linear[y, x, 0] * factor[0], zero)
            green = max(linear[y, x, 1] * factor[1], zero)
            blue = max(linear[y, x, 2] * factor[2], zero)
            r, g, b = displayed(red, green, blue, scale, white, luminance)
            out[y, x, 0] = display[int(np.sqrt(min(max(r, zero), one)) * last + half)]
            out[y, x, 1] = display[int(np.sqrt(min(max(g, zero), one)) * last + half)]
            out[y, x, 2] = display[int(np.sqrt(min(max(b, zero), one)) * last + half)]
