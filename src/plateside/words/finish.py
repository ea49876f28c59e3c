"""What is said of finished pictures: what was done to each, how it was matched, how far the look followed is off."""

from collections.abc import Sequence

from plateside.finish.facts import CALM, ROLLED_OFF, Adjustments, FinishFacts
from plateside.finish.followed import CARD, OTHERS, TEST_FRAME, LookOff
from plateside.finish.hand import Hand
from plateside.model.casts import warmer_by
from plateside.words.commands import typed
from plateside.words.counting import capital, listed, once_with_names, plural, stops
from plateside.words.finish_matched import (
    AS_TAKEN,
    change_phrase,
    is_changed,
    matching_sentence,
    stops_phrase,
)
from plateside.words.frame_files import SAID
from plateside.words.lens import handed_over, lens_sentences, report_lines, square_sentences
from plateside.words.retouched import came_back_sentence

NOTHING_ELSE = "Nothing was retouched, added, taken away or moved."
NOISE_EVENED = "The sensor's noise evened out, as much as the frame shows of it."
NOISE_UNKNOWN = "The sensor's noise is left as it is: this raw neither states nor shows how strong it is."
PROFILE_DAMAGED = SAID["profile damaged"]
BY_HAND = "Changed by hand afterwards: what was done then is not known here."
NOTHING_YET = (
    "Every select gets the series' one look: exposure and white balance matched, one tone curve. "
    "Nothing else is done to a picture."
)

_TONE = {
    CALM: "One tone curve for the series: middle grey kept, a little contrast, highlights held.",
    ROLLED_OFF: "One tone curve for the series: highlights rolled off, so that brightening clips nothing.",
}
_THAN = {
    CARD: "its grey card says it should be",
    TEST_FRAME: "its test frame",
    OTHERS: "the other pictures as you took them",
}


# ---- what was done to a picture, written down with it ----------------------------------------------------------


def adjustment_sentences(a: Adjustments) -> list[str]:
    """One sentence an adjustment, in order, then that nothing else was done (or that it is not known)."""
    moved = [*lens_sentences(a.lens), *square_sentences(a.square)]
    noise = [NOISE_UNKNOWN] if a.noise_unknown else []
    colours = [PROFILE_DAMAGED] if a.profile_damaged else []
    return [source_sentence(a), *colours, matching_sentence(a), *moved, *noise, *_last_sentences(a)]


def handed_over_sentences(a: Adjustments) -> list[str]:
    """The same for whoever gets the picture: why it could not be matched stays with you."""
    m = a.match
    changed = f"{capital(change_phrase(m))}." if is_changed(m) else AS_TAKEN
    how = matching_sentence(a) if m.matched else changed
    return [source_sentence(a), how, *handed_over(a.lens, a.square), *_last_sentences(a)]


def _last_sentences(a: Adjustments) -> list[str]:
    tone = [_TONE[a.tone]] if a.tone in _TONE else []
    own = [hand_sentence(a.hand)] if a.hand.changes else []
    own += [chart_sentence(a)] if a.chart else []
    return [*own, *([NOISE_EVENED] if a.noise_evened else []), *tone, BY_HAND if a.by_hand else NOTHING_ELSE]


def chart_sentence(a: Adjustments) -> str:
    return f"Colours by the chart in {a.chart}: its patches are {a.chart_delta_e:.1f} off in the mean (CIEDE2000)."


def hand_sentence(hand: Hand) -> str:
    """'By your hand: 0.30 stop brighter, a little warmer (12 mired).'"""
    said = [stops_phrase(hand.brighter_stops)] if hand.brighter_stops else []
    said += [warmer_by(hand.warmer_mired)] if hand.warmer_mired else []
    if hand.magenta_cc:
        said.append(f"{'more magenta' if hand.magenta_cc > 0 else 'greener'} ({abs(hand.magenta_cc):g} CC)")
    if hand.turned_degrees:
        way = "clockwise" if hand.turned_degrees > 0 else "anticlockwise"
        said.append(f"straightened {abs(hand.turned_degrees):g}° {way}")
    return f"Set by you: {', '.join(said)}."


def source_sentence(a: Adjustments) -> str:
    """What it was made from."""
    if a.from_raw:
        return f"Developed from the raw {a.frame}, with one white balance for the series."
    return f"Made from the camera's JPEG {a.frame}, which keeps the camera's own tones."


