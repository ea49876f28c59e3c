"""`plateside light`: the task against the engine and the almanac, its words, files and exit statuses.

Sunrise, sunset, noon and elevation of the three places: worked out by hand (noon height 90 - latitude + declination,
the equation of time: 2 minutes, 0.3 degrees), as are the hours of sun on a wall that faces 20 degrees in Lisbon.

Over 400 lines: the values worked out by hand for the three places stand here once, beside all that lean on them.
"""

import argparse
import json
import math
import re
from collections.abc import Iterator
from dataclasses import fields, replace
from datetime import date, datetime, timedelta
from importlib.resources import files
from pathlib import Path
from typing import Any
from zoneinfo import ZoneInfo

import numpy as np
import pytest

from plateside.cli.main import main
from plateside.cli.verbs import light as verb
from plateside.files.settings.load import load_studio
from plateside.files.settings.write import dump
from plateside.light.day import day_light
from plateside.light.good_hours import good_minutes as engine_good_minutes
from plateside.light.meter import facts as meter_facts
from plateside.light.moment import light_at
from plateside.light.year import year_light
from plateside.model import light_facts
from plateside.model.errors import CouldNotError, InputError
from plateside.model.gear import Camera
from plateside.model.light_answers import Interval, LightNeeds
from plateside.model.light_facts import WhatIf
from plateside.model.room import Board, Place, Room, Spot, Window
from plateside.model.shoot import Creator, PlacedBoard, Recipe, Shoot, Shot
from plateside.model.studio import Reading, Studio
from plateside.tasks.light import week_and_year as light_calendar
from plateside.tasks.light.asked import Asked
from plateside.tasks.light.meter import find_bearing, fit_to_readings, keep_card, keep_reading
from plateside.tasks.light.moment_and_day import light_at_moment, light_of_day
from plateside.tasks.light.place import moment_in
from plateside.tasks.light.week_and_year import light_of_week, light_of_year
from plateside.tasks.report import as_json
from plateside.words.light.moment import moment_lines
from tests.synthetic.dng import write_dng
from tests.unit.drawing.reading import parse, texts
from tests.unit.light_weather.samples import epw_text
from tests.unit.originals.sample_files import write_jpeg

LISBON = Place(latitude_deg=38.7223, longitude_deg=-9.1393, timezone="Europe/Lisbon", name="Lisbon")
MELBOURNE = Place(
    latitude_deg=-37.8136, longitude_deg=144.9631, timezone="Australia/Melbourne", name="Melbourne"
)
TROMSO = Place(latitude_deg=69.6492, longitude_deg=18.9553, timezone="Europe/Oslo", name="Tromsø")
ZONE = ZoneInfo("Europe/Lisbon")


def studio(place: Place = LISBON, bearing: float = 20.0, **changes: object) -> Studio:
    parts: dict[str, object] = {
        "place": place,
        "room": Room(width_m=2.6, depth_m=2.2, height_m=2.2),
        "windows": (Window(name="kitchen window", bearing_deg=bearing, width_m=1.2, height_m=1.2, sill_m=0.78),),
        "spots": (Spot(name="by the window", from_left_m=1.3, from_front_m=0.6),
                  Spot(name="middle of the room", from_left_m=1.3, from_front_m=1.6)),
        "boards": (Board(name="white"), Board(name="black", reflectance=0.05)),
    }  # fmt: skip
    return Studio(**(parts | changes))  # type: ignore[arg-type]


def written(folder: Path, made: Studio) -> Path:
    folder.mkdir(parents=True, exist_ok=True)
    (folder / "studio.toml").write_text("# mine, do not lose\n" + dump(made), encoding="utf-8")
    return folder


