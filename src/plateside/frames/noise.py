"""A raw's noise, read from the frame itself: what no texture, edge or colour can explain.

Of small patches of the mosaic, each brought to the scale on which photons' noise is alike at every level, the least
variances in any direction (eigenvalues of their covariance) are the noise's: what a picture shows lies in few
directions, noise in all (G. Chen, F. Zhu, P. A. Heng, "An Efficient Statistical Method for Image Noise Level
Estimation", ICCV 2015). It is looked for at several levels, in the flattest patches of each; the noise is nowhere
more than what was found there.

A frame that is crumbs or linen all over has no flat place, and what is found is more than its noise. That is seen (its
flattest patches are not as even as noise is), and then it is not taken for more than a sensor can have at that ISO.
"""

from itertools import combinations
from typing import Any

import numpy as np
from numpy.typing import NDArray

NoiseProfile = tuple[tuple[float, float], ...]
"""For red, green and blue (S, O): the variance of a level x, black 0 and white 1, is S x + O (DNG's NoiseProfile)."""

_SIDE = 8
_PATCHES = 60_000
_FLATTEST = 0.15
_ENOUGH, _MOST_LEVELS = 900, 8
"""Flattest patches of a level; fewer tell no covariance of 64 places."""
_FEWEST = 300
_DARKEST, _BRIGHTEST = 0.003, 0.9
_BIAS, _BIAS_UNEVEN = (0.62, 0.84), (1.1, 1.3)
"""What is found over what there is: of pure noise, whose flattest patches have less of it than all, and where something
else chose the patches; and how uneven each is (by trial)."""
_SPREAD = 1.1
"""What is found at a level is off by so much."""
_EVEN = 2.0
"""Pure noise has alike in all directions; with more than this of the least in the mean there is texture too."""
_WELL_ELECTRONS, _READ_ELECTRONS = 30_000.0, 5.0
"""At ISO 100: what an APS-C sensor of 24 megapixels holds, and what reading adds (common practice, no source)."""
_NONE = 1e-12
_LEAST_READ_ELECTRONS, _MOST_READ_ELECTRONS = 3.0, 12.0


def noise_of_mosaic(
    mosaic: NDArray[np.uint16],
    pattern: NDArray[np.int64],
    black: tuple[float, ...],
    white: tuple[float, ...],
    iso: float | None = None,
) -> NoiseProfile | None:
    """(S, O) of red, green and blue of a Bayer mosaic; None where the frame shows too little of it.

    pattern  (2, 2) colours 0, 1, 2 (3: the second green)
    iso      as the camera says; None: not known

    The three are alike: they are read out the same way.
    """
    found = _by_level(*_patches(mosaic, pattern, black, white))
    if found is None:
        return None
    inverse, least, uneven = found
    slope, floor = _below_all(inverse, _SPREAD * least)
    line = slope + floor * inverse
    near = least <= 1.3 * line
    if iso is not None and uneven[near].min() > _EVEN:
        slope = min(slope, iso / 100 / _WELL_ELECTRONS)
        floor = min(floor, (_READ_ELECTRONS * slope) ** 2)
    # levels near each other tell nothing of it
    floor = max(floor, (_LEAST_READ_ELECTRONS * slope) ** 2)
    return ((slope, floor),) * 3 if slope > 0 else None


def _patches(
    mosaic: NDArray[np.uint16], pattern: NDArray[np.int64], black: tuple[float, ...], white: tuple[float, ...]
) -> tuple[NDArray[np.float32], NDArray[np.float32]]:
    """Patches (n, 8, 8) less their level, over its root; and their four levels (n, 4)."""
    height, width = mosaic.shape
    step = 2 * max(int(np.ceil(np.sqrt(height * width / _PATCHES) / 2)), 1)
    if min(height, width) < _SIDE:
        return np.empty((0, _SIDE, _SIDE), np.float32), np.empty((0, 4), np.float32)
    picked = np.lib.stride_tricks.sliding_window_view(mosaic, (_SIDE, _SIDE))[::step, ::step]
    patches = picked.reshape(-1, _SIDE, _SIDE).astype(np.float32)
    sites = [(y, x) for y in (0, 1) for x in (0, 1)]
    for y, x in sites:
        colour = min(int(pattern[y, x]), len(black) - 1)
        patches[:, y::2, x::2] -= np.float32(black[colour])
        patches[:, y::2, x::2] /= np.float32(max(white[colour] - black[colour], 1.0))
    levels = np.stack([patches[:, y::2, x::2].mean(axis=(1, 2)) for y, x in sites], axis=1)
    there = (levels.min(axis=1) > _DARKEST) & (levels.max(axis=1) < _BRIGHTEST)
    # a clipped photosite has no noise any more
    there &= patches.max(axis=(1, 2)) < 0.99
    patches, levels = patches[there], levels[there]
    for n, (y, x) in enumerate(sites):
        level = levels[:, n, None, None]
        patches[:, y::2, x::2] = (patches[:, y::2, x::2] - level) / np.sqrt(level)
    return patches, levels


def _by_level(patches: NDArray[np.float32], levels: NDArray[np.float32]) -> tuple[NDArray[Any], ...] | None:
    """Of each level: one over it, the least variance of any direction there, and how many times that is the mean."""
    if len(patches) < _FEWEST:
        return None
    energy = np.einsum("nij,nij->n", patches, patches)
    parts = int(np.clip(len(patches) * _FLATTEST / _ENOUGH, 1, _MOST_LEVELS))
    found = []
    for part in np.array_split(np.argsort(levels.mean(axis=1)), parts):
        count = min(max(round(len(part) * _FLATTEST), _FEWEST), len(part))
        flat = part[np.argpartition(energy[part], count - 1)[:count]]
        rows = patches[flat].reshape(count, -1).astype(np.float64)
        # the four levels were taken out
        values = np.asarray(np.linalg.eigvalsh(rows.T @ rows / count)[4:], np.float64)
        # a drawn frame may have no noise at all
        least = max(_of_noise(values), _NONE)
        uneven = float(values.mean()) / least
        share = float(np.interp(uneven, _BIAS_UNEVEN, _BIAS))
        # the least noise is that of the brightest of the four
        found.append((float((1 / levels[flat].max(axis=1)).mean()), least / share, uneven))
    return tuple(np.array(found).T)


def _of_noise(values: NDArray[np.float64]) -> float:
    """Mean of the eigenvalues, from the least up, that lie evenly about it: their mean is their median."""
    for count in range(len(values), 1, -1):
        if values[:count].mean() <= np.median(values[:count]):
            return float(values[:count].mean())
    return float(values[0])


def _below_all(inverse: NDArray[np.float64], least: NDArray[np.float64]) -> tuple[float, float]:
    """S and O of the highest line S + O u that is nowhere above what was found (n,) at u = 1 / level (n,)."""
    corners = [(float(least.min()), 0.0)]
    for one, two in combinations(range(len(least)), 2):
        # two levels that are near each other tell no slope
        if max(inverse[one], inverse[two]) > 1.5 * min(inverse[one], inverse[two]):
            floor = (least[one] - least[two]) / (inverse[one] - inverse[two])
            corners.append((float(least[one] - floor * inverse[one]), float(floor)))
    fits = [
        (slope, floor)
        for slope, floor in corners
        if slope > 0
        and 0 <= floor <= (_MOST_READ_ELECTRONS * slope) ** 2
        and (slope + floor * inverse <= least * (1 + 1e-9)).all()
    ]
    return max(fits, key=lambda c: float(((c[0] + c[1] * inverse) / least).sum()))
