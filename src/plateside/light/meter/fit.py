"""What light readings teach about a studio: three factors on the model, with their spread.

light_factor         measured over predicted: glass, dirt, curtains and the camera's own constant, all in one. A grey
                     card's frames cannot tell a camera that reads low from a window that is dirty: only their
                     product is found, and a lux meter's readings beside them are worth having.
skyline_lift_deg     how much higher stands what is outside than the studio file says
reflectance_factor   how much lighter or darker the room is than the file says; furniture counts as darkness

**Method.** The model's light at each reading is asked for a few lifts and a few reflectances (their effects are
multiplied: measured against the full model the product is within 2 %). Where the sun comes or goes between two lifts,
more are asked in between until the step is found to a degree or so: a step laid out as a slope would make a reading
tell a height that it does not know. The posterior is added up over a net of all three factors. Priors (one standard
deviation, ours): light factor 0.5 stop, reflectances 0.3 stop, lift 5 degrees about none. Readings scatter as
Student's t with 4 degrees of freedom, so that one spoilt reading cannot pull the rest (K. Lange, R. Little, J. Taylor,
J. Am. Stat. Assoc. 84, 1989); their scale is that of the instrument and of the sky's word together. The factors are
the posterior's means.
"""

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from datetime import datetime
from itertools import pairwise
from math import hypot

import numpy as np
from numpy.typing import NDArray

from plateside.light.moment import light_at
from plateside.light.sky import Sky
from plateside.light.sun import zone_of
from plateside.model.errors import RefusedError
from plateside.model.progress import Progress, silent
from plateside.model.readings import distinct
from plateside.model.room import Spot
from plateside.model.studio import Fit, Reading, Studio

Floats = NDArray[np.float64]

FEWEST = 3
LITTLE = 0.35
"""A reading with less weight counted little."""
LIFTS_DEG = (-6.0, 0.0, 6.0, 13.0, 22.0)
REFLECTANCES = (0.6, 1.0, 1.5)

PRIOR_LIGHT_STOPS = 0.5
PRIOR_REFLECTANCE_STOPS = 0.3
PRIOR_LIFT_DEG = 5.0
FREEDOM = 4.0
STEP_STOPS = 0.7
"""Between two lifts a reading's light changes smoothly by less; by more, the sun has come or gone."""
FINEST_LIFT_DEG = 1.5

INSTRUMENT_STOPS = {"lux": 0.10, "grey card": 0.15}
SKY_STOPS = {"clear": 0.2, "hazy": 0.35, "broken": 0.7, "overcast": 0.45}
"""How far a sky of that name may be from the word's model."""
MEASURED_SKY_STOPS = 0.05
"""How far a measured sky may be off."""

Predict = Callable[[Studio, Spot, Sequence[datetime], Sequence[str | Sky]], Floats]
"""The model's light [lx] on the horizontal at one spot at several moments."""


@dataclass(frozen=True)
class Evidence:
    """One reading against the model."""

    reading: Reading
    before_lx: float
    """What the model said without any fit."""
    after_lx: float
    weight: float
    """How much it counted beside the others, 0 to 1; a spoilt reading counts little."""

    @property
    def before_stops(self) -> float:
        """Measured over predicted before the fit [stops]."""
        return float(np.log2(self.reading.illuminance_lx / self.before_lx))

    @property
    def after_stops(self) -> float:
        return float(np.log2(self.reading.illuminance_lx / self.after_lx))


@dataclass(frozen=True)
class FitReport:
    """The fit, its spreads, and how far predictions were off before and after."""

    fit: Fit
    light_factor_spread_stops: float
    """Of the factor alone; `fit.light_factor_spread_stops` is of what the fitted model predicts."""
    reflectance_spread_stops: float
    skyline_spread_deg: float
    evidence: tuple[Evidence, ...]

    @property
    def before_stops(self) -> float:
        """Median size of the error before the fit [stops]."""
        return float(np.median([abs(one.before_stops) for one in self.evidence]))

    @property
    def after_stops(self) -> float:
        return float(np.median([abs(one.after_stops) for one in self.evidence]))

    @property
    def card_alone(self) -> bool:
        """All readings are from the grey card, which cannot tell the camera's constant from dirty glass."""
        return all(one.reading.source == "grey card" for one in self.evidence)

    @property
    def odd_ones(self) -> tuple[Evidence, ...]:
        """Readings that fit badly and counted little."""
        return tuple(one for one in self.evidence if one.weight < LITTLE)


