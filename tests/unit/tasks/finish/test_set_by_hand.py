"""What is set by hand from the command line: the rows of a press, and their limits (plateside.finish.hand)."""

import json
from pathlib import Path

import pytest

from plateside.cli.main import main
from plateside.files.journal.state import read_state
from plateside.finish.hand import Hand
from plateside.model.errors import InputError
from plateside.tasks.finish.set_by_hand import set_by_hand
from tests.shoots.re_lit import make_shoot


@pytest.fixture
def root(tmp_path: Path) -> Path:
    return make_shoot(tmp_path / "shoot", shots=())


def test_what_is_named_is_set_and_the_rest_stays(root: Path) -> None:
    set_by_hand(root, "", {"brighter_stops": 0.5, "warmer_mired": None})
    set_by_hand(root, "cup", {"turned_degrees": -1.5})
    set_by_hand(root, "", {"warmer_mired": 12.0})
    state = read_state(root)
    assert state.looks[""] == Hand(brighter_stops=0.5, warmer_mired=12.0)
    assert state.hand("cup") == Hand(brighter_stops=0.5, warmer_mired=12.0, turned_degrees=-1.5)
    rows = state.last_row
    set_by_hand(root, "cup", {"turned_degrees": -1.5})  # as it is: no row
    set_by_hand(root, "", {"turned_degrees": None})
    assert read_state(root).last_row == rows
    set_by_hand(root, "", {"brighter_stops": 0.0})
    assert read_state(root).hand("cup").brighter_stops == 0


@pytest.mark.parametrize(
    ("shot", "values"),
    [
        ("", {"brighter_stops": 3.5}),
        ("", {"turned_degrees": float("nan")}),
        ("", {"warmer_mired": float("inf")}),
        ("no such", {"brighter_stops": 1.0}),
        ("cup", {"brighter_stops": None}),
    ],
)
def test_what_cannot_be_set_is_refused_and_nothing_is_written(
    root: Path, shot: str, values: dict[str, float | None]
) -> None:
    before = read_state(root).last_row
    with pytest.raises(InputError):
        set_by_hand(root, shot, values)
    assert read_state(root).last_row == before


def test_the_command_finishes_by_it(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    root = make_shoot(tmp_path / "shoot", shots=("cup",))
    assert main(["finish", str(root), "--kind", "jpeg", "--for", "cup", "--straighten", "-2", "--json"]) == 0
    one = json.loads(capsys.readouterr().out)["finished"][0]
    assert one["hand"]["turned_degrees"] == -2.0
    assert main(["finish", str(root), "--brighter", "9"]) == 2
