"""Pictures of the page Finish: a finished one made small, and its raw as it was before the set was matched."""

from pathlib import Path

import cv2
import numpy as np
from numpy.typing import NDArray

from plateside.files.cache import BuildRecord
from plateside.files.journal.state import read_state
from plateside.files.originals.pixels import linear_picture
from plateside.files.pictures import encode, read_picture
from plateside.files.settings.load import open_shoot
from plateside.finish.chart import ColourProfile
from plateside.finish.develop import develop
from plateside.finish.render import highlight, render, to_8_bits
from plateside.finish.tone import set_curve
from plateside.finish.white_balance import NONE, of_array
from plateside.model.errors import InputError
from plateside.tasks.choose.make_thumbnails import write_bytes_to
from plateside.tasks.finish.as_seen import AsSeen
from plateside.tasks.finish.finished_list import AS_SEEN_RECORD
from plateside.tasks.finish.shown import SIZES, finished_preview, plain_preview, profile_of
from plateside.words.finish import frame_gone

_SMALL = ("row", "view")


def make_finished_preview(root: Path, file: str, version: str, size: str) -> None:
    """Make a finished picture small for a page; those of earlier versions are taken away."""
    pixels = to_8_bits(read_picture(root / "finished" / file).pixels)
    # small ones are asked for together; a full one only when somebody looks closely
    for name in _SMALL if size in _SMALL else (size,):
        longest, quality = SIZES[name]
        path = finished_preview(root, file, version, name)
        write_bytes_to(path, encode(_fitted(pixels, longest), "jpeg", quality))
    for old in finished_preview(root, file, version, size).parent.glob("*.jpg"):
        if not old.name.startswith(f"{version}-"):
            old.unlink(missing_ok=True)


def make_plain_preview(root: Path, frame: str, size: str) -> None:
    """Make the picture of a raw as it is before the set is matched. Raises InputError when the frame is gone.

    As the finished picture is made, by the same chart's profile where it is made by one, but with the camera's own
    white balance, no gains, and a curve for it alone: so what differs between the two is what was done, not whose
    development it is.
    """
    opened = open_shoot(root)
    state = read_state(opened.folder.root)
    name = state.landed.get(frame, "")
    path = opened.folder.frames_dir / name
    if not name or not path.is_file():
        raise InputError(frame_gone(name or frame[:12]))
    terms = profile_of(opened.folder.root, frame)
    profile = None if terms is None else ColourProfile(terms, 0.0, 0.0, 0.0)
    linear = develop(linear_picture(path, half=size in _SMALL), None, profile)
    record = BuildRecord(opened.folder.plateside_dir / AS_SEEN_RECORD)
    seen = of_array(NONE.array * 2.0 ** AsSeen(opened, state, record).stops(path))
    curve = set_curve([highlight(linear, seen)], scene_referred=True)
    longest, quality = SIZES[size]
    pixels = _fitted(to_8_bits(render(linear, seen, curve)), longest)
    made = plain_preview(opened.folder.root, frame, size, terms)
    write_bytes_to(made, encode(pixels, "jpeg", quality))
    for old in made.parent.glob(f"{frame}-*{size}.jpg"):
        if old != made:
            old.unlink(missing_ok=True)


def _fitted(pixels: NDArray[np.uint8], longest: int) -> NDArray[np.uint8]:
    height, width = pixels.shape[:2]
    if max(height, width) <= longest:
        return pixels
    scale = longest / max(height, width)
    size = (max(round(width * scale), 1), max(round(height * scale), 1))
    return np.asarray(cv2.resize(pixels, size, interpolation=cv2.INTER_AREA), np.uint8)
