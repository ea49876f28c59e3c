"""One moment of light in words, by table, in both units. The facts are made by hand, none from the engine."""

import math
from dataclasses import fields, replace
from datetime import datetime
from typing import Any
from zoneinfo import ZoneInfo

import pytest

from plateside.model.light_answers import Cast, SpotLight, Spread
from plateside.model.light_facts import AS_IT_IS, HourFacts, SkyAsked, SpotRank, SunNear, WhatIf
from plateside.words.light.moment import fill_phrase, moment_rows, rank_lines, sun_phrase, what_if_phrase
from plateside.words.units import IMPERIAL, METRIC, Units

WHEN = datetime(2027, 7, 15, 13, 30, tzinfo=ZoneInfo("Europe/Lisbon"))
ONE = Spread(1.0, 0.9, 1.1)
LUX = Spread(483, 301, 752)


def light(**changes: Any) -> SpotLight:
    given: dict[str, Any] = {
        "spot": "by the window", "when": WHEN, "sky": "clear", "sun_elevation_deg": 72.6, "sun_bearing_deg": 170.0,
        "sun_on_dish": False, "sun_window": "", "horizontal_lx": LUX, "key_direction": "side",
        "key_bearing_deg": 20.0, "key_elevation_deg": 30.0, "vector_lx": (0.0, 1.0, 0.0), "modelling": "strong",
        "shadow_edge_mm": Spread(45, 31, 58), "shadow_of_mm": 60.0, "sun_patch": (), "duv": 0.0,
        "cast": Cast(ONE, ONE, ("warm",)), "light_rgb": (1.0, 1.0, 1.0), "cct_k": Spread(6900, 6300, 7600),
        "key_fill_stops": Spread(2.14, 1.9, 2.4), "plate_mm": 260.0,
    }  # fmt: skip
    rest = {f.name: ONE for f in fields(SpotLight) if f.name not in given and f.type in ("Spread", Spread)}
    return SpotLight(**(rest | given | changes))


def hour(**changes: Any) -> HourFacts:
    made = HourFacts(
        place="Lisbon", timezone="Europe/Lisbon", units="metric", spot="by the window", at=WHEN,
        sky=SkyAsked("word", "clear"), light=light(), dark=False, sun=SunNear("away"), exposure_s=1 / 3,
        exposure_range_s=(0.6, 1 / 6), key_from="left", camera_faces_deg=90.0, camera_given=True,
    )  # fmt: skip
    return replace(made, **changes)


@pytest.mark.parametrize(
    ("near", "units", "said"),
    [
        (SunNear("away"), METRIC, "73 degrees high in the south (bearing 170), not on the dish"),
        (SunNear("table", 0.324), METRIC,
         "73 degrees high in the south (bearing 170), on the table, 32 cm from the middle of the dish"),
        # 324 mm are 12.76 inches: to the half, 13
        (SunNear("table", 0.324), IMPERIAL,
         "73 degrees high in the south (bearing 170), on the table, 13 in from the middle of the dish"),
        (SunNear("edge", 0.1), METRIC,
         "73 degrees high in the south (bearing 170), on the table and the edge of the dish, 10 cm from its middle"),
        (SunNear("dish", 0.0), METRIC, "73 degrees high in the south (bearing 170), on the dish through main window"),
    ],
)  # fmt: skip
def test_the_sun(near: SunNear, units: Units, said: str) -> None:
    window = "main window" if near.code == "dish" else ""
    assert sun_phrase(light(sun_window=window), near, units) == said


def test_the_sun_below_the_horizon() -> None:
    down = light(sun_elevation_deg=-30.2, sun_bearing_deg=2.0)
    assert sun_phrase(down, SunNear("down"), METRIC) == "below the horizon (-30 degrees, in the north)"


@pytest.mark.parametrize(
    ("kind", "thing", "side", "metres", "metric", "imperial"),
    [
        (AS_IT_IS, "", "", 0, "as it is", "as it is"),
        ("bare window", "", "", 0, "bare window", "bare window"),
        ("sheet", "voile", "", 0, "voile over the window", "voile over the window"),
        ("half blocked", "", "", 0, "upper half of the window blocked", "upper half of the window blocked"),
        # 40 cm are 15.75 inches, 1.2 m 47.24: to the half
        ("board", "white", "right", 0.4, "white board on the right, 40 cm away",
         "white board on the right, 15 1/2 in away"),
        ("board", "foam board", "far", 0.4, "foam board on the far side, 40 cm away",
         "foam board on the far side, 15 1/2 in away"),
        ("nearer", "", "", 1.2, "dish nearer, 1.20 m from the front wall",
         "dish nearer, 3 ft 11 in from the front wall"),
    ],
)  # fmt: skip
def test_changes_of_the_set(
    kind: str, thing: str, side: str, metres: float, metric: str, imperial: str
) -> None:
    changed = WhatIf(kind, light(), 0.4, -0.7, thing, side, metres)
    assert what_if_phrase(changed, METRIC) == metric
    assert what_if_phrase(changed, IMPERIAL) == imperial


@pytest.mark.parametrize(
    ("kind", "value", "by", "said"),
    [
        ("board", 2.14, -0.7, "2.1 stops darker, 0.7 stop softer"),
        ("board", 2.14, 0.4, "2.1 stops darker, 0.4 stop deeper"),
        ("board", 2.14, 0.01, "2.1 stops darker"),
        (AS_IT_IS, 0.9, 0.0, "0.9 stop darker"),
        ("half blocked", math.inf, math.inf, "no light"),
    ],
)
def test_the_shadow_side_with_a_change(kind: str, value: float, by: float, said: str) -> None:
    lit = light(key_fill_stops=Spread(value, value, value))
    assert fill_phrase(WhatIf(kind, lit, 0.4, by)) == said


def test_a_moments_rows_have_codes_and_no_full_stops() -> None:
    rows = moment_rows(hour())
    assert [r.code for r in rows] == [
        "light", "exposure", "key", "fill", "colour", "cast", "sun", "modelling", "edge", "evenness",
    ]  # fmt: skip
    assert not any(r.value.endswith(".") or not r.value for r in rows)
    said = {r.code: r.value for r in rows}
    assert said["light"] == "about 480 lx (300-750)" and said["edge"] == "about 45 mm (31-58) wide"
    assert said["key"] == "from the left, side light"
    inches = {r.code: r.value for r in moment_rows(hour(units="imperial"))}
    # 45, 31 and 58 mm over 25.4; 260 mm are 10.24 inches: to the sixteenth 10 1/4
    assert inches["edge"] == "about 1.8 in (1.2-2.3) wide" and "10 1/4 in plate" in inches["evenness"]


def test_in_the_dark_only_that_and_the_sun_are_said() -> None:
    assert [r.code for r in moment_rows(hour(dark=True))] == ["dark", "sun"]


def test_spots_are_ranked_in_stops() -> None:
    first, second = (
        SpotRank(n, LUX, s, False, (), 0.0) for n, s in (("by the window", 0.0), ("middle", -1.2))
    )
    assert rank_lines((first, second), "Best spot now") == [
        "Best spot now: by the window, about 480 lx (300-750) on the table; middle -1.2 stops."
    ]
    assert rank_lines((), "Best spot now") == []
