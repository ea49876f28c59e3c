"""The grey card on set: where it is, how it is exposed, and why a place is none."""

from plateside.model.casts import too_warm_by
from plateside.words.counting import stops

_NO_CARD = {
    "clipped": "it is so bright that nothing can be read there",
    "green": "it is green",
    "pink": "it is pink",
    "brown or yellow": "it is brown or yellow",
    "blue": "it is blue",
    "uneven": "an edge, a pattern or a shadow runs over it",
    "too dark": "it is too dark beside what is white here",
    "white": "it is as bright as what is white here",
}
CAST_MIRED = 15
"""Below this few see a cast: common practice, no source."""
TINT_STOPS = 0.06
SEEN_STOPS = 1 / 6


def card_marked_lines(name: str, shot: str, across: float, down: float) -> list[str]:
    """The place that was written down."""
    return [
        f"{name}: the grey card of {shot} is at {across:.2f} across and {down:.2f} down.",
        "Exposure and white balance aim at it there, and in later frames while it is there.",
    ]


def no_card_sentence(why: str) -> str:
    """`why`: a code."""
    return f"That is not the grey card: {_NO_CARD[why]}. Touch the middle of the grey card."


def card_read_sentence(off_stops: float, cast_mired: float, tint_stops: float) -> str:
    """'Grey card: 0.4 stop too dark, neutral.'"""
    casts = []
    if abs(cast_mired) >= CAST_MIRED:
        casts.append(too_warm_by(cast_mired))
    if abs(tint_stops) >= TINT_STOPS:
        casts.append(f"a little {'green' if tint_stops > 0 else 'pink'}")
    return f"Grey card: {_exposed(off_stops)}, {' and '.join(casts) or 'neutral'}."


def _exposed(off_stops: float) -> str:
    if abs(off_stops) < SEEN_STOPS:
        return "as bright as it should be"
    return f"{stops(off_stops)} {'too bright' if off_stops > 0 else 'too dark'}"
