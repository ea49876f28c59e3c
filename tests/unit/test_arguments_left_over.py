"""What a command cannot take is told with that command's own usage."""

import pytest

from plateside.cli.main import main


@pytest.mark.parametrize("left_over", [["IMG_3.jpg"], ["--frob", "3"]])
def test_the_usage_of_the_verb_stands_above(left_over: list[str], capsys: pytest.CaptureFixture[str]) -> None:
    with pytest.raises(SystemExit):
        main(["choose", "soup", "--select", "cup=IMG_2.jpg", *left_over])
    said = capsys.readouterr().err
    assert "usage: plateside choose" in said and "--select SHOT=FRAME" in said
    assert f"{' '.join(left_over)!r} does not fit here." in said
