"""A small shoot made by code, for finishing, delivering and packing: a photograph re-lit with known truth."""

from functools import cache
from pathlib import Path

import cv2
import numpy as np
from numpy.typing import NDArray
from PIL import Image

from plateside.files.journal.journal import Journal
from plateside.files.originals.identity import content_hash
from plateside.ground.srgb import to_display, to_linear
from plateside.tasks.deliver.delivery import deliver
from plateside.tasks.finish.series import finish
from tests.photographs import photograph
from tests.shoots.folder import shoot_folder
from tests.shoots.once import copied

SHOOT = """format = 1
date = "2027-05-01"

[recipe]
title = "Coffee & crème"
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
page_url = "https://example.org/coffee/"

[[shots]]
name = "cup"
role = "main"
alt_text = "A red cup of coffee on a wooden table, a spoon beside it."

[[shots]]
name = "near"
role = "detail"
alt_text = "Coffee from near by, a thin foam at its edge."

[[shots]]
name = "hand"
role = "step"
person = true
alt_text = "A hand lifts the cup."

[[channels]]
name = "wide"
width_px = 320
height_px = 180

[[channels]]
name = "square"
width_px = 300
height_px = 300
formats = ["jpeg", "webp", "avif", "png"]

[[channels]]
name = "tall"
width_px = 200
height_px = 800
formats = ["jpeg"]
on_page = false
largest_kb = 12
"""

RELEASED = SHOOT.replace("person = true", "person = true\nmodel_release = true").replace(
    "\nalt_text", '\ndeliberate = ["fewer pixels"]\nalt_text'
)
"""Nothing held back; the channel tall asks for more pixels than there are, and that is accepted."""

LIGHTS: dict[str, tuple[float, float, float]] = {
    "cup": (1.0, 1.0, 1.0), "near": (0.72, 0.60, 0.50), "hand": (1.15, 1.20, 1.30),
}  # fmt: skip
"""What each frame's light was, against the first."""


@cache
def scene() -> NDArray[np.float64]:
    """The photograph as light, 720 x 480, with room above it; only to be read."""
    small = cv2.resize(photograph("coffee"), (720, 480), interpolation=cv2.INTER_CUBIC)
    light = np.asarray(to_linear(np.asarray(small, np.float64) / 255) * 0.7)
    light.flags.writeable = False
    return light


def frame(light: tuple[float, float, float], near: bool = False, seed: int = 0) -> NDArray[np.uint8]:
    """The scene in a light, coded in 8 bits with a little noise."""
    seen = scene()[60:, 80:-40] if near else scene()
    noisy = seen * np.array(light) + np.random.default_rng(seed).normal(0, 0.002, seen.shape)
    return np.rint(255 * to_display(np.clip(noisy, 0, 1))).astype(np.uint8)


def make_shoot(
    root: Path, text: str = SHOOT, shots: tuple[str, ...] = ("cup", "near", "hand"), share: float = 1.0
) -> Path:
    """A shoot folder with one frame for each shot, each the hero by her choice. The second is stored turned.

    share: of each side; less for who finishes it dozens of times and does not look at the pictures.
    """
    return copied(root, _make, text, shots, share)


def finished_shoot(root: Path, text: str = SHOOT, share: float = 1.0) -> Path:
    """The same, its three pictures finished."""
    return copied(root, _finished, text, share)


def delivered_shoot(root: Path, text: str = SHOOT) -> Path:
    """The same, and delivered."""
    return copied(root, _delivered, text)


def _delivered(root: Path, text: str) -> None:
    deliver(finished_shoot(root, text))


def _finished(root: Path, text: str, share: float) -> None:
    finish(_make(root, text, ("cup", "near", "hand"), share))


def _make(root: Path, text: str, shots: tuple[str, ...], share: float) -> Path:
    shoot_folder(root, text)
    journal = Journal.open(root)
    for number, shot in enumerate(shots):
        picture = Image.fromarray(frame(LIGHTS[shot], shot == "near", number))
        if share < 1:
            wide, high = (round(share * side) for side in picture.size)
            picture = picture.resize((wide, high), Image.Resampling.BOX)
        exif = Image.Exif()
        if shot == "near":
            picture = picture.transpose(Image.Transpose.ROTATE_90)
            exif[274] = 6  # to be shown turned a quarter to the right
        exif.get_ifd(0x8825)[1] = "N"  # a GPS block, as a telephone writes it
        exif.get_ifd(0x8825)[2] = (50.0, 1.0, 2.0)
        name = f"IMG {number} é.jpg"
        picture.save(root / "frames" / name, quality=96, exif=exif)
        identity = content_hash(root / "frames" / name)
        journal.append_many(
            [
                ("frame landed", {"frame": identity, "name": name}),
                ("frame belongs", {"frame": identity, "shot": shot, "guess": False}),
                ("select", {"shot": shot, "frame": identity}),
            ]
        )
    return root
