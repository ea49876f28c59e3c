"""CIEDE2000 against the published pairs of Sharma, Wu and Dalal (2005) and, away from them, scikit-image's own."""

from pathlib import Path

import numpy as np
import pytest
from numpy.typing import NDArray

from plateside.finish.ciede2000 import delta_e
from tests.photographs import delta_e_ciede2000

TABLE = Path(__file__).parent / "data" / "ciede2000_sharma_wu_dalal_2005.csv"
LAST_DIGIT = 0.00005001
"""The table has four decimals; half a unit of the last, and what rounding a binary number adds."""


def published() -> NDArray[np.float64]:
    lines = [line for line in TABLE.read_text(encoding="utf-8").splitlines() if line[:1].isdigit()]
    return np.array([[float(v) for v in line.split(",")] for line in lines])


def test_the_table_has_all_34_pairs() -> None:
    assert published()[:, 0].tolist() == list(range(1, 35))


@pytest.mark.parametrize("row", published(), ids=lambda row: f"pair {row[0]:.0f}")
def test_published_pair(row: NDArray[np.float64]) -> None:
    assert float(delta_e(row[1:4], row[4:7])) == pytest.approx(row[7], abs=LAST_DIGIT)


def test_pairs_all_at_once_and_the_other_way_round() -> None:
    rows = published()
    forward, back = delta_e(rows[:, 1:4], rows[:, 4:7]), delta_e(rows[:, 4:7], rows[:, 1:4])
    np.testing.assert_allclose(forward, rows[:, 7], atol=LAST_DIGIT)
    np.testing.assert_allclose(forward, back, atol=1e-12)


def test_agrees_with_scikit_image_over_the_whole_space() -> None:
    rng = np.random.default_rng(2005)
    one, two = (rng.uniform([0, -100, -100], [100, 100, 100], (4000, 3)) for _ in range(2))
    np.testing.assert_allclose(
        delta_e(one, two), np.asarray(delta_e_ciede2000(one, two), np.float64), atol=1e-9
    )


def test_same_colour_is_zero_and_float32_and_images_work() -> None:
    lab = np.random.default_rng(1).uniform(0, 60, (5, 7, 3)).astype(np.float32)
    assert delta_e(lab, lab).shape == (5, 7)
    assert float(delta_e(lab, lab).max()) < 1e-6
