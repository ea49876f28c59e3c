"""The day behind the Plan page: the command's own day, pictures named by what they rest on, sheets escaped."""

import json
import os
import shutil
from collections.abc import Iterator
from dataclasses import replace
from datetime import datetime
from pathlib import Path
from zoneinfo import ZoneInfo

import pytest
from PIL import Image

from plateside.cli.main import main
from plateside.demo.data import copy_demo
from plateside.files.settings.write import Put, update_shoot
from plateside.model.errors import Cancelled, CouldNotError, InputError, SettingsError
from plateside.plan.kitchen import DAY_BEFORE
from plateside.tasks.plan.day import plan_shoot
from plateside.tasks.plan.draw import draw_planned, make_ready
from plateside.tasks.plan.picture_cache import MOST_CACHED, known_pictures, make_room, picture_path
from plateside.tasks.plan.planned import Memory, Predictions, picture_key, sheet, work_out
from plateside.tasks.plan.shown import planned_day
from plateside.tasks.plan.shown_clock import Clock
from plateside.tasks.report import as_json
from plateside.web.workers.names import find_work


@pytest.fixture(scope="module")
def memory() -> Memory:
    return Memory()


@pytest.fixture
def root(tmp_path: Path) -> Iterator[Path]:
    folder = tmp_path / "shoot"
    folder.mkdir()
    copy_demo(folder)
    yield folder


def key_of(root: Path, memory: Memory, shot: str) -> str:
    return next(s.card.picture_key for s in planned_day(root, memory).shots if s.name == shot and s.card)


def test_the_page_shows_the_day_that_the_command_plans(root: Path, memory: Memory) -> None:
    shown, told = planned_day(root, memory), plan_shoot(root)
    slots = {s.shot: s for s in told.day.slots}
    set_ups = {s.shot: s for s in told.set_ups}
    assert [s.name for s in shown.shots] == [s.name for s in work_out(root, memory).opened.shoot.shots]
    for shot in shown.shots:
        assert shot.slot is not None
        assert shot.card is not None
        assert shot.slot.hero_words == f"{slots[shot.name].hero_in:%H:%M}"
        # minutes after midnight of the slot's own day, by the clock (no change of clocks on that day)
        hero = slots[shot.name].hero_in
        assert shot.slot.hero_min == pytest.approx(60 * hero.hour + hero.minute + hero.second / 60, abs=1e-6)
        assert shot.card.shutter == set_ups[shot.name].exposure_words
        failed = [c for c in set_ups[shot.name].checks if not c.ok]
        assert len(shot.card.minds) + len(shot.card.not_as_asked) == len(failed)
        assert shot.light is not None
        assert shown.from_min <= min(shot.light.minutes) <= max(shot.light.minutes) <= shown.to_min
        assert len(shot.light.minutes) == len(shot.light.lux)
    assert [t.name for t in shown.kitchen] == [t.name for t in told.day.kitchen]
    assert [t.day_before for t in shown.kitchen] == [t.why == DAY_BEFORE for t in told.day.kitchen]
    today = [t for t in shown.kitchen if not t.day_before]
    assert shown.from_min <= min(t.start_min for t in today)
    assert len(shown.notes) == len(told.day.notes)


def test_good_minutes_are_the_good_steps_of_the_working_day(root: Path, memory: Memory) -> None:
    shown, worked = planned_day(root, memory), work_out(root, memory)
    for shot in shown.shots:
        day = worked.planned.lights[shot.name].day
        assert day is not None
        assert shot.light is not None
        steps = [
            t for t in day.times
            if any(s.start <= t < s.end for s in day.good)
            and shown.day_from_min <= 60 * t.hour + t.minute < shown.day_to_min
        ]  # fmt: skip
        assert shot.light.good_min == pytest.approx(day.step_min * len(steps), abs=2 * day.step_min)


