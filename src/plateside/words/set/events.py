"""What the watcher says as it happens: of its own work, and of the journal's rows that others write."""

from collections.abc import Mapping
from typing import TYPE_CHECKING, Any

from plateside.model.errors import PlatesideError
from plateside.model.frame import Act
from plateside.words.refused import said
from plateside.words.set.acts import act_sentence

if TYPE_CHECKING:
    from plateside.frames.lamp_check import Lamp

FOLLOWING = "Another Plateside is judging this shoot's frames: its verdicts are shown here."
TAKEN_OVER = "The other Plateside has stopped: frames are judged here from now on."


def landed_sentence(name: str) -> str:
    return f"{name} has landed."


def renamed_sentence(name: str, before: str = "") -> str:
    return f"{before or 'A frame'} is now called {name}."


def copy_sentence(name: str, of: str) -> str:
    return f"{name} is a copy of {of}; it counts once."


def current_shot_sentence(shot: str, by_card: bool = False) -> str:
    return f"Current shot: {shot}{', by the back of the set card' if by_card else ''}."


def decided_sentence(kind: str, name: str, shot: str, layers: int = 0) -> str:
    """Of a row that somebody pressed or typed; `layers`: how many the shot has now."""
    match kind:
        case "kept":
            return f"{name} is kept."
        case "again":
            return f"{name}: again."
        case "layer":
            return f"{name} is layer {layers} of {shot}."
        case "best":
            return f"{name} is the best of its burst, by your choice."
        case _:
            return f"{name} is the {kind} of {shot}."


def row_taken_back_sentence(number: int) -> str:
    return f"Row {number} is taken back."


def lamps_off_sentence(shot: str) -> str:
    """What to do now."""
    return f"Lamps off, change nothing else, one frame of {shot}: it settles whether a lamp was on."


def compared_with_next_sentence(name: str) -> str:
    return f"{name} is compared with the next frame."


def lamp_settled_sentence(lamp: "Lamp") -> str:
    """'It was a lamp, at the left: 34 % of the light there, much warmer (120 mired). Leave it off.'"""
    return act_sentence(_settled_act(lamp))


def settings_wrong_sentence(error: PlatesideError) -> str:
    return f"{said(error).splitlines()[0]} Until you fix it, frames are judged by the settings as they were."


def card_back_sentence(code: str, shot: str) -> str:
    """The set card's back was shown: next, already (that shot is the current one) or last."""
    return {
        "next": f"Back of the set card: next shot, {shot}.",
        "already": f"Back of the set card: you are already shooting {shot}.",
        "last": f"Back of the set card: {shot} is the last shot on the list.",
    }[code]


def chart_seen_sentence(name: str) -> str:
    return f"{name} shows a colour chart, so it belongs to no shot and is not judged. If it is a picture, say its shot."


def quick_look_line(name: str, verdict: str, is_raw: bool) -> str:
    return f"{name}  {verdict} so far, {'reading the raw' if is_raw else 'still looking'}"


def then_line(sentence: str) -> str:
    return f"  then: {sentence}"


def watching_sentence(folder: str) -> str:
    return f"Watching the frames of {folder}. Ctrl-C stops."


# ---- Bursts ---------------------------------------------------------------------------------------------------

OWN_CHOICE = "your own choice"
_BROKEN = {0: "unbroken", 1: "broken once", 2: "broken twice"}


def burst_lead(count: int, place: str, why: Mapping[str, Any] | None, own: bool) -> str:
    """'Best of 6: the 3rd: stream unbroken, hand sharp'; `place` as an ordinal, empty when none is sharp enough."""
    if not place:
        return f"Burst of {count}: none sharp enough to measure"
    reason = OWN_CHOICE if own else best_lead(why or {})
    return f"Best of {count}: the {place}{': ' if reason else ''}{reason}"


def best_lead(why: Mapping[str, Any]) -> str:
    """Why a frame is the best of its burst, without what the others have: 'sharpest on the hand'."""
    on = str(why.get("on", "the hero"))
    match why.get("code"):
        case "only":
            return f"the only usable one, judged on {on}"
        case "poured":
            return f"stream {stream_phrase(why)}, {on.removeprefix('the ')} sharp"
        case "as sharp":
            return f"as sharp as any on {on}, exposed like the rest"
        case "sharpest":
            return f"sharpest on {on}"
    return ""


def best_sentence(why: Mapping[str, Any]) -> str:
    """The whole, without a full stop: '..., : of the others 2 with a worse stream'."""
    lead = best_lead(why)
    match why.get("code"):
        case "poured":
            return f"{lead}: {_others(why)}"
        case "sharpest" | "as sharp":
            low, high = (f"{100 * float(why.get(end, 1.0)):.0f}" for end in ("low_share", "high_share"))
            share = f"{low} %" if low == high else f"{low} to {high} %"
            return f"{lead}: the others have {share} of its fine contrast"
    return lead


def stream_phrase(why: Mapping[str, Any]) -> str:
    """'unbroken', 'broken twice' ..."""
    if not why.get("there", True):
        return "not there"
    breaks = int(why.get("breaks", 0))
    return _BROKEN.get(breaks, f"broken {breaks} times")


def _others(why: Mapping[str, Any]) -> str:
    on = str(why.get("on", "the hero"))
    found = [
        f"{why[key]} {words}"
        for key, words in (
            ("worse_streams", "with a worse stream"), ("softer", f"softer on {on}"), ("wilder", "with more splash"),
        )
        if why.get(key)
    ]  # fmt: skip
    return f"of the others {', '.join(found)}" if found else "the others are like it"


def burst_line(label: str, name: str, why: Mapping[str, Any] | None, own: bool) -> str:
    """A line of `judge`: 'Burst of 6: best is P0022.jpg, sharpest on the hand; the others are kept as alternates.'"""
    if not name:
        return f"{label}: nothing in it is sharp enough to measure."
    reason = OWN_CHOICE if own else best_sentence(why or {})
    return f"{label}: best is {name}, {reason}; the others are kept as alternates."


def _settled_act(lamp: "Lamp") -> Act:
    # loaded when a lamp is settled: what measures frames is heavy, and the pages' server says these words too
    from plateside.frames.lamp_check import settled_act

    return settled_act(lamp)
