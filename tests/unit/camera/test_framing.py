"""'The dish with 30 % room': the frame is so many dishes wide, foreshortened as the camera sees it."""

from pathlib import Path

import pytest

from plateside.camera.framing import framed
from plateside.files.settings.load import open_shoot
from plateside.model.shoot import Shot


def test_without_room_the_size_stands() -> None:
    shot = Shot(name="a", frame_width_mm=400, frame_height_mm=300)
    assert framed(shot) == shot


@pytest.mark.parametrize(
    ("angle", "high"),
    # a flat dish 200 mm across and 60 high: from above its depth, level almost its height (sine and cosine by table)
    [
        ("overhead", 200.0),
        ("three-quarter", (200 + 60) * 0.70711),
        ("straight-on", 200 * 0.08716 + 60 * 0.99619),
    ],
)
def test_the_dish_with_thirty_percent_room(angle: str, high: float) -> None:
    got = framed(Shot(name="a", angle=angle, dish_width_mm=200, dish_height_mm=60, space_percent=30))
    assert got.frame_width_mm == pytest.approx(260)
    assert got.frame_height_mm == pytest.approx(1.3 * high, rel=1e-4)


def test_it_is_worked_out_when_the_shoot_is_opened(tmp_path: Path) -> None:
    studio = """format = 1
[place]
latitude_deg = 50
longitude_deg = 10
timezone = "Europe/Berlin"
[room]
width_m = 4
depth_m = 4
"""
    shoot = """format = 1
date = "2027-05-01"
[recipe]
title = "Soup"
[creator]
name = "A. Cook"
[[shots]]
name = "bowl"
angle = "overhead"
dish_width_mm = 200
space_percent = 50
"""
    (tmp_path / "studio.toml").write_text(studio, encoding="utf-8")
    (tmp_path / "shoot.toml").write_text(shoot, encoding="utf-8")
    (only,) = open_shoot(tmp_path).shoot.shots
    assert only.frame_width_mm == pytest.approx(300)
