"""Rooms that readings were taken in, and how near a fit comes to them."""

import json
from dataclasses import dataclass, replace
from pathlib import Path
from typing import Any

import numpy as np

from plateside.light.meter.fit import MEASURED_SKY_STOPS, FitReport, engine_light, fit_studio
from plateside.light.sky import Sky
from plateside.light.sun import zone_of
from plateside.model.studio import Fit, Reading, Studio
from tests.synthetic.fitted_rooms import file_studio, local_moment

DATA = Path(__file__).parents[1] / "authority" / "data" / "radiance_fit.json"


READING_STOPS = 0.1


@dataclass(frozen=True)
class Judged:
    """One room: the fit, and by prediction the error in stops without and with it."""

    name: str
    report: FitReport
    before_stops: np.ndarray
    after_stops: np.ndarray


def load() -> list[dict[str, Any]]:
    rooms: list[dict[str, Any]] = json.loads(DATA.read_text())["rooms"]
    return rooms


def judge(one: dict[str, Any], seed: int, sky_stops: float = 0.0) -> Judged:
    """Fit a room's file to its readings and predict the other moments.

    sky_stops  seeded scatter of the light at the readings, from skies that are not what they are said to be [stops]
    """
    studio = file_studio(one["file"])
    rng = np.random.default_rng(seed)
    readings = [
        Reading(
            at=got["at"],
            spot="dish",
            illuminance_lx=got["lux"] * float(2 ** rng.normal(0, np.hypot(READING_STOPS, sky_stops))),
            sky="overcast",
        )
        for got in one["readings"]
    ]
    skies = [Sky(**got["sky"]) for got in one["readings"]]
    report = fit_studio(studio, readings, skies=skies, sky_stops=max(sky_stops, MEASURED_SKY_STOPS))
    truth = np.array([got["lux"] for got in one["predictions"]])
    return Judged(
        name=one["name"],
        report=report,
        before_stops=np.log2(predictions(studio, one, Fit()) / truth),
        after_stops=np.log2(predictions(studio, one, report.fit) / truth),
    )


def predictions(studio: Studio, one: dict[str, Any], fit: Fit) -> np.ndarray:
    """The engine's light [lx] at the moments to be predicted."""
    zone = zone_of(studio.place)
    times = [local_moment(got["at"], zone) for got in one["predictions"]]
    skies = [Sky(**got["sky"]) for got in one["predictions"]]
    return engine_light(replace(studio, fit=fit), studio.spots[0], times, skies)
