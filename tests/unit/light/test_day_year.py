"""The day and the year: each moment of them is the moment's own answer; needs, light left, what-ifs."""

from dataclasses import replace
from datetime import date, datetime, timedelta
from zoneinfo import ZoneInfo

import numpy as np
import pytest

from plateside.light.day import day_light
from plateside.light.good_hours import best, good_intervals, good_minutes
from plateside.light.moment import light_at
from plateside.light.sky import cie_sky, perez_series
from plateside.light.sun import sun_positions, year_grid
from plateside.light.what_if import what_ifs
from plateside.light.year import year_light
from plateside.model.errors import Cancelled
from plateside.model.light_answers import Hung, Interval, LightNeeds
from plateside.model.room import Diffuser, Place
from tests.unit.light.rooms import PLAIN, SPOT, WINDOW
from tests.unit.light.studios import LISBON, WINTER

SOUTH = replace(PLAIN, windows=(replace(WINDOW, bearing_deg=180),))


def test_every_step_of_the_day_is_the_moments_answer() -> None:
    day = day_light(SOUTH, SPOT, WINTER, "clear", step_min=30)
    for k in (16, 20, 25, 29, 33):
        one = light_at(SOUTH, SPOT, day.times[k], "clear")
        assert day.horizontal_lx[k] == pytest.approx(one.horizontal_lx.value, rel=0.02)
        assert bool(day.sun_on_dish[k]) == one.sun_on_dish
        assert day.faces_lx[:, k] == pytest.approx([s.value for s in one.faces_lx.values()], rel=0.03)
        assert day.key_fill_stops[k] == pytest.approx(one.key_fill_stops.value, abs=0.06)
    assert np.all(day.horizontal_low_lx <= day.horizontal_lx) and np.all(
        day.horizontal_lx <= day.horizontal_high_lx
    )


def test_the_sun_is_on_the_dish_when_its_patch_covers_it() -> None:
    """sun_on_dish and the drawn patch are found in two ways: they must agree."""
    day = day_light(SOUTH, SPOT, WINTER, "clear", step_min=20)
    agreed = 0
    for k in np.flatnonzero(day.sun_elevation_deg > 1):
        light = light_at(SOUTH, SPOT, day.times[k], "clear")
        inside = any(_inside(polygon, 2.1, 2.5) for polygon in light.sun_patch)
        agreed += inside == bool(day.sun_on_dish[k])
    assert agreed >= np.count_nonzero(day.sun_elevation_deg > 1) - 1


def _inside(polygon: tuple[tuple[float, float], ...], x: float, y: float) -> bool:
    turns = [
        (b[0] - a[0]) * (y - a[1]) - (b[1] - a[1]) * (x - a[0])
        for a, b in zip(polygon, polygon[1:] + polygon[:1], strict=True)
    ]
    return all(t >= 0 for t in turns) or all(t <= 0 for t in turns)


def test_the_year_is_made_of_its_moments() -> None:
    year = year_light(SOUTH, SPOT, 2027, "overcast", step_min=240)
    assert year.horizontal_lx.shape == (365, 6) and year.faces_lx.shape == (4, 365, 6)
    for day, step in ((14, 3), (100, 2), (200, 4)):
        when = datetime(2027, 1, 1, tzinfo=LISBON) + timedelta(days=day)
        when = when.replace(hour=4 * step)
        one = light_at(SOUTH, SPOT, when, "overcast")
        assert year.horizontal_lx[day, step] == pytest.approx(one.horizontal_lx.value, rel=0.01)
    assert year.horizontal_lx[:, 0].max() < 0.01  # midnight in Lisbon
    low, high = year.spread
    assert low < 1 < high


def test_the_year_of_a_measured_sky() -> None:
    """A series of irradiances for the whole grid."""
    _, _, seconds = year_grid(SOUTH.place, 2027, 240)
    at = sun_positions(SOUTH.place, seconds.ravel())
    up = np.maximum(np.sin(np.radians(at.elevation_deg)), 0)
    beam = 600.0 * (up > 0.1).astype(np.float64)
    series = perez_series(beam, 120 * up, at.elevation_deg, true_elevation_deg=at.true_elevation_deg)
    year = year_light(SOUTH, SPOT, 2027, series, step_min=240)
    assert year.sky == "measured"
    assert year.sun_on_dish.any() and np.all(np.isfinite(year.horizontal_lx))


def test_the_year_can_be_stopped() -> None:
    def stop(done: int, total: int) -> None:
        if done == 2:
            raise Cancelled("stopped")

    with pytest.raises(Cancelled):
        year_light(PLAIN, SPOT, 2027, "overcast", step_min=240, progress=stop)


def test_needs_and_light_left() -> None:
    needs = LightNeeds(no_direct_sun=True, at_least_lx=300)
    day = day_light(SOUTH, SPOT, WINTER, "clear", step_min=10, needs=needs)
    assert day.sun_intervals and day.good
    for span in day.good:
        for sun in day.sun_intervals:
            assert span.end <= sun.start or sun.end <= span.start
    start = day.good[0].start
    assert day.light_left_min(start) == pytest.approx(day.good[0].minutes)
    assert day.light_left_min(start + timedelta(minutes=15)) == pytest.approx(day.good[0].minutes - 15)
    assert day.light_left_min(day.good[0].end) == 0
    anything = good_intervals(day, LightNeeds(no_direct_sun=False, at_least_lx=300))
    assert sum(s.minutes for s in anything) > sum(s.minutes for s in day.good)
    soft = good_intervals(day, LightNeeds(no_direct_sun=False, at_most_key_fill_stops=0.0))
    assert soft == ()


