"""Which pixels themselves are clipped, channel by channel, and how the levels lie below saturation.

A mask holds a byte a pixel: 1 red, 2 green, 4 blue, added up. What counts as clipped is the same as in `levels`:
99 % of the white level over black.

`clipped_cells`    of a mosaic, a byte for each 2 x 2 photosites
`clipped_codes`    of a picture of 8-bit sRGB code values
`clipped_linear`   of a linear picture, against its own saturation
`histogram_of`     counts by quarters of a stop below saturation
"""

from collections.abc import Iterable
from dataclasses import dataclass
from math import ceil

import numpy as np
from numpy.typing import NDArray

from plateside.frames.levels import SATURATED_FROM
from plateside.ground.srgb import byte_table
from plateside.model.pixels import LinearPicture

BIT = {"red": 1, "green": 2, "blue": 4}
_BIT_OF_COLOUR = (1, 2, 4, 2)
"""LibRaw's colours: red, green, blue, second green."""
PER_STOP = 4
STOPS = 10
"""How far below saturation the histogram reaches; what is darker stands in its first bin."""
BINS = PER_STOP * STOPS + 1
"""The last one: clipped."""
CODES = byte_table()
"""Linear level of each 8-bit sRGB code value (IEC 61966-2-1)."""

Mask = NDArray[np.uint8]


@dataclass(frozen=True)
class ChannelHistogram:
    """One channel's levels, in quarters of a stop below saturation from the darkest bin up; the last is clipped."""

    counts: tuple[int, ...]


def clipped_cells(
    mosaic: NDArray[np.uint16],
    pattern: NDArray[np.int64],
    black: tuple[float, ...],
    white: tuple[float, ...],
) -> Mask:
    """Half-size mask of a mosaic: a channel is clipped in 2 x 2 photosites when any of its own there is.

    pattern, black, white  as `mosaic.bin_cells` takes them
    """
    rows, columns = mosaic.shape[0] // 2, mosaic.shape[1] // 2
    mask = np.zeros((rows, columns), np.uint8)
    for (y, x), colour in np.ndenumerate(pattern):
        from_count = ceil(black[colour] + SATURATED_FROM * max(white[colour] - black[colour], 1.0))
        here = mosaic[y : 2 * rows : pattern.shape[0], x : 2 * columns : pattern.shape[1]] >= from_count
        mask[y // 2 :: pattern.shape[0] // 2, x // 2 :: pattern.shape[1] // 2] |= np.where(
            here, np.uint8(_BIT_OF_COLOUR[colour]), np.uint8(0)
        )
    return mask


def clipped_codes(picture: NDArray[np.uint8]) -> Mask:
    """Mask of a picture (height x width x 3) of 8-bit code values."""
    over = np.asarray(CODES >= SATURATED_FROM, np.uint8)
    r, g, b = (over[picture[..., c]] << c for c in range(3))
    return np.asarray(r | g | b, np.uint8)


def clipped_linear(picture: LinearPicture) -> Mask:
    """Mask of a linear picture: each channel against the level at which it is clipped."""
    mask = np.zeros(picture.rgb.shape[:2], np.uint8)
    for c, full in enumerate(picture.saturation):
        mask |= np.asarray(picture.rgb[..., c] >= SATURATED_FROM * full, np.uint8) << c
    return mask


def pooled(mask: Mask, longest_px: int) -> Mask:
    """The mask no longer than `longest_px` on its longer side: a lone clipped pixel is not averaged away."""
    times = -(-max(mask.shape) // longest_px)
    if times <= 1:
        return mask
    rows, columns = (-(-n // times) * times for n in mask.shape)
    whole = np.zeros((rows, columns), np.uint8)
    whole[: mask.shape[0], : mask.shape[1]] = mask
    across = np.bitwise_or.reduce(whole.reshape(rows, columns // times, times), axis=2)
    return np.asarray(np.bitwise_or.reduce(across.reshape(rows // times, times, -1), axis=1), np.uint8)


def sampled(mask: Mask, left: int, top: int, width: int, height: int, of_width: int, of_height: int) -> Mask:
    """The mask under a rectangle [px] of a picture of `of_width` x `of_height`, pixel for pixel."""
    ys = ((np.arange(top, top + height) + 0.5) * mask.shape[0] / of_height).astype(np.intp)
    xs = ((np.arange(left, left + width) + 0.5) * mask.shape[1] / of_width).astype(np.intp)
    rows, columns = np.minimum(ys, mask.shape[0] - 1), np.minimum(xs, mask.shape[1] - 1)
    return np.asarray(mask[rows][:, columns], np.uint8)


def histogram_of(parts: Iterable[tuple[NDArray[np.integer], NDArray[np.floating]]]) -> ChannelHistogram:
    """One channel's histogram.

    parts  how often each level occurs, and the levels over saturation, 0 to 1 (both greens of a mosaic are two parts)
    """
    counts = np.zeros(BINS, np.int64)
    for numbers, levels in parts:
        below = np.log2(np.maximum(levels, 2.0**-30))
        bins = np.floor((below + STOPS) * PER_STOP).astype(np.intp)
        bins = np.where(levels >= SATURATED_FROM, BINS - 1, np.clip(bins, 0, BINS - 2))
        counts += np.bincount(bins, weights=numbers, minlength=BINS).astype(np.int64)
    return ChannelHistogram(tuple(int(n) for n in counts))


def histograms_of_counts(
    counts: NDArray[np.int64], black: tuple[float, ...], white: tuple[float, ...]
) -> tuple[ChannelHistogram, ...]:
    """Red, green and blue from a 4-colour histogram of counts (`mosaic.count_levels`)."""
    axis = np.arange(counts.shape[1], dtype=np.float64)

    def part(c: int) -> tuple[NDArray[np.int64], NDArray[np.float64]]:
        return counts[c], (axis - black[c]) / max(white[c] - black[c], 1.0)

    return tuple(histogram_of(part(c) for c in colours) for colours in ((0,), (1, 3), (2,)))


def counts_of_codes(picture: NDArray[np.uint8]) -> NDArray[np.int64]:
    """How often each of the 256 code values occurs in red, green and blue: 3 x 256."""
    return np.stack([np.bincount(picture[..., c].ravel(), minlength=256) for c in range(3)])


def histograms_of_codes(counts: NDArray[np.int64]) -> tuple[ChannelHistogram, ...]:
    """Red, green and blue of a picture of 8-bit code values (`counts_of_codes`)."""
    return tuple(histogram_of([(counts[c], CODES)]) for c in range(3))


def histograms_of_linear(picture: LinearPicture) -> tuple[ChannelHistogram, ...]:
    """Red, green and blue of a linear picture, each over its own saturation."""
    found = []
    for c, full in enumerate(picture.saturation):
        levels = picture.rgb[..., c].ravel() / np.float32(full)
        found.append(histogram_of([(np.ones(levels.size, np.int64), levels)]))
    return tuple(found)
