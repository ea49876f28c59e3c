"""A flawless frame is chosen where there is one: a sample of the made series of `python -m bench.choosing`."""

import shutil
from pathlib import Path

import pytest

from plateside.tasks.choose.selects import choose_frames
from tests.shoots.chosen import chosen


@pytest.mark.parametrize("seed", [2, 5, 9])
def test_a_flawless_frame_of_a_made_series_is_chosen(seed: int, tmp_path: Path) -> None:
    name, series = chosen(tmp_path / "shoot", seed)
    assert series.faults[name] == ""
    # a byte-identical copy changes nothing: one frame under two names
    frames = tmp_path / "shoot" / "frames"
    shutil.copy(frames / name, frames / f"0-copy{Path(name).suffix}")
    again = choose_frames(tmp_path / "shoot").shots[0].select
    assert again is not None
    assert (frames / again.name).read_bytes() == (frames / name).read_bytes()
