"""Verdicts on frames: what they rest on, a line a frame, the tally, what was measured, what is drawn on a frame."""

from collections.abc import Sequence

from plateside.frames.compare import Comparison
from plateside.frames.facts import FrameFacts
from plateside.frames.marks import FrameMark
from plateside.model.casts import warmer_by
from plateside.model.frame import Verdict
from plateside.words.counting import plural, stops
from plateside.words.set.acts import act_sentence

VERDICTS = ("good", "adjust", "again")
_RESTS_ON = {
    "test frame": "against the test frame",
    "accepted": "as the test frame of its set-up",
    "alone": "without a test frame for this set-up: less sure",
    "another scene": "without a test frame that fits: less sure",
    "another shape": "without a test frame of the same shape: less sure",
    "first look": "a quick look, the whole one follows",
    "lamp off": "settled by the frame with the lamp off",
}


def rests_phrase(verdict: Verdict) -> str:
    """'against the test frame; settled by the frame with the lamp off'; empty when nothing is known of it."""
    return "; ".join(_RESTS_ON[code] for code in verdict.rests_on)


def judged_sentence(verdict: Verdict) -> str:
    """'Judged against the test frame.'"""
    return f"Judged {rests_phrase(verdict) or 'alone'}."


def next_sentence(verdict: Verdict) -> str:
    """The one thing to change, whole."""
    return act_sentence(verdict.first)


def act_sentences(verdict: Verdict) -> tuple[str, ...]:
    """Every act, the one thing to change first."""
    return tuple(act_sentence(act) for act in verdict.acts) or (next_sentence(verdict),)


def frame_line(name: str, verdict: Verdict, shot: str, guessed: bool, width: int = 0) -> str:
    """'soup-03.jpg  adjust  Two thirds of a stop brighter: 1/3 s to 1/2 s.  (three-bowls)'; `width`: of the names."""
    return f"{name.ljust(width)}  {verdict.word}  {next_sentence(verdict)}{shot_phrase(shot, guessed)}"


def shot_phrase(shot: str, guessed: bool = False) -> str:
    """'  (three-bowls, a guess)'; empty without a shot."""
    return f"  ({shot}{', a guess' if guessed else ''})" if shot else ""


def tally_sentence(verdicts: Sequence[str]) -> str:
    """'3 frames: 2 good, 1 again.'; empty without any."""
    return f"{plural(len(verdicts), 'frame')}: {_tally(verdicts)}." if verdicts else ""


def landed_sentence(landed: int, verdicts: Sequence[str]) -> str:
    """'3 frames landed: 2 good, 1 again.'"""
    count = f"{landed} frame{'' if landed == 1 else 's'} landed"
    return f"{count}: {_tally(verdicts)}." if verdicts else f"{count}."


def _tally(verdicts: Sequence[str]) -> str:
    return ", ".join(f"{verdicts.count(w)} {w}" for w in VERDICTS if w in verdicts)


def not_used_line(reason: str) -> str:
    return f"not used: {reason}"


def no_frame_sentence(folder: str) -> str:
    return f"No frame has landed yet in {folder}." if folder else "No frame has landed yet."


def measured_lines(facts: FrameFacts, comparison: Comparison | None) -> list[str]:
    """What was measured, a sentence each."""
    exposure = facts.exposure
    out = [f"Brightest matt part at {exposure.bright_level * 100:.0f} % of display white."]
    if exposure.aim == "grey card":
        out.append(f"Against the grey card: {_brighter(exposure.stops)}.")
    if exposure.from_raw:
        room = max(min(exposure.headroom_stops), 0.0)
        out.append(f"{stops(room).capitalize()} left until red, green or blue clips.")
    if exposure.lost_share > 0:
        out.append(f"Highlights gone: {exposure.lost_share * 100:.1f} % of the frame.")
    if comparison is not None and comparison.fits:
        cast = comparison.cast_mired
        colour = "the same colour" if abs(cast) < 1 else warmer_by(cast)
        out.append(f"Against the test frame: {_brighter(comparison.stops)}, {colour}.")
        if comparison.light_stops is not None:
            out.append(f"The light itself: {_brighter(comparison.light_stops)}.")
    return out


def _brighter(change: float) -> str:
    return "as bright" if abs(change) < 0.05 else f"{stops(change)} {'brighter' if change > 0 else 'darker'}"


_MARKS = {
    "lost": "highlights gone here",
    "sharpest": "sharpest here",
    "wanted": "should be sharp",
    "softer": "softer here than in the test frame",
    "card": "the grey card",
}


def mark_phrase(mark: FrameMark) -> str:
    """What a thing drawn on the frame is."""
    if mark.code == "lamp":
        return f"a lamp, {mark.share * 100:.0f} % of the light here"
    return _MARKS.get(mark.code, mark.code)