def fit_studio(
    studio: Studio,
    readings: Sequence[Reading] | None = None,
    *,
    date: str = "",
    skies: Sequence[str | Sky] | None = None,
    sky_stops: float = MEASURED_SKY_STOPS,
    predict: Predict | None = None,
    progress: Progress = silent,
) -> FitReport:
    """Fit the studio's factors to three or more readings.

    readings  None: those in the studio file, each once
    date      today's date, for the record
    skies     the sky at each reading where it is better known than by the word (a weather file, a forecast)
    sky_stops how well those skies are known, one standard deviation [stops]; a forecast about 0.4
    predict   the model's light; None: the light engine
    Raises InputError for fewer than three readings, or one whose spot or moment cannot be used.
    """
    taken = distinct(studio.readings) if readings is None else tuple(readings)
    if len(taken) < FEWEST:
        raise RefusedError("too few readings", fewest=FEWEST, got=len(taken))
    if skies is not None and len(skies) != len(taken):
        raise RefusedError("skies for other readings", skies=len(skies), readings=len(taken))
    sky_of: Sequence[str | Sky] = [one.sky for one in taken] if skies is None else skies
    ask = _Asked(studio, taken, sky_of, predict or engine_light)
    reflectances = np.array(REFLECTANCES)
    total = len(LIFTS_DEG) + len(reflectances)
    done = 0
    by_lift: dict[float, Floats] = {}
    by_reflectance = []
    for lift in LIFTS_DEG:
        by_lift[lift] = ask.stops(Fit(skyline_lift_deg=lift))
        done += 1
        progress(done, total)
    plain = by_lift[0.0]
    for factor in reflectances:
        by_reflectance.append(plain if factor == 1 else ask.stops(Fit(reflectance_factor=float(factor))))
        done += 1
        progress(done, total)
    while (between := _in_a_step(by_lift)) is not None:
        by_lift[between] = ask.stops(Fit(skyline_lift_deg=between))
        progress(done, total)
    measured = np.log2([one.illuminance_lx for one in taken])
    scale = np.array([_scale_stops(one, sky, sky_stops) for one, sky in zip(taken, sky_of, strict=True)])
    lifts = sorted(by_lift)
    found = _posterior(
        measured,
        scale,
        np.array(lifts),
        np.array([by_lift[at] for at in lifts]),
        np.array(by_reflectance),
        plain,
    )
    fit = Fit(
        date=date,
        light_factor=float(np.clip(2**found.light, 0.05, 20)),
        light_factor_spread_stops=found.prediction_spread,
        reflectance_factor=float(np.clip(2**found.reflectance, 0.1, 2)),
        skyline_lift_deg=found.lift,
        skyline_lift_spread_deg=float(np.clip(found.lift_spread, 0.5, 30)),
        readings=len(taken),
    )
    after = ask.stops(replace(fit, light_factor=1.0)) + found.light
    weights = (FREEDOM + 1) / (FREEDOM + ((measured - after) / scale) ** 2)
    return FitReport(
        fit=fit,
        light_factor_spread_stops=found.light_spread,
        reflectance_spread_stops=found.reflectance_spread,
        skyline_spread_deg=found.lift_spread,
        evidence=tuple(
            Evidence(one, float(2**b), float(2**a), float(min(1.0, w)))
            for one, b, a, w in zip(taken, plain, after, weights, strict=True)
        ),
    )


def _in_a_step(by_lift: dict[float, Floats]) -> float | None:
    """The middle of two lifts between which a reading's light steps, and which lie too far apart to say where."""
    lifts = sorted(by_lift)
    for low, high in pairwise(lifts):
        step = float(np.abs(by_lift[high] - by_lift[low]).max())
        if high - low > FINEST_LIFT_DEG and step > STEP_STOPS:
            return (low + high) / 2
    return None


def engine_light(studio: Studio, spot: Spot, times: Sequence[datetime], skies: Sequence[str | Sky]) -> Floats:
    """The light engine's horizontal illuminance [lx], its studio's fit included."""
    return np.array(
        [
            light_at(studio, spot, when, sky).horizontal_lx.value
            for when, sky in zip(times, skies, strict=True)
        ]
    )


