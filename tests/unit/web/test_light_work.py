"""The light page's work against the light tasks' own reports, and what is kept of it."""

import json
import math
import subprocess
import sys
from datetime import UTC, date, datetime
from itertools import pairwise
from pathlib import Path
from typing import Any

import pytest

from plateside.demo.data import copy_demo
from plateside.ground.figures import rounded
from plateside.light.best import strongest
from plateside.model.errors import Cancelled, InputError, MissingExtraError
from plateside.tasks.light import year_kept
from plateside.tasks.light.asked import Asked
from plateside.tasks.light.choice import (
    LightChoice,
    choice_of,
    kept_year_key,
    key_of,
    key_without_needs,
    offered,
    picture_key,
)
from plateside.tasks.light.moment_and_day import light_at_moment, light_of_day
from plateside.tasks.light.week_and_year import light_of_week, light_of_year
from plateside.tasks.plan import light_picture
from plateside.tasks.plan.picture import draw_picture
from plateside.tasks.report import as_json
from plateside.web.work.light import WORK
from plateside.words.light.calendar import longest_sentence
from plateside.words.light.day import answer_sentence, lead_sentences
from plateside.words.light.moment import moment_rows
from plateside.words.refused import plain
from tests.unit.drawing.reading import parse, text_at, texts

DAY = "2027-07-15"
CHOICE: dict[str, Any] = {
    "spot": "", "shot": "", "sky": "", "at_least_lx": 300.0, "no_direct_sun": True,
    "at_most_key_fill_stops": None,
}  # fmt: skip


def quiet(done: int, total: int) -> None:
    pass


@pytest.fixture(scope="module")
def root(tmp_path_factory: pytest.TempPathFactory) -> Path:
    there = tmp_path_factory.mktemp("light") / "shoot"
    there.mkdir()
    copy_demo(there)
    return there


def asked(root: Path, **more: Any) -> Asked:
    return Asked(path=root, at_least_lx=300.0, **more)


def ask(root: Path, work: str, choice: dict[str, Any] | None = None, **more: Any) -> Any:
    return as_json(WORK[work]({"root": str(root), "choice": {**CHOICE, **(choice or {})}, **more}, quiet))


def test_the_day_is_the_days_report(root: Path) -> None:
    report = light_of_day(asked(root), DAY)
    shown = ask(root, "day", day=DAY, today=DAY)
    assert [s["start_s"] for s in shown["good"]] == [s.start.timestamp() for s in report.light.good]
    assert len(shown["now"]) == len(shown["states"]) == len(shown["seconds"])
    assert shown["seconds"][shown["best"]] == report.brightest_good_at.timestamp()
    assert [rounded(v) for v in shown["lux"]] == [rounded(v) for v in report.light.horizontal_lx]
    # the curve's scale: f/8, ISO 100: 160 lx asks for 1 s, 320 lx for 1/2 s (C = 250)
    drawn = parse(shown["curve"])
    for lx, exposure in (("160", "1 s"), ("320", "1/2 s")):
        assert text_at(drawn, lx)[1] == text_at(drawn, exposure)[1]
    small = parse(ask(root, "day", day=DAY, today=DAY, small=True)["curve"])
    assert float(small.attrib["viewBox"].split()[2]) < float(drawn.attrib["viewBox"].split()[2])


def test_the_moment_is_the_moments_report(root: Path) -> None:
    for at in ("08:40", "17:20"):
        report = light_at_moment(asked(root), f"{DAY}T{at}")
        shown = ask(root, "moment", at=f"{DAY}T{at}", section=True)
        assert shown["facts"] == as_json(moment_rows(report))
        assert shown["lux"] == float(rounded(report.light.horizontal_lx.value))
        assert shown["sun_on_dish"] == report.light.sun_on_dish
        assert f"sun at {report.light.sun_bearing_deg:.0f}°" in shown["plan"]


def test_the_sun_in_the_plan_moves_with_the_hour_and_the_plan_alone_is_narrower(root: Path) -> None:
    plans = [ask(root, "moment", at=f"{DAY}T{h:02d}:00", section=True)["plan"] for h in (9, 13, 17)]
    assert len(set(plans)) == 3
    alone = ask(root, "moment", at=f"{DAY}T09:00", section=False)["plan"]
    assert "Section" in plans[0] and "Section" not in alone


def test_an_hour_without_light_says_so(root: Path) -> None:
    shown = ask(root, "moment", at=f"{DAY}T02:00", section=True)
    assert shown["dark"] and not shown["sun_up"]
    assert [f["code"] for f in shown["facts"]] == ["dark", "sun"]
    assert ask(root, "what_if", at=f"{DAY}T02:00")["changes"] == []


def test_what_ifs_are_the_commands(root: Path) -> None:
    at = f"{DAY}T10:00"
    report = light_at_moment(asked(root), at, with_what_ifs=True)
    shown = ask(root, "what_if", at=at)["changes"]
    assert [c["kind"] for c in shown] == [c.kind for c in report.what_ifs]
    assert [c["gain_stops"] for c in shown] == [c.gain_stops for c in report.what_ifs]
    assert [c["fill_stops"] for c in shown] == [c.light.key_fill_stops.value for c in report.what_ifs]
    assert shown[0]["gain_stops"] == 0


