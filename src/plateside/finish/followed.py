"""How far the look that a series follows is itself off, and how that is said. Light to import: the pages ask it too."""

from dataclasses import dataclass

from plateside.model.casts import warmer_by

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


_THAN = {
    CARD: "its grey card says it should be",
    TEST_FRAME: "its test frame",
    OTHERS: "the other pictures as they were taken",
}


def off_said(off: LookOff, reference: str) -> str:
    """As 'cup is 1.5 stops darker than its test frame, and every matched picture with it.'"""
    told = []
    if off.stops:
        many = "s" if abs(off.stops) >= 1.05 else ""
        told.append(f"{abs(off.stops):.1f} stop{many} {'brighter' if off.stops > 0 else 'darker'}")
    if off.mired:
        told.append(warmer_by(off.mired))
    return f"{reference} is {' and '.join(told)} than {_THAN[off.by]}, and every matched picture with it."
