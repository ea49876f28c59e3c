"""What the Finish page is sent: every shot with its finished picture, and the sentences chosen for it."""

from dataclasses import dataclass
from typing import Any

from plateside.tasks.finish.shown import HAND_LIMITS
from plateside.words import Row, Said
from plateside.words import finish as words
from plateside.words.counting import megabytes


@dataclass(frozen=True)
class PictureFinished:
    """A finished picture."""

    shot: str
    frame: str
    frame_id: str
    file: str
    version: str
    """another whenever the file is"""
    width_px: int
    height_px: int
    from_raw: bool
    figures: tuple[Row, ...]
    said: tuple[str, ...]
    """What was done to it, a sentence each."""
    made_from: str
    size: str
    before: str
    """What stands before it: the raw, or the camera's own picture."""
    can_be_set: bool
    """Whether its controls work: it is as Plateside made it, in this version."""


@dataclass(frozen=True)
class HandShown:
    """What is set by hand, for a picture or the series."""

    brighter_stops: float
    warmer_mired: float
    magenta_cc: float
    turned_degrees: float


@dataclass(frozen=True)
class ShotFinished:
    """A shot, and its finished picture when there is one."""

    name: str
    role: str
    frames: int
    select: str
    notes: tuple[Said, ...]
    again: str
    """Why its frame had better be taken again; else empty."""
    picture: PictureFinished | None
    hand: HandShown
    """What is set for it alone."""
    hand_changed: bool
    """Its file is not yet as it is set."""


@dataclass(frozen=True)
class FinishShown:
    """The series."""

    row: int
    match_to: str
    kind: str
    """tiff or jpeg"""
    shots: tuple[ShotFinished, ...]
    headline: str
    greyed_out: str
    """Why the series cannot be made; empty: it can."""
    look_off: str
    like_it: str
    series_hand: HandShown
    """What is set for the whole series."""
    limits: HandShown
    """How far either way."""


def finish_shown(now: dict[str, Any]) -> FinishShown:
    """`tasks.finish.shown.finishing`, with its sentences."""
    off = now["look_off"]
    return FinishShown(
        row=now["row"],
        match_to=now["match_to"],
        kind=now["kind"],
        shots=tuple(_shot(shot) for shot in now["shots"]),
        headline=_headline(now),
        greyed_out="" if any(s["frames"] for s in now["shots"]) else words.NEEDS_A_FRAME,
        look_off=words.look_off_sentence(off, now["match_to"]) if off else "",
        like_it=words.LIKE_IT,
        series_hand=HandShown(**now["series_hand"]),
        limits=HandShown(**HAND_LIMITS),
    )


def _headline(now: dict[str, Any]) -> str:
    shots = now["shots"]
    finished = [s for s in shots if s["picture"]]
    if not finished:
        return words.NOTHING_YET
    return " ".join(
        words.standing_sentences(
            len(finished),
            len(shots),
            now["match_to"],
            unmatched=[
                s["name"] for s in finished if not s["picture"]["match"]["matched"] and not s["as_taken"]
            ],
            as_taken=[s["name"] for s in finished if not s["picture"]["match"]["matched"] and s["as_taken"]],
            another=[s["name"] for s in shots if s["another_select"]],
            missing=[s["name"] for s in shots if not s["picture"]],
        )
    )


def _shot(shot: dict[str, Any]) -> ShotFinished:
    name, picture, doubt = shot["name"], shot["picture"], shot["doubt"]
    notes: list[Said] = []
    if picture and not picture["match"]["matched"]:
        as_taken = shot["as_taken"]
        notes.append(
            Said("as taken", words.AS_TAKEN_BY_YOU) if as_taken else Said("unmatched", words.UNMATCHED)
        )
    if shot["another_select"]:
        notes.append(Said("another select", words.another_select_sentence(shot["select"], picture["frame"])))
    again = words.again_sentence(name, doubt["by_her"], doubt["act"], doubt["kept"]) if doubt else ""
    if again:
        notes.append(Said("take again", again))
    if picture and picture["by_hand"]:
        notes.append(Said("by hand", words.kept_by_hand_sentence(picture["file"])))
    if not picture:
        code = "not finished" if shot["frames"] else "no frame"
        notes.append(Said(code, words.not_finished_sentence(shot["frames"], shot["select"])))
    if picture and shot["hand_changed"] and not picture["by_hand"]:
        notes.append(Said("set by hand", words.HAND_CHANGED))
    shown = _picture(picture) if picture else None
    return ShotFinished(
        name, shot["role"], shot["frames"], shot["select"], tuple(notes), again, shown, HandShown(**shot["hand"]),
        shot["hand_changed"],
    )  # fmt: skip


def _picture(picture: dict[str, Any]) -> PictureFinished:
    done = picture["adjustments"]
    wide, high = picture["width_px"], picture["height_px"]
    return PictureFinished(
        shot=picture["shot"],
        frame=picture["frame"],
        frame_id=picture["frame_id"],
        file=picture["file"],
        version=picture["version"],
        width_px=wide,
        height_px=high,
        from_raw=picture["from_raw"],
        figures=tuple(words.figure_rows(done.match)),
        said=tuple(words.adjustment_sentences(done)),
        made_from=words.made_from_sentence(picture["frame"], picture["chosen_by"] == "you"),
        size=f"{wide} × {high} pixels, {megabytes(picture['bytes'])}.",
        before=words.BEFORE[picture["from_raw"]],
        can_be_set=picture["can_be_set"] and not picture["by_hand"],
    )
