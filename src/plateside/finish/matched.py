"""Whether a picture was brought to its series by something that was measured. Light to import: the pages ask it too."""

MEASURED = ("itself", "grey card", "same things", "settings")
"""Ways to match that are a measurement (see `matching`). Surroundings are none: they bring a picture nearer."""
LARGEST_STOPS, LARGEST_STOPS_OF_RAWS = 2.0, 3.0
"""More than this is a different picture, not a drifting light; a raw has a stop more to give."""
MOST_LEFT, MOST_LEFT_WIDELY, MOST_LEFT_THERE = 2.0, 6.0, 2.0
"""CIEDE2000 left over in the median of what both pictures show, in two thirds of it, and in the median of one part of
the picture where surely the same things are. One thing may be off by twice the least that is seen side by side; more
than three times that is seen at once (common practice, no source)."""

MOST_LEFT_RAISED = 1.75
"""CIEDE2000 left in the median of one thing that stands on the table, the dish first of all: it is what is looked at.
At most 2 may be left; what is found lies up to an eighth below what it is (bench held_out_angle)."""
READ_TO_STOPS = 0.1
"""A frame exactly at the limit may be read to be so much beyond it."""


def reach_stops(from_raw: bool) -> float:
    """By how much a picture may be brightened or darkened to meet its series [stops]."""
    return LARGEST_STOPS_OF_RAWS if from_raw else LARGEST_STOPS


def is_matched(
    by: str,
    left: float | None = None,
    widely: float | None = None,
    there: float | None = None,
    raised: float | None = None,
) -> bool:
    """What is told of a match (see matching.Match), in a word.

    Surroundings prove nothing: they may be a fifth of a stop off, and of the dish nothing was compared. And what
    still differs after all that was done (CIEDE2000: `left` in the median, `widely` in two thirds, `there` in one part
    of the picture, `raised` on what stands up from the table) was compared, not matched.
    """
    if by not in MEASURED:
        return False
    if (left or 0.0) > MOST_LEFT or (widely or 0.0) > MOST_LEFT_WIDELY or (there or 0.0) > MOST_LEFT_THERE:
        return False
    return (raised or 0.0) <= MOST_LEFT_RAISED
