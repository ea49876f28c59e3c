"""Mistakes of both files are told in one go."""

from pathlib import Path

import pytest

from plateside.files.settings.load import open_shoot
from plateside.model.errors import SettingsError

STUDIO = """format = 1
[place]
latitude_deg = 50
longitude_deg = 10
timezone = "Europe/Berlin"
[room]
width_m = 4
depth_m = 4
[[windows]]
name = "window"
bearing_deg = 10
width_m = {width}
height_m = 1.2
sill_m = 0.8
[[lenses]]
name = "50"
focal_length_mm = 50
"""
SHOOT = """format = 1
date = "2027-05-01"
[recipe]
title = "Soup"
[creator]
name = "A. Cook"
[[shots]]
name = "bowl"
lens = "85"
"""


@pytest.mark.parametrize("width", ["9", "'1,4'"])
def test_a_window_that_cannot_be_does_not_hide_a_lens_that_is_not_there(tmp_path: Path, width: str) -> None:
    (tmp_path / "studio.toml").write_text(STUDIO.format(width=width), encoding="utf-8")
    (tmp_path / "shoot.toml").write_text(SHOOT, encoding="utf-8")
    with pytest.raises(SettingsError) as caught:
        open_shoot(tmp_path)
    found = {m.file: m for m in caught.value.mistakes}
    assert found["studio.toml"].path == ("windows", 0, "width_m")
    assert (found["shoot.toml"].code, found["shoot.toml"].got) == ("not there", "85")
    assert found["shoot.toml"].facts["known"] == ["50"]
