"""Why a frame is wanted upright or lying, in words that somebody at the dish understands."""

from pathlib import Path

import pytest

from plateside.files.settings.load import open_shoot
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
        (1001, 1500, "the portrait picture (tall) needs it"),
    ],
)
def test_the_shape_is_named_with_the_channel(tmp_path: Path, width: int, height: int, why: str) -> None:
    shots = SHOOT[: SHOOT.index("[[channels]]")]
    # a square frame may be held either way: the channel decides
    square = "frame_width_mm = 400\nframe_height_mm = 400\ndish_width_mm = 300"
    shots = shots.replace("[[shots]]", f"[[shots]]\n{square}", 1)
    opened = open_shoot(make_shoot(tmp_path / "s", shots + TALL.format(width=width, height=height)))
    wanted = wanted_of(opened, opened.shoot.shots[0])
    assert wanted.where is not None
    assert wanted.where.orientation == "portrait"
    assert (wanted.why_orientation, wanted.orientation_sure) == (why, True)


def test_the_shape_of_the_frame_asked_for_decides_before_a_channels(tmp_path: Path) -> None:
    shots = SHOOT[: SHOOT.index("[[channels]]")]
    shots = shots.replace("[[shots]]", "[[shots]]\ndish_width_mm = 120", 1)
    opened = open_shoot(make_shoot(tmp_path / "s", shots + TALL.format(width=1080, height=1350)))
    wanted = wanted_of(opened, opened.shoot.shots[0])
    assert wanted.where is not None
    assert (wanted.where.orientation, wanted.orientation_sure) == ("landscape", True)