@pytest.fixture(scope="module")
def lisbon(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return written(tmp_path_factory.mktemp("lisbon"), studio())


@pytest.fixture(scope="module")
def north(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return written(tmp_path_factory.mktemp("north"), studio(TROMSO))


@pytest.fixture
def coarse_year(monkeypatch: pytest.MonkeyPatch) -> Iterator[int]:
    """A year at 30 minutes: the same code, a sixth of the time."""
    monkeypatch.setattr(light_calendar, "YEAR_STEP_MIN", 30)
    yield 30


# ---- A moment -------------------------------------------------------------------------------------------------


def test_a_moment_says_what_the_engine_computes(lisbon: Path) -> None:
    when = datetime(2027, 7, 15, 13, 30, tzinfo=ZONE)
    report = light_at_moment(Asked(lisbon), "2027-07-15T13:30", with_what_ifs=True)
    made = load_studio(lisbon)
    wanted = light_at(made, made.spots[0], when, "clear", camera_faces_deg=90.0)
    assert report.at == when
    assert report.light.horizontal_lx == wanted.horizontal_lx
    # ISO 2720: t = C N2 / (E S), C = 250 lx s
    assert report.exposure_s == pytest.approx(250 * 64 / (wanted.horizontal_lx.value * 100))
    # highest at 13:43 and 72.8 degrees (trade table), so that at 13:30 it is just short of it
    assert wanted.sun_elevation_deg == pytest.approx(72.8, abs=0.3)
    assert wanted.sun_bearing_deg == pytest.approx(170, abs=5)
    assert report.what_ifs[0].kind == "as it is" and report.what_ifs[0].gain_stops == 0
    assert {c.kind for c in report.what_ifs} >= {"sheet", "half blocked", "board", "nearer"}
    assert [o.sky for o in report.other_skies] == ["hazy", "broken", "overcast"]
    assert report.spots[0].spot == "by the window" and report.spots[0].against_best_stops == 0
    far = report.spots[1]
    assert far.against_best_stops == pytest.approx(
        np.log2(far.illuminance_lx.value / report.spots[0].illuminance_lx.value)
    )


def test_every_figure_has_two_digits_and_a_range(lisbon: Path) -> None:
    """'about 480 lx (300-750)', never six digits."""
    text = "\n".join(moment_lines(light_at_moment(Asked(lisbon), "2027-07-15T13:30")))
    found = re.findall(r"about ([\d.]+) lx \(([\d.]+)-([\d.]+)\)", text)
    assert len(found) >= 4
    for triple in found:
        assert all(len(n.replace(".", "").strip("0")) <= 2 for n in triple)
        value, low, high = map(float, triple)
        assert low < value < high


def test_the_key_is_where_the_window_is(lisbon: Path) -> None:
    """Window in front (bearing 20): camera facing 90 has it on its left, 270 on its right, 0 behind the dish."""
    sides = {}
    for faces in (0.0, 90.0, 180.0, 270.0):
        sides[faces] = light_at_moment(Asked(lisbon, camera_faces_deg=faces), "2027-07-15T13:30").key_from
    assert sides == {
        0.0: "behind", 90.0: "left", 180.0: "camera", 270.0: "right",
    }  # fmt: skip


def test_sun_beside_the_dish_is_told_with_its_distance(tmp_path: Path) -> None:
    """An east window in the morning: the patch wanders over the table, and is told before it reaches the dish."""
    folder = written(tmp_path, studio(bearing=90))
    said = set()
    for minute in range(0, 60 * 7, 45):
        moment = datetime(2027, 4, 15, 7, 30, tzinfo=ZONE) + timedelta(minutes=minute)
        report = light_at_moment(Asked(folder), moment.replace(tzinfo=None).isoformat())
        said.add(report.sun.code)
        assert (report.sun.code == "dish") == report.light.sun_on_dish
        assert (report.light.sun_window == "kitchen window") == report.light.sun_on_dish
        if report.light.sun_patch and not report.light.sun_on_dish:
            assert report.sun.code in ("edge", "table")
            assert report.sun.near_m is not None and 0 < report.sun.near_m < 2.6
    assert {"dish", "away"} <= said


def test_night_is_told_not_computed_around(lisbon: Path) -> None:
    report = light_at_moment(Asked(lisbon), "2027-07-15T01:00", with_what_ifs=True)
    assert report.dark and report.sun.code == "down"
    assert report.exposure_s is None and report.what_ifs == () and report.light_left_min == 0
    assert report.left.until is None and report.left.again == report.good[0].start
    assert not re.search(r"\b(nan|inf)\b", json.dumps(as_json(report), ensure_ascii=False).lower())


def test_local_time_is_the_studio_s_own() -> None:
    """Lisbon keeps UTC+1 in July, UTC in January; 01:30 on 28 March 2027 does not exist (2000/84/EC)."""
    assert moment_in(ZONE, "2027-07-15T13:30").utcoffset() == timedelta(hours=1)
    assert moment_in(ZONE, "2027-01-15T13:30").utcoffset() == timedelta(0)
    assert moment_in(ZONE, "2027-07-15T12:30+00:00") == moment_in(ZONE, "2027-07-15T13:30")
    with pytest.raises(InputError, match="clocks jump over it"):
        moment_in(ZONE, "2027-03-28T01:30")
    with pytest.raises(InputError, match="write the studio's local time like 2027-07-15T13:30"):
        moment_in(ZONE, "15/7/2027 13.30")
    with pytest.raises(InputError, match="has no time of day"):
        moment_in(ZONE, "2027-07-15")


# ---- A day ----------------------------------------------------------------------------------------------------


def test_a_day_in_lisbon(lisbon: Path) -> None:
    report = light_of_day(Asked(lisbon, at_least_lx=300), "2027-07-15")
    day = report.light
    assert day.sunrise is not None and day.sunset is not None
    for found, clock in ((day.sunrise, (6, 24)), (day.transit, (13, 43)), (day.sunset, (21, 0))):
        wanted = datetime(2027, 7, 15, *clock, tzinfo=ZONE)
        assert abs((found - wanted).total_seconds()) <= 120
    # the wall has sun 06:24-11:24 and 20:04-21:00 (trade table): the dish can only have it then
    for span in day.sun_intervals:
        assert span.end <= datetime(2027, 7, 15, 11, 30, tzinfo=ZONE) or span.start >= datetime(
            2027, 7, 15, 19, 59, tzinfo=ZONE
        )
    made = load_studio(lisbon)
    engine = day_light(made, made.spots[0], date(2027, 7, 15), "clear", needs=LightNeeds(True, 300.0))
    assert np.array_equal(day.horizontal_lx, engine.horizontal_lx) and day.good == engine.good
    assert (day.needs.no_direct_sun, day.needs.at_least_lx, day.needs.because) == (True, 300, None)
    within = [s for s in day.good if s.start <= report.brightest_good_at < s.end]
    assert len(within) == 1


def test_melbourne_s_noon_sun_stands_in_the_north(tmp_path: Path) -> None:
    """Southern hemisphere: highest 13:07 at bearing 0, 58.8 degrees; a south window is the sunless one."""
    folder = written(tmp_path, studio(MELBOURNE, bearing=180))
    report = light_at_moment(Asked(folder), "2026-10-10T13:07")
    assert report.light.sun_elevation_deg == pytest.approx(58.8, abs=0.3)
    assert min(report.light.sun_bearing_deg, 360 - report.light.sun_bearing_deg) < 1.5
    assert not report.light.sun_on_dish


def test_polar_night_asks_for_a_lamp(north: Path) -> None:
    for report in (
        light_of_day(Asked(north), "2026-12-21"),
        light_at_moment(Asked(north), "2026-12-21T12:00", with_what_ifs=True),
    ):
        assert report.no_daylight if isinstance(report, light_facts.DayFacts) else report.no_daylight_this_day
        json.dumps(as_json(report), allow_nan=False)
    week = light_of_week(Asked(north), "2026-12-18")
    assert week.best is None
    assert all(d.no_daylight for d in week.days)
    assert (len(week.days), week.missing) == (7, 0)


def test_polar_day_has_no_sunset(north: Path) -> None:
    report = light_of_day(Asked(north), "2027-06-21")
    assert report.light.always_up and report.light.sunset is None


def test_sun_allowed_is_never_shorter(tmp_path: Path) -> None:
    """An east window has morning sun on the dish: allowing it adds just those minutes."""
    folder = written(tmp_path, studio(bearing=90))
    without = light_of_day(Asked(folder), "2027-04-15")
    allowed = light_of_day(Asked(folder, no_direct_sun=False), "2027-04-15")
    sun = sum(span.minutes for span in without.light.sun_intervals)
    assert sun > 30
    assert allowed.good_min == pytest.approx(without.good_min + sun, abs=10)
    assert not allowed.light.needs.no_direct_sun


# ---- Sky ------------------------------------------------------------------------------------------------------


def test_forecast_changes_the_hours_it_covers(lisbon: Path, tmp_path: Path) -> None:
    clear, grey = tmp_path / "clear.csv", tmp_path / "grey.csv"
    clear.write_text("time,cloud\n" + "\n".join(f"2027-07-15T{h:02d}:00,0" for h in range(7, 20)))
    grey.write_text(
        "time,cloud\n" + "\n".join(f"2027-07-15T{h:02d}:00,{0 if h < 12 else 100}" for h in range(7, 20))
    )
    one, two = (light_of_day(Asked(lisbon, forecast=f), "2027-07-15").light for f in (clear, grey))
    hours = np.array([t.hour + t.minute / 60 for t in one.times])
    before = (hours >= 7) & (hours <= 11)
    after = (hours > 12) & (hours < 19)
    assert np.allclose(one.horizontal_lx[before], two.horizontal_lx[before])
    assert not np.allclose(one.horizontal_lx[after], two.horizontal_lx[after], rtol=0.02)
    week = light_of_week(Asked(lisbon, forecast=clear), "2027-07-14")
    assert [d.day.day for d in week.days] == [15]
    assert week.missing == 6
    with pytest.raises(InputError, match="without 2027-07-20"):
        light_of_day(Asked(lisbon, forecast=clear), "2027-07-20")
    with pytest.raises(InputError, match="forecast misses"):
        light_at_moment(Asked(lisbon, forecast=clear), "2027-07-15T05:00")


def test_a_weather_file_is_read_as_a_sky(lisbon: Path, tmp_path: Path) -> None:
    file = tmp_path / "bay.epw"
    file.write_text(epw_text())
    report = light_at_moment(Asked(lisbon, weather=file), "2027-07-15T13:30")
    assert (report.sky.kind, report.sky.name, report.sky.file) == ("typical year", "Invented Bay", "bay.epw")
    assert report.light.horizontal_lx.value > 50
    with pytest.raises(InputError, match="There is no file"):
        light_at_moment(Asked(lisbon, weather=tmp_path / "none.epw"), "2027-07-15T13:30")
    with pytest.raises(InputError, match="choose one of the two"):
        light_at_moment(Asked(lisbon, weather=file, forecast=file), "2027-07-15T13:30")


def test_cie_types_differ_in_spread_not_in_amount(lisbon: Path) -> None:
    """Types 1 and 16 take the overcast word's amount; 16 is the word itself (CIE S 011: traditional overcast)."""
    of = {
        sky: light_at_moment(Asked(lisbon, sky=sky), "2027-07-15T13:30").light
        for sky in ("cie:16", "cie:5", "overcast")
    }
    assert of["cie:16"].horizontal_lx.value == pytest.approx(of["overcast"].horizontal_lx.value, rel=1e-9)
    # type 5, the sky of even luminance, shows a window a brighter strip near the horizon than type 16 does
    assert of["cie:5"].horizontal_lx.value > of["cie:16"].horizontal_lx.value * 1.05


@pytest.mark.parametrize(
    ("sky", "words"),
    [
        ("overcats", "Did you mean overcast"),
        ("cie:17", "cie:1 to cie:15"),
        ("cie:x", "cie:1"),
        ("rain", "clear, hazy"),
    ],
)
def test_unknown_skies_are_mended(lisbon: Path, sky: str, words: str) -> None:
    with pytest.raises(InputError, match=re.escape(words)):
        light_at_moment(Asked(lisbon, sky=sky), "2027-07-15T13:30")


# ---- Week and year --------------------------------------------------------------------------------------------


def test_the_best_day_of_a_week_is_the_longest(lisbon: Path) -> None:
    """Before the June solstice days lengthen: with no needs but light, the last of seven May days is best."""
    week = light_of_week(Asked(lisbon, at_least_lx=300), "2027-02-01")
    assert len(week.days) == 7
    assert week.best is not None and week.best.day >= date(2027, 2, 6)
    assert week.best.good_min == max(d.good_min for d in week.days)
    lengths = [d.good_min for d in week.days]
    assert week.alike == (max(lengths) - min(lengths) <= light_calendar.ALIKE_MIN)


def test_a_year_counts_the_engine_s_minutes(lisbon: Path, coarse_year: int, tmp_path: Path) -> None:
    asked = Asked(lisbon, at_least_lx=300, pictures=tmp_path / "out")
    report = light_of_year(asked, "2027")
    made = load_studio(lisbon)
    engine = year_light(made, made.spots[0], 2027, "clear", step_min=coarse_year)
    minutes = engine_good_minutes(engine, LightNeeds(True, 300.0))
    assert [d.good_min for d in report.days] == minutes.tolist()
    april = report.days[104]
    assert sum(_span_min(words) for words in april.good) == april.good_min > 0
    assert len(report.days) == 365 and len(report.months) == 12
    assert sum(
        m.good_h_per_day * n for m, n in zip(report.months, _month_days(2027), strict=True)
    ) == pytest.approx(minutes.sum() / 60)
    # Lisbon's longest day has about 5 hours 20 more light than its shortest (14 h 53 against 9 h 27)
    assert report.months[5].good_h_per_day > report.months[11].good_h_per_day + 3
    (picture,) = report.pictures
    svg = Path(picture).read_text(encoding="utf-8")
    words = texts(parse(svg))
    assert "The year 2027, by the window" in words and "clocks forward 1 h" in words
    assert "300 lx" in words or "500 lx" in words
    assert len(svg.encode()) < 130_000


def test_a_year_in_the_far_north(north: Path, coarse_year: int) -> None:
    """Tromsø's polar night: the sun stays down from late November to mid January (check values: no sunrise)."""
    report = light_of_year(Asked(north), 2027)
    dark = [d.day for d in report.days if d.no_daylight]
    assert all(d.month in (11, 12, 1) for d in dark)
    assert 45 <= len(dark) <= 60
    assert date(2027, 12, 21) in dark and date(2027, 1, 5) in dark
    assert report.dark_days == len(dark)


def test_a_year_cannot_come_from_a_forecast(lisbon: Path, tmp_path: Path) -> None:
    file = tmp_path / "f.csv"
    file.write_text("2027-07-15T12:00,50\n")
    with pytest.raises(InputError, match="forecast"):
        light_of_year(Asked(lisbon, forecast=file), 2027)
    for year in (1, "next", 2500):
        with pytest.raises(InputError, match="write a year"):
            light_of_year(Asked(lisbon), year)


def _span_min(words: str) -> float:
    (h1, m1), (h2, m2) = (map(int, clock.split(":")) for clock in words.split("-"))
    return 60 * (h2 - h1) + m2 - m1


def _month_days(year: int) -> list[int]:
    return [(date(year + m // 12, m % 12 + 1, 1) - date(year, m, 1)).days for m in range(1, 13)]


# ---- Shots, boards, pictures ----------------------------------------------------------------------------------


def test_a_shot_brings_its_spot_camera_and_boards(tmp_path: Path) -> None:
    folder = written(tmp_path, studio())
    shoot = Shoot(
        date="2027-07-15",
        sky="overcast",
        recipe=Recipe(title="Soup"),
        creator=Creator(name="Ines Valadao"),
        shots=(Shot(name="bowls", spot="middle of the room", camera_faces_deg=270, fill_stops=2.0,
                    boards=(PlacedBoard(board="white", side="left", distance_m=0.4),)),),
    )  # fmt: skip
    (folder / "shoot.toml").write_text(dump(shoot), encoding="utf-8")
    asked = Asked(folder, shot="bowls", pictures=tmp_path / "out")
    report = light_at_moment(asked, "2027-07-15T13:30")
    assert report.spot == "middle of the room" and report.sky.code == "overcast"
    assert report.key_from == "right"
    assert report.needs.at_most_key_fill_stops == 2.0
    bare = light_at_moment(Asked(folder, spot="middle of the room", camera_faces_deg=270), "2027-07-15T13:30")
    assert report.light.key_fill_stops.value < bare.light.key_fill_stops.value - 0.1  # a white board fills
    (picture,) = report.pictures
    assert "white board" in texts(parse(Path(picture).read_text(encoding="utf-8")))
    with pytest.raises(InputError, match="Did you mean 'bowls'"):
        light_at_moment(Asked(folder, shot="bowl"), "2027-07-15T13:30")


def test_pictures_of_hostile_names_are_drawings_still(tmp_path: Path) -> None:
    bad = "a<b>&\"'</svg>"
    made = studio(
        place=Place(latitude_deg=38.7, longitude_deg=-9.1, timezone="Europe/Lisbon", name=bad),
        spots=(
            Spot(name=bad, from_left_m=1.3, from_front_m=0.6),
            Spot(name="x", from_left_m=1.0, from_front_m=2.0),
        ),
    )
    folder = written(tmp_path, made)
    asked = Asked(folder, pictures=tmp_path / "out")
    light_at_moment(asked, "2027-07-15T08:00")
    light_of_day(asked, "2027-07-15")
    names = sorted(p.name for p in (tmp_path / "out").iterdir())
    assert names == ["day-2027-07-15.svg", "plan-2027-07-15-0800.svg"]
    for name in names:
        assert any(bad in t for t in texts(parse((tmp_path / "out" / name).read_text(encoding="utf-8"))))


def test_pictures_that_cannot_be_written_are_told(lisbon: Path, tmp_path: Path) -> None:
    (tmp_path / "file").write_text("in the way")
    with pytest.raises(CouldNotError):
        light_of_day(Asked(lisbon, pictures=tmp_path / "file"), "2027-07-15")


# ---- Teaching -------------------------------------------------------------------------------------------------


def test_a_reading_is_kept_and_comments_stay(tmp_path: Path) -> None:
    folder = written(tmp_path, studio())
    kept = keep_reading(folder, "", "2027-07-15T13:30", 900, "clear", "phone")
    assert kept.off_stops == pytest.approx(np.log2(900 / kept.predicted_lx.value))
    text = (folder / "studio.toml").read_text(encoding="utf-8")
    assert text.startswith("# mine, do not lose\n")
    (reading,) = load_studio(folder).readings
    assert reading == Reading(
        at="2027-07-15T13:30", spot="by the window", illuminance_lx=900, sky="clear", evidence="phone"
    )
    assert (kept.readings, kept.fit_needs) == (1, 3)


@pytest.mark.parametrize(
    ("lx", "sky", "at", "words"),
    [
        (-5, "clear", "2027-07-15T13:30", "from 0.01"),
        (900, "", "2027-07-15T13:30", "how it was"),
        (900, "clear", "2027-07-15T00:30", "so far down"),
    ],
)
def test_readings_that_cannot_be_change_nothing(
    tmp_path: Path, lx: float, sky: str, at: str, words: str
) -> None:
    folder = written(tmp_path, studio())
    before = (folder / "studio.toml").read_bytes()
    with pytest.raises(InputError, match=words):
        keep_reading(folder, "", at, lx, sky)
    assert (folder / "studio.toml").read_bytes() == before


def test_a_grey_card_is_read_from_the_raw(tmp_path: Path) -> None:
    """ISO 12232 by hand: level 10/78 of saturation at ISO 100 is 0.1 lx s at the sensor; f/8, 1/3 s, q = 0.65, card
    0.18: E = (pi/0.18) x 0.1 x 64 / (0.65/3) = 515.5 lx. The camera's clock is 60 s slow by the studio file.
    """
    folder = written(
        tmp_path, studio(cameras=(Camera(name="c", exif_model="Made camera", clock_offset_s=60),))
    )
    raw = tmp_path / "card.dng"
    write_dng(raw, np.full((64, 96, 3), 10 / 78, np.float32), taken="2027:07:15 13:29:00")
    kept = keep_card(folder, "", raw, "overcast")
    assert kept.illuminance_lx == pytest.approx(515.5, rel=0.01)
    assert kept.at == datetime(2027, 7, 15, 13, 30, tzinfo=ZONE)
    (reading,) = load_studio(folder).readings
    assert (reading.source, reading.evidence) == ("grey card", "card.dng")
    # the same card kept again counts once, however it is kept: by another clock or under another sky
    assert keep_card(folder, "", raw, "clear", "2027-07-15T14:00").instead == 1
    (reading,) = load_studio(folder).readings
    assert (reading.at, reading.sky) == ("2027-07-15T14:00", "clear")
    # the same light under the same name is the same card on another day as well
    assert keep_card(folder, "", raw, "hazy", "2027-07-16T14:00").readings == 1
    other = tmp_path / "other.dng"
    write_dng(other, np.full((64, 96, 3), 8 / 78, np.float32), taken="2027:07:15 13:29:00")
    assert keep_card(folder, "", other, "overcast").readings == 2
    half = np.full((64, 96, 3), 0.1, np.float32)
    half[:, 48:] = 0.5
    write_dng(raw, half)
    with pytest.raises(InputError, match="not even"):
        keep_card(folder, "", raw, "overcast", "2027-07-15T13:30")
    with pytest.raises(InputError, match="not within the picture"):
        keep_card(folder, "", raw, "overcast", "2027-07-15T13:30", (0.5, 0.5, 0.9, 0.2))
    jpeg = write_jpeg(tmp_path / "card.jpg", tag_33434=(1, 3), tag_33437=(8, 1), tag_34855=100)
    with pytest.raises(InputError, match="Use the raw"):
        keep_card(folder, "", jpeg, "overcast", "2027-07-15T13:30")


def test_a_fit_brings_predictions_to_the_readings(tmp_path: Path) -> None:
    """A window that passes half of what the file says: three readings of half the light, and the fit finds it."""
    folder = written(tmp_path, studio())
    for hour in (10, 13, 16):
        at = f"2027-07-15T{hour}:00"
        truth = light_at_moment(Asked(folder, sky="overcast"), at).light.horizontal_lx.value / 2
        keep_reading(folder, "", at, truth, "overcast")
    kept = fit_to_readings(folder, date(2027, 7, 16))
    fit = load_studio(folder).fit
    assert fit.date == "2027-07-16" and fit.readings == 3
    assert kept.found.after_stops < kept.found.before_stops
    after = light_at_moment(Asked(folder, sky="overcast"), "2027-07-15T13:00").light.horizontal_lx.value
    (_, middle, _) = load_studio(folder).readings
    # the prior holds it back by design (half a stop about 1): nearer than half of the way in stops
    assert abs(np.log2(middle.illuminance_lx / after)) < 0.5
    assert kept.studio_file == "studio.toml"
    with pytest.raises(InputError, match="too few readings: fewest 3"):
        fit_to_readings(written(tmp_path / "other", studio()), date(2027, 7, 16))


def test_a_bearing_from_the_sun_s_edge(tmp_path: Path) -> None:
    """Sun leaves a wall that faces 20 degrees at 11:24 on 15 July in Lisbon (trade table), grazing from the right."""
    folder = written(tmp_path, studio(bearing=35))
    found = find_bearing(folder, "", [["2027-07-15T11:24", "right"]], keep=True)
    assert found.found.bearing_deg == pytest.approx(20, abs=0.5)
    assert load_studio(folder).windows[0].bearing_deg == pytest.approx(20, abs=0.5)
    assert found.written_to == "studio.toml"
    with pytest.raises(InputError, match="cannot be read"):
        find_bearing(folder, "", [["2027-07-15T11:24", "up"]], keep=False)
    with pytest.raises(InputError, match="kitchen window"):
        find_bearing(folder, "kitchn window", [["2027-07-15T11:24", "right"]], keep=False)


# ---- Command line ---------------------------------------------------------------------------------------------


def test_exit_statuses(lisbon: Path, capsys: pytest.CaptureFixture[str], tmp_path: Path) -> None:
    assert main(["light", str(lisbon), "--at", "2027-07-15T13:30"]) == 0
    assert len(capsys.readouterr().out.splitlines()) > 8
    assert main(["light", str(lisbon), "--spot", "by the windw"]) == 2
    told = capsys.readouterr().err
    assert "Did you mean 'by the window'" in told and "'middle of the room'" in told
    assert main(["light", str(tmp_path), "--day", "2027-07-15"]) == 2
    assert "plateside new" in capsys.readouterr().err
    assert main(["light", str(lisbon), "--read", "900"]) == 2
    blind = written(tmp_path / "blind", studio(windows=()))
    assert main(["light", str(blind), "--day", "2027-07-15"]) == 2
    assert "[[windows]]" in capsys.readouterr().err
    assert main(["light", str(lisbon), "--what-if", "--day", "2027-07-15"]) == 2
    assert main(["light", str(lisbon), "--day", "yesterday"]) == 2
    (tmp_path / "file").write_text("in the way")
    assert main(["light", str(lisbon), "--day", "2027-07-15", "--pictures", str(tmp_path / "file")]) == 1


def test_json_is_one_object_with_every_figure(lisbon: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["light", str(lisbon), "--day", "2027-07-15", "--json"]) == 0
    told = json.loads(capsys.readouterr().out)
    assert told["timezone"] == "Europe/Lisbon" and told["day"] == "2027-07-15"
    assert len(told["light"]["horizontal_lx"]) == len(told["light"]["times"]) == 288
    assert told["light"]["good"][0]["start"].endswith("+01:00")
    assert main(["light", str(lisbon), "--sky", "fog", "--json"]) == 2
    assert "clear, hazy" in json.loads(capsys.readouterr().out)["error"]


# ---- Time ----------------------------------------------------------------------------------------------------


def test_minutes_are_true_when_clocks_change() -> None:
    """00:00 to 06:00 on 28 March 2027 in Lisbon is five hours."""
    span = Interval(datetime(2027, 3, 28, 0, 0, tzinfo=ZONE), datetime(2027, 3, 28, 6, 0, tzinfo=ZONE))
    assert span.minutes == 300


# ---- The page -------------------------------------------------------------------------------------------------

DOCS = Path(__file__).parents[4] / "docs"
PAGE = (DOCS / "light.md").read_text(encoding="utf-8")
MEASURED = (DOCS / "measured.md").read_text(encoding="utf-8")


def test_every_json_field_stands_on_the_page() -> None:
    kinds: list[Any] = [
        light_facts.MomentFacts, light_facts.DayFacts, light_facts.WeekFacts, light_facts.YearFacts,
        light_facts.SpotRank, light_facts.OtherSky, light_facts.WeekDay, light_facts.MonthLight,
        light_facts.YearDay, light_facts.SkyAsked, light_facts.SunNear, light_facts.LeftFacts, light_facts.Elsewhere,
        WhatIf, meter_facts.SavedReading, meter_facts.SavedFit, meter_facts.BearingKept,
    ]  # fmt: skip
    for kind in kinds:
        for one in fields(kind):
            assert f"`{one.name}`" in PAGE, f"{kind.__name__}.{one.name}"


def test_every_option_stands_on_the_page() -> None:
    parser = argparse.ArgumentParser()
    verb.add_arguments(parser)
    for action in parser._actions:
        for option in action.option_strings:
            if option not in ("-h", "--help", "--note", "--window"):
                assert option in PAGE, option


def test_the_worked_example_holds() -> None:
    """Closed form of a rectangle on the horizontal under the CIE overcast sky (configuration factors: Siegel and
    Howell; its overcast integral by hand), against the engine in a black room; and the figures that the page prints.
    """
    made = load_studio(Path(str(files("plateside.demo"))))
    when = datetime(2027, 7, 15, 13, 30, tzinfo=ZONE)
    black = {f"{side}_reflectance": 0.0 for side in ("floor", "ceiling", "front", "right", "back", "left")}
    spot = replace(made.spots[0], table_reflectance=0.0)
    pane = replace(made.windows[0], opposite=(), reveal_depth_m=0.0, ground_reflectance=0.0)
    hole = replace(pane, glass_transmittance=1.0, dirt_factor=1.0, frame_share=0.0)
    dark = replace(made, room=replace(made.room, **black), spots=(spot,), furniture=())

    def lux(window: Window) -> float:
        return light_at(replace(dark, windows=(window,)), spot, when, "overcast").horizontal_lx.value

    b, d, h = pane.width_m / 2, spot.from_front_m, pane.height_m
    far = math.hypot(d, h)
    f = (math.atan(b / d) - d / far * math.atan(b / far)) / (2 * math.pi)
    s = b / math.hypot(b, d)
    g = (math.asin(h * s / far) - h * d * d * s / (far**2 * math.sqrt(far**2 - h * h * s * s))) / 3
    component = 2 * 3 / (7 * math.pi) * (math.pi * f + 2 * g)
    sun = math.sin(math.radians(light_at(made, spot, when, "overcast").sun_elevation_deg))
    outdoors = 300 + 48000 * sun**1.39
    assert lux(hole) == pytest.approx(component * outdoors, rel=0.005)
    printed = {"**0.0951**": f, "**0.1738**": g, "**0.1763**": component}
    for words, value in printed.items():
        assert words in MEASURED and float(words.strip("*")) == pytest.approx(value, abs=5e-5)
    for words, value in {"45 270 lx": outdoors, "**7 980 lx**": component * outdoors}.items():
        assert words in MEASURED
        assert float(re.sub(r"[^\d]", "", words)) == pytest.approx(value, abs=5)
    for words, window in (("7 976 lx", hole), ("4 714 lx", pane)):
        assert words in MEASURED
        assert float(re.sub(r"[^\d]", "", words)) == pytest.approx(lux(window), rel=0.003)
    assert "3 880 lx" in MEASURED and lux(made.windows[0]) == pytest.approx(3880, rel=0.01)
    whole = light_at(made, made.spots[0], when, "overcast").horizontal_lx.value
    assert "4 270 lx" in MEASURED and whole == pytest.approx(4270, rel=0.01)