def test_the_week_is_the_weeks_report(root: Path) -> None:
    report = light_of_week(asked(root), DAY)
    shown = ask(root, "week", day=DAY)
    assert report.best is not None
    best = [] if report.alike else [report.best.day.isoformat()]
    assert [d["day"] for d in shown["days"] if d["best"]] == best
    assert report.best.spot in shown["answer"]
    for one, told in zip(shown["days"], report.days, strict=True):
        assert sum(b - a for a, b in one["good"]) * 60 == pytest.approx(told.good_min)


@pytest.fixture(scope="module")
def year(root: Path) -> Any:
    return ask(root, "year", year=2027)


def test_the_year_is_the_years_report(root: Path, year: Any) -> None:
    report = light_of_year(asked(root), 2027)
    assert year["answer"] == longest_sentence(report)
    for day, good, sun, lux in zip(report.days, year["good"], year["sun"], year["lux"], strict=True):
        told = [f"{a // 60:02d}:{a % 60:02d}-{b // 60:02d}:{b % 60:02d}" for a, b in good]
        assert told == list(day.good)
        assert sum(b - a for a, b in sun) == day.sun_on_dish_min
        # read out every quarter of an hour: at most the brightest five minutes, and near it
        known = [v for v in lux if v is not None]
        assert max(known) <= float(rounded(day.brightest_lx))
        assert max(known) > 0.5 * day.brightest_lx
    assert [m["days_with_good_light"] for m in year["months"]] == [
        m.days_with_good_light for m in report.months
    ]


def test_hours_that_the_clock_skips_have_no_light_to_read(year: Any) -> None:
    """Western European summer time begins on the last Sunday of March at 01:00 UTC (Directive 2000/84/EC)."""
    column = (date(2027, 3, 28) - date(2027, 1, 1)).days
    empty = [i for i, row in enumerate(year["lux"]) if None in row]
    first = year["first_hour"]
    # the skipped hour is 01:00-02:00, shown only when the calendar begins that early
    assert empty == ([column] if first <= 1 else [])


def test_the_values_are_small_enough_to_send(year: Any) -> None:
    assert len(year["calendar"]) < 130_000
    assert len(json.dumps(year["lux"], separators=(",", ":"))) < 127_000


def test_a_kept_year_is_at_once_and_other_needs_share_its_light(
    root: Path, year: Any, monkeypatch: pytest.MonkeyPatch
) -> None:
    def never(*_: Any) -> Any:
        raise AssertionError("worked out again")

    monkeypatch.setattr(year_kept, "year_of", never)
    assert ask(root, "year", year=2027) == year
    less = ask(root, "year", {"at_least_lx": 40.0}, year=2027)
    more = [sum(b - a for a, b in day) for day in less["good"]]
    assert all(m >= sum(b - a for a, b in day) for m, day in zip(more, year["good"], strict=True))
    assert "40 lx" in texts(parse(less["calendar"]))
    with pytest.raises(AssertionError):
        ask(root, "year", {"sky": "overcast"}, year=2027)


def test_a_stopped_year_leaves_nothing_behind(root: Path) -> None:
    def stop(done: int, total: int) -> None:
        raise Cancelled("Stopped.")

    choice = LightChoice(**{**CHOICE, "sky": "hazy"})
    with pytest.raises(Cancelled):
        year_kept.drawn_year(root, choice, 2027, stop)
    key = key_without_needs(root, choice, "year light", 2027)
    assert not list((root / ".plateside" / "light").glob(f"{key}*"))


def test_a_damaged_cache_is_made_again(root: Path, year: Any, monkeypatch: pytest.MonkeyPatch) -> None:
    folder = root / ".plateside" / "light"
    key = kept_year_key(root, LightChoice(**CHOICE), 2027)
    (folder / f"{key}.json").write_text("{torn")
    light_key = key_without_needs(root, LightChoice(**CHOICE), "year light", 2027)
    assert (folder / f"{light_key}.npz").is_file()
    assert ask(root, "year", year=2027) == year


def test_keys_change_with_what_the_light_depends_on_and_with_nothing_else(tmp_path: Path) -> None:
    copy_demo(tmp_path)
    first, choice = key_of(tmp_path, LightChoice()), LightChoice(at_least_lx=41.0)
    assert key_of(tmp_path, choice) != first
    assert key_without_needs(tmp_path, choice) == key_without_needs(tmp_path, LightChoice())
    shoot = tmp_path / "shoot.toml"
    shoot.write_text(shoot.read_text().replace('title = "', 'title = "Another ', 1))
    assert key_of(tmp_path, LightChoice()) == first
    studio = tmp_path / "studio.toml"
    studio.write_text(studio.read_text().replace("depth_m = 3.1", "depth_m = 3.2", 1))
    assert key_of(tmp_path, LightChoice()) != first


