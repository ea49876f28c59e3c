"""What the Finish page is sent: every shot with its finished picture, and the sentences chosen for it."""

from dataclasses import dataclass, replace
from typing import Any

from plateside.tasks.finish.shown import HAND_LIMITS, OFF, LensDone, Square
from plateside.words import Row, Said
from plateside.words import finish as words
from plateside.words import lens as lens_words
from plateside.words import retouched as retouched_words
from plateside.words.counting import megabytes
from plateside.words.finish_matched import figure_rows


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
    retouched: str
    """Hash of your file that counts in its place; empty: none."""
    made_from_key: str
    """Of all that the picture was made from."""
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
class OtherFrame:
    """A frame of a shot that is not finished."""

    id: str
    name: str


@dataclass(frozen=True)
class ChartMarked:
    """A frame whose colour chart counts."""

    frame: str
    corners: tuple[float, ...]
    """left and top of four, as shares of the picture"""


@dataclass(frozen=True)
class CameBackShown:
    """What was found of a file that came back from retouching."""

    code: str
    words: str
    picture: str
    """Of which it is; empty: of none."""


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
    square: str
    """By what it is squared; empty: it is not."""
    corners: tuple[float, ...]
    """Of that, as shares of the frame."""
    preview_version: str
    """Another whenever the picture that follows your hand would be; empty: there is none."""
    extra: str
    """Of a frame beside the select: finished or delivered; empty: it is a shot with its select."""
    extra_frame: str
    of: str
    """The shot whose frame the extra is; empty: of none."""
    others: tuple[OtherFrame, ...]
    """Frames that could be finished too."""


@dataclass(frozen=True)
class FinishShown:
    """The series."""

    row: int
    match_to: str
    kind: str
    """tiff or jpeg"""
    shots: tuple[ShotFinished, ...]
    extras: tuple[ShotFinished, ...]
    """Frames that are finished beside the selects."""
    charts: tuple[ChartMarked, ...]
    """Frames with a colour chart by which colours are made."""
    raws: tuple[OtherFrame, ...]
    """Frames in which a colour chart can be."""
    came_back: tuple[CameBackShown, ...]
    take_in: str
    """How a retouched file comes back; empty: nothing is finished yet."""
    headline: str
    greyed_out: str
    """Why the series cannot be made; empty: it can."""
    look_off: str
    like_it: str
    series_hand: HandShown
    """What is set for the whole series."""
    limits: HandShown
    """How far either way."""
    lens: str
    """on, off, or the profile to take where several fit"""
    lens_said: str
    """What holds for the lenses of the whole series."""
    lens_choice: tuple[str, ...]
    """Profiles that may fit, where more than one may."""
    lens_mine: str
    """The one of them that you chose; empty: none yet."""


def finish_shown(now: dict[str, Any]) -> FinishShown:
    """`tasks.finish.shown.finishing`, with its sentences."""
    off, choice = now["look_off"], _lens_choice(now)
    return FinishShown(
        row=now["row"],
        match_to=now["match_to"],
        kind=now["kind"],
        shots=tuple(_shot(shot) for shot in now["shots"]),
        extras=tuple(_shot(shot) for shot in now["extras"]),
        charts=tuple(ChartMarked(frame, tuple(corners)) for frame, corners in now["charts"]),
        raws=tuple(OtherFrame(*raw) for raw in now["raws"]),
        came_back=_came_back(now),
        take_in=retouched_words.TAKE_IN if any(s["picture"] for s in (*now["shots"], *now["extras"])) else "",
        headline=_headline(now),
        greyed_out="" if any(s["frames"] for s in now["shots"]) else words.NEEDS_A_FRAME,
        look_off=words.look_off_sentence(off, now["match_to"]) if off else "",
        like_it=words.LIKE_IT,
        series_hand=HandShown(**now["series_hand"]),
        limits=HandShown(**HAND_LIMITS),
        lens=now["lens"],
        lens_said=_lens_said(now),
        lens_choice=choice,
        lens_mine=next((name for name in choice if LensDone(name=name).is_named(now["lens"])), ""),
    )


def _came_back(now: dict[str, Any]) -> tuple[CameBackShown, ...]:
    pictures = [s["name"] for s in (*now["shots"], *now["extras"]) if s["picture"]]
    return tuple(
        CameBackShown("waiting", retouched_words.waiting_sentence(one), "")
        if isinstance(one, str)
        else CameBackShown(one.code, retouched_words.came_back_sentence(one, pictures), one.picture)
        for one in now["came_back"]
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
            extra=sum(bool(s["picture"]) for s in now["extras"]),
        )
    )


def _lens_said(now: dict[str, Any]) -> str:
    done = [s["picture"]["adjustments"].lens for s in (*now["shots"], *now["extras"]) if s["picture"]]
    return " ".join(lens_words.series_sentences([one for one in done if one.code != OFF]))


def _lens_choice(now: dict[str, Any]) -> tuple[str, ...]:
    pictures = [s["picture"] for s in (*now["shots"], *now["extras"]) if s["picture"]]
    names = [name for picture in pictures for name in picture["adjustments"].lens.others]
    return () if now["lens"] == OFF else tuple(dict.fromkeys(names))


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
    retouched = picture["retouched"] if picture else None
    if retouched:
        code = f"retouched {retouched.wrong}".strip()
        notes.append(Said(code, retouched_words.retouched_sentence(retouched.file, retouched.wrong)))
    elif picture and picture["by_hand"]:
        notes.append(Said("by hand", words.kept_by_hand_sentence(picture["file"])))
    if not picture and shot["extra"]:
        notes.append(Said("not finished", words.extra_not_finished(shot["select"])))
    elif not picture:
        code = "not finished" if shot["frames"] else "no frame"
        notes.append(Said(code, words.not_finished_sentence(shot["frames"], shot["select"])))
    if picture and shot["hand_changed"] and (not picture["by_hand"] or retouched):
        notes.append(Said("set by hand", words.HAND_CHANGED))
    shown = _picture(picture, shot["extra"]) if picture else None
    others = tuple(OtherFrame(*other) for other in shot["others"])
    return ShotFinished(
        name, shot["role"], shot["frames"], shot["select"], tuple(notes), again, shown, HandShown(**shot["hand"]),
        shot["hand_changed"], *_square(shot["square"]), shot["preview_version"],
        shot["extra"], shot["extra_frame"], shot["of"], others,
    )  # fmt: skip


def _square(square: Square | None) -> tuple[str, tuple[float, ...]]:
    return " ".join(lens_words.square_sentences(square)), () if square is None else square.corners


def _picture(picture: dict[str, Any], extra: str) -> PictureFinished:
    done = replace(picture["adjustments"], by_hand=picture["by_hand"])
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
        figures=tuple(figure_rows(done.match)),
        said=tuple(words.adjustment_sentences(done)),
        made_from=words.extra_from_sentence(picture["frame"])
        if extra
        else words.made_from_sentence(picture["frame"], picture["chosen_by"] == "you"),
        size=f"{wide} × {high} pixels, {megabytes(picture['bytes'])}.",
        before=words.BEFORE[picture["from_raw"]],
        retouched=picture["retouched"].known_sha256 if picture["retouched"] else "",
        made_from_key=picture["made_from_key"],
        can_be_set=picture["can_be_set"] and not picture["by_hand"],
    )
