"""Near the edge of an obstruction the printed range covers both sun and no sun.

The truth is the engine's own light in the room as it really is, so only geometry is asked: a skyline or a bearing that
is a little off must not put the truth outside the range that the studio file's room gives.
"""

from dataclasses import replace
from datetime import datetime, timedelta

import numpy as np
import pytest

from plateside.light.day import day_light
from plateside.light.moment import light_at
from plateside.light.sky import cie_sky
from plateside.model.light_answers import Spread
from plateside.model.room import Opposite
from plateside.model.studio import Fit, Studio
from tests.unit.light.rooms import PLAIN, SPOT, WINDOW
from tests.unit.light.studios import LISBON, WINTER

SKY = cie_sky(12, 12000.0, 70000.0)
"""The sky is known: what is left of the range is the room's."""
NOON = datetime(2027, 1, 15, 12, 45, tzinfo=LISBON)
"""The sun stands 30 degrees high in the south (NREL SPA, tests/radiance/rooms.py)."""


def south(top_deg: float, **fit: float) -> Studio:
    """A south window with houses 40 m off whose roofs stand so high from the window's middle (1.38 m)."""
    houses = Opposite(
        bearing_from_deg=90, bearing_to_deg=270, distance_m=40,
        top_above_ground_m=1.38 + 40 * float(np.tan(np.radians(top_deg))), reflectance=0.3,
    )  # fmt: skip
    window = replace(WINDOW, bearing_deg=180, opposite=(houses,))
    spread = {"light_factor_spread_stops": 0.3}
    return replace(PLAIN, windows=(window,), fit=Fit(**(spread | fit)))  # type: ignore[arg-type]


def horizontal(studio: Studio, when: datetime = NOON) -> Spread:
    return light_at(studio, SPOT, when, SKY).horizontal_lx


@pytest.mark.parametrize("lift", [4.0, -4.0])
def test_a_lifted_skyline_does_not_hide_a_sun_that_is_there(lift: float) -> None:
    """Roofs at 28 degrees leave the sun, at 32 they hide it: fitted wrongly either way, the range holds the truth."""
    truth, thought = horizontal(south(30 - lift / 2)), south(30 - lift / 2, skyline_lift_deg=lift)
    certain = horizontal(replace(thought, fit=replace(thought.fit, skyline_lift_spread_deg=0.0)))
    assert abs(np.log2(certain.value / truth.value)) > 1.0  # the edge matters: more than a stop
    told = horizontal(replace(thought, fit=replace(thought.fit, skyline_lift_spread_deg=3.0)))
    assert told.low <= truth.value <= told.high
    assert not certain.low <= truth.value <= certain.high


def test_far_from_an_edge_nothing_is_widened() -> None:
    for top in (10.0, 50.0):
        wide = horizontal(south(top, skyline_lift_spread_deg=3.0))
        narrow = horizontal(south(top, skyline_lift_spread_deg=0.0))
        assert wide.high / wide.low == pytest.approx(narrow.high / narrow.low, rel=0.05)


def test_a_bearing_or_a_clock_that_is_a_little_off_is_covered() -> None:
    """All day long, the room turned by one degree and a half (or the clock six minutes off: 15 degrees an hour)."""
    studio = south(5.0)
    day = day_light(studio, SPOT, WINTER, SKY, step_min=10)
    turned = replace(studio, windows=(replace(studio.windows[0], bearing_deg=181.5),))
    other = day_light(turned, SPOT, WINTER, SKY, step_min=10).horizontal_lx
    up = day.sun_elevation_deg > 5
    assert np.abs(np.log2(other / day.horizontal_lx))[up].max() > 1.0  # the sun came or went
    # within the engine's own five percent
    assert np.all(other[up] >= 0.95 * day.horizontal_low_lx[up])
    assert np.all(other[up] <= 1.05 * day.horizontal_high_lx[up])
    before = horizontal(studio, NOON - timedelta(minutes=6)).value
    told = horizontal(studio)
    assert told.low <= before <= told.high
