"""Contours lie where an analytic field crosses the level; scikit-image's find_contours is the outside ruler."""

import numpy as np
import pytest
from skimage.measure import find_contours

from plateside.drawing.contours import Line, area, contour_lines, outlines, thin


def length(lines: list[Line]) -> float:
    return sum(float(np.hypot(*np.diff(line, axis=0).T).sum()) for line in lines)


def test_a_plane_is_crossed_exactly() -> None:
    rows, columns = np.mgrid[0:20, 0:30].astype(float)
    (line,) = contour_lines(2 * rows + 3 * columns, 31.7)
    assert np.allclose(2 * line[:, 0] + 3 * line[:, 1], 31.7, atol=1e-9)


def test_a_cone_gives_one_closed_circle() -> None:
    rows, columns = np.mgrid[0:81, 0:81].astype(float)
    cone = np.hypot(rows - 40.3, columns - 39.8)
    (ring,) = contour_lines(cone, 25.0)
    assert np.array_equal(ring[0], ring[-1])
    radius = np.hypot(ring[:, 0] - 40.3, ring[:, 1] - 39.8)
    # Linear interpolation of a cone errs by at most the sagitta of one cell's diagonal: 2 / (8 r) = 0.01.
    assert np.abs(radius - 25.0).max() < 0.012
    assert area(ring) == pytest.approx(np.pi * 25**2, rel=2e-3)


@pytest.mark.parametrize("seed", range(4))
def test_agrees_with_scikit_image_on_rough_ground(seed: int) -> None:
    """Without saddles the two must draw the same lines; length is the sum of all of them."""
    rng = np.random.default_rng(seed)
    rows, columns = np.mgrid[0:60, 0:90] / 30.0
    field = sum(
        (
            rng.normal() * np.sin(k * rows + rng.uniform(0, 6)) * np.cos(k * columns + rng.uniform(0, 6))
            for k in range(1, 5)
        ),
        np.zeros(rows.shape),
    )
    ours, theirs = contour_lines(field, 0.11), list(find_contours(field, 0.11))
    assert length(ours) == pytest.approx(length(theirs), rel=1e-9)
    assert len(ours) == len(theirs)


def test_saddle_joins_what_the_middle_joins() -> None:
    low = np.array([[1.0, 0.0], [0.0, 1.0]])
    high = np.array([[3.0, 0.9], [0.9, 3.0]])
    for field, joined in ((low, False), (high, True)):
        lines = contour_lines(field, 0.95 if joined else 0.6)
        assert len(lines) == 2
        # When the high corners are joined each line cuts off a low corner: the low corner (0, 1) is nearest to one.
        corner = np.array([0.0, 1.0]) if joined else np.array([0.0, 0.0])
        assert min(np.abs(line - corner).sum(axis=1).max() for line in lines) <= 1.0


def test_nothing_crosses_an_unknown_cell() -> None:
    field = np.tile(np.arange(6.0), (5, 1))
    field[2, 2] = np.nan
    lines = contour_lines(field, 2.5)
    for line in lines:
        assert not ((line[:, 0] > 1) & (line[:, 0] < 3)).any()


def test_outline_encloses_the_cells() -> None:
    mask = np.zeros((12, 20), bool)
    mask[3:8, 5:17] = True
    (ring,) = outlines(mask)
    assert ring.min(axis=0) == pytest.approx([2.5, 4.5])
    assert ring.max(axis=0) == pytest.approx([7.5, 16.5])
    assert area(ring) == pytest.approx(5 * 12 - 4 / 8)  # four corners are cut by an eighth of a cell


def test_outline_reaches_the_edge_of_the_sheet() -> None:
    (ring,) = outlines(np.ones((3, 4), bool))
    assert ring.min() == pytest.approx(-0.5)


@pytest.mark.parametrize("tolerance", [0.05, 0.5, 3.0])
def test_thinning_never_strays_further_than_told(tolerance: float) -> None:
    t = np.linspace(0, 12, 700)
    line = np.stack([20 * t, 30 * np.sin(t)], axis=1)
    kept = thin(line, tolerance)
    assert len(kept) < len(line) / 2
    assert np.array_equal(kept[[0, -1]], line[[0, -1]])
    at = np.interp(line[:, 0], kept[:, 0], kept[:, 1])
    assert (
        np.abs(at - line[:, 1]).max() <= tolerance * 2
    )  # vertical distance, slope up to 1.5: cos 56 deg = 0.55


def test_small_fields_have_no_lines() -> None:
    assert contour_lines(np.zeros((1, 5)), 0.5) == []
    assert len(thin(np.zeros((2, 2)), 1.0)) == 2
