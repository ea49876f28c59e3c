"""Light left: of today, whatever day the shoot is planned for, and only from frames of today."""

from datetime import UTC, date, datetime, timedelta
from pathlib import Path
from zoneinfo import ZoneInfo

import pytest

from plateside.demo.data import copy_demo
from plateside.files.journal.state import ShootState
from plateside.files.settings.write import Put, update_shoot
from plateside.tasks.set.light_left import judged_today, light_left

LISBON = ZoneInfo("Europe/Lisbon")


@pytest.fixture
def root(tmp_path: Path) -> Path:
    copy_demo(tmp_path / "demo")
    return tmp_path / "demo"


def test_a_plan_for_another_day_is_told_with_the_light_of_today(root: Path) -> None:
    # the demo is planned for 15 July 2027
    told = light_left(root, "pour", datetime(2026, 11, 25, 13, 0, tzinfo=LISBON))
    assert told.planned_for == date(2027, 7, 15)
    assert told.trend is None and told.code in ("good", "later", "none")
    # the sun over Lisbon sets near 17:15 on that day (the almanac of the Lisbon observatory, from memory)
    if told.predicted.until is not None:
        assert told.predicted.until < datetime(2026, 11, 25, 17, 30, tzinfo=LISBON)
    on_the_day = light_left(root, "pour", datetime(2027, 7, 15, 13, 0, tzinfo=LISBON))
    assert on_the_day.planned_for is None


def test_only_frames_of_today_say_how_the_light_falls_today() -> None:
    now = datetime(2027, 7, 15, 0, 30, tzinfo=LISBON)
    landed_at = {
        "yesterday": datetime(2027, 7, 14, 22, 50, tzinfo=UTC),  # 23:50 in Lisbon
        "today": datetime(2027, 7, 14, 23, 10, tzinfo=UTC),  # 0:10 in Lisbon
        "other": now - timedelta(minutes=1),
        "unjudged": now,
    }
    state = ShootState(
        landed=dict.fromkeys(landed_at, "a.jpg"),
        shot_of={"yesterday": "pour", "today": "pour", "other": "one-bowl", "unjudged": "pour"},
        verdicts={f: {} for f in ("yesterday", "today", "other")},
    )
    assert judged_today(state, landed_at, "pour", now) == ["today"]


def test_the_lights_colour_is_that_of_daylight_and_there_is_none_at_night(root: Path) -> None:
    noon = light_left(root, "pour", datetime(2027, 7, 15, 13, 0, tzinfo=LISBON))
    # CIE 15: daylight phases D50 to D75, wider for a clear sky's blue and a room's warmth
    assert 3500 < noon.cct_k < 20000
    assert light_left(root, "pour", datetime(2027, 7, 15, 2, 0, tzinfo=LISBON)).cct_k == 0


def test_a_shot_with_a_day_of_its_own_is_planned_for_that(root: Path) -> None:
    update_shoot(root / "shoot.toml", [Put(("shots", "pour", "date"), "2027-07-16")])
    at = datetime(2027, 7, 16, 13, 0, tzinfo=LISBON)
    assert light_left(root, "pour", at).planned_for is None
    assert light_left(root, "one-bowl", at).planned_for == date(2027, 7, 15)