# ---- the series ------------------------------------------------------------------------------------------------


def finish_lines(f: FinishFacts, folder: object) -> list[str]:
    """What `plateside finish` answers; the verdict first."""
    lines = [
        f"{plural(len(f.finished), 'picture')} finished, in {folder}: {f.written} made, "
        f"{len(f.finished) - f.written} unchanged.",
        series_sentence(f.match_to),
    ]
    if f.look_off is not None:
        lines.append(
            f"Check the look: {look_off_sentence(f.look_off, f.match_to)} {look_off_fix(f.match_to)}"
        )
    for one in f.finished:
        a = one.adjustments(f.match_to)
        as_it_is = " You accept it as it is." if one.shot in f.as_taken else ""
        how = (
            matching_sentence(a)
            if one.match.facts.matched
            else f"Not matched.{as_it_is} {matching_sentence(a)}"
        )
        extra = ", extra" if one.extra else ""
        lines.append(f"{one.shot}: {one.frame}{extra}, {one.width_px} x {one.height_px}. {how}")
        lines += [f"  {kept_by_hand_sentence(one.file)}"] if one.by_hand else []
    if to_decide := [shot for shot in f.unmatched if shot not in f.as_taken]:
        lines.append(accept_sentence(to_decide))
    charted = [(one.shot, one.adjustments(f.match_to)) for one in f.finished if one.chart]
    lines += once_with_names((shot, [chart_sentence(a)]) for shot, a in charted)
    lines += once_with_names((one.shot, [PROFILE_DAMAGED]) for one in f.finished if one.profile_damaged)
    lines += report_lines(f)
    lines += [came_back_sentence(c, [one.shot for one in f.finished]) for c in f.came_back]
    return [*lines, no_frame_sentence(f.missing)] if f.missing else lines


def accept_sentence(shots: Sequence[str]) -> str:
    return f"To accept {listed(shots)} as {'it is' if len(shots) == 1 else 'they are'}: --accept SHOT."


def series_sentence(match_to: str) -> str:
    return f"The series is matched to {match_to}."


def made_sentence(finished: int, written: int) -> str:
    """What came of finishing, beside the button that did it."""
    return f"{written} made, {finished - written} unchanged."


def no_frame_sentence(shots: Sequence[str]) -> str:
    return f"No frame yet, so not in the series: {listed(shots)}."


def kept_by_hand_sentence(file: str) -> str:
    return f"You changed {file} by hand, so it is kept as it is. Delete it to have it made again."


def look_off_sentence(off: LookOff, match_to: str) -> str:
    """'cup is 1.5 stops darker than its test frame, and so is every picture matched to it.'"""
    by = []
    if off.stops:
        by.append(f"{stops(off.stops)} {'brighter' if off.stops > 0 else 'darker'}")
    if off.mired:
        by.append(warmer_by(off.mired))
    return f"{match_to} is {listed(by)} than {_THAN[off.by]}, and so is every picture matched to it."


def look_off_fix(match_to: str) -> str:
    return f"Choose another frame of {match_to}, or match to another shot: --match-to SHOT."


# ---- the page --------------------------------------------------------------------------------------------------

NEEDS_A_FRAME = "Greyed out: needs a frame of at least one shot."
UNMATCHED = "Not matched to the series; the reason is below."
AS_TAKEN_BY_YOU = "Not matched to the series; you accept it as it is."
LIKE_IT = "The whole series will look like it."
BEFORE = {True: "the raw, not matched", False: "the camera's own picture"}
"""What stands before the finished picture: from a raw, or not."""


def standing_sentences(
    finished: int,
    shots: int,
    match_to: str,
    *,
    unmatched: Sequence[str] = (),
    as_taken: Sequence[str] = (),
    another: Sequence[str] = (),
    missing: Sequence[str] = (),
    extra: int = 0,
) -> list[str]:
    """How far the series is: what is finished, what is not matched, what has another select, what is missing."""
    beside = f", and {plural(extra, 'extra frame')}" if extra else ""
    lines = [f"{finished} of {plural(shots, 'picture')} finished{beside}, matched to {match_to}."]
    if unmatched:
        or_else = "Compare it by eye: accept it as it is, or take another frame."
        if len(unmatched) > 1:
            or_else = "Compare them by eye: accept them as they are, or take other frames."
        lines.append(f"Not matched: {listed(unmatched)}. {or_else}")
    if as_taken:
        lines.append(f"Accepted as taken: {listed(as_taken)}.")
    if another:
        lines.append(f"The select has changed since for {listed(another)}: make the series again.")
    if missing:
        lines.append(f"Still to finish: {listed(missing)}.")
    return lines


