"""The day's curve: stops are evenly spaced, the exposure scale is ISO 2720's (t = C N2 / (E S), C = 250 lx s)."""

from datetime import UTC, datetime, timedelta
from zoneinfo import ZoneInfo

import numpy as np
import pytest

from plateside.drawing.day import day_curve, day_plot, describe
from plateside.drawing.day_plot import LX_OF_ONE_SECOND, DayCurve, Line, spans
from plateside.drawing.palette import ACCENT
from plateside.ground.exposure import shutter_words
from plateside.model.errors import InputError
from tests.unit.drawing.reading import SVG, parse, path_points, text_at, texts

LISBON = ZoneInfo("Europe/Lisbon")


def curve(day: tuple[int, int, int] = (2027, 7, 15), top_lx: float = 1280.0) -> DayCurve:
    start = datetime(*day, tzinfo=LISBON).astimezone(UTC)
    times = tuple((start + timedelta(minutes=5 * i)).astimezone(LISBON) for i in range(288))
    hours = np.arange(288) / 12
    lux = np.where((hours > 6) & (hours < 20), top_lx * np.sin(np.pi * np.clip((hours - 6) / 14, 0, 1)), 0.0)
    sun = (hours > 7) & (hours < 9)
    return DayCurve(
        times, "Europe/Lisbon", lux, lux * 0.7, lux * 1.4, sun, (lux > 320) & ~sun,
        times[74], times[238], (Line("with the sheer", lux / 2),),
    )  # fmt: skip


def test_one_second_at_f8_iso_100_asks_for_160_lx() -> None:
    """C N2 / (t S) = 250 x 64 / (1 x 100)."""
    assert pytest.approx(250 * 64 / 100) == LX_OF_ONE_SECOND


def test_scales_agree_and_stops_are_evenly_spaced() -> None:
    """f/8, 1/2 s, ISO 100 is 320 lx; 1 s is 160 lx; 2 s is 80 lx (ISO 2720 with C = 250)."""
    root = parse(day_curve(curve(), heading="x", shutter_words=shutter_words))
    heights = []
    for lx, shutter in (("640", "1/4 s"), ("320", "1/2 s"), ("160", "1 s"), ("80", "2 s"), ("40", "4 s")):
        left, right = text_at(root, lx)[1], text_at(root, shutter)[1]
        assert left == right
        heights.append(left)
    assert np.diff(heights) == pytest.approx(np.full(4, heights[1] - heights[0]), abs=0.02)


def test_the_curve_passes_through_its_values() -> None:
    made = curve(top_lx=1280.0)
    root = parse(day_curve(made, heading="x", shutter_words=shutter_words))
    main = [
        e for e in root.iter(f"{SVG}path") if e.get("stroke") == ACCENT and e.get("stroke-width") == "2.2"
    ]
    (points,) = path_points(main[0].attrib["d"])
    top = min(y for _, y in points)
    # 1280 lx is three stops above 160 lx
    per_stop = text_at(root, "80")[1] - text_at(root, "160")[1]
    assert text_at(root, "160")[1] - 4 - 3 * per_stop == pytest.approx(top, abs=0.15)


def test_times_are_written_on_the_bar_and_beside_the_sun() -> None:
    made = curve()
    words = texts(parse(day_curve(made, heading="x", shutter_words=shutter_words, marked=made.times[162])))
    assert any(w.startswith("sun on the dish 07:05 to 09:00") for w in words)
    assert any(w.startswith("13:30") and "1/8 s" in w for w in words)
    assert "with the sheer" in words
    assert any(
        w.endswith("to 18:55") for w in words
    )  # 1280 sin(pi x) = 320 at x = 0.9196: 18:52, in the step from 18:50


def test_on_the_day_clocks_go_forward_an_hour_is_missing_but_spacing_is_true() -> None:
    """28 March 2027: 00:00, then 02:00 one real hour later."""
    start = datetime(2027, 3, 28, tzinfo=LISBON).astimezone(UTC)
    times = tuple((start + timedelta(minutes=15 * i)).astimezone(LISBON) for i in range(92))
    ones = np.full(92, 500.0)
    flags = np.zeros(92, bool)
    made = DayCurve(times, "Europe/Lisbon", ones, ones, ones, flags, flags)
    root = parse(day_curve(made, heading="x", shutter_words=shutter_words))
    assert "01:00" not in texts(root)
    x = {h: text_at(root, h)[0] for h in ("00:00", "02:00", "04:00", "06:00")}
    assert (x["02:00"] - x["00:00"]) == pytest.approx((x["06:00"] - x["04:00"]) / 2, abs=0.02)


@pytest.mark.parametrize("small", [False, True])
def test_a_page_can_point_at_a_moment(small: bool) -> None:
    """What the root tells of the plot leads to the points of the curve: a sample by its time, its light in stops."""
    made, first, last = curve(), 75, 236
    root = parse(day_plot(made, first, last, shutter_words=shutter_words, small=small))
    at = {k: float(root.attrib[f"data-{k}"]) for k in ("left", "wide", "top", "high", "most-lx", "stops")}
    drawn = [
        e for e in root.iter(f"{SVG}path") if e.get("stroke") == ACCENT and e.get("stroke-width") == "2.2"
    ]
    (points,) = path_points(drawn[0].attrib["d"])
    for i in (100, 150, 200):
        x = at["left"] + at["wide"] * (i - first) / (last - first)
        y = at["top"] + np.log2(at["most-lx"] / made.illuminance_lx[i]) / at["stops"] * at["high"]
        assert min(np.hypot(px - x, py - y) for px, py in points) < 0.1
    assert len([e for e in root.iter() if e.get("class") in ("mark", "dot")]) == 2


def test_spans_are_runs() -> None:
    assert spans(np.array([1, 1, 0, 0, 1, 0, 1], bool)) == [(0, 1), (4, 4), (6, 6)]
    assert spans(np.zeros(4, bool)) == []
    assert spans(np.ones(3, bool)) == [(0, 2)]


def test_a_dark_day_can_be_drawn() -> None:
    made = curve(top_lx=0.0)
    dark = DayCurve(**{**made.__dict__, "sunrise": None, "sunset": None, "good": made.good & False})
    assert "No sun." in texts(
        parse(day_curve(dark, heading="x", shutter_words=shutter_words, note="No sun."))
    )
    assert "Good light: none" in describe(dark)


def test_names_are_drawn_as_written() -> None:
    bad = "<b>&\"'</b>"
    made = DayCurve(**{**curve().__dict__, "others": (Line(bad, np.full(288, 90.0)),)})
    svg = day_curve(made, heading=bad, subheading=bad, good_means=bad, shutter_words=shutter_words)
    assert "<b>" not in svg
    assert texts(parse(svg)).count(bad) >= 4


def test_arrays_must_fit_the_times() -> None:
    made = curve()
    with pytest.raises(InputError, match="array of another shape: name 'low_lx'"):
        day_curve(
            DayCurve(**{**made.__dict__, "low_lx": made.low_lx[:-1]}),
            heading="x",
            shutter_words=shutter_words,
        )
