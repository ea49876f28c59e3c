"""Texts with a form: what is right, what is wrong, and what was meant."""

import datetime as dt
import re
from zoneinfo import available_timezones

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from plateside.files.settings import forms
from plateside.files.settings.grammar import entries, every_table
from plateside.model.shoot import Shoot
from plateside.model.studio import Studio
from plateside.words.allowed import FORMS

RIGHT = [
    (forms.a_date, ["2027-07-15", "2028-02-29"]),
    (forms.a_time, ["00:00", "09:30", "23:59"]),
    (forms.a_moment, ["2027-07-15T13:30", "2027-07-15T13:30:05"]),
    # ISO 8601-1 durations; the last two are schema.org's usual examples
    (
        forms.a_duration,
        ["PT8M", "PT2H", "P1D", "PT1H30M", "PT45S", "P1DT2H", "PT6M30S", "PT0M20S", "PT25M", "PT1H"],
    ),
    (forms.a_zone, ["Europe/Lisbon", "Australia/Melbourne", "America/Argentina/Buenos_Aires", "UTC"]),
    (forms.a_colour, ["#a9b4ba", "#FFFFFF"]),
    (forms.an_address, ["https://example.org/a/", "http://example.org"]),
    (forms.a_short_name, ["three-bowls", "A1", "x"]),
    # language tags of BCP 47's appendix
    (forms.a_language, ["en", "pt-PT", "zh-Hant", "sr-Latn-RS", "es-419"]),
    (forms.a_country, ["PT", "GB", "AU"]),
]

# (form, what was written, what was meant)
MEANT = [
    (forms.a_date, "2027/7/5", "2027-07-05"),
    (forms.a_date, "15.07.2027", "2027-07-15"),
    (forms.a_date, "07/15/2027", "2027-07-15"),
    (forms.a_date, "05/07/2027", ""),  # July or May? nobody can tell
    (forms.a_date, "2027-02-29", ""),
    (forms.a_time, "9:30", "09:30"),
    (forms.a_time, "9.30", "09:30"),
    (forms.a_time, "9", "09:00"),
    (forms.a_time, "2:30 pm", "14:30"),
    (forms.a_time, "12am", "00:00"),
    (forms.a_time, "12:30 pm", "12:30"),
    (forms.a_time, "9h30", "09:30"),
    (forms.a_time, "25:00", ""),
    (forms.a_moment, "2027-07-15 13:30", "2027-07-15T13:30"),
    (forms.a_moment, "15.7.2027, 13:30", "2027-07-15T13:30"),
    (forms.a_moment, "2027-07-15T13:30Z", "2027-07-15T13:30"),
    (forms.a_duration, "8 min", "PT8M"),
    (forms.a_duration, "8", "PT8M"),
    (forms.a_duration, "P8M", "PT8M"),  # eight months
    (forms.a_duration, "PT", ""),
    (forms.a_duration, "pt8m", "PT8M"),
    (forms.a_duration, "1h 30m", "PT1H30M"),
    (forms.a_duration, "1:30", "PT1H30M"),
    (forms.a_duration, "2 hours and 10 minutes", "PT2H10M"),
    (forms.a_duration, "2 days", "P2D"),
    (forms.a_duration, "a while", ""),
    (forms.a_zone, "Europe/Lisbn", "Europe/Lisbon"),
    (forms.a_zone, "Lisbon", "Europe/Lisbon"),
    (forms.a_zone, "europe/lisbon", "Europe/Lisbon"),
    (forms.a_zone, "Portugal", ""),
    (forms.a_zone, "WET", ""),
    (forms.a_colour, "a9b4ba", "#a9b4ba"),
    (forms.a_colour, "#abc", "#aabbcc"),
    (forms.a_colour, "rgb(255, 0, 16)", "#ff0010"),
    (forms.a_colour, "blue", ""),
    (forms.an_address, "example.org/licence", "https://example.org/licence"),
    (forms.an_address, "my page", ""),
    (forms.a_short_name, "Three bowls!", "three-bowls"),
    (forms.a_short_name, "crème brûlée", "creme-brulee"),
    (forms.a_short_name, "con", "con-1"),
    (forms.a_language, "en_AU", "en-AU"),
    (forms.a_language, "English", "en"),
    (forms.a_country, "Portugal", "PT"),
    (forms.a_country, "UK", "GB"),
    (forms.a_country, "pt", "PT"),
]


