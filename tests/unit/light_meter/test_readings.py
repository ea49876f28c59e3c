"""A reading that was kept twice counts once."""

from collections.abc import Sequence
from dataclasses import asdict, replace
from datetime import datetime
from pathlib import Path

import numpy as np
import pytest

from plateside.demo.data import copy_demo
from plateside.files.settings.load import load_studio
from plateside.files.settings.write import Add
from plateside.light.meter.fit import Floats, fit_studio
from plateside.light.sky import Sky
from plateside.model.readings import distinct, same_entries, same_reading
from plateside.model.room import Place, Room, Spot, Window
from plateside.model.studio import Reading, Studio
from plateside.tasks.studio.edit import change_settings, version_of

CARD = Reading(
    at="2027-07-15T13:30",
    spot="a",
    illuminance_lx=515.5,
    sky="overcast",
    source="grey card",
    evidence="1.dng",
)


def test_one_card_however_it_was_kept_and_two_that_are_two() -> None:
    for again in (
        {"sky": "clear"}, {"spot": "b"}, {"at": "2027-07-15T14:30"}, {"illuminance_lx": 300.0},
        {"at": "2027-08-15T13:30"}, {"evidence": "copy of 1.dng"},
    ):  # fmt: skip
        assert same_reading(CARD, replace(CARD, **again)), again
    for other in (
        {"evidence": "2.dng", "illuminance_lx": 600.0},
        {"evidence": "2.dng", "at": "2027-07-15T13:40"},
        {"at": "2027-08-15T13:30", "illuminance_lx": 300.0},  # the camera counts from 1 again
        {"source": "lux"},
    ):
        assert not same_reading(CARD, replace(CARD, **other)), other
    lux = Reading(at="2027-07-15T13:30", spot="a", illuminance_lx=900, evidence="phone")
    assert same_reading(lux, replace(lux, evidence=""))
    assert not same_reading(lux, replace(lux, illuminance_lx=910))
    assert not same_reading(lux, replace(lux, spot="b"))
    assert distinct([CARD, lux, replace(CARD, sky="clear")]) == (lux, replace(CARD, sky="clear"))
    assert same_entries([CARD, lux, CARD], CARD) == [2, 0]


def test_a_fit_counts_each_reading_once() -> None:
    taken = [
        Reading(
            at=f"2027-07-15T{hour}:00",
            spot="a",
            illuminance_lx=lx,
            source="grey card",
            evidence=f"{hour}.dng",
        )
        for hour, lx in (("10", 700.0), ("12", 900.0), ("15", 500.0))
    ]
    studio = Studio(
        place=Place(latitude_deg=50.0, longitude_deg=10.0, timezone="Europe/Berlin"),
        room=Room(width_m=4.0, depth_m=3.5),
        windows=(Window(name="w", bearing_deg=10, width_m=1.2, height_m=1.2, sill_m=0.8),),
        spots=(Spot(name="a", from_left_m=2.0, from_front_m=0.7),),
        readings=tuple(taken),
    )

    def light(_studio: Studio, _spot: Spot, when: Sequence[datetime], _sky: Sequence[str | Sky]) -> Floats:
        return np.full(len(when), 500.0)

    once = fit_studio(studio, predict=light)
    # the brightest kept four times would pull the factor to it
    twice = fit_studio(replace(studio, readings=(*taken, taken[1], taken[1], taken[1])), predict=light)
    assert twice.fit.light_factor == pytest.approx(once.fit.light_factor, rel=1e-9)
    assert twice.fit.skyline_lift_deg == pytest.approx(once.fit.skyline_lift_deg, rel=1e-9)
    assert twice.fit.readings == 3


def test_a_card_kept_again_from_the_page_takes_the_place_of_the_first(tmp_path: Path) -> None:
    copy_demo(tmp_path)
    card = replace(CARD, spot=load_studio(tmp_path).spots[0].name)
    before = load_studio(tmp_path).readings
    for sky in ("overcast", "clear"):
        seen = version_of(tmp_path / "studio.toml")
        change_settings(tmp_path, "studio", [Add(("readings",), asdict(replace(card, sky=sky)))], seen)
    assert load_studio(tmp_path).readings == (*before, replace(card, sky="clear"))
