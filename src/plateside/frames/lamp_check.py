"""A verdict once the frame with the lamp off has settled whether there was a lamp.

'Lamp off, one frame' proves what one frame can only suggest: acts that suspect a lamp are then replaced by what is
known.
"""

from dataclasses import dataclass, replace

from plateside.frames.verdict import lamp_on
from plateside.model.frame import KEEP, Act, Verdict


@dataclass(frozen=True)
class Lamp:
    """What the check proved."""

    lamp: bool
    share: float
    """Of the light where the lamp is strongest, 0 to 1."""
    warmer_mired: float
    at: tuple[float, float]
    """Where, shares of the frame."""


def with_lamp(verdict: Verdict, lamp: Lamp, *, lamp_is_off: bool) -> Verdict:
    """The verdict on one of the two frames of a check.

    lamp_is_off  the frame is the one with the lamp off; else it is the one that was suspected
    """
    rest = [act for act in verdict.acts if act.kind and act.kind != "light"]
    if lamp.lamp and not lamp_is_off:
        known = lamp_on(lamp.at, lamp.share, lamp.warmer_mired, 0.98)
    else:
        known = settled_act(lamp)
    heaviest = max([act.weight for act in rest] + [known.weight])
    if heaviest == 0:
        rest = [KEEP, known, *rest]
    else:
        rest = sorted([known, *rest], key=lambda act: -act.weight)
    return replace(
        verdict,
        word=("good", "adjust", "again")[heaviest],
        acts=tuple(rest),
        rests_on=(*verdict.rests_on, "lamp off"),
    )


def settled_act(lamp: Lamp) -> Act:
    """What the check proved, as a remark of the frame with the lamp off."""
    if not lamp.lamp:
        return Act("no lamp", "light", confidence=0.98, weight=0)
    return Act(
        "it was a lamp", "light", at=lamp.at, share=lamp.share, mired=lamp.warmer_mired, confidence=0.98, weight=0
    )  # fmt: skip