def test_words_leave_the_picture_what_is_in_it_does_not(root: Path, memory: Memory) -> None:
    first = key_of(root, memory, "three-bowls")
    update_shoot(root, [Put(("shots", "three-bowls", "title"), "Another title")])
    assert key_of(root, memory, "three-bowls") == first
    other = key_of(root, memory, "one-bowl")
    keys = {first}
    for field, value in (
        ("glossy", False),
        ("frame_width_mm", 820),
        ("stand_in", "tart"),
        ("surface", "oiled oak"),
    ):
        if field == "surface":
            value = work_out(root, memory).opened.studio.surfaces[-1].name
        update_shoot(root, [Put(("shots", "three-bowls", field), value)])
        keys.add(key_of(root, memory, "three-bowls"))
    # whether it mirrors is a matter of checks, not of what is drawn: three other pictures, not four
    assert len(keys) == 4
    assert key_of(root, memory, "one-bowl") == other
    update_shoot(root, [Put(("sky",), "overcast")])
    assert key_of(root, memory, "one-bowl") != other


def test_what_was_worked_out_is_kept_until_a_file_changes(root: Path, memory: Memory) -> None:
    first = work_out(root, memory)
    assert work_out(root, memory) is first
    kept = len(memory.days)
    update_shoot(root, [Put(("recipe", "serves"), "6 bowls")])
    second = work_out(root, memory)
    assert second is not first
    assert len(memory.days) == kept  # no light predicted anew for a word
    assert second.set_ups == first.set_ups


def test_an_edit_of_one_shot_solves_and_draws_that_shot_alone(root: Path, memory: Memory) -> None:
    planned_day(root, memory)
    first = work_out(root, memory)
    cards = dict(memory.cards)
    update_shoot(root, [Put(("shots", "three-bowls", "frame_width_mm"), 760)])
    shown = planned_day(root, memory)
    second = work_out(root, memory)
    anew = [name for name, s in second.set_ups.items() if s is not first.set_ups[name]]
    assert anew == ["three-bowls"]
    assert len(memory.cards) == len(cards) + 1
    # and it is what a process that remembers nothing works out
    assert shown == planned_day(root, Memory())


def test_only_the_newest_predictions_are_kept(root: Path, memory: Memory) -> None:
    work_out(root, memory)
    day = next(iter(memory.days.values()))
    kept = Predictions()
    for number in range(250):
        kept[number] = day
    assert len(kept) == 100
    assert 249 in kept
    assert 0 not in kept
    del kept[249]
    assert 249 not in kept


def test_a_dark_day_tells_each_shot_why_it_has_no_set_up(root: Path, memory: Memory) -> None:
    changes = [Put(("from_time",), "22:30"), Put(("to_time",), "23:59")]
    shots = work_out(root, memory).opened.shoot.shots
    changes += [Put(("shots", s.name, key), None) for s in shots for key in ("from_time", "to_time")]
    update_shoot(root, changes)
    shown = planned_day(root, memory)
    assert all(s.card is None and "no daylight" in s.problem for s in shown.shots)
    with pytest.raises(CouldNotError, match="no daylight"):
        sheet(root, memory, "three-bowls")
    assert "Run sheet" in sheet(root, memory).body


def test_a_shoot_without_shots_is_an_empty_day(root: Path, memory: Memory) -> None:
    text = (root / "shoot.toml").read_text(encoding="utf-8")
    begin, end = text.index("[[shots]]"), text.index("[[channels]]")
    (root / "shoot.toml").write_text(text[:begin] + text[end:], encoding="utf-8")
    shown = planned_day(root, memory)
    assert shown.shots == ()
    assert shown.kitchen == ()
    assert json.dumps(as_json(shown))


def test_a_name_that_the_studio_does_not_have_is_a_mistake_with_its_place(root: Path, memory: Memory) -> None:
    update_shoot(root, [Put(("shots", "three-bowls", "lens"), "nowhere")])
    with pytest.raises(SettingsError) as told:
        planned_day(root, memory)
    assert told.value.mistakes[0].name == "three-bowls"


