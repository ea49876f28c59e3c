"""What hands do for the start page: towns, and the whole demo as one piece of work with its progress."""

import json
from pathlib import Path
from typing import Any

import pytest

from plateside.files.settings.places import find_cities, nearest_city
from plateside.model.errors import Cancelled
from plateside.tasks.report import as_json
from plateside.web.work import start
from plateside.web.work.start import STAGE
from plateside.web.workers.names import find_work
from plateside.words.first_run import DEMO_STAGES


def quiet(done: int, total: int) -> None:
    """Nobody listens."""


def test_suggestions_are_json_and_misspellings_are_guessed() -> None:
    found = as_json(find_work("start.cities")({"text": "Lisb"}, quiet))
    assert found["cities"][0]["timezone"] == "Europe/Lisbon"
    json.dumps(found)
    near = as_json(find_work("start.cities")({"text": "Edinbrgh"}, quiet))
    assert near["cities"] == []
    assert "Edinburgh" in [c["name"] for c in near["near"]]


def test_a_name_typed_to_its_end_is_one_place_or_told() -> None:
    chosen = as_json(find_work("start.choose")({"text": "Lisbon"}, quiet))
    assert chosen["city"]["country_code"] == "PT"
    lost = as_json(find_work("start.choose")({"text": "Qqqqzz"}, quiet))
    assert lost["city"] is None
    assert "No place called" in lost["said"]
    # a page's words: no flag of a command, and the way by coordinates
    assert "--" not in lost["said"]
    assert "38.72, -9.14" in lost["said"]
    assert as_json(find_work("start.choose")({"text": ""}, quiet))["city"] is None
    near = as_json(find_work("start.choose")({"text": "Edinbrgh"}, quiet))
    assert "Edinburgh" in [c["name"] for c in near["offered"]]
    several = as_json(find_work("start.choose")({"text": "Springfield"}, quiet))
    assert several["city"] is None
    assert {c["name"] for c in several["offered"]} == {"Springfield"}


@pytest.mark.parametrize(
    ("text", "latitude_deg", "longitude_deg", "zone"),
    [
        # zones of the IANA time zone database; positions as any atlas has them
        ("38.72, -9.14", 38.72, -9.14, "Europe/Lisbon"),
        ("33.87 S, 151.21 E", -33.87, 151.21, "Australia/Sydney"),
        ("64.15 N 21.94 W", 64.15, -21.94, "Atlantic/Reykjavik"),
        ("\u221241.29; 174.78", -41.29, 174.78, "Pacific/Auckland"),
    ],
)
def test_coordinates_are_a_place_with_the_nearest_towns_zone(
    text: str, latitude_deg: float, longitude_deg: float, zone: str
) -> None:
    for work in ("start.choose", "start.cities"):
        told = as_json(find_work(work)({"text": text}, quiet))
        city = told["city"] if work == "start.choose" else told["cities"][0]
        assert (city["latitude_deg"], city["longitude_deg"], city["timezone"]) == (
            latitude_deg,
            longitude_deg,
            zone,
        )
        assert "km away" in told["said"]


def test_coordinates_off_the_globe_are_told() -> None:
    told = as_json(find_work("start.choose")({"text": "95, 10"}, quiet))
    assert told["city"] is None
    assert "from -90 to 90" in told["said"]


def test_the_nearest_town_is_as_far_as_the_great_circle() -> None:
    # a degree along a meridian is 111.2 km on a sphere of 6371 km; across the date line nothing is far
    town = find_cities("Reykjavik")[0]
    found, away_km = nearest_city(town.latitude_deg + 0.01, town.longitude_deg)
    assert away_km <= 1.112 + 1e-3
    assert nearest_city(town.latitude_deg, town.longitude_deg)[1] == pytest.approx(0, abs=1e-6)
    assert nearest_city(-17, 179.99)[0].name == nearest_city(-17, -180.01 + 360)[0].name
    assert found.timezone == "Atlantic/Reykjavik"


def test_the_demos_progress_only_rises_and_ends_below_its_whole(
    monkeypatch: pytest.MonkeyPatch, tmp_path: Path
) -> None:
    told: list[tuple[int, int]] = []

    class Report:
        shoot = tmp_path / "shoot"

    def made(target: Path, say: Any, progress: Any) -> Report:
        assert target == tmp_path
        for _stage in DEMO_STAGES:
            say("words")
            for done in range(4):
                progress(done + 1, 4)
        return Report()

    import plateside.demo.run

    monkeypatch.setattr(plateside.demo.run, "run_demo", made)
    assert start.demo({"target": str(tmp_path)}, lambda done, total: told.append((done, total))) == {
        "shoot": tmp_path / "shoot"
    }
    whole = STAGE * len(DEMO_STAGES)
    assert [total for _, total in told] == [whole] * len(told)
    parts = [done for done, _ in told]
    assert parts == sorted(parts)
    assert parts[0] == 0
    assert whole - STAGE < parts[-1] < whole
    # the page names the stage from the number
    assert {done // STAGE for done in parts} == set(range(len(DEMO_STAGES)))

    def stop(done: int, total: int) -> None:
        raise Cancelled("stopped")

    with pytest.raises(Cancelled):
        start.demo({"target": str(tmp_path)}, stop)


def test_there_is_a_word_for_every_stage_that_the_demo_tells() -> None:
    import inspect

    from plateside.demo.run import run_demo

    assert inspect.getsource(run_demo).count("    say(") == len(DEMO_STAGES)
