"""What is chosen of a made series."""

from pathlib import Path

from plateside.tasks.choose.selects import choose_frames
from plateside.tasks.set.shot import name_shot
from tests.synthetic.series import Series, write_series

STUDIO = """format = 1
[place]
latitude_deg = 50.0
longitude_deg = 10.0
timezone = "Europe/Berlin"
[room]
width_m = 4.0
depth_m = 3.5
[[windows]]
name = "window"
bearing_deg = 10
width_m = 1.2
height_m = 1.2
sill_m = 0.8
[[spots]]
name = "table"
from_left_m = 2.0
from_front_m = 0.7
[[cameras]]
name = "camera"
[[lenses]]
name = "35"
focal_length_mm = 35
"""


SHOOT = """format = 1
date = "2027-05-01"
[recipe]
title = "Soup"
[creator]
name = "A. Cook"
[[shots]]
name = "dish"
angle = "overhead"
"""


def chosen(folder: Path, seed: int, studio: str = STUDIO) -> tuple[str, Series]:
    """The name of the frame that is chosen, and the truth."""
    (folder / "frames").mkdir(parents=True)
    (folder / "studio.toml").write_text(studio, encoding="utf-8")
    (folder / "shoot.toml").write_text(SHOOT, encoding="utf-8")
    series = write_series(folder / "frames", seed)
    name_shot(folder, "dish", list(series.faults))
    references = [("dish", series.accepted)] if series.accepted else []
    (choice,) = choose_frames(folder, test_frames=references).shots
    return choice.select.name if choice.select else "", series