def test_a_new_shoot_has_its_day(tmp_path: Path, memory: Memory) -> None:
    root = tmp_path / "first"
    asked = ["new", str(root), "--city", "Lisbon", "--facing", "north", "--date", "2027-07-15"]
    assert main(asked) == 0
    shown = planned_day(root, memory)
    assert [s.name for s in shown.shots] == ["whole-dish", "close"]
    assert all(s.card is not None for s in shown.shots)
    assert [t.name for t in shown.kitchen][:2] == ["prepare", "cook"]


def test_sheets_escape_every_word(root: Path, memory: Memory) -> None:
    nasty = '<script>alert("x")</script>'
    update_shoot(root, [
        Put(("recipe", "title"), nasty), Put(("shots", "three-bowls", "title"), nasty),
        Put(("recipe", "steps", 0, "name"), nasty),
    ])  # fmt: skip
    whole, card = sheet(root, memory), sheet(root, memory, "three-bowls")
    for body in (whole.body, card.body):
        assert "<script" not in body
        assert "&lt;script&gt;" in body
        assert "style=" not in body  # the pages' policy forbids it
    with pytest.raises(InputError, match="No shot"):
        sheet(root, memory, "nowhere")


def test_hours_are_true_minutes_on_days_when_clocks_change() -> None:
    # European Union: clocks go back at 01:00 UTC on the last Sunday of October, 2027-10-31 (Directive 2000/84/EC)
    zone = ZoneInfo("Europe/Lisbon")
    back = Clock(datetime(2027, 10, 31, tzinfo=zone))
    assert back.length_min == 25 * 60
    assert back.min_of(datetime(2027, 10, 31, 12, 0, tzinfo=zone)) == 13 * 60
    assert [words for _, words in back.hours(0, 240)] == ["00:00", "01:00", "01:00", "02:00", "03:00"]
    forth = Clock(datetime(2027, 3, 28, tzinfo=zone))
    assert forth.length_min == 23 * 60


def test_a_picture_is_drawn_once_and_a_changed_shot_is_left(root: Path, memory: Memory) -> None:
    pytest.importorskip("mitsuba")
    key = key_of(root, memory, "one-bowl")
    assert known_pictures(root, [key]) == {key: {}}
    worked = work_out(root, memory)
    said: list[tuple[int, int]] = []
    drawn = draw_planned(
        root, "one-bowl", key, "rough", memory, lambda done, total: said.append((done, total))
    )
    path = picture_path(root, key, "rough")
    with Image.open(path) as picture:
        wide, high = picture.size
    s = worked.set_ups["one-bowl"]
    assert wide / high == pytest.approx(s.sensor_width_mm / s.sensor_height_mm, rel=0.03)
    assert s.f_number_words in drawn.words
    assert said[-1][0] == said[-1][1]
    assert known_pictures(root, [key])[key] == {"rough": drawn.words}
    before = path.stat().st_mtime_ns
    assert draw_planned(root, "one-bowl", key, "rough", memory) == drawn
    assert path.stat().st_mtime_ns == before
    with pytest.raises(Cancelled):
        draw_planned(root, "three-bowls", key, "clean", memory)
    with pytest.raises(Cancelled):
        draw_planned(root, "nowhere", key, "clean", memory)
    shot = worked.opened.shoot.shots[0]
    assert picture_key(worked, shot) != picture_key(worked, replace(shot, camera_faces_deg=10.0))


def test_what_a_first_picture_waits_for_is_there_before_it(root: Path) -> None:
    pytest.importorskip("mitsuba")
    memory = Memory()
    make_ready(root, memory)
    known = memory.newest[root]
    assert work_out(root, memory) is known
    assert (root / ".plateside" / "renderer.json").is_file()
    # what is wrong with a day is said where the day is asked for, not where the renderer is started
    (root / "shoot.toml").write_text("format = [", encoding="utf-8")
    make_ready(root, memory)
    with pytest.raises(SettingsError):
        work_out(root, memory)


