"""What was just decided, and what taking it back takes back: a row of the journal, its kind and its data."""

from collections.abc import Mapping
from typing import Any

from plateside.words.counting import capital

Data = Mapping[str, Any]
NOTHING_TO_TAKE_BACK = "Nothing to take back."
_PLAIN = {
    "kept": "Keep",
    "again": "Again",
    "camera clock": "the camera's clock",
    "best": "your best of a burst",
}
_OF_SHOT = {
    "select": "the select",
    "alternate": "the alternate",
    "test frame": "the test frame",
    "layer": "a layer",
    "lamp check": "the lamp check",
    "grey card": "the place of the grey card",
    "dish": "the place of the dish",
    "crop": "the crop",
    "words": "words",
    "as taken": "your acceptance",
    "as made": "the picture as it was made",
    "retouched kept": "the retouched file kept",
}
_EXTRA = {
    "finished": "{} is finished beside the selects: make the series.",
    "delivered": "{} goes into the delivery.",
    "none": "{} is not finished any more.",
}
_SERIES = "the whole series"  # fmt: skip


def decision_phrase(kind: str, data: Data) -> str:
    """What taking this row back would undo: 'Keep', 'the test frame of pour', 'the move to one-bowl'."""
    shot = str(data.get("shot", ""))
    match kind:
        case "shot current":
            return f"the move to {shot}"
        case "frame belongs":
            return f"a frame's move to {shot}"
        case "crop":
            return f"the crop of {shot} for {data['channel']}"
        case "words":
            return f"{_field(data)} of {shot}"
        case "extra":
            return f"{data.get('name', 'a frame')} beside the selects"
        case "lens":
            return "the lens switch"
        case "colour chart":
            return "the colour chart's marking"
        case "square":
            return f"the squaring of {shot}"
        case "look":
            return f"the look by hand of {shot or _SERIES}"
    if kind in _OF_SHOT:
        return f"{_OF_SHOT[kind]} of {shot}"
    return _PLAIN.get(kind, kind)


def taken_back_sentence(kind: str, data: Data) -> str:
    """'Taken back: the test frame of pour.'"""
    return f"Taken back: {decision_phrase(kind, data)}."


def pressed_sentence(kind: str, data: Data) -> str:
    """What a page answers to a press: 'Kept.', 'Select of pour.'"""
    shot, given = str(data.get("shot", "")), data.get("box") is not None
    match kind:
        case "kept":
            return "Kept."
        case "again":
            return "Again."
        case "best":
            return "Best of its burst."
        case "shot current":
            return f"Now: {shot}."
        case "layer":
            return f"A layer of {shot}."
        case "select" | "alternate" | "test frame":
            return f"{capital(kind)} of {shot}."
        case "judge again":
            return "Being judged again."
        case "frame belongs":
            return f"Belongs to {shot}."
        case "crop":
            return f"{'Your crop' if given else 'Plateside crops it again'}: {shot} for {data['channel']}."
        case "dish":
            mark = "the dish is where you marked it" if given else "Plateside finds the dish again"
            return f"{shot}: {mark}."
        case "grey card":
            mark = "the grey card is where you marked it" if given else "no grey card marked any more"
            return f"{shot}: {mark}."
        case "words":
            return f"{capital(_field(data))} of {shot}."
        case "extra":
            return _EXTRA[str(data.get("use", "finished"))].format(data.get("name", "A frame"))
        case "as made":
            return f"{shot}: the picture as it was made."
        case "retouched kept":
            return f"{shot}: your retouched file stays."
        case "colour chart":
            return (
                "Colours by this chart from now on." if data.get("corners") else "That chart counts no more."
            )
        case "as taken":
            return f"{shot} stays as taken."
        case "lens":
            return "Lenses left as they are." if data.get("use") == "off" else "Lenses corrected."
        case "square":
            return f"{shot} is not squared any more."
        case "look":
            return f"Look by hand of {shot or _SERIES}."
    return f"{capital(kind)}."


def written_down_sentence(kind: str, name: str, shot: str = "") -> str:
    """What the command says of a decision: 'IMG_1.jpg: select of pour, by your choice.'"""
    pressed = {"kept": "kept", "again": "again", "best": "the best of its burst, by your choice"}
    return f"{name}: {pressed[kind]}." if kind in pressed else f"{name}: {kind} of {shot}, by your choice."


def _field(data: Data) -> str:
    return str(data["field"]).replace("_", " ")
