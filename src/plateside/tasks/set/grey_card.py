"""Say where the grey card lies in a frame: its light and colour are then taken from there.

`name_grey_card`  writes down a place that was typed
`touched_card`    what lies where she touched a frame, before anything is written down
"""

import math
from dataclasses import dataclass
from pathlib import Path

import numpy as np
from numpy.typing import NDArray

from plateside.files.folder import find_shoot, shoot_folder
from plateside.files.index.index import Index
from plateside.files.journal.state import read_state
from plateside.files.originals.scan import scan_frames
from plateside.files.settings.load import load_shoot
from plateside.frames.colour import cast_of_card
from plateside.frames.exposure import CARD_AIM
from plateside.frames.grey_card import card_at
from plateside.model.errors import InputError
from plateside.tasks.named import check_shot
from plateside.tasks.set.press import LEAST_SIDE, box_in_frame, press
from plateside.tasks.set.shot import find_frame
from plateside.words.set import cards as words
from plateside.words.set import refusals

SIDE = 0.04
"""Width and height of the place that is read when only a point is named, as shares of the frame."""


@dataclass(frozen=True)
class CardNamed:
    """The place that was written down."""

    shot: str
    name: str
    """The frame's file name."""
    box: tuple[float, float, float, float]
    """x, y, width, height, shares of the upright frame."""

    def lines(self) -> list[str]:
        x, y, w, h = self.box
        return words.card_marked_lines(self.name, self.shot, x + w / 2, y + h / 2)


def name_grey_card(given: Path, shot: str, frame_name: str, place: str) -> CardNamed:
    """Write down where the grey card lies.

    shot        left empty: the frame's own, else the current one
    frame_name  file name in the frames folder, or the start of its content hash
    place       "X,Y" (a point on the card) or "X,Y,WIDTH,HEIGHT", shares of the upright frame from its upper left
    Raises InputError for what is not there.
    """
    root = find_shoot(given)
    shoot, state = load_shoot(root / "shoot.toml"), read_state(root)
    box = box_of(place)
    with Index.open(root) as index:
        frames, _refused = scan_frames(shoot_folder(root, shoot).frames_dir, index=index)
    frame = find_frame(frames, frame_name)
    if frame.id not in state.landed:
        raise InputError(refusals.not_judged(root, frame.name))
    shot = check_shot(shoot, shot or state.shot_of.get(frame.id, "") or state.current_shot)
    press(root, "grey card", {"shot": shot, "frame": frame.id, "box": list(box)}, state.last_row)
    return CardNamed(shot, frame.name, box)


@dataclass(frozen=True)
class CardTouched:
    """What lies where she touched the frame."""

    box: tuple[float, float, float, float]
    """x, y, width, height, shares of the upright frame."""
    grey: bool
    why_not: str = ""
    """a code, when it is not grey"""
    off_stops: float = 0.0
    cast_mired: float = 0.0
    tint_stops: float = 0.0
    """of a card: too bright, too warm and too green positive"""

    def lines(self) -> list[str]:
        if not self.grey:
            return [words.no_card_sentence(self.why_not)]
        return [words.card_read_sentence(self.off_stops, self.cast_mired, self.tint_stops)]


def touched_card(small: NDArray[np.float32], across: float, down: float) -> CardTouched:
    """The card about a touch, and what it says; nothing is written down.

    small  a small linear picture of the frame, display white = 1; across, down  shares of the upright frame
    Raises InputError for a touch beside the frame.
    """
    if not (0 <= across <= 1 and 0 <= down <= 1):
        raise InputError(refusals.touched_beside(across, down))
    found = card_at(small, across, down)
    x0, y0, x1, y1 = found.box
    # a place that is written down is a fiftieth of the frame wide and high at least
    w, h = (min(max(v, LEAST_SIDE), 1.0) for v in (x1 - x0, y1 - y0))
    x = min(max((x0 + x1 - w) / 2, 0.0), 1.0 - w)
    y = min(max((y0 + y1 - h) / 2, 0.0), 1.0 - h)
    if found.why_not:
        return CardTouched((x, y, w, h), False, found.why_not)
    colour = cast_of_card(small, found.box)
    stops = math.log2(max(colour.card_level or 0.0, 1e-4) / CARD_AIM)
    return CardTouched((x, y, w, h), True, "", stops, colour.cast_mired, colour.tint_stops)


def box_of(place: str) -> tuple[float, float, float, float]:
    """The box that a place names; a point becomes a small square about it, kept inside the frame."""
    try:
        numbers = [float(v) for v in place.split(",")]
    except ValueError:
        numbers = []
    if len(numbers) not in (2, 4) or not all(0 <= v <= 1 for v in numbers):
        raise InputError(refusals.no_place(place))
    if len(numbers) == 4:
        x, y, w, h = box_in_frame(numbers, "grey card")
        return x, y, w, h
    x, y = (min(max(v - SIDE / 2, 0.0), 1.0 - SIDE) for v in numbers)
    return x, y, SIDE, SIDE
