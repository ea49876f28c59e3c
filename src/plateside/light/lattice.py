"""Where to ask over a rectangle: Fibonacci lattices.

A grid of rows puts a straight edge (an overhang, a board, a reveal) wholly on one side of a row: up to half a row's
light is wrong. A lattice has no rows. Reference: J. Hannay, J. Nye, Fibonacci numerical integration, Journal of
Physics A 37 (2004); I. Sloan, S. Joe, Lattice Methods for Multiple Integration (1994).
"""

import numba
import numpy as np

from plateside.light.kernels import lent

FIBONACCI = np.array([34, 55, 89, 144, 233, 377, 610, 987, 1597, 2584, 4181, 6765, 10946], dtype=np.int64)


@lent
def lattice_size(wanted: int) -> tuple[int, int]:
    """Number of points (the least of FIBONACCI that is not less, at most the last) and the lattice's step."""
    k = 1
    while k < FIBONACCI.size - 1 and FIBONACCI[k] < wanted:
        k += 1
    return FIBONACCI[k], FIBONACCI[k - 1]


@numba.njit(cache=True, error_model="numpy", inline="always")
def lattice_point(i: int, count: int, step: int) -> tuple[float, float]:
    """Point i of the lattice in the unit square."""
    return (i + 0.5) / count, ((i * step) % count + 0.5) / count
