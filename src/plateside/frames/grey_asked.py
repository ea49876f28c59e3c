"""When a new frame of the grey card is wanted: at each set-up, and when the light has moved since the last one.

The light of a frame is read against its shot's test frame, settings taken out, so two frames that were read against
the same one differ by what the light did in between. A third of a stop is one click of the camera's dial, the least
that a photographer sets; 30 mired is a correction filter's step (common practice, no source).
"""

from collections.abc import Sequence
from dataclasses import dataclass

LEAST_STOPS = 1 / 3
LEAST_MIRED = 30.0
_ROUNDING_STOPS = 0.005
"""A third that was measured as 0.33 is one."""
AGREE = 2
"""So many of the newest frames must have it, where there are as many: one that a cloud passed over asks for nothing."""


@dataclass(frozen=True)
class LightOfFrame:
    """The light of one frame, as far as it is known."""

    frame: str
    card: bool
    """a grey card is seen in it"""
    against: str = ""
    """the test frame that it was read against; empty: none"""
    stops: float | None = None
    mired: float | None = None
    """warmer positive"""


@dataclass(frozen=True)
class GreyCardAsked:
    """A frame of the grey card is wanted."""

    why: str
    """set-up: none of this shot yet; light: it has moved since"""
    stops: float | None = None
    """brighter positive, since the last grey card frame"""
    mired: float | None = None
    """warmer positive"""


def card_asked(frames: Sequence[LightOfFrame]) -> GreyCardAsked | None:
    """Whether one is wanted, by the frames of one shot in the order of landing."""
    cards = [place for place, one in enumerate(frames) if one.card]
    if not cards:
        return GreyCardAsked("set-up")
    card, later = frames[cards[-1]], frames[cards[-1] + 1 :]
    moved = [found for one in later if (found := _moved(card, one)) is not None][-AGREE:]
    if not moved or not all(_is_enough(*one) for one in moved):
        return None
    stops, mired = moved[-1]
    return GreyCardAsked("light", stops, mired)


def _moved(card: LightOfFrame, one: LightOfFrame) -> tuple[float, float] | None:
    """Stops and mired from the grey card's frame to another; None when they were read against different frames."""
    if not one.against or one.stops is None or one.mired is None:
        return None
    if card.frame == one.against:
        return one.stops, one.mired
    if card.against != one.against or card.stops is None or card.mired is None:
        return None
    return one.stops - card.stops, one.mired - card.mired


def _is_enough(stops: float, mired: float) -> bool:
    return abs(stops) >= LEAST_STOPS - _ROUNDING_STOPS or abs(mired) >= LEAST_MIRED