def test_choices_are_read_from_words() -> None:
    assert choice_of({"lux": "0,5", "sun": "yes", "fill": "1.5"}) == LightChoice("", "", "", 0.5, False, 1.5)
    assert choice_of({}) == LightChoice()
    for wrong in ({"lux": "much"}, {"lux": "-1"}, {"sky": "nice"}, {"fill": "99"}):
        with pytest.raises(InputError):
            choice_of(wrong)


def test_today_is_the_studios_own_day(root: Path) -> None:
    """23:30 UTC in July is half past midnight in Lisbon (UTC+1 in summer)."""
    there = offered(root, datetime(2027, 7, 14, 23, 30, tzinfo=UTC))
    assert (there.today.isoformat(), there.clock) == (DAY, "00:30")
    assert there.spots[0] == "by the window" and there.spot_of_shot["three-bowls"] in there.spots


def test_the_strongest_light_is_within_half_a_stop(root: Path) -> None:
    """By law: within the stretch every moment has light within half a stop of the most, just outside less."""
    facts = light_of_day(Asked(path=root, at_least_lx=40.0), DAY)
    light, strong = facts.light, facts.strongest
    assert strong is not None and strong == strongest(light)
    stamps = [t.timestamp() for t in light.times]
    first, last = stamps.index(strong.start.timestamp()), stamps.index(strong.end.timestamp())
    good = [
        i for i, t in enumerate(stamps) for s in light.good if s.start.timestamp() <= t < s.end.timestamp()
    ]
    most = max(float(light.horizontal_lx[i]) for i in good)
    inside = light.horizontal_lx[first : last + 1]
    assert float(inside.min()) >= most / math.sqrt(2)
    for outside in (first - 1, last + 1):
        assert outside not in good or float(light.horizontal_lx[outside]) < most / math.sqrt(2)
    # hours that are all alike need no second stretch
    assert strong.minutes < 0.8 * sum(s.minutes for s in light.good)


def test_the_page_opens_with_the_days_answer(root: Path) -> None:
    facts = light_of_day(asked(root), DAY)
    shown = ask(root, "day", day=DAY, today=DAY)
    assert shown["answer"] == answer_sentence(facts, date(2027, 7, 15))
    assert shown["lead"] == " ".join(lead_sentences(facts))


def test_a_day_when_clocks_change_has_its_true_length(root: Path) -> None:
    shown = ask(root, "day", day="2027-03-28", today=DAY)
    steps = {b - a for a, b in pairwise(shown["seconds"])}
    assert steps == {300.0}
    assert len(shown["seconds"]) == 23 * 12
    assert "01:30" not in shown["clocks"]


def test_a_changed_file_is_read_again_while_an_hour_is_dragged(tmp_path: Path) -> None:
    copy_demo(tmp_path)
    before = ask(tmp_path, "moment", at=f"{DAY}T10:00", section=False)
    studio = tmp_path / "studio.toml"
    studio.write_text(studio.read_text().replace("from_front_m = 0.6", "from_front_m = 1.2", 1))
    after = ask(tmp_path, "moment", at=f"{DAY}T10:00", section=False)
    assert after["lux"] < before["lux"]


def test_a_picture_is_drawn_of_that_day_and_sky_and_then_kept(
    root: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    calls = []

    def draw(*given: Any, **more: Any) -> Any:
        calls.append(more)
        return draw_picture(*given, **more)

    monkeypatch.setattr(light_picture, "SIZES", {"rough": (48, 32)})
    monkeypatch.setattr(light_picture, "draw_picture", draw)
    choice = {"shot": "three-bowls", "sky": "overcast"}
    told = ask(root, "picture", choice, day="2027-01-10", at="12:00", quality="rough")
    light = light_at_moment(Asked(path=root, shot="three-bowls", sky="overcast"), "2027-01-10T12:00").light
    assert told["words"][0].startswith(f"{rounded(light.horizontal_lx.value)} lx")
    file = root / ".plateside" / "light-pictures" / told["key"] / told["file"]
    assert file.is_file() and told["width_px"] <= 48
    assert ask(root, "picture", choice, day="2027-01-10", at="12:00", quality="rough") == told
    assert len(calls) == 1
    assert not (root / "pictures").exists()
    assert picture_key(root, LightChoice(shot="three-bowls"), 1) != picture_key(
        root, LightChoice(shot="one-bowl"), 1
    )


def test_without_the_renderer_one_sentence_says_how_to_get_it(
    root: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("plateside.picture.engine.find_spec", lambda name: None)
    with pytest.raises(MissingExtraError) as told:
        ask(root, "picture", {"shot": "one-bowl"}, day=DAY, at="11:00", quality="rough")
    assert "pip install" in plain(told.value) and "\n" not in plain(told.value)


def test_what_the_server_imports_of_the_light_is_small() -> None:
    code = (
        "import plateside.tasks.light.choice, sys; "
        "print([m for m in ('numpy', 'numba', 'scipy', 'cv2', 'PIL') if m in sys.modules])"
    )
    told = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert told.stdout.strip() == "[]"
