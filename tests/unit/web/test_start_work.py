"""What hands do for the start page: towns, and the whole demo as one piece of work with its progress."""

import json
from pathlib import Path
from typing import Any

import pytest

from plateside.model.errors import Cancelled, InputError
from plateside.tasks.report import as_json
from plateside.web.hands.names import find_work
from plateside.web.work import start
from plateside.web.work.start import DEMO_STAGES, STAGE


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
    with pytest.raises(InputError, match="No place called"):
        find_work("start.choose")({"text": "Qqqqzz"}, quiet)
    with pytest.raises(InputError):
        find_work("start.choose")({"text": ""}, quiet)


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

    import plateside.tasks.demo

    monkeypatch.setattr(plateside.tasks.demo, "run_demo", made)
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

    from plateside.tasks.demo import run_demo

    assert inspect.getsource(run_demo).count("    say(") == len(DEMO_STAGES)
