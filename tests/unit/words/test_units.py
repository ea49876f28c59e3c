"""Lengths in the user's units, against the definitions: 25.4 mm an inch, 12 inches a foot."""

import pytest

from plateside.words.units import IMPERIAL, METRIC, length, length_mm, size_mm, units_of


@pytest.mark.parametrize(
    ("mm", "step", "metric", "imperial"),
    [
        # a length of so many inches, times 25.4 by hand
        (393.7, 10, "39 cm", "15 1/2 in"),
        (25.4, 1, "25 mm", "1 in"),
        (19.05, 1, "19 mm", "3/4 in"),
        (0, 10, "0 mm", "0 in"),
        (400, 10, "40 cm", "15 1/2 in"),  # 15.748
        (452, 1, "452 mm", "17 13/16 in"),  # 17.795
        (1200, 10, "1.20 m", "3 ft 11 in"),  # 47.244
        (914.4, 10, "91 cm", "3 ft"),  # the yard
        (889, 10, "89 cm", "35 in"),
        (996, 10, "1.00 m", "3 ft 3 in"),  # 39.21
        (1828.8, 10, "1.83 m", "6 ft"),
        (4200, 100, "4.2 m", "13 ft 9 in"),  # 165.35
        (-50, 10, "-50 mm", "-2 in"),
    ],
)
def test_lengths(mm: float, step: float, metric: str, imperial: str) -> None:
    assert length_mm(mm, METRIC, step) == metric
    assert length_mm(mm, IMPERIAL, step) == imperial
    assert length(mm / 1000, METRIC, step) == metric


def test_sizes() -> None:
    assert size_mm(450, 300) == "450 x 300 mm"
    assert size_mm(450, 300, IMPERIAL) == "17 3/4 x 11 3/4 in"  # 17.717, 11.811


def test_a_word_nobody_knows_is_metric() -> None:
    assert (units_of("imperial"), units_of("metric"), units_of("")) == (IMPERIAL, METRIC, METRIC)