def another_select_sentence(select: str, frame: str) -> str:
    return f"The select is now {select}; this picture shows {frame}. Make the series again."


def again_sentence(shot: str, by_you: bool, act: str, kept: bool) -> str:
    """Why the frame of a shot should perhaps be taken again, before a whole series is made like it."""
    if by_you:
        return f"You wanted to shoot {shot} again."
    why = f": {act[:1].lower()}{act[1:].rstrip('.')}" if act else ""
    return f"Better shoot {shot} again{why}.{' You kept it.' if kept else ''}"


def not_finished_sentence(frames: int, select: str) -> str:
    if not frames:
        return "No frame of this shot yet."
    return f"Not finished yet. Its select: {select}." if select else "Not finished yet."


def made_from_sentence(frame: str, by_you: bool) -> str:
    return f"From {frame}, {'your choice' if by_you else 'chosen for you'}."


def extra_from_sentence(frame: str) -> str:
    return f"From {frame}, an extra beside the select."


def extra_not_finished(frame: str) -> str:
    return f"{frame} is to be finished beside the select: make the series."


# ---- what cannot be done ---------------------------------------------------------------------------------------


def nothing_finished(shoot: object) -> tuple[str, str]:
    return "Nothing is finished yet: make the series first.", f"Run: plateside finish {typed(shoot)}"


def damaged_list(file: str, shoot: object) -> tuple[str, str]:
    return (
        f"The list of finished pictures, {file}, cannot be read: make the series again.",
        f"Run: plateside finish {typed(shoot)}",
    )


def damaged_list_note(file: str) -> str:
    return f"The list of finished pictures, {file}, is damaged: make the series again."


def no_kind(kind: str, kinds: tuple[str, ...]) -> str:
    return f"There is no kind {kind!r}: choose {listed(kinds, 'or')}."


def no_shot_to_match(name: str, names: list[str]) -> str:
    return f"{name!r} has no select to match to. Shots with one: {', '.join(names)}."


_HAND = {
    "brighter_stops": "Brightness in stops", "warmer_mired": "Warmth in mired",
    "magenta_cc": "Green to magenta in CC", "turned_degrees": "Straightening in degrees",
}  # fmt: skip


def beyond_the_hand(name: str, most: float) -> str:
    return f"{_HAND[name]} goes from -{most:g} to {most:g}."


def no_shot_to_accept(name: str, names: list[str]) -> str:
    return f"{name!r} has no select to accept. Shots with one: {', '.join(names)}."


def no_patch(text: str) -> str:
    return (
        f"--grey is {text!r}; allowed: x,y,width,height as shares of the picture, such as 0.4,0.6,0.05,0.05."
    )


def not_finished_beside(frame: str, others: list[str]) -> str:
    said = f"Those that are: {listed(others)}." if others else "No frame is."
    return f"{frame} is not finished beside the selects. {said}"


def frame_gone(frame: str) -> str:
    return f"The frame {frame} is gone: copy it back into the folder of frames."


NOT_GREY = {
    "black": "That part of the grey card is black in red, green or blue: choose a part that is lit.",
    "clipped": "The grey card is clipped: use a darker frame of it, or a part of it in the shade.",
    "coloured": "That is too strongly coloured for a grey card: choose the grey card itself, and switch lamps off.",
}
PATCH_OUTSIDE = (
    "The grey card's place is x,y,width,height as shares (0 to 1) of the picture, such as 0.4,0.6,0.05,0.05."
)
NO_CARD_MARKED = "No grey card is marked there."
MADE_EARLIER = "This series was made by an earlier version: make it again, then set it by hand."
HAND_CHANGED = "Set by you since it was made: make the series again to have it in the file."
NOTHING_OF_THAT_NAME = "Nothing of that name is finished."
NOT_FROM_A_RAW = "That picture was not made from a raw."
NO_SUCH_PICTURE = "There is no such picture."
NOT_SHOWN = "That picture cannot be shown."
LIST_REBUILT = "The list of finished pictures"
