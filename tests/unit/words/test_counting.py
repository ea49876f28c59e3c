"""Counting words against the rules of written English."""

import math
from dataclasses import dataclass
from datetime import date, datetime, timedelta

import pytest

from plateside.words import counting
from plateside.words.counting import ordinal


# first, second, third take their last two letters, also behind tens; eleventh to thirteenth, and all else, take th
@pytest.mark.parametrize(
    ("numbers", "ending"),
    [
        ((1, 21, 31, 91, 101, 121, 1001), "st"),
        ((2, 22, 32, 92, 102, 122, 1002), "nd"),
        ((3, 23, 33, 93, 103, 123, 1003), "rd"),
        ((0, 4, 9, 10, 11, 12, 13, 14, 20, 30, 100, 110, 111, 112, 113, 211, 1011, 1012, 1013), "th"),
    ],
)
def test_a_place_in_a_row(numbers: tuple[int, ...], ending: str) -> None:
    assert [ordinal(n) for n in numbers] == [f"{n}{ending}" for n in numbers]


@dataclass(frozen=True)
class _Range:
    value: float
    low: float
    high: float


@dataclass(frozen=True)
class _Stretch:
    start: datetime
    end: datetime


def _stretch(start: str, end: str) -> _Stretch:
    return _Stretch(
        datetime.fromisoformat(f"2027-07-15T{start}"), datetime.fromisoformat(f"2027-07-15T{end}")
    )


@pytest.mark.parametrize(
    ("number", "said"), [(0, "no frames"), (1, "1 frame"), (2, "2 frames"), (21, "21 frames")]
)
def test_plurals(number: int, said: str) -> None:
    assert counting.plural(number, "frame") == said


def test_plurals_of_their_own() -> None:
    assert counting.plural(3, "dish", "dishes") == "3 dishes"
    assert counting.plural(1, "dish", "dishes") == "1 dish"


@pytest.mark.parametrize(
    ("items", "said"),
    [([], ""), (["a"], "a"), (["a", "b"], "a and b"), (["a", "b", "c"], "a, b and c")],
)
def test_lists(items: list[str], said: str) -> None:
    assert counting.listed(items) == said


def test_a_list_of_choices() -> None:
    assert counting.listed(["clear", "hazy"], "or") == "clear or hazy"


@pytest.mark.parametrize(
    ("value", "said"),
    [(0, "0"), (483.2, "480"), (0.0132, "0.013"), (9.96, "10"), (99.6, "100"), (4271, "4300"), (1, "1.0")],
)
def test_two_figures(value: float, said: str) -> None:
    assert counting.figures(value) == said


def test_a_figure_and_its_range() -> None:
    assert counting.about(_Range(483, 301, 752), "lx") == "about 480 lx (300-750)"
    assert counting.about(_Range(483, 483, 483), "lx") == "about 480 lx"
    assert counting.about(_Range(0, 0, 0), "lx") == "0 lx"


@pytest.mark.parametrize(
    ("value", "said"),
    [
        (0, "0 stop"),
        (0.6, "0.6 stop"),
        (-0.6, "0.6 stop"),
        (1.04, "1 stop"),
        (1.06, "1.1 stops"),
        (2, "2 stops"),
    ],
)
def test_stops(value: float, said: str) -> None:
    assert counting.stops(value) == said


@pytest.mark.parametrize(
    ("value", "said"),
    [(0.04, "the same"), (1.2, "+1.2 stops"), (-0.4, "-0.4 stop"), (-math.inf, "no light left"),
     (math.inf, "all of the light")],
)  # fmt: skip
def test_changes(value: float, said: str) -> None:
    assert counting.change(value) == said


@pytest.mark.parametrize(
    ("minutes", "said"), [(0, "0 min"), (59.4, "59 min"), (59.6, "1 h"), (60, "1 h"), (320, "5 h 20 min")]
)
def test_durations(minutes: float, said: str) -> None:
    assert counting.duration(minutes) == said


def test_stretches_of_a_day() -> None:
    two = [_stretch("06:40", "09:15"), _stretch("19:50", "20:40")]
    assert counting.spans(two) == "06:40-09:15, 19:50-20:40"
    assert counting.from_to(two) == "from 06:40 to 09:15 and from 19:50 to 20:40"
    assert counting.spans([]) == "at no time"


def test_days() -> None:
    # 15 July 2027 is a Thursday (ISO 8601 calendar: 2027-W28-4)
    of = date(2027, 7, 15)
    assert of.isocalendar() == (2027, 28, 4)
    assert counting.day(of) == "Thursday 15 July 2027"
    assert counting.short_day(of) == "Thu 15"
    assert [counting.near_day(of, of - timedelta(days=n)) for n in (-1, 0, 1, 2, 365)] == [
        "yesterday", "today", "tomorrow", "Thursday 15 July", "Thursday 15 July 2027",
    ]  # fmt: skip
