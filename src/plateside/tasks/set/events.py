"""What a watcher says: of its own work, and of the journal's rows that others write."""

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from plateside.files.journal.rows import Row
from plateside.files.journal.state import ShootState
from plateside.tasks.set.judged import Judged, lamp_of
from plateside.words.counting import ordinal


@dataclass(frozen=True)
class Event:
    """One thing that the watcher says."""

    kind: str
    """landed, provisional, verdict, burst, light, renamed, copy, refused, waiting, card, lamp; of others' rows: shot,
    decision; of the watching itself: following, watching, settings, damage"""
    words: str
    judged: Judged | None = None
    row: int = 0
    """Number of the journal row that holds it; 0 when it is not written down."""
    seconds: float = 0.0
    """From the file being whole to this word."""
    word: str = ""
    """verdict: good, adjust or again"""
    name: str = ""
    """The frame's file name, when it is about one frame."""
    shot: str = ""


def event_of(row: Row, state: ShootState) -> Event | None:
    """A row in words, `state` being after it; None for what nobody needs to hear."""
    data = row.data
    frame, shot = str(data.get("frame", "")), str(data.get("shot", ""))
    name = state.landed.get(frame, "")
    of = shot or state.shot_of.get(frame, "")

    def event(kind: str, words: str, word: str = "") -> Event:
        return Event(kind, words, row=row.number, word=word, name=name, shot=of)

    match row.kind:
        case "frame landed":
            return event("landed", f"{name} has landed.")
        case "file set aside":
            return Event("refused", str(data["reason"]), row=row.number, name=str(data["name"]))
        case "frame renamed":
            return event("renamed", f"A frame is now called {name}.")
        case "verdict":
            return event("verdict", str(data.get("act", "")), str(data["word"]))
        case "shot current":
            by = ", by the card's back" if data.get("by") == "card" else ""
            return event("shot", f"Current shot: {shot}{by}.")
        case "kept":
            return event("decision", f"{name} is kept.")
        case "again":
            return event("decision", f"{name} is to be taken again.")
        case "select" | "alternate" | "test frame":
            return event("decision", f"{name} is the {row.kind} of {shot}.")
        case "layer":
            return event("decision", f"{name} is kept as layer {len(state.layers.get(shot, []))} of {shot}.")
        case "burst":
            return event("burst", burst_words(data, state))
        case "best":
            return event("decision", f"{name} is the best of its burst, by your choice.")
        case "lamp check":
            return event("lamp", lamp_ask(shot))
        case "lamp settled":
            return event("lamp", lamp_of(data).words())
        case "undo":
            return event("decision", f"Row {data['row']} is taken back.")
    return None


def lamp_ask(shot: str) -> str:
    """What to do now."""
    return f"Lamps off, nothing else changed, one frame of {shot}: it settles whether a lamp was on."


def burst_words(data: Mapping[str, Any], state: ShootState) -> str:
    """'Best of 6: the 3rd: stream unbroken, hand sharp' of a 'burst' row; her own choice is told as such."""
    frames, own = list(data["frames"]), state.best_by_her(data["frames"])
    best = own or str(data["best"])
    if best not in frames:
        return f"Burst of {len(frames)}: none is sharp enough to be measured"
    reason = "your own choice" if own else str(data.get("reason", "")).split(":")[0]
    return f"Best of {len(frames)}: the {ordinal(frames.index(best) + 1)}: {reason}"
