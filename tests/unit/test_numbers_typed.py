"""Numbers typed on the command line: read as meant, or told in a sentence."""

import pytest

from plateside.cli.main import main
from plateside.cli.numbers import number, whole


def test_numbers_as_they_are_typed() -> None:
    assert (number("400"), number("0,5"), number("1e3"), whole("3")) == (400.0, 0.5, 1000.0, 3)


@pytest.mark.parametrize(
    "args", [["plan", ".", "--lux", "abc"], ["plan", ".", "--lux", "nan"], ["serve", "--port", "x"]]
)
def test_what_is_no_number_is_told(args: list[str], capsys: pytest.CaptureFixture[str]) -> None:
    with pytest.raises(SystemExit):
        main(args)
    assert f"{args[-1]!r} is not a " in capsys.readouterr().err
