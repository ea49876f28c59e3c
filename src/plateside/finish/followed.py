"""How far the look that a series follows is itself off. Light to import: the pages ask it too."""

from dataclasses import dataclass

CARD, TEST_FRAME, OTHERS = "grey card", "test frame", "others"


@dataclass(frozen=True)
class LookOff:
    """How far the look that is followed is off; a figure that is within what can be told is 0."""

    by: str
    """CARD, TEST_FRAME or OTHERS"""
    stops: float
    """positive: brighter than it should be [stops]"""
    mired: float
    """positive: warmer than it should be [mired]"""
