"""A whole shoot of small pictures: settings, weather, frames, a journal with every kind of row. Made once."""

import math
from pathlib import Path
from typing import Any

import numpy as np
from numpy.typing import NDArray
from PIL import Image

from plateside.files.journal.journal import Journal
from plateside.files.originals.identity import content_hash
from plateside.files.thumbnails import strip_path
from tests.shoots.folder import shoot_folder
from tests.shoots.once import copied

STUDIO = """format = 1

[place]
name = "A town"
latitude_deg = 50.0
longitude_deg = 10.0
timezone = "Europe/Berlin"
country = "DE"

[room]
width_m = 4.0
depth_m = 3.5
floor_reflectance = [0.4, 0.35, 0.3]

[[windows]]
name = "window"
bearing_deg = 10
width_m = 1.2
height_m = 1.2
sill_m = 0.8

[[windows.opposite]]
name = "house"
bearing_from_deg = 340
bearing_to_deg = 60
distance_m = 12
top_above_ground_m = 9

[[spots]]
name = "table"
from_left_m = 2.0
from_front_m = 0.7

[[boards]]
name = "white"

[[cameras]]
name = "camera"

[[lenses]]
name = "35"
focal_length_mm = 35

[[supports]]
name = "tripod"
"""
SHOOT = """format = 1
date = "2027-05-01"

[recipe]
title = "Coffee"
description = "A cup, in the morning."
serves = "1 cup"
ingredients = ["18 g coffee", "water"]
allergens = ["milk"]

[[recipe.steps]]
name = "grind"
takes = "PT2M"

[creator]
name = "A. Cook"
usage_terms = "Ask first"

[[shots]]
name = "cup"
role = "main"
alt_text = "A red cup of coffee on a wooden table, a spoon beside it."

[[shots.boards]]
board = "white"
side = "left"

[[shots]]
name = "near"
role = "detail"
from_time = "10:30"
minutes = 15
alt_text = "Coffee from near by, a thin foam at its edge."

[[channels]]
name = "wide"
width_px = 320
height_px = 180
formats = ["jpeg"]

[[channels]]
name = "square"
width_px = 240
height_px = 240
formats = ["jpeg"]
largest_kb = 30
"""


def picture(seed: int) -> NDArray[np.uint8]:
    """480 x 320: a round dish on a mottled table, a little brighter with each seed."""
    y, x = np.mgrid[0:320, 0:480]
    dish = np.clip((95 - np.hypot(x - 240, y - 160)) / 6, 0, 1)[..., None]
    noise = np.random.default_rng(seed).normal(0, 9, (320, 480, 3))
    table = np.array([120, 96, 70]) + 18 * np.sin(x / 9 + np.sin(y / 23))[..., None]
    seen = table * (1 - dish) + np.array([206, 188, 150]) * dish + noise
    return np.asarray(np.clip(np.rint(seen * (1 + 0.08 * seed)), 0, 255), np.uint8)


def year_of_hours(kind: str) -> str:
    """An invented typical year as an EPW or TMY3 text, by the layouts' own documents (named in the parsers)."""
    head = (
        [
            "LOCATION,Invented Bay,-,XXX,INVENTED,000000,50.0,10.0,1.0,77.0",
            "DESIGN CONDITIONS,0",
            "TYPICAL/EXTREME PERIODS,0",
            "GROUND TEMPERATURES,0",
            "HOLIDAYS/DAYLIGHT SAVINGS,No,0,0,0",
            "COMMENTS 1,invented",
            "COMMENTS 2,none",
            "DATA PERIODS,1,1,Data,Sunday,1/1,12/31",
        ]
        if kind == "epw"
        else [
            '999999,"INVENTED BAY",XX,1.0,50.0,10.0,77',
            "Date (MM/DD/YYYY),Time (HH:MM),ETR (W/m^2),GHI (W/m^2),DNI (W/m^2),DHI (W/m^2),"
            "TotCld (tenths),Dew-point (C)",
        ]
    )
    lines = list(head)
    for month, days in enumerate((31, 28, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31), start=1):
        for day in range(1, days + 1):
            for hour in range(1, 25):
                rise = max(0.0, math.sin(math.pi * (hour - 6.5) / 12)) if 6 < hour < 19 else 0.0
                direct, diffuse = round(700 * rise, 1), round(100 * rise, 1)
                whole = round(diffuse + direct * rise * 0.8, 1)
                if kind == "epw":
                    lines.append(
                        f"1999,{month},{day},{hour},60,?9,15.0,9.5,70,101000,500,1400,330,{whole},{direct},{diffuse},"
                        "1,2,3,4,180,3.0,4,4,20.0,77777,9,999999999,89,0.1,0,88,0.2,0,0"
                    )
                else:
                    lines.append(
                        f"{month:02d}/{day:02d}/1988,{hour:02d}:00,1,{whole},{direct},{diffuse},3,-2.5"
                    )
    return "\n".join(lines) + "\n"


