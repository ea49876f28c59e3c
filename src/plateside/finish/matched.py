"""Whether a picture was brought to its series by something that was measured. Light to import: the pages ask it too."""

LARGEST_STOPS = 2.0
"""More than this is a different picture, not a drifting light."""


def is_matched(by: str, stops: float, mired: float) -> bool:
    """What is told of a match (see matching.Match), in a word.

    Surroundings that asked for nothing tell only that they could not tell: they are right to a sixth of a stop.
    """
    if by in ("nothing", "too far"):
        return False
    return by != "surroundings" or stops != 0 or mired != 0
