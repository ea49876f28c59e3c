"""The fit of a studio's factors, on a stand-in for the light engine whose truth is known.

The stand-in is the split-flux way of reckoning (sky component by closed form, reflected part as R / (1 - R)); what
is tested here is the fit, not the light. Rooms of the ray tracer: tests/authority/test_light_fit.py.
"""

from collections.abc import Sequence
from dataclasses import replace
from datetime import datetime

import numpy as np
import pytest

from plateside.light.meter.fit import SKY_STOPS, fit_studio
from plateside.light.sky import Sky
from plateside.model.errors import Cancelled, InputError
from plateside.model.room import Place, Room, Spot, Window
from plateside.model.studio import Fit, Reading, Studio

NEAR = Spot(name="near", from_left_m=2.0, from_front_m=0.6)
FAR = Spot(name="far", from_left_m=2.0, from_front_m=2.4)
STUDIO = Studio(
    place=Place(latitude_deg=38.7, longitude_deg=-9.1, timezone="Europe/Lisbon"),
    room=Room(width_m=4, depth_m=4),
    windows=(Window(name="w", bearing_deg=20, width_m=1.4, height_m=1.3, sill_m=0.8),),
    spots=(NEAR, FAR),
)


def stand_in(studio: Studio, spot: Spot, times: Sequence[datetime], skies: Sequence[str | Sky]) -> np.ndarray:
    """Lux: outdoors by the hour times (sky seen above the skyline + reflected part)."""
    fit = studio.fit
    outside = np.array([12000 * np.sin(np.pi * (when.hour + when.minute / 60 - 5) / 16) for when in times])
    top = np.degrees(np.arctan(1.35 / spot.from_front_m))
    seen = max(0.02, 1 - max(0.0, fit.skyline_lift_deg + 3) / top) * 0.12 / spot.from_front_m**1.2
    grey = 0.5 * fit.reflectance_factor
    return np.asarray(outside * fit.light_factor * (seen + 0.01 * grey / (1 - min(0.9, grey))))


def readings(true: Fit, rng: np.random.Generator, count: int = 6, noise: float = 0.05) -> list[Reading]:
    made = []
    for k in range(count):
        spot = (NEAR, FAR)[k % 2]
        at = f"2027-0{3 + k % 4}-1{k % 9}T{9 + 2 * (k % 4):02d}:30"
        lux = stand_in(replace(STUDIO, fit=true), spot, [datetime.fromisoformat(at)], ["overcast"])[0]
        lux *= 2 ** rng.normal(0, noise)
        made.append(Reading(at=at, spot=spot.name, illuminance_lx=float(lux), sky="clear"))
    return made


def predicted(fit: Fit, spot: Spot, hour: int = 14) -> float:
    return float(stand_in(replace(STUDIO, fit=fit), spot, [datetime(2027, 5, 1, hour)], ["clear"])[0])


def test_no_fault_no_factors() -> None:
    """Law: readings that the model already predicts teach that nothing is wrong (a little is left by the priors)."""
    report = fit_studio(STUDIO, readings(Fit(), np.random.default_rng(1), noise=0.0), predict=stand_in)
    assert report.fit.light_factor == pytest.approx(1, abs=0.12)
    assert abs(report.fit.skyline_lift_deg) < 1.5
    assert report.after_stops < 0.1


@pytest.mark.parametrize("true", [
    Fit(light_factor=0.6),
    Fit(light_factor=1.3, reflectance_factor=0.75),
    Fit(light_factor=0.8, skyline_lift_deg=9.0),
], ids=["dirty", "dark room", "skyline"])  # fmt: skip
def test_predictions_elsewhere_are_mended(true: Fit) -> None:
    """Factors may trade with each other; what counts is the light at other hours, and it comes right."""
    report = fit_studio(STUDIO, readings(true, np.random.default_rng(2)), predict=stand_in)
    for spot in (NEAR, FAR):
        off = np.log2(predicted(report.fit, spot) / predicted(true, spot))
        unfitted = np.log2(predicted(Fit(), spot) / predicted(true, spot))
        assert abs(off) < 0.25
        assert abs(off) < 0.5 * abs(unfitted) or abs(unfitted) < 0.15
    assert report.after_stops < report.before_stops


