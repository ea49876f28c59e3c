"""Sizes at which a Fourier transform is quick, and a convolution by it.

numpy's transforms do here: importing scipy's signal and fft packages takes a fresh process half a second.
"""

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


def convolved(one: NDArray[np.float64], two: NDArray[np.float64]) -> NDArray[np.float64]:
    """The whole convolution of two arrays of as many dimensions: along each, the sum of their lengths less one."""
    whole = [a + b - 1 for a, b in zip(one.shape, two.shape, strict=True)]
    padded, axes = [quick_length(n) for n in whole], list(range(one.ndim))
    product = np.fft.rfftn(one, padded, axes) * np.fft.rfftn(two, padded, axes)
    return np.asarray(np.fft.irfftn(product, padded, axes))[tuple(slice(n) for n in whole)]
