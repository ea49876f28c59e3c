"""Why a frame is wanted upright or lying, in words that somebody at the dish understands."""

from pathlib import Path

import pytest

from plateside.files.settings import open_shoot
from plateside.tasks.set.wanted import wanted_of
from tests.unit.tasks.finished_shoot import SHOOT, make_shoot

TALL = """
[[channels]]
name = "tall"
width_px = {width}
height_px = {height}
"""


@pytest.mark.parametrize(
    ("width", "height", "why"),
    [
        (1080, 1350, "the 4:5 picture (tall) needs it"),
        (1080, 1920, "the 9:16 picture (tall) needs it"),
        (1001, 1500, "the upright picture (tall) needs it"),
    ],
)
def test_the_shape_is_named_with_the_channel(tmp_path: Path, width: int, height: int, why: str) -> None:
    shots = SHOOT[: SHOOT.index("[[channels]]")]
    opened = open_shoot(make_shoot(tmp_path / "s", shots + TALL.format(width=width, height=height)))
    wanted = wanted_of(opened, opened.shoot.shots[0])
    assert wanted.where is not None
    assert wanted.where.orientation == "upright"
    assert (wanted.why_orientation, wanted.orientation_sure) == (why, True)