def make_small_shoot(root: Path, frames: int = 3) -> Path:
    """A shoot of its own; nothing in it is judged, finished or delivered yet."""
    return copied(root, _make, frames)


def _make(root: Path, frames: int) -> None:
    shoot_folder(root, SHOOT, STUDIO)
    (root / "sky").mkdir()
    (root / "sky" / "weather.txt").write_text(year_of_hours("epw"), encoding="utf-8")
    (root / "sky" / "year.csv").write_text(year_of_hours("tmy3"), encoding="utf-8")
    hours = [f"2027-05-01T{hour:02d}:00Z,{(37 * hour) % 101}" for hour in range(24)]
    (root / "sky" / "forecast.csv").write_text(
        "\n".join(["time,cloud cover in percent", *hours]) + "\n", encoding="utf-8"
    )
    journal = Journal.open(root)
    ids = []
    for number in range(frames):
        path = root / "frames" / f"IMG {number}.jpg"
        Image.fromarray(picture(number)).save(path, quality=90)
        ids.append(content_hash(path))
    first, second, third = ids[0], ids[1], ids[-1]
    box = [0.1, 0.1, 0.5, 0.6]
    rows: list[tuple[str, dict[str, Any]]] = [("shot current", {"shot": "cup"})]
    rows += [("frame landed", {"frame": one, "name": f"IMG {n}.jpg"}) for n, one in enumerate(ids)]
    rows += [
        ("frame belongs", {"frame": first, "shot": "cup", "guess": False}),
        ("frame belongs", {"frame": second, "shot": "near", "guess": False}),
        ("frame belongs", {"frame": third, "shot": "near", "guess": True}),
        ("verdict", {"frame": first, "shot": "cup", "word": "good", "act": "", "confidence": 0.9}),
        (
            "verdict",
            {"frame": second, "shot": "near", "word": "adjust", "act": "One stop darker", "confidence": 0.8},
        ),
        ("kept", {"frame": first}),
        ("again", {"frame": second}),
        ("test frame", {"shot": "cup", "frame": first}),
        ("layer", {"shot": "cup", "frame": first}),
        ("lamp check", {"shot": "near", "frame": second}),
        ("burst", {"shot": "near", "frames": [second, third], "best": third, "reason": "sharper"}),
        ("best", {"frame": third}),
        ("select", {"shot": "cup", "frame": first}),
        ("select", {"shot": "near", "frame": second}),
        ("alternate", {"shot": "near", "frame": third}),
        ("crop", {"shot": "cup", "channel": "wide", "box": [0.1, 0.2, 0.8, 0.45]}),
        ("dish", {"shot": "cup", "box": box}),
        ("grey card", {"shot": "cup", "frame": first, "box": box}),
        ("crop", {"shot": "cup", "channel": "wide", "box": None}),
        ("words", {"shot": "cup", "field": "title", "text": "A cup"}),
        ("camera clock", {"camera": "camera", "offset_s": -3600}),
    ]
    last = journal.append_many(rows)[-1].number
    journal.append("undo", row=last)
    strip = strip_path(root, "0" * 32)
    strip.parent.mkdir(parents=True)
    Image.fromarray(picture(9)).save(strip, quality=60)
