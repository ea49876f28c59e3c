"""The light's sentences by table: facts in, sentences out. Facts are made by hand, none from the engine."""

import math
import re
from dataclasses import replace
from datetime import date, datetime
from zoneinfo import ZoneInfo

import pytest

from plateside.light.cie_types import CIE_TYPES, TRADITIONAL
from plateside.light.meter.bearing import BearingFound, Grazing, MarkBearing
from plateside.light.meter.facts import BearingKept, SavedReading
from plateside.model.light_answers import Asker, Interval, LightNeeds, Spread
from plateside.model.light_facts import LeftFacts, LightLeft, SkyAsked, SkyKept, Trend, WeekDay, WeekFacts
from plateside.words.light import calendar, left, meter, phrases
from plateside.words.light.moment import left_sentence, tint_phrase
from plateside.words.light.skies import CIE_SKIES

ZONE = ZoneInfo("Europe/Lisbon")
LUX = Spread(483, 301, 752)
POUR = Asker("pour", 8.0, 1 / 60, 3200)


def at(clock: str, day: int = 15) -> datetime:
    return datetime.fromisoformat(f"2027-07-{day:02d}T{clock}").replace(tzinfo=ZONE)


def stretch(start: str, end: str, day: int = 15) -> Interval:
    return Interval(at(start, day), at(end, day))


@pytest.mark.parametrize(
    ("bearing", "said"),
    [(0, "north"), (359, "north"), (23, "north-north-east"), (90, "east"), (200, "south-south-west")],
)
def test_the_compass(bearing: float, said: str) -> None:
    assert phrases.compass_phrase(bearing) == said


@pytest.mark.parametrize(
    ("sky", "said", "under"),
    [
        (SkyAsked("word", "clear"), "clear sky", "a clear sky"),
        (SkyAsked("word", "overcast"), "overcast sky", "an overcast sky"),
        (SkyAsked("cie", "cie:5"), "CIE type 5, uniform", "CIE type 5, uniform"),
        (SkyAsked("cie", "cie:16"), "the traditional overcast sky", "the traditional overcast sky"),
        (SkyAsked("forecast"), "the sky of your forecast", "the sky of your forecast"),
        (
            SkyAsked("forecast", file="t.csv"),
            "the sky of your forecast (t.csv)",
            "the sky of your forecast (t.csv)",
        ),
        (SkyAsked("typical year", "Bay"), "the typical year of Bay", "the typical year of Bay"),
    ],
)
def test_skies(sky: SkyAsked, said: str, under: str) -> None:
    assert phrases.sky_phrase(sky) == said
    assert phrases.under_phrase(sky) == under


def test_every_cie_sky_has_its_words() -> None:
    assert set(CIE_SKIES) == {*CIE_TYPES, TRADITIONAL}


@pytest.mark.parametrize(
    ("needs", "said"),
    [
        (LightNeeds(at_least_lx=300), "no direct sun, at least 300 lx on the table"),
        (LightNeeds(no_direct_sun=False), "sun allowed"),
        (LightNeeds(at_least_lx=350, level_share=0.5, because=POUR),
         "no direct sun, at least 350 lx facing the camera for pour at f/8, 1/60 s, ISO 3200"),
        (LightNeeds(at_most_key_fill_stops=1.5), "no direct sun, shadow side at most 1.5 stops darker"),
        (LightNeeds(at_most_key_fill_stops=1.0), "no direct sun, shadow side at most 1 stop darker"),
        (LightNeeds(at_least_lx=160, because=Asker("", 8.0, 1.0, 100)),
         "no direct sun, at least 160 lx on the table for f/8, 1 s, ISO 100 on a tripod, until your shots and camera "
         "are in"),
    ],
)  # fmt: skip
def test_needs_say_how_much_and_where_it_is_meant(needs: LightNeeds, said: str) -> None:
    assert phrases.needs_phrase(needs) == said


