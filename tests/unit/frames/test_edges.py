"""Spreads against blurs whose standard deviation is known from mathematics."""

from collections.abc import Callable
from typing import Any

import cv2
import numpy as np
import pytest
from numpy.typing import NDArray

from plateside.frames.edges import COARSE_PX, FINE_PX, find_edges, smoothed, spread_at
from plateside.frames.sharpness import profile
from tests.synthetic.faults import disc, streak
from tests.unit.frames.shapes import shapes


def seen(picture: Any) -> NDArray[np.uint8]:
    return np.dstack([np.clip(picture * 255 + 0.5, 0, 255).astype(np.uint8)] * 3)


@pytest.mark.parametrize("sigma", [1.0, 1.5, 2.0, 3.0])
def test_a_gaussian_of_known_width(sigma: float) -> None:
    # an antialiased step is itself spread by a box of one pixel: variance 1/12
    edges = find_edges(smoothed(seen(cv2.GaussianBlur(shapes(), (0, 0), sigma))))
    assert np.sqrt(np.median(edges.spread2)) == pytest.approx(np.sqrt(sigma**2 + 1 / 12), rel=0.03)


def test_a_sharp_picture_is_sharp() -> None:
    edges = find_edges(smoothed(seen(shapes())))
    assert np.sqrt(np.percentile(edges.spread2, 25)) < 0.5


def equivalent_spread2(profile_of: Callable[[float], float], half: float) -> float:
    """The squared spread that the ratio of two Gaussians gives for a blur of any profile, by integration.

    A step blurred by a profile p has, after a Gaussian g, the gradient (p * g)(0) at its middle. The pixel (variance
    1/12) and the central difference (1/3) widen both Gaussians.
    """
    t = np.linspace(-half, half, 4001)
    p = np.array([profile_of(float(x)) for x in t])
    p /= p.sum()
    a2, b2 = FINE_PX**2 + 5 / 12, COARSE_PX**2 + 5 / 12
    fine, coarse = (float((p * np.exp(-(t**2) / (2 * v))).sum() / np.sqrt(v)) for v in (a2, b2))
    r2 = (fine / coarse) ** 2
    return (b2 - a2 * r2) / (r2 - 1)


@pytest.mark.parametrize("radius", [2.0, 3.0])
def test_a_defocus_disc(radius: float) -> None:
    kernel = disc(radius)
    assert kernel is not None
    edges = find_edges(smoothed(seen(cv2.filter2D(shapes(), -1, kernel))))
    wanted = equivalent_spread2(lambda x: np.sqrt(max(radius**2 - x**2, 0)), radius)
    assert np.sqrt(np.median(edges.spread2)) == pytest.approx(np.sqrt(wanted), rel=0.12)


@pytest.mark.parametrize("direction", [0.0, 30.0, 75.0, 120.0, 160.0])
def test_the_direction_of_a_shake(direction: float) -> None:
    edges = find_edges(smoothed(seen(cv2.filter2D(shapes(), -1, streak(5.0, direction)))))
    level, along, found = profile(edges, 50)
    off = abs((found - direction + 90) % 180 - 90)
    assert off < 5
    # across the whole line the edge is spread by a box of five pixels, along it not at all
    assert along == pytest.approx(equivalent_spread2(lambda x: 1.0, 2.5), rel=0.35)
    assert level < 0.8


def test_the_spread_at_given_edges_is_the_spread_found_there() -> None:
    sharp, soft = smoothed(seen(shapes())), smoothed(seen(cv2.GaussianBlur(shapes(), (0, 0), 2.0)))
    edges = find_edges(sharp)
    spread2, step = spread_at(soft, edges.x.astype(np.float32), edges.y.astype(np.float32), edges.angle)
    found = spread2 >= 0
    assert found.mean() > 0.9
    assert np.sqrt(np.median(spread2[found])) == pytest.approx(2.0, rel=0.1)
    assert np.median(step[found] / edges.step[found]) == pytest.approx(1.0, abs=0.1)


def test_grain_is_measured_and_passed_over() -> None:
    rng = np.random.default_rng(1)
    flat = np.full((400, 600), 0.5, np.float32) + rng.normal(0, 0.02, (400, 600)).astype(np.float32)
    pair = smoothed(seen(flat))
    assert pair.noise == pytest.approx(0.02, rel=0.1)
    assert len(find_edges(pair)) < 20


def test_nothing_to_measure() -> None:
    edges = find_edges(smoothed(np.full((60, 90, 3), 128, np.uint8)))
    assert len(edges) == 0
    assert profile(edges) == (0.0, 0.0, 0.0)
