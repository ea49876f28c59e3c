"""Why a frame is wanted landscape or portrait, as facts."""

from pathlib import Path

import pytest

from plateside.files.settings.load import open_shoot
from plateside.frames.set_up_acts import Why
from plateside.tasks.set.wanted import wanted_of
from tests.shoots.re_lit import SHOOT, make_shoot

TALL = """
[[channels]]
name = "tall"
width_px = {width}
height_px = {height}
"""


@pytest.mark.parametrize(
    ("width", "height", "why"),
    [
        (1080, 1350, Why("channel", "tall", 1080, 1350)),
        (1080, 1920, Why("channel", "tall", 1080, 1920)),
    ],
)
def test_the_shape_is_named_with_the_channel(tmp_path: Path, width: int, height: int, why: Why) -> None:
    shots = SHOOT[: SHOOT.index("[[channels]]")]
    # a square frame may be held either way: the channel decides
    square = "frame_width_mm = 400\nframe_height_mm = 400\ndish_width_mm = 300"
    shots = shots.replace("[[shots]]", f"[[shots]]\n{square}", 1)
    opened = open_shoot(make_shoot(tmp_path / "s", shots + TALL.format(width=width, height=height)))
    wanted = wanted_of(opened, opened.shoot.shots[0])
    assert wanted.where is not None
    assert wanted.where.orientation == "portrait"
    assert (wanted.why, wanted.orientation_sure) == (why, True)


def test_the_shape_of_the_frame_asked_for_decides_before_a_channels(tmp_path: Path) -> None:
    shots = SHOOT[: SHOOT.index("[[channels]]")]
    shots = shots.replace("[[shots]]", "[[shots]]\ndish_width_mm = 120", 1)
    opened = open_shoot(make_shoot(tmp_path / "s", shots + TALL.format(width=1080, height=1350)))
    wanted = wanted_of(opened, opened.shoot.shots[0])
    assert wanted.where is not None
    assert (wanted.where.orientation, wanted.orientation_sure) == ("landscape", True)
