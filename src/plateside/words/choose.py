"""What is said while choosing: why a frame is the select or the alternate, and where the choice is yours."""

from collections.abc import Sequence
from dataclasses import asdict
from typing import TYPE_CHECKING

from plateside.model.casts import too_warm_by, warmer_by
from plateside.words.counting import plural, stops
from plateside.words.set.acts import act_sentence
from plateside.words.set.events import OWN_CHOICE, best_sentence
from plateside.words.set.places import thirds_phrase

if TYPE_CHECKING:
    # their cores compute, and the server's own process says these sentences too
    from plateside.frames.apart import Apart
    from plateside.frames.choose import Pick, Reason, Remark, ShotChoice


def reason_phrase(reason: "Reason") -> str:
    """'sharpest of 3', '0.3 stop darker than the test frame'."""
    value = reason.value or 0.0
    match reason.code:
        case "yours":
            return OWN_CHOICE
        case "kept":
            return "you kept it"
        case "verdict":
            return f"verdict: {reason.word}"
        case "burst":
            why = OWN_CHOICE if reason.why is None else best_sentence(asdict(reason.why))
            return f"best of a burst of {reason.count}: {why}"
        case "as sharp":
            return f"as sharp as any of {reason.count}"
        case "sharpest":
            return f"sharpest of {reason.count}"
        case "less sharp":
            return f"{100 * value:.0f} % as much fine detail as the sharpest"
        case "asked":
            return f"{thirds_phrase(value).lower()} too {'bright' if value > 0 else 'dark'}"
        case "exposure":
            return _exposed(value, "the test frame" if reason.by_test_frame else "wanted")
        case "cast":
            return warmer_by(value, "the test frame") if reason.by_test_frame else too_warm_by(value)
        case "odd":
            return "shows something that the other frames do not"
        case "turn":
            return f"turned {abs(value):.1f} degrees against the other frames"
        case _:
            return f"too few pixels for {', '.join(reason.names)}"


def _exposed(change: float, aim: str) -> str:
    if abs(change) < 0.05:
        return f"as bright as {aim}"
    return f"{stops(change)} {'brighter' if change > 0 else 'darker'} than {aim}"


def reasons_phrase(pick: "Pick") -> str:
    """All of them: 'verdict: good; sharpest of 3; as bright as wanted'."""
    return "; ".join(reason_phrase(reason) for reason in pick.reasons)


def pick_line(kind: str, pick: "Pick | None") -> str:
    """'select: P0012.jpg (verdict: good; sharpest of 3)'."""
    return f"{kind}: none" if pick is None else f"{kind}: {pick.name} ({reasons_phrase(pick)})"


def remark_sentence(remark: "Remark | None") -> str:
    """What to know of the choice; empty without a remark."""
    if remark is None:
        return ""
    match remark.code:
        case "no frame":
            return "No frame of this shot has landed."
        case "none good":
            none = (
                "The one frame is not good"
                if remark.count == 1
                else f"None of the {remark.count} frames is good"
            )
            return f"{none}: take this shot again if you can. {act_sentence(remark.act)}"
        case _:
            if remark.apart is None:
                return ""
            difference = differ_phrase(remark.apart, *remark.names)
            return f"You decide: {difference}, and two frames do not say which is right. Look at both, or take a third."


def differ_phrase(apart: "Apart", name: str, other: str) -> str:
    """'2.jpg is 0.5 stop brighter than 1.jpg; something shows in one of them only'; empty when they are alike."""
    side = "brighter" if apart.stops > 0 else "darker"
    said = {
        "framing": "they are framed differently",
        "things": "something shows in one of them only",
        "light": f"{name} is {stops(apart.stops)} {side} than {other}",
        "colour": f"{name} is {warmer_by(apart.cast_mired, other)}",
        "turn": f"{name} is turned {abs(apart.turn_deg):.1f} degrees against {other}",
    }
    return "; ".join(said[kind] for kind in apart.kinds)


def choice_lines(choice: "ShotChoice") -> list[str]:
    """A shot's name, then its select, its alternate and what to know."""
    lines = [
        choice.shot,
        f"  {pick_line('select', choice.select)}",
        f"  {pick_line('alternate', choice.alternate)}",
    ]
    remark = remark_sentence(choice.remark)
    return [*lines, f"  {remark}"] if remark else lines


def headline_sentence(frames: int, chosen: int, shots: int) -> str:
    """How far choosing is; choose/words.js says the same as it changes."""
    if not frames:
        return "No frame has come in yet."
    return f"{plural(frames, 'frame')}. You have a select for {chosen} of {plural(shots, 'shot')}."


def word_phrase(word: str, chart: bool) -> str:
    """A frame's verdict, or what it is without one."""
    return word or ("colour chart" if chart else "not judged")


def frame_phrase(name: str, word: str, role: str, pressed: str) -> str:
    """What there is to say of a frame, for one who listens: 'P0012.jpg, good, select, kept by you'."""
    yours = {"kept": "kept by you", "again": "again, by you"}.get(pressed, "")
    return ", ".join(part for part in (name, word, role, yours) if part)


def of_no_shot_line(names: Sequence[str]) -> str:
    return f"Without a shot: {', '.join(names)}. Say which they belong to: plateside shot SHOOT SHOT --frames FRAME ..."
