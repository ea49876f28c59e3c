"""From histograms of counts to clipping and headroom.

Headroom is asked of the brightest 0.05 % of a channel, not of its one brightest photosite: a hot pixel or a
pinpoint glint does not speak for the picture. Saturation is met at 99 % of the white level over black,
because real sensors saturate a little below the level they state, and unevenly.
"""

from typing import TypeVar

import numpy as np
from numpy.typing import NDArray

from plateside.model.pixels import RawLevels

BRIGHTEST_SHARE = 0.0005
SATURATED_FROM = 0.99
NEAR_FROM = 2 ** (-1 / 3)

T = TypeVar("T")


def levels_of_counts(
    counts: NDArray[np.int64], black: tuple[float, ...], white: tuple[float, ...], *, is_raw: bool = True
) -> RawLevels:
    """Levels of a 4-colour histogram of counts (index = count); both greens become one channel."""
    axis = np.arange(counts.shape[1], dtype=np.float64)
    over = [(axis - black[c]) / max(white[c] - black[c], 1.0) for c in range(4)]
    return _levels_of(
        [
            (np.concatenate([counts[c] for c in colours]), np.concatenate([over[c] for c in colours]))
            for colours in ((0,), (1, 3), (2,))
        ],
        is_raw,
    )


def levels_of_codes(counts: NDArray[np.int64], linear: NDArray[np.floating]) -> RawLevels:
    """Levels of a display picture, from how often each code value occurs (3 x n) and the light that each stands for."""
    return _levels_of([(counts[c], linear.astype(np.float64)) for c in range(3)], False)


def _levels_of(channels: list[tuple[NDArray[np.int64], NDArray[np.float64]]], is_raw: bool) -> RawLevels:
    """From how often each level of a channel occurs."""
    pixels, clipped, near, headroom, mean = [], [], [], [], []
    for numbers, levels in channels:
        order = np.argsort(levels, kind="stable")
        numbers, levels = numbers[order], levels[order]
        total = int(numbers.sum())
        pixels.append(total)
        clipped.append(int(numbers[levels >= SATURATED_FROM].sum()))
        near.append(int(numbers[levels >= NEAR_FROM].sum()))
        above = np.cumsum(numbers[::-1])[::-1]
        top = levels[
            max(int(np.searchsorted(-above, -max(BRIGHTEST_SHARE * total, 1.0), side="right")) - 1, 0)
        ]
        headroom.append(_stops_below_saturation(float(top)))
        mean.append(float((numbers * levels).sum() / max(total, 1)))
    return RawLevels(is_raw, _three(pixels), _three(clipped), _three(near), _three(headroom), _three(mean))


def levels_of_picture(linear: NDArray[np.float32], *, is_raw: bool = False) -> RawLevels:
    """Levels of a linear picture in which 1 is saturated (a JPEG; or a raw without a Bayer mosaic)."""
    pixels, clipped, near, headroom, mean = [], [], [], [], []
    for c in range(3):
        channel = linear[..., c].ravel()
        pixels.append(channel.size)
        clipped.append(int(np.count_nonzero(channel >= SATURATED_FROM)))
        near.append(int(np.count_nonzero(channel >= NEAR_FROM)))
        rank = min(max(int(channel.size * (1 - BRIGHTEST_SHARE)), 0), channel.size - 1)
        headroom.append(_stops_below_saturation(float(np.partition(channel, rank)[rank])))
        mean.append(float(channel.mean()))
    return RawLevels(is_raw, _three(pixels), _three(clipped), _three(near), _three(headroom), _three(mean))


def _stops_below_saturation(level: float) -> float:
    if level >= SATURATED_FROM:
        return 0.0
    return float(min(np.log2(1.0 / max(level, 1e-6)), 16.0))


def _three(values: "list[T]") -> tuple[T, T, T]:
    a, b, c = values
    return a, b, c
