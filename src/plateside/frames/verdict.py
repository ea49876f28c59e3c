"""Facts and the shot's wishes to a verdict: good, adjust or again, with the one next act first.

Order of acts, the most useful first: what cannot be mended afterwards (blur, lost highlights) before what finishing
can mend (exposure, colour). What the shot says is deliberate is not nagged about.
"""

from dataclasses import dataclass

from plateside.frames.advice import exposure_words, faster_words
from plateside.frames.facts import FrameFacts
from plateside.frames.kinds import BlurKind, kind_of
from plateside.model.frame import Act, Settings, Verdict
from plateside.model.shoot import Shot

DARK_LIMIT = -1.0
"""Without a reference the brightest matt part may be this far below the aim: there may be nothing white."""
BRIGHT_LIMIT = 0.3
LOST_ON_SUBJECT = 0.01
CAST_MIRED = 40.0
AGAIN_STOPS = 1.5
NO_REFERENCE = "no reference for this set-up: less sure"


@dataclass(frozen=True)
class Weighed:
    """An act with how much it matters: 2 spoils the frame, 1 should be changed, 0 is a remark."""

    act: Act
    weight: int


def verdict_of(facts: FrameFacts, shot: Shot | None, settings: Settings) -> Verdict:
    """The verdict on a frame that stands alone (no accepted reference frame of its set-up)."""
    found = [*_focus(facts, shot, settings), *_exposure(facts, shot, settings), *_colour(facts)]
    return settle(found, NO_REFERENCE, provisional=facts.provisional)


def settle(found: "list[Weighed]", because: str, *, provisional: bool = False) -> Verdict:
    """Acts to a verdict: the heaviest decides the word, the order is weight, then confidence."""
    found = sorted(found, key=lambda w: (-w.weight, -w.act.confidence))
    heaviest = found[0].weight if found else 0
    word = ("good", "adjust", "again")[heaviest]
    sure = [w.act.confidence for w in found if w.weight == heaviest and heaviest > 0]
    confidence = max(sure) if sure else min([0.9, *(1 - w.act.confidence / 2 for w in found)])
    if provisional:
        because += "; from the preview, the raw is still being read"
    return Verdict(word, tuple(w.act for w in found), round(confidence, 2), because)


def _focus(facts: FrameFacts, shot: Shot | None, settings: Settings) -> list[Weighed]:
    deliberate = shot.deliberate if shot else ()
    if "blur" in deliberate:
        return []
    kind, confidence = kind_of(facts.focus, shot.sharp if shot else "hero")
    return [] if kind in (BlurKind.SHARP, BlurKind.SHALLOW, BlurKind.UNSURE) else [
        blur_act(kind, confidence, facts, shot, settings)
    ]  # fmt: skip


def blur_act(
    kind: BlurKind, confidence: float, facts: FrameFacts, shot: Shot | None, settings: Settings
) -> Weighed:
    """What to do about a kind of blur."""
    focus = facts.focus
    moves = shot.moves if shot else "nothing"
    if kind is BlurKind.SHAKE:
        length = (12 * max(focus.along_px2, focus.around_along_px2)) ** 0.5
        words = f"Camera shake, {length:.0f} px at {focus.direction_deg:.0f} degrees: tripod, 2 s delay, stand still"
        return Weighed(Act(words, kind="shake", confidence=confidence), 2)
    if kind is BlurKind.MOTION:
        length = (12 * max(focus.along_px2, 1.0)) ** 0.5
        faster = faster_words(settings, length, 3.0)
        words = f"The subject moved, {length:.0f} px" + (f": {faster}" if faster else "")
        if moves == "nothing":
            words += ", or let it settle"
        return Weighed(Act(words, kind="motion", confidence=confidence), 2)
    if kind is BlurKind.ELSEWHERE:
        where = place_words(focus.sharpest_at)
        return Weighed(
            Act(f"Focus on the hero: it is sharpest {where}", kind="focus", confidence=confidence), 2
        )
    return Weighed(Act("Out of focus: focus again on the hero", kind="focus", confidence=confidence), 2)


def place_words(at: tuple[float, float] | None) -> str:
    """'at the upper left', 'in the middle' ..."""
    if at is None:
        return "nowhere"
    across = "left" if at[0] < 1 / 3 else "right" if at[0] > 2 / 3 else ""
    down = "upper" if at[1] < 1 / 3 else "lower" if at[1] > 2 / 3 else ""
    if across and down:
        return f"at the {down} {across}"
    if across:
        return f"at the {across}"
    return {"upper": "at the top", "lower": "at the bottom"}.get(down, "in the middle")


def _exposure(facts: FrameFacts, shot: Shot | None, settings: Settings) -> list[Weighed]:
    deliberate = set(shot.deliberate if shot else ())
    moves = shot.moves if shot else "nothing"
    seen = facts.exposure
    if seen.lost_on_subject_share > LOST_ON_SUBJECT and not deliberate & {"high key", "silhouette"}:
        # How far above saturation it lies cannot be seen; the clipped area says whether a little or a lot.
        down = -1.0 if seen.lost_on_subject_share > 0.1 else -2 / 3
        words = exposure_words(down, settings, moves)
        act = Act(f"{words} (the hero's highlights are gone)", down, "exposure", 0.85)
        return [Weighed(act, 2 if seen.lost_on_subject_share > 0.1 else 1)]
    if seen.stops > BRIGHT_LIMIT and "high key" not in deliberate:
        down = -seen.stops
        return [Weighed(Act(exposure_words(min(down, -1 / 3), settings, moves), down, "exposure", 0.6), 1)]
    if seen.stops < DARK_LIMIT and not deliberate & {"dark", "silhouette"}:
        up = -seen.stops
        weight = 2 if seen.stops < -AGAIN_STOPS - 1.0 else 1
        return [Weighed(Act(exposure_words(up, settings, moves), up, "exposure", 0.6), weight)]
    return []


def _colour(facts: FrameFacts) -> list[Weighed]:
    seen = facts.colour
    sure = seen.source == "grey card"
    if abs(seen.cast_mired) < (15.0 if sure else CAST_MIRED):
        return []
    side = "warm" if seen.cast_mired > 0 else "cool"
    words = f"Looks {side} by {abs(seen.cast_mired):.0f} mired: " + (
        "set white balance from the card" if sure else "lamps off? Shoot the grey card to be sure"
    )
    return [Weighed(Act(words, kind="colour", confidence=0.9 if sure else 0.4), 1 if sure else 0)]
