"""Where the shoot stands on set: the current shot, what is left, what to mind before the first frame, bursts."""

from collections.abc import Mapping, Sequence
from typing import Any

from plateside.words.counting import listed, plural
from plateside.words.set.events import best_lead, best_sentence

NO_SHOT_LEFT = "No other shot is left: each has a kept frame."
NOT_WATCHING = (
    "Not watching for new frames (started with --no-watch).",
    "New frames are not judged, because Plateside was started with --no-watch. "
    "At the laptop, stop it (Ctrl+C in its window) and start it without.",
)
"""In short, and with the fix."""

CAUTIONS: Mapping[str, str] = {
    "pour": "Pour away from you; nothing hot into cold glass.",
    "steam": "Steam burns: hands clear, window ajar.",
    "sugar": "Fine sugar burns in air: no flame near.",
    "overhead": "Arm over a leg, camera tied, nobody beneath.",
    "cords": "No cord where you step, none near water.",
}
"""To mind before the first frame of a shot (the trade's usual cautions; makers' limits decide)."""


def whole_dish_caution(shots: Sequence[str]) -> str:
    """`shots`: those of the whole dish that no frame is kept of."""
    return f"The dish is not whole after this, and no frame is kept of {listed(shots)}."


def now_of_shot_sentence(names: Sequence[str], shot: str) -> str:
    return f"{', '.join(names)}: now with {shot}."


def current_shot_sentence(shot: str) -> str:
    return f"Current shot: {shot}. Frames that land now belong to it."


def shot_line(name: str, frames: int, select: str, *, current: bool) -> str:
    """'now pour: 3 frames, select P0022.jpg'."""
    count = plural(frames, "frame") if frames else "no frames yet"
    return f"{'now ' if current else '    '}{name}: {count}{f', select {select}' if select else ''}"


def not_judged_line(count: int, folder: str, command: str) -> str:
    return f"{plural(count, 'frame')} in {folder} not judged yet: {command}"


def burst_place_phrase(count: int, place: str, *, this: bool) -> str:
    """'best of 6: 3rd, this one'."""
    return f"best of {count}: {place}{', this one' if this else ''}"


def burst_reason(why: Mapping[str, Any] | None) -> str:
    """Why that one; empty when nothing says so."""
    return best_sentence(why) if why and best_lead(why) else ""


def since_phrase(layer: int) -> str:
    """What a frame is compared with: 'layer 2', or 'the test frame' (0)."""
    return f"layer {layer}" if layer else "the test frame"


def changed_sentence(count: int, since: str) -> str:
    return f"{count} changed since {since}."
