"""Counting words against the rules of written English."""

import pytest

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
