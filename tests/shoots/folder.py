"""A shoot's folder with its two files, and no frame yet: what every made shoot begins with."""

from pathlib import Path

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
"""A room with one window, one spot, a camera and a lens."""


def shoot_folder(root: Path, shoot: str, studio: str = STUDIO) -> Path:
    (root / "frames").mkdir(parents=True)
    (root / "studio.toml").write_text(studio, encoding="utf-8")
    (root / "shoot.toml").write_text(shoot, encoding="utf-8")
    return root
