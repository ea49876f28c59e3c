"""What five readings teach: predictions for other hours and days before and after the fit, against Radiance.

    python -m bench.light_fit

Rooms with furniture, skyline and dirt that the studio file does not know (scripts/fit_rooms.py; references in
tests/authority/data/radiance_fit.json). The readings get a seeded scatter of 0.1 stop, as an instrument has; first the
skies are known, then each reading's sky is off by a seeded 0.35 stop, as a word or a forecast is. Aim: after the fit
within 0.25 stop (median) and 0.5 stop (90th percentile).
"""

import json
from dataclasses import dataclass, replace
from pathlib import Path
from typing import Any

import numpy as np

from plateside.light.meter.fit import MEASURED_SKY_STOPS, FitReport, engine_light, fit_studio
from plateside.light.sky import Sky
from plateside.light.sun import zone_of
from plateside.model.studio import Fit, Reading, Studio
from scripts.fit_rooms import file_studio, local_moment

DATA = Path(__file__).parent.parent / "tests" / "authority" / "data" / "radiance_fit.json"
READING_STOPS = 0.1
VAGUE_SKY_STOPS = 0.35


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


def main() -> None:
    before, after, vague, within = [], [], [], []
    print(f"{'room':26s} light  skyline  surfaces  spread   median error, stops: before -> after")
    for seed, one in enumerate(load()):
        got = judge(one, seed)
        fit = got.report.fit
        print(
            f"{got.name:26s} {fit.light_factor:5.2f}  {fit.skyline_lift_deg:+6.1f}  {fit.reflectance_factor:8.2f}  "
            f"{fit.light_factor_spread_stops:6.2f}   {np.median(np.abs(got.before_stops)):.2f} -> "
            f"{np.median(np.abs(got.after_stops)):.2f}  worst {np.abs(got.after_stops).max():.2f}",
            flush=True,
        )
        vague.append(judge(one, seed, VAGUE_SKY_STOPS).after_stops)
        before.append(got.before_stops)
        after.append(got.after_stops)
        within.append(np.abs(got.after_stops) < np.hypot(fit.light_factor_spread_stops, 0.07))
    for name, values in (("unfitted", before), ("fitted", after), ("fitted, skies vague", vague)):
        off = np.abs(np.concatenate(values))
        print(
            f"{name:20s} {off.size} predictions: median {np.median(off):.2f} stops, 90th percentile "
            f"{np.percentile(off, 90):.2f}, worst {off.max():.2f}, mean {np.concatenate(values).mean():+.2f}"
        )
    print(f"within the stated spread: {np.concatenate(within).mean():.0%}")


if __name__ == "__main__":
    main()
