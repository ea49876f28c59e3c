"""Say where the grey card lies in a frame: its light and colour are then taken from there."""

from dataclasses import dataclass
from pathlib import Path

from plateside.files.folder import find_shoot, shoot_folder
from plateside.files.journal.state import read_state
from plateside.files.originals.scan import scan_frames
from plateside.files.settings import load_shoot
from plateside.model.errors import InputError
from plateside.tasks.named import check_shot
from plateside.tasks.press import press
from plateside.tasks.shot import find_frame

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
        return [
            f"{self.name}: the grey card of {self.shot} lies at {x + w / 2:.2f} across and {y + h / 2:.2f} down.",
            "It is the aim of exposure and white balance there, and in later frames while it still lies there.",
        ]


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
    frames, _refused = scan_frames(shoot_folder(root, shoot).frames_dir)
    frame = find_frame(frames, frame_name)
    if frame.id not in state.landed:
        raise InputError(f"{frame.name} has not been judged yet: plateside judge {frame.name} --shoot {root}")
    shot = check_shot(shoot, shot or state.shot_of.get(frame.id, "") or state.current_shot)
    press(root, "grey card", {"shot": shot, "frame": frame.id, "box": list(box)}, state.last_row)
    return CardNamed(shot, frame.name, box)


def box_of(place: str) -> tuple[float, float, float, float]:
    """The box that a place names; a point becomes a small square about it, kept inside the frame."""
    try:
        numbers = [float(v) for v in place.split(",")]
    except ValueError:
        numbers = []
    if len(numbers) not in (2, 4) or not all(0 <= v <= 1 for v in numbers):
        raise InputError(
            f"{place!r} is no place in a frame: give across,down as shares from its upper left, such as 0.62,0.40 "
            "(or across,down,width,height)."
        )
    if len(numbers) == 4:
        x, y, w, h = numbers
        return x, y, w, h
    x, y = (min(max(v - SIDE / 2, 0.0), 1.0 - SIDE) for v in numbers)
    return x, y, SIDE, SIDE
