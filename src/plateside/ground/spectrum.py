"""Sizes at which a Fourier transform is quick, and sums of products over shifts by it.

numpy's transforms do here: importing scipy's signal and fft packages takes a fresh process half a second.
"""

from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray


def quick_length(least: int) -> int:
    """The smallest length of at least `least` samples whose only prime factors are 2, 3 and 5.

    For lengths with larger factors the transform takes several times as long (Cooley and Tukey, Math. Comp. 19, 1965).
    """
    fives = 1
    best = 1 << max(least - 1, 0).bit_length()
    while fives < best:
        threes = fives
        while threes < best:
            rest = -(-least // threes)
            best = min(best, threes << max(rest - 1, 0).bit_length())
            threes *= 3
        fives *= 5
    return best


def correlated(
    one: NDArray[np.float64], two: NDArray[np.float64], reach: Sequence[int]
) -> NDArray[np.float64]:
    """For each shift of `two` on `one`, both of one shape, the sum of the products of what then lies on each other.

    reach   largest shift along each axis; shape of the answer: 2 reach + 1, no shift in the middle
    """
    # what is shifted out on one side comes in again on the other: there it meets the zeros that are put on
    padded = [quick_length(n + r) for n, r in zip(one.shape, reach, strict=True)]
    axes = list(range(one.ndim))
    product = np.fft.rfftn(one, padded, axes) * np.conj(np.fft.rfftn(two, padded, axes))
    shifts = np.ix_(*[np.arange(-r, r + 1) for r in reach])
    return np.asarray(np.fft.irfftn(product, padded, axes)[shifts])
