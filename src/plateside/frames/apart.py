"""In what two frames of a shot differ, where there is no third and no accepted test frame to say which is right."""

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from plateside.frames.facts import Box
from plateside.frames.odd import beside

SAME_STOPS, SAME_MIRED, SAME_TURN_DEG, SAME_SHARE = 0.1, 4.0, 0.25, 0.004
"""Less is not worth a word, and may be the measures' own error."""

Array = NDArray[np.float32]


@dataclass(frozen=True)
class Apart:
    """One frame against the other of a pair."""

    framed_anew: bool = False
    """The two do not show the same framing; then nothing else is held against the other."""
    odd_share: float = 0.0
    """of the dish's place, what shows in one and not in the other"""
    stops: float = 0.0
    """brighter positive"""
    cast_mired: float = 0.0
    """warmer positive"""
    turn_deg: float = 0.0

    @property
    def kinds(self) -> tuple[str, ...]:
        """What differs: framing, things, light, colour, turn."""
        differs = {
            "framing": self.framed_anew,
            "things": self.odd_share > SAME_SHARE,
            "light": abs(self.stops) > SAME_STOPS,
            "colour": abs(self.cast_mired) > SAME_MIRED,
            "turn": abs(self.turn_deg) > SAME_TURN_DEG,
        }
        return tuple(kind for kind, so in differs.items() if so)

    def reversed(self) -> "Apart":
        """The other frame against this one."""
        return replace(self, stops=-self.stops, cast_mired=-self.cast_mired, turn_deg=-self.turn_deg)


def apart(pictures: Sequence[Array], box: Box) -> Apart:
    """The second of two pictures (as `odd.small` makes them) against the first; `box`: the dish's place."""
    first, second = pictures
    # the first votes twice, so that it is what the second is held against
    *_, second_off = beside([first, first, second], box)
    if second_off.odd_share >= 1.0:
        return Apart(framed_anew=True)
    return Apart(False, second_off.odd_share, second_off.stops, second_off.cast_mired, second_off.turn_deg)