@pytest.mark.parametrize(
    ("light", "said"),
    [
        # t = C N2 / (E S), C = 250 lx s (ISO 2720): 480 lx, f/8, ISO 100 is 1/3 s, as a camera marks it
        (Spread(480, 480, 480), "1/3 s"),
        (Spread(480, 240, 960), "1/3 s (0.6 s to 1/6 s)"),
        (Spread(0.5, 0.2, 0.9), "longer than a minute"),
        (Spread(0, 0, 0), "longer than a minute"),
    ],
)
def test_exposures(light: Spread, said: str) -> None:
    assert phrases.exposure_phrase(light) == said


@pytest.mark.parametrize(
    ("facts", "said"),
    [
        (LeftFacts(320, at("18:50"), None), "Good light for another 5 h 20 min, until 18:50."),
        (LeftFacts(0, None, at("19:50")), "Not good now; good again from 19:50."),
        (LeftFacts(0, None, None), "Not good now, and not again on this day."),
    ],
)
def test_what_is_left(facts: LeftFacts, said: str) -> None:
    assert left_sentence(facts) == said


@pytest.mark.parametrize(
    ("tints", "said"),
    [((), "none to speak of"), (("warm",), "warm"), (("warm", "slightly green"), "warm and slightly green")],
)
def test_tints(tints: tuple[str, ...], said: str) -> None:
    assert tint_phrase(tints) == said


@pytest.mark.parametrize(
    ("per_10_min", "minutes", "lux", "said"),
    [
        (-0.3, 23.3, None, "Light falls 0.3 stop in 10 minutes, 23 minutes left."),
        (1.2, 8, None, "Light rises 1.2 stops in 10 minutes, 8 minutes left."),
        (0.01, None, None, "Light is steady."),
        (0.01, None, 483.0, "Light is steady; about 480 lx on the dish."),
    ],
)
def test_the_cameras_trend(per_10_min: float, minutes: float | None, lux: float | None, said: str) -> None:
    assert left.trend_sentence(Trend(per_10_min, 0.0, minutes, 5, 0.02, lux)) == said


def test_the_light_on_set_has_a_code() -> None:
    """What a page shows or hides by is a code, never a sentence."""
    gone, trend = LeftFacts(0, None, None), Trend(-0.3, 0.0, 20.0, 5, 0.0)
    plain = LightLeft("pour", None, None, gone, None)
    cases = {
        "none": plain,
        "later": replace(plain, predicted=LeftFacts(0, None, at("19:00"))),
        "good": replace(plain, predicted=LeftFacts(30, at("19:00"), None)),
        "going": replace(plain, trend=trend, until=at("19:00")),
        "steady": replace(plain, trend=replace(trend, minutes_left=None)),
    }
    assert {code: one.code for code, one in cases.items()} == {code: code for code in cases}
    assert left.planned_phrase(replace(plain, planned_for=date(2027, 7, 15))) == "Thursday 15 July 2027"
    assert left.read_sentence(plain) == left.planned_phrase(plain) == left.planned_notice(plain) == ""


def test_a_plan_for_another_day_is_said_with_the_light_of_today() -> None:
    read = LightLeft("pour", None, None, LeftFacts(0, None, at("19:00")), None)
    other = replace(read, planned_for=date(2027, 7, 15))
    assert left.left_lines(read)[0] == left.NOT_READ
    assert len(left.left_lines(read)) == 2
    assert "Thursday 15 July 2027" in left.left_lines(other)[0]
    assert "15 July" in left.planned_notice(other)


def week(minutes: list[int], alike: bool = False) -> WeekFacts:
    days = tuple(
        WeekDay(
            date(2027, 7, 12 + i),
            "by the window",
            (stretch("07:00", "09:00", 12 + i),) if m else (),
            m,
            LUX,
            False,
        )
        for i, m in enumerate(minutes)
    )
    best = max(days, key=lambda d: d.good_min)
    sky, needs = SkyAsked("word", "clear"), LightNeeds(at_least_lx=300)
    return WeekFacts(
        "Lisbon", ZONE.key, sky, needs, days, best if best.good_min else None, 7 - len(days), alike
    )


