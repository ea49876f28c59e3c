"""What a watcher says: of its own work, and of the journal's rows that others write."""

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from plateside.files.journal.rows import Row
from plateside.files.journal.state import ShootState
from plateside.files.journal.verdict_rows import sentence_in
from plateside.tasks.set.judged import Judged, lamp_of
from plateside.words.counting import ordinal
from plateside.words.set import events as words


@dataclass(frozen=True)
class Event:
    """One thing that the watcher says."""

    kind: str
    """landed, provisional, verdict, burst, light, renamed, copy, refused, waiting, card, chart, lamp; of others' rows:
    shot, decision; of the watching itself: following, watching, settings, damage; safe: of the second disk and memory
    card, without words when only a count changed"""
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

    def event(kind: str, said: str, word: str = "") -> Event:
        return Event(kind, said, row=row.number, word=word, name=name, shot=of)

    match row.kind:
        case "frame landed":
            return event("landed", words.landed_sentence(name))
        case "file set aside":
            return Event("refused", str(data["reason"]), row=row.number, name=str(data["name"]))
        case "frame renamed":
            return event("renamed", words.renamed_sentence(name))
        case "verdict":
            return event("verdict", sentence_in(data), str(data["word"]))
        case "chart seen":
            return event("chart", words.chart_seen_sentence(name))
        case "shot current":
            return event("shot", words.current_shot_sentence(shot, by_card=data.get("by") == "card"))
        case "kept" | "again" | "select" | "alternate" | "test frame" | "layer" | "best":
            layers = len(state.layers.get(shot, []))
            return event("decision", words.decided_sentence(row.kind, name, shot, layers))
        case "burst":
            return event("burst", burst_words(data, state))
        case "lamp check":
            return event("lamp", words.lamps_off_sentence(shot))
        case "lamp settled":
            return event("lamp", words.lamp_settled_sentence(lamp_of(data)))
        case "undo":
            return event("decision", words.row_taken_back_sentence(int(data["row"])))
    return None


def burst_words(data: Mapping[str, Any], state: ShootState) -> str:
    """'Best of 6: the 3rd: stream unbroken, hand sharp' of a 'burst' row; your own choice as such."""
    frames, own = list(data["frames"]), state.best_by_her(data["frames"])
    best = own or str(data["best"])
    place = ordinal(frames.index(best) + 1) if best in frames else ""
    return words.burst_lead(len(frames), place, data.get("why"), own=bool(own))
