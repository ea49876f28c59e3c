"""A verdict once the frame with the lamp off has settled whether there was a lamp.

'Lamp off, one frame' proves what one frame can only suggest: acts that suspect a lamp are then replaced by what is
known.
"""

from dataclasses import dataclass, replace

from plateside.frames.verdict import place_words
from plateside.model.casts import warmer_by
from plateside.model.frame import Act, Verdict


@dataclass(frozen=True)
class Lamp:
    """What the check proved."""

    lamp: bool
    share: float
    """Of the light where the lamp is strongest, 0 to 1."""
    warmer_mired: float
    at: tuple[float, float]
    """Where, shares of the frame."""

    def words(self) -> str:
        """'It was a lamp at the left: 34 % of the light there, much warmer (120 mired).'"""
        if not self.lamp:
            return "No lamp: with it off the light is the same colour everywhere."
        return (
            f"It was a lamp, {place_words(self.at)}: {self.share * 100:.0f} % of the light there, "
            f"{warmer_by(self.warmer_mired)}."
        )


def with_lamp(verdict: Verdict, lamp: Lamp, *, lamp_is_off: bool) -> Verdict:
    """The verdict on one of the two frames of a check.

    lamp_is_off  the frame is the one with the lamp off; else it is the one that was suspected
    """
    rest = [act for act in verdict.acts if act.kind and act.kind != "light"]
    if lamp.lamp and not lamp_is_off:
        words = (
            f"Lamp on {place_words(lamp.at)}: it gives {lamp.share * 100:.0f} % of the light there, "
            f"{warmer_by(lamp.warmer_mired)}. Switch it off"
        )
        known = Act(words, kind="light", confidence=0.98, weight=1)
    else:
        stay = " Leave it off." if lamp.lamp else ""
        known = Act(lamp.words() + stay, kind="light", confidence=0.98, weight=0)
    heaviest = max([act.weight for act in rest] + [known.weight])
    if heaviest == 0:
        rest = [Act("Keep it.", confidence=0.9, weight=0), known, *rest]
    else:
        rest = sorted([known, *rest], key=lambda act: -act.weight)
    because = "settled by the frame with the lamp off"
    return replace(
        verdict,
        word=("good", "adjust", "again")[heaviest],
        acts=tuple(rest),
        sure_because=f"{verdict.sure_because}; {because}" if verdict.sure_because else because,
    )