def test_minutes_are_true_minutes_when_clocks_change() -> None:
    """The last Sunday of October in Lisbon has 25 hours, the last of March 23."""
    for day, hours in ((date(2027, 10, 31), 25), (date(2027, 3, 28), 23)):
        start = datetime(day.year, day.month, day.day, tzinfo=LISBON)
        whole = Interval(start, start + timedelta(days=1))
        assert whole.minutes == 60 * hours
        assert whole.left_min(start) == 60 * hours
        assert whole.left_min(whole.end) == 0


def test_the_best_of_two_spots_is_the_one_in_the_light() -> None:
    deep = replace(SPOT, name="deep", from_front_m=2.4)
    days = [(s.name, day_light(PLAIN, s, WINTER, "overcast", step_min=30)) for s in (deep, SPOT)]
    first, second = best(days, LightNeeds(at_least_lx=400))
    assert first.name == "table" and first.good_minutes >= second.good_minutes
    year = year_light(PLAIN, SPOT, 2027, "overcast", step_min=240)
    assert good_minutes(year, LightNeeds(at_least_lx=100)).shape == (365,)


def test_polar_night_has_no_light_and_does_not_crash() -> None:
    """Tromso on 21 December: the noon sun is 90 - 69.65 - 23.44 = -3.1 degrees high."""
    north = replace(PLAIN, place=Place(latitude_deg=69.6492, longitude_deg=18.9553, timezone="Europe/Oslo"))
    day = day_light(north, SPOT, date(2026, 12, 21), "clear", step_min=30, needs=LightNeeds(at_least_lx=100))
    assert day.never_up and day.sunrise is None and day.good == () and day.sun_intervals == ()
    assert np.all(np.isfinite(day.horizontal_lx))
    midnight = light_at(north, SPOT, datetime(2026, 12, 21, 0, 0, tzinfo=ZoneInfo("Europe/Oslo")), "overcast")
    assert midnight.horizontal_lx.value < 0.01 and not midnight.sun_on_dish


def test_what_ifs_gain_and_lose_as_they_must() -> None:
    noon = datetime(2027, 7, 15, 13, 30, tzinfo=LISBON)
    found = what_ifs(PLAIN, SPOT, noon, "overcast")
    assert found[0].kind == "as it is" and found[0].gain_stops == 0
    gains = {w.kind: w.gain_stops for w in found}
    assert gains["sheet"] < -0.3
    assert gains["half blocked"] < -0.5
    assert gains["nearer"] > 0.2
    white = next(w for w in found if w.thing == "white")
    black = next(w for w in found if w.thing == "black")
    assert white.key_fill_change_stops < 0 < black.key_fill_change_stops
    assert white.gain_stops > 0 > black.gain_stops
    assert white.side == "right"  # window on the left


def test_a_hung_sheet_of_the_studio_is_there_unless_taken_down() -> None:
    noon = datetime(2027, 7, 15, 13, 30, tzinfo=LISBON)
    sheer = Diffuser(name="sheer", window="window")
    hung = replace(PLAIN, diffusers=(sheer,))
    with_sheet = light_at(hung, SPOT, noon, cie_sky(5, 10000)).horizontal_lx.value
    same = light_at(PLAIN, SPOT, noon, cie_sky(5, 10000), hung=(Hung("window", sheer),)).horizontal_lx.value
    bare = light_at(hung, SPOT, noon, cie_sky(5, 10000), hung=()).horizontal_lx.value
    assert with_sheet == pytest.approx(same, rel=1e-9) and with_sheet < bare
    assert what_ifs(hung, SPOT, noon, "overcast")[1].kind == "bare window"


def test_the_fit_moves_the_light() -> None:
    noon = datetime(2027, 7, 15, 13, 30, tzinfo=LISBON)
    plain = light_at(PLAIN, SPOT, noon, "overcast")
    half = replace(PLAIN, fit=replace(PLAIN.fit, light_factor=0.5, light_factor_spread_stops=0.1, readings=5))
    fitted = light_at(half, SPOT, noon, "overcast")
    assert fitted.horizontal_lx.value == pytest.approx(0.5 * plain.horizontal_lx.value, rel=1e-6)
    assert (
        fitted.horizontal_lx.high / fitted.horizontal_lx.low
        < plain.horizontal_lx.high / plain.horizontal_lx.low
    )
    dark = replace(PLAIN, fit=replace(PLAIN.fit, reflectance_factor=0.5))
    assert light_at(dark, SPOT, noon, "overcast").back_lx.value < plain.back_lx.value
    lifted = replace(PLAIN, fit=replace(PLAIN.fit, skyline_lift_deg=20.0))
    assert light_at(lifted, SPOT, noon, "overcast").horizontal_lx.value < plain.horizontal_lx.value
