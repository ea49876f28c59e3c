"""A reading's light steps where the sun comes or goes: that tells on which side the skyline is, not how high."""

from collections.abc import Sequence
from datetime import datetime

import numpy as np
import pytest

from plateside.light.meter.fit import fit_studio
from plateside.light.sky import Sky, cie_sky
from plateside.model.room import Place, Room, Spot, Window
from plateside.model.studio import Reading, Studio

SPOT = Spot(name="table", from_left_m=2.0, from_front_m=0.6)
STUDIO = Studio(
    place=Place(latitude_deg=38.7, longitude_deg=-9.1, timezone="Europe/Lisbon"),
    room=Room(width_m=4, depth_m=4),
    windows=(Window(name="w", bearing_deg=180, width_m=1.4, height_m=1.3, sill_m=0.8),),
    spots=(SPOT,),
)
SKY = cie_sky(12, 12000.0, 70000.0)


@pytest.mark.parametrize(("edge", "truth"), [(0.7, 3.0), (1.5, 4.0), (-2.0, 0.5), (7.0, 9.0), (4.0, 1.0)])
def test_a_step_is_not_taken_for_a_slope(edge: float, truth: float) -> None:
    """Skylight all the same, and a sun that houses hide when they are lifted by `edge` or more, as the truth is.

    All that such readings tell is on which side of the edge the skyline is. The mean of the prior cut there is
    arithmetic (normal law of five degrees, cut at the edge).
    """

    def predict(
        studio: Studio, _spot: Spot, times: Sequence[datetime], _skies: Sequence[str | Sky]
    ) -> np.ndarray:
        hidden = studio.fit.skyline_lift_deg >= edge
        return np.full(len(times), (400.0 if hidden else 3200.0) * studio.fit.light_factor)

    lux = 400.0 if truth >= edge else 3200.0
    readings = [
        Reading(at=f"2027-03-1{k}T12:30", spot="table", illuminance_lx=lux, sky="clear") for k in range(4)
    ]
    found = fit_studio(STUDIO, readings, skies=[SKY] * 4, predict=predict)
    heights = np.linspace(-6, 22, 2801)
    weight = np.exp(-0.5 * (heights / 5) ** 2) * ((heights >= edge) == (truth >= edge))
    mean = float(weight @ heights / weight.sum())
    spread = float(np.sqrt(weight @ (heights - mean) ** 2 / weight.sum()))
    assert found.fit.skyline_lift_deg == pytest.approx(mean, abs=0.8)
    assert found.fit.skyline_lift_spread_deg == pytest.approx(spread, rel=0.2)


def test_a_smooth_light_asks_no_more_than_before() -> None:
    asked = []

    def predict(
        studio: Studio, _spot: Spot, times: Sequence[datetime], _skies: Sequence[str | Sky]
    ) -> np.ndarray:
        asked.append(studio.fit.skyline_lift_deg)
        return np.full(
            len(times), 400.0 * studio.fit.light_factor * 2 ** (-0.04 * studio.fit.skyline_lift_deg)
        )

    readings = [
        Reading(at=f"2027-03-1{k}T12:30", spot="table", illuminance_lx=400, sky="clear") for k in range(3)
    ]
    fit_studio(STUDIO, readings, skies=[SKY] * 3, predict=predict)
    assert len(asked) <= 8  # five lifts, two more reflectances, and the answer