@pytest.mark.parametrize(
    ("facts", "said"),
    [
        (week([60, 120, 60, 60, 60, 60, 60]), "Best of the seven days: Tuesday 13 July, 07:00-09:00, by the window."),
        (week([120] * 7, alike=True),
         "The seven days are alike: about 2 h of good light each, by the window."),
        (week([120]), "Your forecast covers one day: Monday 12 July, 07:00-09:00, by the window."),
        (week([60, 120, 0]),
         "Best of the 3 days that your forecast covers: Tuesday 13 July, 07:00-09:00, by the window."),
        (week([0] * 7),
         "No good light in any hour of the 7 days. Ask for less, allow sun, or block the window and use one lamp."),
    ],
)  # fmt: skip
def test_the_best_of_a_week(facts: WeekFacts, said: str) -> None:
    assert calendar.week_sentence(facts) == said


def test_days_that_a_forecast_does_not_reach() -> None:
    assert calendar.missing_sentence(week([60] * 6)) == "Your forecast does not cover the other day."
    assert calendar.missing_sentence(week([60] * 3)) == "Your forecast does not cover the other 4 days."
    assert calendar.good_phrase(replace(week([0]).days[0], no_daylight=True)) == "no daylight"


@pytest.mark.parametrize(
    ("off", "said"),
    [
        (0.01, "Your room is as predicted: "),
        (-0.6, "Your room is 0.6 stop darker than predicted: "),
        (1.3, "Your room is 1.3 stops brighter than predicted: "),
    ],
)
def test_a_reading_says_how_near_the_prediction_was(off: float, said: str) -> None:
    kept = SavedReading(
        "studio.toml",
        "by the window",
        at("13:30"),
        "clear",
        "lux",
        480.0,
        0.1,
        LUX,
        off,
        readings=1,
        fit_needs=3,
    )
    lines = meter.reading_lines(kept)
    assert lines[1].startswith(said)
    assert "2 more readings" in lines[-1]
    assert "--fit" in meter.reading_lines(replace(kept, readings=3))[-1]


def test_a_bearing_and_the_suns_caution() -> None:
    marks = (MarkBearing(Grazing(at("11:24"), "right"), 20.1, 1.0, None),)
    found = BearingFound(20.1, 1.0, -5.0, marks, agree=False)
    lines = meter.bearing_lines(BearingKept("kitchen window", found, ""))
    assert lines[0] == (
        "kitchen window: the glass faces 20.1 degrees, give or take 1.0; your studio says 5.0 degrees more."
    )
    assert phrases.CAUTION in lines
    assert len(meter.bearing_found_lines(replace(found, agree=True))) == 1


def test_a_sky_file_that_was_kept() -> None:
    forecast = SkyKept("forecast", first=at("05:00"), last=at("22:00"))
    assert meter.sky_kept_sentences(forecast) == [
        "The forecast from Thursday 15 July 2027 05:00 to 22:00 is kept with the shoot."
    ]
    later = replace(forecast, last=at("22:00", 16))
    assert "to Friday 16 July 2027 22:00" in meter.sky_kept_sentences(later)[0]
    year = SkyKept("typical year", station="Bay")
    assert len(meter.sky_kept_sentences(year)) == 1
    assert "9100 km from Lisbon" in meter.sky_kept_sentences(replace(year, far_km=9123.0, place="Lisbon"))[1]


def test_no_lux_figure_is_without_its_place() -> None:
    """Level on the table, or facing the camera: a lux meter reads them differently."""
    for said in (
        phrases.lux_phrase(LUX),
        phrases.least_phrase(LightNeeds(at_least_lx=300)),
        phrases.least_phrase(LightNeeds(at_least_lx=300, level_share=math.sin(math.radians(45)) ** 2)),
    ):
        assert re.search(r"lx.* (on the table|facing the camera)", said)
