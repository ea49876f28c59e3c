"""Whether the picture that a whole series follows is itself off: by a grey card, its shot's test frame, or the others.

A set that is matched perfectly to a frame 1.5 stops too dark is 1.5 stops too dark. What tells so, the surest first:

    grey card    as metered it is middle grey (ISO 12232: 10/78 of saturation, shown as 0.18), and neutral
    test frame   the frame of that shot which was accepted before the others were taken
    the others   what each other picture would need to look like this one, when they all need the same

The first that there is decides, also when it says that all is well.
"""

from collections.abc import Sequence

import numpy as np

from plateside.finish.followed import OTHERS, LookOff
from plateside.finish.matching import Match
from plateside.finish.white_balance import from_grey
from plateside.ground.srgb import LUMINANCE, Floats

LEAST_STOPS, LEAST_MIRED = 1 / 3, 15.0
"""Less is within what a card held at another angle or a moving cloud does; common practice, no source."""
OTHERS_STOPS, OTHERS_MIRED = 1 / 2, 25.0
"""Of the others together: each of them shows something else."""
_FEWEST_OTHERS = 2
_AGREE_SHARE = 0.75
MIDDLE_GREY = 0.18


def card_off(patch: Floats) -> tuple[float, float]:
    """How much too bright [stops] and too warm [mired] a grey card's linear RGB (n, 3) is.

    Raises InputError when the patch can be no grey card.
    """
    mired = -from_grey(patch).mired
    rgb = np.median(np.asarray(patch, np.float64).reshape(-1, 3), axis=0)
    return float(np.log2(LUMINANCE @ rgb / MIDDLE_GREY)), mired


def above(m: Match) -> tuple[float, float] | None:
    """How much brighter [stops] and warmer [mired] the reference of a match is than the picture; None: it tells not."""
    if m.by == "too far":
        return m.lacking_stops, m.lacking_mired
    if m.by in ("no nearer", "nothing", "itself"):
        return None
    return m.stops, m.mired


def look_off(by: str, stops: float, mired: float) -> LookOff | None:
    """What is beyond doubt of a difference; None when nothing is."""
    least_stops, least_mired = (OTHERS_STOPS, OTHERS_MIRED) if by == OTHERS else (LEAST_STOPS, LEAST_MIRED)
    beyond_doubt = (
        stops if abs(stops) >= least_stops else 0.0,
        mired if abs(mired) >= least_mired else 0.0,
    )
    return LookOff(by, *beyond_doubt) if any(beyond_doubt) else None


def off_the_others(found: Sequence[tuple[float, float]]) -> LookOff | None:
    """From (stops, mired) by which the reference is brighter and warmer than each other picture."""
    if len(found) < _FEWEST_OTHERS:
        return None
    each = np.array(found)
    middle = np.median(each, axis=0)
    # one that needs less than half of it, or the contrary, does not say the same
    agree = (each * np.sign(middle) >= np.abs(middle) / 2).mean(axis=0) >= _AGREE_SHARE
    stops, mired = np.where(agree, middle, 0.0)
    return look_off(OTHERS, float(stops), float(mired))
