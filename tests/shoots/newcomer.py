"""A newcomer's folder: two files by hand and a dozen camera JPEGs, a few of them spoilt."""

import re
from pathlib import Path

import cv2
import numpy as np
from numpy.typing import NDArray
from PIL import Image
from PIL.TiffImagePlugin import IFDRational

from tests.shoots.folder import shoot_folder

FRAMES = 12

STUDIO = """format = 1

[place]
name = "home"
latitude_deg = 48.2
longitude_deg = 16.4
timezone = "Europe/Vienna"

[room]
width_m = 4.0
depth_m = 3.5

[[windows]]
name = "kitchen window"
bearing_deg = 15
width_m = 1.2
height_m = 1.3
sill_m = 0.85

[[spots]]
name = "table"
from_left_m = 2.0
from_front_m = 0.7

[[boards]]
name = "white"

[[cameras]]
name = "my camera"

[[lenses]]
name = "35"
focal_length_mm = 35

[[supports]]
name = "tripod"

[[supports]]
name = "arm"
kind = "arm"
arm_reach_m = 0.6
"""

SHOOT = """format = 1
date = "2027-05-08"
sky = "overcast"

[recipe]
title = "Green soup with crumbs"
description = "A soup for a May evening."
ingredients = ["500 g peas", "1 l water"]
allergens = ["gluten"]
[[recipe.steps]]
name = "cook the peas"
takes = "PT15M"
[[recipe.steps]]
name = "blend"
takes = "PT5M"

[creator]
name = "A. Cook"
licence_url = "https://example.org/licence"

[[shots]]
name = "from-above"
angle = "overhead"
role = "main"
alt_text = "A white bowl of green soup with toasted crumbs, seen from above on a grey board."

[[shots]]
name = "at-an-angle"
alt_text = "A bowl of green soup by the window, its far side in soft shadow."

[[channels]]
name = "wide"
width_px = 1600
height_px = 900
formats = ["jpeg", "webp", "avif"]
[[channels]]
name = "classic"
width_px = 1600
height_px = 1200
[[channels]]
name = "square"
width_px = 1200
height_px = 1200
"""


def scene(width: int, height: int, seed: int) -> NDArray[np.float32]:
    """A bowl of green soup with crumbs on a grained board, in linear light, sharp to the pixel."""
    rng = np.random.default_rng(seed)
    picture = np.full((height, width, 3), 0.32, np.float32)
    grain = cv2.resize(rng.normal(0, 0.03, (height // 4, 40)).astype(np.float32), (width, height))
    picture += np.asarray(grain)[..., None]
    middle, unit = (width // 2, height // 2), height / 1000
    cv2.circle(picture, middle, round(330 * unit), (0.80, 0.78, 0.74), -1, cv2.LINE_AA)
    cv2.circle(picture, middle, round(270 * unit), (0.20, 0.36, 0.10), -1, cv2.LINE_AA)
    for _ in range(240):
        angle, radius = rng.uniform(0, 2 * np.pi), 230 * unit * np.sqrt(rng.uniform())
        at = (round(middle[0] + radius * np.cos(angle)), round(middle[1] + radius * np.sin(angle)))
        tone = float(rng.uniform(0.1, 0.7))
        size = max(2, round(rng.uniform(3, 9) * unit))
        cv2.circle(picture, at, size, (tone, 0.7 * tone, 0.35 * tone), -1, cv2.LINE_AA)
    fall = np.linspace(1.15, 0.75, width, dtype=np.float32)[None, :, None]
    return np.asarray(picture * fall)


def write_jpeg(
    path: Path, linear: NDArray[np.float32], stops: float, minute: int, orientation: int = 1
) -> None:
    """As a camera writes it: sRGB, with its settings."""
    table = np.linspace(0, 1, 1025)
    curve = np.where(table <= 0.0031308, 12.92 * table, 1.055 * table ** (1 / 2.4) - 0.055) * 255
    index = np.clip(linear * (2.0**stops * 1024), 0, 1024).astype(np.int32)
    exif = Image.Exif()
    exif[0x0112] = orientation
    exif[0x8769] = {
        0x9003: f"2027:05:08 12:{minute:02d}:00", 0x829A: IFDRational(1, 4),
        0x829D: IFDRational(8, 1), 0x8827: 100, 0x920A: IFDRational(35, 1),
    }  # fmt: skip
    Image.fromarray(curve[index].astype(np.uint8)).save(path, quality=92, exif=exif)


def make_kitchen(root: Path, share: float = 1.0) -> None:
    """Her folder: two files and a dozen JPEGs, no larger than her channels ask for; every fourth is good.

    share: of each side, of the frames and of the channels.
    """
    text = re.sub(r"(?<=_px = )\d+", lambda px: str(round(share * int(px[0]))), SHOOT)
    frames = shoot_folder(root, text, STUDIO) / "frames"
    high = round(share * 1200)
    above, angled = scene(round(share * 1800), high, 1), scene(round(share * 1600), high, 2)
    for number in range(FRAMES):
        linear = above if number < 4 else angled
        stops = (-2.0, 0.05, 0.0, 1.2)[number % 4]
        if number % 4 == 1:
            linear = np.asarray(cv2.GaussianBlur(linear, (0, 0), 6 * share))
        write_jpeg(frames / f"P{number:04d} é.jpg", linear, stops, number)
    (frames / "notes.jpg").write_text("remember the mint", encoding="utf-8")
    (frames / "empty.jpg").write_bytes(b"")
