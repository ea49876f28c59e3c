"""The demo's studio and shoot with six judged frames of two shots: what tests of pages begin with."""

import shutil
from pathlib import Path
from typing import Any

import numpy as np
from numpy.typing import NDArray
from PIL import Image
from PIL.TiffImagePlugin import IFDRational

from plateside.demo.data import copy_demo
from plateside.files.journal.journal import Journal
from plateside.files.originals.scan import scan_frames
from plateside.files.thumbnails import thumbnail_path
from plateside.tasks.set.judge import judge_frames
from tests.photographs import photograph

SHOTS = ("three-bowls", "one-bowl")


def frame_pixels(stops: float = 0.0, shift: int = 0) -> NDArray[np.uint8]:
    """The coffee picture (CC0, comes with scikit-image), brighter or darker, moved sideways; 1200 x 800."""
    picture = np.asarray(
        Image.fromarray(photograph("coffee")).resize((1200, 800), Image.Resampling.LANCZOS), float
    )
    linear = (picture / 255) ** 2.2 * 2**stops
    return np.roll(np.clip(linear, 0, 1) ** (1 / 2.2) * 255, shift, axis=1).astype(np.uint8)


def write_frame(path: Path, pixels: NDArray[np.uint8], taken: str = "2027:07-15 11:40:00") -> None:
    """A JPEG with the camera's settings in it, put in place in one step, as a card copy ends."""
    exif = Image.Exif()
    values: dict[int, Any] = {
        0x829A: IFDRational(1, 30), 0x829D: IFDRational(8, 1), 0x8827: 100, 0x920A: IFDRational(50, 1),
        0x9003: taken.replace("-", ":"),
    }  # fmt: skip
    exif[0x8769] = values
    path.parent.mkdir(parents=True, exist_ok=True)
    part = path.with_suffix(".part")
    Image.fromarray(pixels).save(part, "JPEG", quality=92, exif=exif)
    part.replace(path)


def make_judged_shoot(root: Path) -> Path:
    """The demo's studio and shoot with six frames of two shots, landed and judged."""
    root.mkdir(parents=True, exist_ok=True)
    copy_demo(root)
    for number, (stops, shift) in enumerate([(0, 0), (-1.5, 0), (0.1, 4), (0, 0), (0.9, 0), (-0.1, 8)]):
        write_frame(
            root / "frames" / f"plate-{number + 1:03d}.jpg",
            frame_pixels(stops, shift),
            f"2027:07:15 11:4{number}:00",
        )
    frames, _ = scan_frames(root / "frames")
    Journal.open(root).append_many(
        ("frame belongs", {"frame": f.id, "shot": SHOTS[k // 3], "guess": False})
        for k, f in enumerate(frames)
    )
    judge_frames(root)
    Journal.open(root).append("shot current", shot=SHOTS[0])
    for frame in frames:
        put_pictures(root, frame.id, np.asarray(Image.open(root / "frames" / frame.name)))
    return root


def put_pictures(root: Path, frame: str, pixels: NDArray[np.uint8]) -> None:
    """A frame's pictures for pages, made beforehand: what computes them is tested elsewhere, and is slow to start."""
    for size in ("view", "thumb"):
        picture = thumbnail_path(root, frame, size)
        picture.parent.mkdir(parents=True, exist_ok=True)
        shown = Image.fromarray(pixels)
        if size == "thumb":
            shown.thumbnail((320, 320))
        shown.save(picture, "JPEG")


def copy_shoot(made: Path, root: Path) -> Path:
    """A copy of a made shoot, lock files left behind."""
    shutil.copytree(made, root, ignore=shutil.ignore_patterns("*.lock"))
    return root
