"""A shoot of one bowl without frames, and frames of it put into its folder."""

from pathlib import Path

import numpy as np
from PIL import Image
from PIL.TiffImagePlugin import IFDRational

from tests.shoots import folder

STUDIO = """format = 1
[place]
name = "A town"
latitude_deg = 40.0
longitude_deg = -8.0
timezone = "Europe/Lisbon"
[room]
width_m = 4.2
depth_m = 3.1
[[windows]]
name = "kitchen window"
bearing_deg = 20
width_m = 1.2
height_m = 1.2
sill_m = 0.8
[[spots]]
name = "by the window"
from_left_m = 2.1
from_front_m = 0.6
[[cameras]]
name = "the camera"
[[lenses]]
name = "35"
focal_length_mm = 35
[[supports]]
name = "tripod"
"""


SHOOT = """format = 1
date = "2027-07-15"
[recipe]
title = "Soup"
[creator]
name = "Ines Valadao"
[[shots]]
name = "bowl"
angle = "overhead"
frame_width_mm = 450
frame_height_mm = 300
dish_width_mm = 190
"""


def taken(n: int) -> Image.Exif:
    """EXIF of the n-th frame: f/8, 1/3 s, ISO 100, a minute apart."""
    tags = Image.Exif()
    inner = tags.get_ifd(0x8769)
    inner[33434], inner[33437], inner[34855] = IFDRational(1, 3), IFDRational(8), 100
    inner[37386], inner[36867], inner[41987] = IFDRational(35), f"2027:07:15 13:{n:02d}:00", 1
    return tags


def shoot_folder(root: Path) -> Path:
    return folder.shoot_folder(root, SHOOT, STUDIO)


def save(root: Path, name: str, picture: np.ndarray, n: int) -> None:
    Image.fromarray(picture).save(root / "frames" / name, quality=93, exif=taken(n))
