"""Her own forecast or weather file on the Light page: read, used as the command uses it, within the page's limits."""

import base64
import gzip
import io
import math
import zipfile
from datetime import date
from pathlib import Path
from typing import Any

import pytest
from PIL import Image

from plateside.demo.data import copy_demo
from plateside.model.errors import InputError
from plateside.model.light_facts import WeekFacts
from plateside.tasks.light.asked import Asked, asked_of
from plateside.tasks.light.choice import CIE_NAMES, LightChoice, choice_of, key_of, offered, sky_file
from plateside.tasks.light.moment_and_day import light_of_day
from plateside.tasks.light.sky_file import apart_km, keep_sky_file
from plateside.tasks.light.week_and_year import light_of_week
from plateside.tasks.report import as_json
from plateside.web.pages.light import LARGEST_TEXT, _unpacked
from plateside.web.shown.light import week_shown
from plateside.web.work.light import WORK
from tests.unit.light_weather.samples import epw_text, tmy3_text

DAY = date(2027, 7, 15)
FORECAST = "time;cloud\n" + "".join(f"{hour:02d}:00;{10 * (hour % 10)}\n" for hour in range(5, 23))


@pytest.fixture
def root(tmp_path: Path) -> Path:
    (tmp_path / "shoot").mkdir()
    copy_demo(tmp_path / "shoot")
    return tmp_path / "shoot"


def day(root: Path, sky: str) -> Any:
    choice = {
        "spot": "", "shot": "", "sky": sky, "at_least_lx": 40.0, "no_direct_sun": True,
        "at_most_key_fill_stops": None,
    }  # fmt: skip
    asked = {"root": str(root), "choice": choice, "day": DAY.isoformat(), "today": DAY.isoformat()}
    return as_json(WORK["day"](asked, lambda _done, _total: None))


def test_a_forecast_gives_the_commands_own_light(root: Path, tmp_path: Path) -> None:
    assert "forecast" not in offered(root).skies
    kept = keep_sky_file(root, FORECAST, DAY)
    assert kept.kind == "forecast"
    assert kept.first and kept.last and (kept.first.hour, kept.last.hour) == (5, 22)
    assert kept.first.date() == kept.last.date() == DAY
    assert "forecast" in offered(root).skies
    hers = tmp_path / "tomorrow.csv"
    hers.write_text(FORECAST, encoding="utf-8")
    command = light_of_day(Asked(path=root, forecast=hers, at_least_lx=40.0), DAY.isoformat()).light
    shown = day(root, "forecast")
    assert shown["lux"] == pytest.approx(list(command.horizontal_lx), rel=1e-4)
    assert shown["sky"] == "the sky of your forecast"
    assert "under the sky of your forecast" in shown["lead"]


def test_bare_times_go_on_meaning_the_day_they_were_given_for(root: Path) -> None:
    keep_sky_file(root, FORECAST, DAY)
    # Lisbon's summer time is an hour ahead of UTC
    assert "2027-07-15T04:00:00Z,50" in sky_file(root, "forecast").read_text(encoding="utf-8")


def test_what_is_no_forecast_is_refused_with_its_line_and_nothing_is_kept(root: Path) -> None:
    with pytest.raises(InputError, match="line 2"):
        keep_sky_file(root, "a shopping, list\nleeks and butter, much\n", DAY)
    assert not sky_file(root, "forecast").exists()


@pytest.mark.parametrize(("text", "end", "coding"), [
    (epw_text(), "\n", "utf-8"),
    (epw_text().replace("Invented Bay", "Baía Inventada"), "\r\n", "latin-1"),
    (tmy3_text(), "\r\n", "utf-8-sig"),
], ids=["EPW", "EPW from an old machine", "TMY3"])  # fmt: skip
def test_a_years_weather_file_gives_the_commands_own_light(
    root: Path, tmp_path: Path, text: str, end: str, coding: str
) -> None:
    sent = text.replace("\n", end).encode(coding)
    packed = base64.b64encode(gzip.compress(sent)).decode()
    assert len(packed) < 950_000, "what a page may send"
    kept = keep_sky_file(root, _unpacked(packed), DAY)
    assert kept.kind == "typical year"
    # the EPW's place is Lisbon's, to the hundredth of a degree; the TMY3 file's is in California
    assert (kept.far_km is not None) == (coding == "utf-8-sig")
    assert "typical year" in offered(root).skies
    hers = tmp_path / "year.txt"
    hers.write_bytes(sent)
    if coding == "latin-1":
        hers.write_bytes(sent.decode("latin-1").encode())
    command = light_of_day(Asked(path=root, weather=hers, at_least_lx=40.0), DAY.isoformat()).light
    shown = day(root, "typical year")
    assert max(shown["lux"]) > 100
    assert shown["lux"] == pytest.approx(list(command.horizontal_lx), rel=1e-4)
    assert "under the typical year of " in shown["lead"]