@dataclass(frozen=True)
class _Asked:
    """The model asked for the light at all readings."""

    studio: Studio
    readings: tuple[Reading, ...]
    skies: Sequence[str | Sky]
    predict: Predict

    def stops(self, fit: Fit) -> Floats:
        """Log2 of the light with these factors in the studio."""
        fitted = replace(self.studio, fit=fit)
        light = np.empty(len(self.readings))
        for name in dict.fromkeys(one.spot for one in self.readings):
            rows = [k for k, one in enumerate(self.readings) if one.spot == name]
            times = [self._moment(self.readings[k]) for k in rows]
            light[rows] = self.predict(fitted, self._spot(name), times, [self.skies[k] for k in rows])
        dark = np.flatnonzero(light <= 0)
        if dark.size:
            raise RefusedError("reading in the dark", at=self.readings[dark[0]].at)
        return np.asarray(np.log2(light))

    def _spot(self, name: str) -> Spot:
        for spot in self.studio.spots:
            if spot.name == name:
                return spot
        raise RefusedError("reading of no spot", name=name, known=[spot.name for spot in self.studio.spots])

    def _moment(self, reading: Reading) -> datetime:
        try:
            moment = datetime.fromisoformat(reading.at)
        except ValueError:
            raise RefusedError("no time of a reading", got=reading.at) from None
        return moment if moment.tzinfo else moment.replace(tzinfo=zone_of(self.studio.place))


@dataclass(frozen=True)
class _Posterior:
    light: float
    light_spread: float
    reflectance: float
    reflectance_spread: float
    lift: float
    lift_spread: float
    prediction_spread: float


def _scale_stops(reading: Reading, sky: str | Sky, sky_stops: float) -> float:
    word = SKY_STOPS.get(sky, max(SKY_STOPS.values())) if isinstance(sky, str) else sky_stops
    return hypot(INSTRUMENT_STOPS.get(reading.source, 0.15), word)


def _posterior(
    measured: Floats, scale: Floats, lifts: Floats, by_lift: Floats, by_reflectance: Floats, plain: Floats
) -> _Posterior:
    """Means and spreads over a net of the three factors.

    measured, scale, plain  by reading (n,), in stops; by_lift (lifts, n), by_reflectance (reflectances, n)
    lifts                   at which by_lift was asked [deg]
    """
    lift = np.linspace(LIFTS_DEG[0], LIFTS_DEG[-1], 57)
    dark = np.linspace(np.log2(REFLECTANCES[0]), np.log2(REFLECTANCES[-1]), 21)
    light = np.linspace(-3.0, 3.0, 121)
    of_lift = np.stack([np.interp(lift, lifts, column) for column in by_lift.T])
    of_dark = np.stack([np.interp(dark, np.log2(REFLECTANCES), column) for column in by_reflectance.T])
    # by reading, lift, reflectance: the model's light in stops but for the light factor
    model = of_lift[:, :, None] + of_dark[:, None, :] - plain[:, None, None]
    log = -0.5 * (
        (lift / PRIOR_LIFT_DEG)[:, None, None] ** 2
        + (dark / PRIOR_REFLECTANCE_STOPS)[None, :, None] ** 2
        + (light / PRIOR_LIGHT_STOPS)[None, None, :] ** 2
    )
    for k in range(measured.size):
        off = (measured[k] - model[k][:, :, None] - light) / scale[k]
        log = log - (FREEDOM + 1) / 2 * np.log1p(off**2 / FREEDOM)
    share = np.exp(log - log.max())
    share /= share.sum()

    def mean_spread(values: Floats, axes: tuple[int, int]) -> tuple[float, float]:
        weight = share.sum(axis=axes)
        mean = float(weight @ values)
        return mean, float(np.sqrt(weight @ (values - mean) ** 2))

    predicted = []
    for k in range(measured.size):
        cell = model[k][:, :, None] + light
        mean = float(np.sum(share * cell))
        predicted.append(float(np.sum(share * (cell - mean) ** 2)))
    found_lift, found_dark, found_light = (
        mean_spread(lift, (1, 2)),
        mean_spread(dark, (0, 2)),
        mean_spread(light, (0, 1)),
    )
    return _Posterior(
        light=found_light[0],
        light_spread=found_light[1],
        reflectance=found_dark[0],
        reflectance_spread=found_dark[1],
        lift=found_lift[0],
        lift_spread=found_lift[1],
        prediction_spread=float(np.sqrt(np.mean(predicted))),
    )
