"""A raw's noise, read from the frame itself: the variance of what is flat, against its level."""

import numpy as np
from numpy.typing import NDArray

NoiseProfile = tuple[tuple[float, float], ...]
"""For red, green and blue (S, O): the variance of a level x, black 0 and white 1, is S x + O (DNG's NoiseProfile)."""

_SIDE = 12
_LEVELS = 16
_FLATTEST = 0.1
_FEWEST_BLOCKS = 40
_DARKEST, _BRIGHTEST = 0.003, 0.9
_MOST_ROWS = 1600
"""Of one colour; more rows would tell no more."""
_LOW_TAIL = 0.72
"""What `_variance` gives at its lowest tenth of blocks of pure noise (by trial, 200 000 blocks of normal noise)."""
_STEPS = ((0, 1), (1, 0), (1, 1), (1, -1), (0, 2), (2, 0), (2, 1), (1, 2))


def noise_of_mosaic(
    mosaic: NDArray[np.uint16],
    pattern: NDArray[np.int64],
    black: tuple[float, ...],
    white: tuple[float, ...],
) -> NoiseProfile | None:
    """(S, O) of red, green and blue of a Bayer mosaic; None where the frame shows too little that is flat.

    In blocks of one colour, the variance of differences between near places; of blocks of alike level the lowest tenth
    is taken for flat, and set right for being the lowest. A line through these, no part of it negative.
    """
    found = []
    for colour in range(3):
        y, x = (int(v[0]) for v in np.nonzero(pattern == colour))
        plane = mosaic[y::2, x::2]
        plane = plane[:: max(plane.shape[0] // _MOST_ROWS, 1)]
        span = max(white[colour] - black[colour], 1.0)
        line = _line((plane.astype(np.float32) - np.float32(black[colour])) / np.float32(span))
        if line is None:
            return None
        found.append(line)
    return tuple(found)


def _line(plane: NDArray[np.float32]) -> tuple[float, float] | None:
    height, width = (n // _SIDE * _SIDE for n in plane.shape)
    if height == 0 or width == 0:
        return None
    rows = plane[:height, :width].reshape(height // _SIDE, _SIDE, width // _SIDE, _SIDE)
    blocks = rows.swapaxes(1, 2).reshape(-1, _SIDE, _SIDE)
    level = blocks.mean(axis=(1, 2))
    variance = _variance(blocks)
    # a clipped photosite has no noise any more
    there = (level > _DARKEST) & (level < _BRIGHTEST) & (blocks.max(axis=(1, 2)) < 0.99)
    level, variance = level[there], variance[there]
    if len(level) < 2 * _FEWEST_BLOCKS:
        return None
    order = np.argsort(level)
    parts = np.array_split(order, min(_LEVELS, len(order) // _FEWEST_BLOCKS))
    x = np.array([float(np.median(level[part])) for part in parts])
    v = np.array([float(np.quantile(variance[part], _FLATTEST)) for part in parts]) / _LOW_TAIL
    # relative errors are alike; a part without a flat place lies far above the line, and is asked to leave
    keep = np.ones(len(x), bool)
    slope = floor = 0.0
    for _ in range(4):
        slope, floor = _fitted(x[keep], v[keep])
        keep = v <= 1.3 * (slope * x + floor)
        if keep.sum() < 2:
            break
    return (slope, floor) if slope > 0 else None


def _variance(blocks: NDArray[np.float32]) -> NDArray[np.float32]:
    """Of each block (n, side, side), by the step over which it differs least: noise is alike over all of them."""
    least = np.full(len(blocks), np.inf, np.float32)
    for down, right in _STEPS:
        one = blocks[:, down:, right:] if right >= 0 else blocks[:, down:, :right]
        other = (
            blocks[:, : _SIDE - down, : _SIDE - right] if right >= 0 else blocks[:, : _SIDE - down, -right:]
        )
        least = np.minimum(least, np.square(one - other).mean(axis=(1, 2)) / 2)
    return least


def _fitted(x: NDArray[np.float64], v: NDArray[np.float64]) -> tuple[float, float]:
    weight = 1 / np.maximum(v, 1e-12)
    rows = np.stack([x, np.ones_like(x)], axis=1) * weight[:, None]
    slope, floor = np.linalg.lstsq(rows, v * weight, rcond=None)[0]
    if floor < 0:
        return float((v / x * 1.0).mean()), 0.0
    if slope <= 0:
        return float(np.min(v / x)), 0.0
    return float(slope), float(floor)
