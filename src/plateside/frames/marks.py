"""What is drawn on a frame: where to look, in shares of the upright picture, and whether an act asks for it.

Kinds:  lost (highlights gone), sharpest (where it is sharpest), wanted (where it should be), lamp (a second light),
changed (what came, went or moved), card (the grey card that was read).
"""

from collections.abc import Iterable
from dataclasses import dataclass

from plateside.frames.changes import Part
from plateside.frames.compare import Comparison
from plateside.frames.facts import Box, FrameFacts
from plateside.model.frame import Verdict

LOST_SHARE = 0.001
"""Smaller lost areas are not worth a mark."""

SPOT = 0.04
"""Half the side of what is drawn about a softer part of the hero, share of the frame."""


@dataclass(frozen=True)
class FrameMark:
    """One thing drawn on the frame."""

    kind: str
    box: Box
    """A point is a box without size."""
    asked: bool
    """An act of the verdict is about it."""
    code: str
    """What it is: lost, sharpest, wanted, softer, lamp, card; of what changed: came, went, moved ... (`Part.kind`)."""
    outline: tuple[tuple[float, float], ...] = ()
    """A closed polygon, where there is one."""
    share: float = 0.0
    """Of the light that a lamp gives there, 0 to 1."""


def marks_of(facts: FrameFacts, comparison: Comparison | None, verdict: Verdict) -> tuple[FrameMark, ...]:
    """Marks that the facts (and the comparison with the test frame) give."""
    kinds = {act.kind for act in verdict.acts if act.weight >= 1 and act.kind}
    out: list[FrameMark] = []
    exposure, focus = facts.exposure, facts.focus
    if exposure.lost_box is not None and exposure.lost_share >= LOST_SHARE:
        asked = "exposure" in kinds and exposure.lost_on_subject_share > 0
        out.append(FrameMark("lost", exposure.lost_box, asked, "lost"))
    # a look that is asked for is drawn as well, though nothing is wrong yet
    looks = {act.kind for act in verdict.acts if act.kind in ("focus", "motion")}
    blurred = bool((kinds | looks) & {"focus", "shake", "motion"})
    if focus.sharpest_at is not None:
        asked = "focus" in kinds
        out.append(FrameMark("sharpest", _point(focus.sharpest_at), asked, "sharpest"))
    out.append(FrameMark("wanted", facts.subject_box, blurred, "wanted"))
    if comparison is not None and comparison.softening.part_share > 0 and looks:
        x, y = comparison.softening.part_at
        out.append(FrameMark("wanted", (x - SPOT, y - SPOT, x + SPOT, y + SPOT), True, "softer"))
    if comparison is not None and comparison.lamp:
        at, asked = _point(comparison.lamp_at), "light" in kinds
        out.append(FrameMark("lamp", at, asked, "lamp", share=comparison.lamp_share))
    if facts.colour.source == "grey card" and facts.colour.card_box is not None:
        out.append(FrameMark("card", facts.colour.card_box, False, "card"))
    return tuple(out)


def changed_marks(parts: Iterable[Part], verdict: Verdict, most: int = 8) -> tuple[FrameMark, ...]:
    """Outlines of what came, went or moved, largest first."""
    asked = any(act.kind in ("scene", "level") and act.weight >= 1 for act in verdict.acts)
    largest = sorted(parts, key=lambda part: -part.share)[:most]
    return tuple(FrameMark("changed", part.box, asked, part.kind, part.outline) for part in largest)


def _point(at: tuple[float, float]) -> Box:
    return at[0], at[1], at[0], at[1]
