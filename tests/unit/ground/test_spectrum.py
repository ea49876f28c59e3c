"""Quick lengths against their definition, and a correlation against its sum."""

import numpy as np
import pytest

from plateside.ground.spectrum import correlated, quick_length


def _is_quick(length: int) -> bool:
    for factor in (2, 3, 5):
        while length % factor == 0:
            length //= factor
    return length == 1


def test_a_quick_length_is_the_next_without_a_larger_factor() -> None:
    quick = [n for n in range(1, 2100) if _is_quick(n)]
    for least in range(1, 2001):
        assert quick_length(least) == next(n for n in quick if n >= least)


@pytest.mark.parametrize(
    ("shape", "reach"), [((5,), (3,)), ((6, 7), (3, 2)), ((3, 4, 5), (2, 0, 4)), ((8, 3), (7, 2))]
)
def test_a_correlation_is_the_sum_of_what_lies_on_each_other(
    shape: tuple[int, ...], reach: tuple[int, ...]
) -> None:
    rng = np.random.default_rng(1)
    a, b = rng.normal(size=shape), rng.normal(size=shape)
    got = correlated(a, b, reach)
    assert got.shape == tuple(2 * r + 1 for r in reach)
    for shift in np.ndindex(*got.shape):
        off = [k - r for k, r in zip(shift, reach, strict=True)]
        on = tuple(slice(max(d, 0), n + min(d, 0)) for d, n in zip(off, shape, strict=True))
        under = tuple(slice(max(-d, 0), n + min(-d, 0)) for d, n in zip(off, shape, strict=True))
        assert got[shift] == pytest.approx((a[on] * b[under]).sum(), abs=1e-12)