@pytest.mark.parametrize(("form", "text"), [(f, t) for f, texts in RIGHT for t in texts])
def test_right(form: forms.Form, text: str) -> None:
    assert form(text) is None


@pytest.mark.parametrize(("form", "text", "meant"), MEANT)
def test_wrong_and_what_was_meant(form: forms.Form, text: str, meant: str) -> None:
    judged = form(text)
    if form is forms.a_zone and text == "europe/lisbon" and judged is None:
        pytest.skip("this disk does not tell capitals apart")
    assert judged is not None
    assert judged[0]
    assert judged[1] == meant
    if meant:
        assert form(meant) is None  # law: what is handed over is right


@given(st.dates(dt.date(1990, 1, 1), dt.date(2200, 12, 31)), st.times())
def test_what_python_writes_in_iso_8601_is_right(day: dt.date, clock: dt.time) -> None:
    assert forms.a_date(day.isoformat()) is None
    assert forms.a_time(clock.strftime("%H:%M")) is None
    assert forms.a_moment(f"{day.isoformat()}T{clock:%H:%M}") is None


@pytest.mark.parametrize("year", ["0001", "0000", "1899", "1989", "2201", "9999"])
def test_a_year_of_no_shoot_is_refused_with_what_is_allowed(year: str) -> None:
    # common practice, no source: digital photographs begin about 1990, and zone rules are guesses long before 2200
    for judged in (forms.a_date(f"{year}-07-15"), forms.a_moment(f"{year}-07-15T12:00")):
        assert judged is not None
        if year != "0000":
            assert judged[0] == "year"
            assert all(str(y) in FORMS["year"] for y in forms.YEARS)


@pytest.mark.parametrize(
    "text", ["P" + "9" * 400 + "D", "PT9999999H", "PT" + "9" * 5_000 + "S", "PT1." + "3" * 99 + "S"]
)
def test_a_duration_of_thousands_of_digits_is_refused(text: str) -> None:
    assert forms.a_duration(text) is not None


@settings(max_examples=60)
@given(st.integers(0, 40), st.integers(0, 23), st.integers(0, 59), st.integers(0, 59))
def test_durations_of_all_parts(days: int, hours: int, minutes: int, seconds: int) -> None:
    clock = "".join(f"{n}{u}" for n, u in ((hours, "H"), (minutes, "M"), (seconds, "S")) if n)
    text = "P" + (f"{days}D" if days else "") + (f"T{clock}" if clock else "")
    assert (forms.a_duration(text) is None) == (text != "P")


def test_every_zone_with_a_place_in_it_is_right() -> None:
    for zone in sorted(
        z for z in available_timezones() if re.match(r"(Europe|Australia|Pacific|Arctic)/", z)
    ):
        assert forms.a_zone(zone) is None, zone


def test_forms_are_given_to_fields_that_exist() -> None:
    tables = {cls for root in (Studio, Shoot) for _, cls, _ in every_table(root)}
    for cls, name in forms.FORMS:
        assert cls in tables
        assert entries(cls)[name].kind == "text"
        assert forms.form_of(cls, name) in FORMS


def test_defaults_have_their_forms() -> None:
    for (cls, name), (form, may_be_empty) in forms.FORMS.items():
        entry = entries(cls)[name]
        if not entry.required and not (entry.default == "" and may_be_empty):
            assert form(entry.default) is None, name


@pytest.mark.parametrize("day", ["0000-01-01", "0001-01-01", "1899-12-31", "2201-01-01", "9999-12-31"])
def test_days_at_which_calendars_end_are_no_days_of_a_shoot(day: str) -> None:
    """The years are this tool's own; beyond 9999 Python's calendar ends (documentation of datetime.MAXYEAR)."""
    assert forms.a_date(day) is not None
    assert forms.a_moment(f"{day}T12:00") is not None