@pytest.mark.parametrize(
    ("key", "quality"), [("../x", "rough"), ("a" * 32, "fine"), ("A" * 32, "rough"), ("", "rough")]
)
def test_no_other_file_is_named_by_a_key(tmp_path: Path, key: str, quality: str) -> None:
    with pytest.raises(InputError):
        picture_path(tmp_path, key, quality)


def test_the_oldest_pictures_go_first(tmp_path: Path) -> None:
    folder = picture_path(tmp_path, "0" * 32, "rough").parent
    folder.mkdir(parents=True)
    for number in range(MOST_CACHED + 3):
        path = picture_path(tmp_path, f"{number:032x}", "rough")
        path.write_bytes(b"x")
        path.with_suffix(".json").write_text("{}")
        os.utime(path, (number, number))
    make_room(folder)
    assert len(list(folder.glob("*.jpg"))) == MOST_CACHED
    assert len(list(folder.glob("*.json"))) == MOST_CACHED
    assert not picture_path(tmp_path, f"{0:032x}", "rough").is_file()


def test_the_hand_answers_in_json(root: Path, tmp_path: Path) -> None:
    def told(done: int, total: int) -> None:
        assert done <= total

    day = as_json(find_work("plan.day")({"root": str(root)}, told))
    assert json.loads(json.dumps(day, allow_nan=False))["day"]["shots"][0]["name"] == "three-bowls"
    assert all(found == {} for found in day["drawn"].values())
    paper = as_json(find_work("plan.paper")({"root": str(root), "shot": "pour"}, told))
    assert set(paper) == {"title", "language", "body"}
    card = as_json(find_work("plan.set_card")({"root": str(root), "paper": "A5"}, told))
    assert Path(card["path"]).read_bytes().startswith(b"%PDF")
    assert Path(card["path"]).is_relative_to(root / ".plateside")
    shutil.rmtree(root / ".plateside")


def test_shots_of_two_days_each_have_the_hour_and_the_light_of_their_own(root: Path, memory: Memory) -> None:
    alone = {s.name: s for s in planned_day(root, memory).shots}
    update_shoot(root / "shoot.toml", [Put(("shots", "pour", "date"), "2027-12-21")])
    day = planned_day(root, memory)
    shown = {s.name: s for s in day.shots}
    pour, other = shown["pour"], shown["three-bowls"]
    assert (pour.date, other.date) == ("2027-12-21", "2027-07-15")
    assert pour.slot is not None and other.slot is not None and pour.light is not None
    assert pour.slot.hero_at.date().isoformat() == pour.date
    assert other.slot.hero_at.date().isoformat() == other.date
    # minutes of its own day, not of the first one
    assert 0 <= pour.slot.hero_min < 1440
    # the window faces north-east to south-east or not: in December the sky over Lisbon gives less than in July
    assert alone["pour"].light is not None
    assert max(pour.light.lux) < max(alone["pour"].light.lux)
    assert all(span.start_at.date().isoformat() == pour.date for span in pour.light.good)
    told = plan_shoot(root)
    numbers = [p.number for p in told.day.plates]
    assert numbers == list(range(1, len(numbers) + 1))
    starts = [s.starts for s in told.day.slots]
    assert starts == sorted(starts)
    page = sheet(root, memory).page
    assert page.count("shoot-day-") >= 2


def test_one_day_written_beside_every_shot_is_one_day(root: Path, memory: Memory) -> None:
    before = planned_day(root, memory)
    names = [s.name for s in before.shots]
    update_shoot(root / "shoot.toml", [Put(("shots", name, "date"), "2027-07-15") for name in names])
    after = planned_day(root, memory)
    assert [s.slot.hero_at for s in after.shots if s.slot] == [s.slot.hero_at for s in before.shots if s.slot]
    assert {s.day_words for s in after.shots} == {""}
