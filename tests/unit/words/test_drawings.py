"""Drawings and the first run's drawing say their figures, in the studio's own units."""

import math
import re
from dataclasses import replace
from datetime import date

import pytest

from plateside.drawing.setup_above import top_view
from plateside.drawing.setup_side import side_view
from plateside.plan.setup import solve
from plateside.words import drawings as said
from plateside.words.first_run import lens_sees, noon_sun
from tests.unit.plan.rooms import CHANNELS, LIGHT, LISBON
from tests.unit.plan.sheets import SHOTS


def test_a_set_up_is_drawn_in_inches_where_the_studio_is() -> None:
    studio = replace(LISBON, place=replace(LISBON.place, units="imperial"))
    s = solve(studio, SHOTS[0], CHANNELS, LIGHT)
    for svg in (side_view(studio, SHOTS[0], s), top_view(studio, SHOTS[0], s)):
        words = re.findall(r"<text[^>]*>([^<]+)</text>", svg)
        # the bar of the scale stays metric, as its length is a round one
        assert not [w for w in words if re.search(r"\d (cm|mm)$", w)]
        assert [w for w in words if re.search(r"\d in$|\d ft$", w)]


@pytest.mark.parametrize(
    ("text", "figures"),
    [
        (said.day_told("13:05", ["07:05 to 09:00"], []), ("13:05", "07:05 to 09:00", "none")),
        (said.year_told(3, 365, 7.0, date(2027, 7, 15), 2), ("3 of 365", "7 hours", "15 July", "on 2 days")),
        (said.strip_told("pour", None, None), ("pour", "not known", "no hour")),
        (said.strip_told("pour", ["09:00 to 10:00"], ("08:00", "09:30")), ("09:00 to 10:00", "08:00", "09:30")),
        (said.room_told(("4.20 m", "3.10 m", "2.50 m"), [], "", (98.0, 46.0)), ("4.20", "3.10", "2.50", "98", "46")),
        (said.window_thing("kitchen", "front", "1.5 m", "1.2 m", ["sheer", "net"]), ("front", "sheer and net")),
        (said.outside_thing("", "kitchen", 340.0, 20.0, "8 m"), ("kitchen", "340 to 20", "8 m")),
        (said.wall_handle(right=False, size="3.1 m"), ("Back", "3.1 m", "deep")),
    ],
)  # fmt: skip
def test_what_is_read_out_has_every_figure(text: str, figures: tuple[str, ...]) -> None:
    assert [figure for figure in figures if figure not in text] == []


def test_what_a_lens_sees() -> None:
    # 50 mm on 36 mm: 2 atan(18 / 50) = 39.6 degrees, and 36 / 50 of 75 cm = 54 cm
    fixed, zoomed = lens_sees(math.atan(18 / 50), None), lens_sees(math.atan(18 / 50), 50)
    assert ("40°" in fixed, "54 cm" in fixed, "50 mm" in fixed) == (True, True, False)
    assert "50 mm" in zoomed


def test_where_the_sun_does_not_rise() -> None:
    # at 70 degrees north the sun is at 90 - 70 + 23.44 degrees at noon in June, and below the horizon in December
    assert "43° high" in noon_sun("Far north", (43.44, -3.44))
    assert "below the horizon" in noon_sun("Far north", (43.44, -3.44))
