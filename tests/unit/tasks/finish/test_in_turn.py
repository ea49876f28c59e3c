"""Two finishes of one shoot: the second says that it waits, can be stopped meanwhile, and makes nothing before."""

import contextlib
from collections.abc import Iterator
from pathlib import Path

import pytest

from plateside.cli import progress as shown
from plateside.files.in_turn import in_turn
from plateside.model.errors import Cancelled
from plateside.model.progress import WAITING
from plateside.tasks.finish.series import finish
from plateside.words.commands import IN_TURN
from tests.shoots.re_lit import make_shoot


@pytest.fixture
def shoot(tmp_path: Path) -> Path:
    return make_shoot(tmp_path / "my shoot", share=1 / 2)


def under_way(shoot: Path) -> Iterator[None]:
    """Another finish of it, up to the next step."""
    with in_turn(shoot / ".plateside" / "finish.lock", lambda: pytest.fail("held by nobody")):
        yield


def test_it_says_that_it_waits_and_begins_when_the_other_ends(shoot: Path) -> None:
    other, said = under_way(shoot), []
    next(other)

    def progress(done: int, total: int) -> None:
        said.append((done, total))
        assert said != [WAITING] or not (shoot / "finished").exists()
        if said == [WAITING] * 3:
            other.close()  # type: ignore[attr-defined]

    assert finish(shoot, progress=progress).written == 3
    assert said[:3] == [WAITING] * 3
    assert WAITING not in said[4:]
    assert said[-1] == (9, 9)


def test_it_can_be_stopped_while_it_waits(shoot: Path) -> None:
    other = under_way(shoot)
    next(other)

    def stop(done: int, total: int) -> None:
        raise Cancelled("stopped")

    with pytest.raises(Cancelled):
        finish(shoot, progress=stop)
    assert not (shoot / "finished").exists()


def test_nothing_is_said_of_waiting_when_no_other_runs(shoot: Path) -> None:
    said: list[tuple[int, int]] = []
    finish(shoot, progress=lambda done, total: said.append((done, total)))
    assert WAITING not in said


def test_the_terminal_says_it_once_and_then_counts(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.setattr("sys.stderr.isatty", lambda: True)
    with contextlib.suppress(KeyboardInterrupt), shown.whole_lines():
        for step in (WAITING, WAITING, (0, 6), (6, 6), WAITING):
            shown.show_progress(*step)
        raise KeyboardInterrupt
    lines = capsys.readouterr().err.split("\r")
    assert [line.rstrip(" ") for line in lines] == ["", IN_TURN, "0 of 6", "6 of 6\n", f"{IN_TURN}\n"]
    # what stood there before is gone from the line
    assert len(lines[2]) == len(IN_TURN)