def test_the_great_circle_is_as_long_as_it_is() -> None:
    # law: a degree of latitude is a 360th of the meridian; a quarter of the equator; antipodes half of it
    assert apart_km(38.0, -9.0, 39.0, -9.0) == pytest.approx(2 * math.pi * 6371 / 360)
    assert apart_km(0.0, 170.0, 0.0, -100.0) == pytest.approx(math.pi * 6371 / 2)
    assert apart_km(10.0, 20.0, -10.0, -160.0) == pytest.approx(math.pi * 6371)
    # the nautical mile was meant as a minute of the meridian: 1852 m (BIPM, SI brochure)
    assert apart_km(45.0, 0.0, 45.0 + 1 / 60, 0.0) == pytest.approx(1.852, rel=2e-3)


def test_another_forecast_gives_another_answer_and_a_missing_one_is_told(root: Path) -> None:
    choice = LightChoice(sky="forecast")
    keep_sky_file(root, FORECAST, DAY)
    before = key_of(root, choice, "day")
    keep_sky_file(root, FORECAST.replace("05:00;50", "05:00;60"), DAY)
    assert key_of(root, choice, "day") != before
    sky_file(root, "forecast").unlink()
    with pytest.raises(InputError, match="is gone"):
        key_of(root, choice, "day")
    assert choice_of({"sky": "forecast"}).sky == "forecast"


def test_a_file_that_unpacks_to_more_than_a_year_is_refused() -> None:
    small = base64.b64encode(gzip.compress(b"13:00,80")).decode()
    assert _unpacked(small) == "13:00,80"
    bomb = base64.b64encode(gzip.compress(b"0" * (LARGEST_TEXT + 1))).decode()
    assert len(bomb) < 20_000
    with pytest.raises(InputError, match="too large"):
        _unpacked(bomb)
    for broken in (small[:-8], "no base64!", None, ""):
        with pytest.raises(InputError):
            _unpacked(broken)


def week(root: Path, text: str) -> WeekFacts:
    keep_sky_file(root, text, DAY)
    return light_of_week(asked_of(root, LightChoice("", "", "forecast", 40.0, True, None)), DAY.isoformat())


def lines_of(days: int) -> str:
    """Cloudy mornings, the second day clearer than the others."""
    return "".join(
        f"2027-07-{15 + d} {hour:02d}:00,{20 if d == 1 else 90}\n"
        for d in range(days)
        for hour in range(5, 23)
    )


def test_a_forecast_of_one_day_is_no_best_of_seven(root: Path) -> None:
    shown = week(root, FORECAST)
    assert (len(shown.days), shown.missing) == (1, 6)
    assert [d.best for d in week_shown(shown).days] == [False]
    shown = week(root, lines_of(3))
    assert (len(shown.days), shown.missing) == (3, 4)
    assert week(root, lines_of(6)).missing == 1
    assert week(root, lines_of(7)).missing == 0


@pytest.mark.parametrize("kind", ["PNG", "JPEG", "GIF", "sheet"])
def test_a_picture_or_a_sheet_is_told_to_be_no_text(root: Path, kind: str) -> None:
    held = io.BytesIO()
    if kind == "sheet":
        with zipfile.ZipFile(held, "w") as packed:
            packed.writestr("xl/sheet1.xml", "<c>80</c>" * 90)
    else:
        Image.new("RGB", (40, 30), "navy").save(held, kind)
    text = _unpacked(base64.b64encode(gzip.compress(held.getvalue())).decode())
    with pytest.raises(InputError, match="That is not a text file") as told:
        keep_sky_file(root, text, DAY)
    assert "Line" not in str(told.value)
    assert not sky_file(root, "forecast").exists()


@pytest.mark.parametrize("coding", ["utf-8", "utf-8-sig", "utf-16", "latin-1"])
def test_a_text_is_read_as_it_was_saved(root: Path, coding: str) -> None:
    text = FORECAST.replace("time;cloud", "Zeit;Bewölkung")
    read = _unpacked(base64.b64encode(gzip.compress(text.encode(coding))).decode())
    assert keep_sky_file(root, read, DAY).kind == "forecast"


@pytest.mark.parametrize("number", [1, 5, 12, 16])
def test_one_of_the_cies_sixteen_gives_the_commands_own_light(root: Path, number: int) -> None:
    shown = day(root, f"cie:{number}")
    command = light_of_day(Asked(path=root, sky=f"cie:{number}", at_least_lx=40.0), DAY.isoformat()).light
    assert shown["lux"] == pytest.approx(list(command.horizontal_lx), rel=1e-4)
    # the same words where it is chosen and where it is told
    words = CIE_NAMES[f"cie:{number}"].split(": ", 1)[1]
    assert shown["sky"].endswith(words)
    assert choice_of({"sky": f"cie:{number}"}).sky == f"cie:{number}"


@pytest.mark.parametrize("sky", ["cie:0", "cie:17", "cie:", "cie:clear"])
def test_no_other_number_is_a_sky(sky: str) -> None:
    with pytest.raises(InputError, match="cie:1 to cie:16"):
        choice_of({"sky": sky})
    assert len(CIE_NAMES) == 16