def test_one_spoilt_reading_counts_little() -> None:
    true = Fit(light_factor=0.7)
    good = readings(true, np.random.default_rng(3), count=7)
    spoilt = [*good[:3], replace(good[3], illuminance_lx=good[3].illuminance_lx * 16), *good[4:]]
    with_it = fit_studio(STUDIO, spoilt, predict=stand_in)
    without = fit_studio(STUDIO, [*good[:3], *good[4:]], predict=stand_in)
    assert abs(np.log2(with_it.fit.light_factor / without.fit.light_factor)) < 0.2
    assert with_it.evidence[3].weight < 0.35
    assert with_it.odd_ones == (with_it.evidence[3],)


def test_spread_shrinks_with_readings_and_with_surer_skies() -> None:
    few = fit_studio(STUDIO, readings(Fit(), np.random.default_rng(4), count=3), predict=stand_in)
    many = fit_studio(STUDIO, readings(Fit(), np.random.default_rng(4), count=12), predict=stand_in)
    assert many.fit.light_factor_spread_stops < few.fit.light_factor_spread_stops
    vague = [replace(one, sky="broken") for one in readings(Fit(), np.random.default_rng(4), count=12)]
    assert SKY_STOPS["broken"] > SKY_STOPS["clear"]
    unsure = fit_studio(STUDIO, vague, predict=stand_in)
    assert unsure.fit.light_factor_spread_stops > 1.5 * many.fit.light_factor_spread_stops


def test_the_truth_lies_within_the_spread() -> None:
    """Truths drawn from the priors, noise of the stated size: about two in three predictions within one spread
    (binomial, 40 draws: 0.45 to 0.95 holds with a chance of error under one in a hundred)."""
    rng = np.random.default_rng(5)
    hits = 0
    for _ in range(40):
        true = Fit(
            light_factor=float(2 ** rng.normal(0, 0.5)),
            reflectance_factor=float(np.clip(2 ** rng.normal(0, 0.3), 0.62, 1.45)),
            skyline_lift_deg=float(np.clip(rng.normal(0, 5), -5, 20)),
        )
        report = fit_studio(STUDIO, readings(true, rng, count=5, noise=0.22), predict=stand_in)
        off = np.log2(predicted(report.fit, NEAR) / predicted(true, NEAR))
        hits += abs(off) < report.fit.light_factor_spread_stops
    assert 0.45 < hits / 40 < 0.95


def test_only_grey_cards_say_what_cannot_be_told_apart() -> None:
    cards = [replace(one, source="grey card") for one in readings(Fit(), np.random.default_rng(6))]
    assert fit_studio(STUDIO, cards, predict=stand_in).card_alone
    mixed = [replace(cards[0], source="lux"), *cards[1:]]
    assert not fit_studio(STUDIO, mixed, predict=stand_in).card_alone


def test_what_is_refused() -> None:
    some = readings(Fit(), np.random.default_rng(7))
    with pytest.raises(InputError, match="too few readings: fewest 3, got 2"):
        fit_studio(STUDIO, some[:2], predict=stand_in)
    with pytest.raises(InputError, match=r"reading of no spot: name 'shelf', known \['near', 'far'\]"):
        fit_studio(STUDIO, [replace(some[0], spot="shelf"), *some[1:]], predict=stand_in)
    with pytest.raises(InputError, match="no time of a reading: got 'noon'"):
        fit_studio(STUDIO, [replace(some[0], at="noon"), *some[1:]], predict=stand_in)
    with pytest.raises(InputError, match="reading in the dark"):
        fit_studio(STUDIO, [replace(some[0], at="2027-03-10T05:00"), *some[1:]], predict=stand_in)
    with pytest.raises(InputError, match="skies for other readings: skies 1"):
        fit_studio(STUDIO, some, skies=["clear"], predict=stand_in)


def test_it_can_be_stopped() -> None:
    def stop(done: int, total: int) -> None:
        assert 0 < done <= total
        raise Cancelled("stopped")

    with pytest.raises(Cancelled):
        fit_studio(STUDIO, readings(Fit(), np.random.default_rng(8)), predict=stand_in, progress=stop)
