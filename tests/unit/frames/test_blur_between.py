"""How much more blurred one picture is than another, against blurs that were put in."""

import cv2
import numpy as np
import pytest
from numpy.typing import NDArray

from plateside.frames.blur_between import laid_out, more_blurred

Array = NDArray[np.float32]
EVERYWHERE = np.ones((160, 200), bool)
ALIKE = np.ones((160, 200), np.float32)


def scene(seed: int) -> Array:
    """Soft blobs and a hard-edged disc."""
    rng = np.random.default_rng(seed)
    out = cv2.GaussianBlur(rng.uniform(0, 1, (160, 200)).astype(np.float32), (0, 0), 3) * 2
    cv2.circle(out, (100, 80), 45, 1.4, -1, cv2.LINE_AA)
    return np.asarray(cv2.GaussianBlur(out, (0, 0), 1.0), np.float32)


def spread(picture: Array, moment: NDArray[np.float64]) -> Array:
    """Blurred by a Gaussian with this covariance [px^2]."""
    v, u = np.mgrid[-15:16, -15:16].astype(float)
    least = np.linalg.inv(moment + 1e-9 * np.eye(2))
    kernel = np.exp(-0.5 * (least[0, 0] * u * u + 2 * least[0, 1] * u * v + least[1, 1] * v * v))
    return np.asarray(cv2.filter2D(picture, -1, (kernel / kernel.sum()).astype(np.float32)), np.float32)


def grainy(picture: Array, seed: int) -> Array:
    grain = np.random.default_rng(seed).normal(0, 0.003, picture.shape)
    return np.asarray(picture + grain, np.float32)


@pytest.mark.parametrize("turn", [0.0, 30.0, 90.0, 140.0])
def test_each_has_what_the_other_has_not(turn: float) -> None:
    c, s = np.cos(np.radians(turn)), np.sin(np.radians(turn))
    axes = np.array([[c, -s], [s, c]])
    one, other = (axes @ np.diag(d) @ axes.T for d in ((3.0, 0.5), (0.5, 1.5)))
    pictures = [grainy(spread(scene(1), m), k) for k, m in enumerate((one, other))]
    laid = laid_out(pictures)
    there = more_blurred(laid, 0, 1, EVERYWHERE, ALIKE)
    back = more_blurred(laid, 1, 0, EVERYWHERE, ALIKE)
    assert there.blur_px2 == pytest.approx(other - one, abs=0.2)
    assert back.blur_px2 == pytest.approx(-there.blur_px2, abs=0.05), "the same, seen from the other side"


def test_a_shift_and_a_change_of_light_are_no_blur() -> None:
    plain = scene(2)
    moved = cv2.warpAffine(
        plain, np.array([[1, 0, 1.0], [0, 1, 2.0]]), (200, 160), borderMode=cv2.BORDER_REPLICATE
    )
    inside = np.zeros_like(EVERYWHERE)
    inside[10:-10, 10:-10] = True
    laid = laid_out([grainy(plain, 0), grainy(np.asarray(moved * 1.01, np.float32), 1)])
    found = more_blurred(laid, 0, 1, inside, ALIKE)
    assert found.shift_px == pytest.approx((1, 2), abs=0.05)
    assert found.gain == pytest.approx(0.01, abs=0.003)
    assert np.abs(found.blur_px2).max() < 0.1


def test_what_does_not_belong_to_the_thing_counts_little() -> None:
    pictures = [grainy(spread(scene(3), np.eye(2) * m), k) for k, m in enumerate((0.3, 1.3))]
    pictures[1][20:40, 30:60] += 0.5
    found = more_blurred(laid_out(pictures), 0, 1, EVERYWHERE, ALIKE)
    assert found.blur_px2 == pytest.approx(np.eye(2), abs=0.15)


def test_edges_of_one_direction_tell_of_that_direction_only() -> None:
    bars = np.zeros((160, 200), np.float32)
    bars[:, 60:140] = 1.0
    sharp = np.asarray(cv2.GaussianBlur(bars, (0, 0), 1.0), np.float32)
    across, along = np.diag([2.0, 0.0]), np.diag([0.0, 2.0])
    for moment, seen in ((across, 2.0), (along, 0.0)):
        pictures = [grainy(p, k) for k, p in enumerate((sharp, spread(sharp, moment + 1e-3 * np.eye(2))))]
        found = more_blurred(laid_out(pictures), 0, 1, EVERYWHERE, ALIKE).blur_px2
        assert found[0, 0] == pytest.approx(seen, abs=0.15)
        assert found[1, 1] == pytest.approx(0.0, abs=0.3)
