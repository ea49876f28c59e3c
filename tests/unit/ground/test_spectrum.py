"""Quick lengths against their definition, and a convolution against its sum."""

import numpy as np
import pytest

from plateside.ground.spectrum import convolved, quick_length


def _is_quick(length: int) -> bool:
    for factor in (2, 3, 5):
        while length % factor == 0:
            length //= factor
    return length == 1


def test_a_quick_length_is_the_next_without_a_larger_factor() -> None:
    quick = [n for n in range(1, 2100) if _is_quick(n)]
    for least in range(1, 2001):
        assert quick_length(least) == next(n for n in quick if n >= least)


@pytest.mark.parametrize(("one", "two"), [((5,), (3,)), ((4, 7), (3, 2)), ((3, 4, 2), (2, 2, 5))])
def test_a_convolution_is_the_sum_of_its_shifts(one: tuple[int, ...], two: tuple[int, ...]) -> None:
    rng = np.random.default_rng(1)
    a, b = rng.normal(size=one), rng.normal(size=two)
    whole = np.zeros([m + n - 1 for m, n in zip(one, two, strict=True)])
    for at in np.ndindex(*one):
        whole[tuple(slice(k, k + n) for k, n in zip(at, two, strict=True))] += a[at] * b
    assert np.abs(convolved(a, b) - whole).max() < 1e-12
