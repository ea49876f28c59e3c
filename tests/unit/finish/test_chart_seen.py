"""A colour chart is seen in a frame as the camera shows it; what only looks like one, and real dishes, are not."""

import numpy as np
import pytest

from plateside.finish.chart_seen import chart_seen
from tests.photographs import photograph
from tests.synthetic.chart_frames import LOOK_ALIKES, as_shown, chart_flat, look_alike, seen_on, table

SEEDS = (2000,)
WIDE = 1900
"""A camera's preview; `python -m bench chart_frames` looks at larger ones."""


@pytest.mark.parametrize(
    ("how", "width", "turn_deg", "slant", "stops"),
    [
        ("straight", 0.35, 5, 0.0, 0.0), ("upside down", 0.35, 184, 0.0, 0.0), ("upright", 0.25, 92, 0.0, 0.0),
        ("at an angle", 0.35, 25, 0.35, 0.0), ("small", 0.13, -10, 0.1, 0.0), ("dim", 0.3, 10, 0.15, -3.0),
        ("filling the frame", 0.85, 3, 0.05, 0.0),
    ],
)  # fmt: skip
@pytest.mark.parametrize("seed", SEEDS)
def test_a_chart_is_seen(
    how: str, width: float, turn_deg: float, slant: float, stops: float, seed: int
) -> None:
    rng = np.random.default_rng([seed, len(how)])
    laid = seen_on(table(rng, WIDE), chart_flat(rng.uniform(0.08, 0.25)), rng, width, turn_deg, slant)
    assert chart_seen(as_shown(laid, rng, stops, noise=0.003))


@pytest.mark.parametrize("kind", LOOK_ALIKES)
@pytest.mark.parametrize("seed", SEEDS)
def test_what_lies_in_rows_and_columns_is_none(kind: str, seed: int) -> None:
    rng = np.random.default_rng([seed, len(kind)])
    thing = look_alike(kind, rng)
    laid = seen_on(
        table(rng, WIDE), thing, rng, rng.uniform(0.2, 0.7), rng.uniform(-40, 40), rng.uniform(0, 0.3)
    )
    assert not chart_seen(as_shown(laid, rng, rng.uniform(-2, 0.3)))


def test_a_chart_of_other_colours_is_none() -> None:
    """The greys are as they should be; the eighteen colours have changed places."""
    rng = np.random.default_rng(2005)
    flat = chart_flat()
    flat[30:210, :] = np.roll(flat[30:210, :], 60, axis=0)
    assert not chart_seen(as_shown(seen_on(table(rng, WIDE), flat, rng, 0.35, 5), rng))


@pytest.mark.parametrize("name", ["coffee", "chelsea", "rocket"])
def test_photographs_show_none(name: str) -> None:
    assert not chart_seen(photograph(name))


@pytest.mark.parametrize("size", [(1, 1), (2, 900), (900, 3), (40, 60)])
def test_any_size_is_looked_at(size: tuple[int, int]) -> None:
    assert not chart_seen(np.zeros((*size, 3), np.uint8))
    assert not chart_seen(np.full((*size, 3), 255, np.uint8))
