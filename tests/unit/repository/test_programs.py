"""What is asked of the system before the tests: only what nothing on the machine can stand for."""

import pytest

from tests.programs import BROWSERS, WANTED, missing_packages

ALL = {program for one in WANTED for program in one.programs}


@pytest.mark.parametrize("browser", BROWSERS)
def test_any_chromium_counts(browser: str) -> None:
    there = ALL - set(BROWSERS) | {browser}
    assert missing_packages(there.__contains__, lambda _package: True) == []


@pytest.mark.parametrize(
    ("known", "asked"),
    [({"chromium-headless-shell", "chromium"}, "chromium-headless-shell"), ({"chromium"}, "chromium"),
     (set(), "chromium")],
)  # fmt: skip
def test_without_one_a_package_is_asked_for_that_the_system_knows(known: set[str], asked: str) -> None:
    there = ALL - set(BROWSERS)
    assert missing_packages(there.__contains__, known.__contains__) == [asked]


def test_every_other_program_that_is_missing_is_asked_for() -> None:
    assert missing_packages(lambda _program: False, lambda _package: True) == [
        one.packages[0] for one in WANTED
    ]
