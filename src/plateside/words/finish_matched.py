"""How a picture was brought to its series, or why it was not, in words."""

from plateside.finish.facts import ITSELF, Adjustments, MatchFacts
from plateside.finish.matched import MOST_LEFT_RAISED, MOST_LEFT_THERE, reach_stops
from plateside.model.casts import warmer_by
from plateside.words import Row
from plateside.words.counting import stops

AS_TAKEN = "Exposure and white balance as taken."
UNPROVEN = (
    "Nothing in both pictures proves it: it may be a fifth of a stop and ten mired off. Compare the two, or mark a "
    "grey card in this light."
)

_LEAST_STOPS, _LEAST_MIRED = 0.005, 0.5
"""Less than this is written as none."""

_BY = {
    "grey card": "the grey card",
    "same things": "what both pictures show",
    "settings": "the exposure of both raws, which the surroundings bear out",
    "surroundings": "the surroundings",
}


def matching_sentence(a: Adjustments) -> str:
    """How it was brought to the series, or why it was left as taken."""
    m = a.match
    if m.by == ITSELF:
        if is_changed(m):
            return (
                f"The series is matched to this picture, made neutral by the grey card: {change_phrase(m)}."
            )
        return "The series is matched to this picture: exposure and white balance as taken."
    if not m.matched and is_changed(m):
        nearer = (
            f"Brought nearer to {a.match_to} by {_BY.get(m.by, m.by)}: {change_phrase(m)}{_difference(m)}. "
        )
        if m.by == "surroundings":
            return nearer + UNPROVEN
        return f"{nearer}That is as near as one brightness and one colour bring it{_most_apart(m)}"
    if not m.matched:
        end = _most_apart(m) if m.by == "no nearer" else "."
        return f"Exposure and white balance as taken: {unmatched_phrase(m, a.match_to, a.from_raw)}{end}"
    evened = f", its light evened across the picture ({stops(m.evened_stops)})" if m.evened_stops else ""
    return f"Matched to {a.match_to} by {_BY.get(m.by, m.by)}: {change_phrase(m)}{evened}{_difference(m)}."


def unmatched_phrase(m: MatchFacts, match_to: str, from_raw: bool = False) -> str:
    """Why a picture was left alone: '3.3 stops darker than cup, too far for one series (at most 2)'."""
    if m.by == "nothing":
        return f"too little in common with {match_to} to match"
    if m.by == "no nearer":
        apart = f" (colour difference {m.delta_e_before:.1f}, CIEDE2000)" if m.delta_e_before else ""
        return f"one brightness and one colour bring it hardly nearer to {match_to}{apart}"
    if m.by != "too far":
        return f"it shares nothing certain with {match_to}, and the surroundings differ too little to tell"
    most = reach_stops(from_raw)
    if abs(m.lacking_stops) > most:
        way = "darker" if m.lacking_stops > 0 else "brighter"
        return f"{stops(m.lacking_stops)} {way} than {match_to}, too far for one series (at most {most:g})"
    cast = "cooler" if m.lacking_mired > 0 else "warmer"
    return f"its colour is much {cast} than that of {match_to}, too much for one series"


def change_phrase(m: MatchFacts) -> str:
    """'0.32 stop brighter, a little warmer (8 mired)'."""
    return f"{stops_phrase(m.stops)}, {mired_phrase(m.mired)}"


def is_changed(m: MatchFacts) -> bool:
    """Whether there is a change to be told, in the figures that are told."""
    return abs(m.stops) >= _LEAST_STOPS or abs(m.mired) >= _LEAST_MIRED


def stops_phrase(by: float) -> str:
    """'0.30 stop brighter', 'exposure unchanged'."""
    if abs(by) < _LEAST_STOPS:
        return "exposure unchanged"
    return f"{abs(by):.2f} stop{'s' * (abs(by) >= 1.005)} {'brighter' if by > 0 else 'darker'}"


def mired_phrase(by: float) -> str:
    """'a little warmer (12 mired)', 'colour unchanged'."""
    return "colour unchanged" if abs(by) < _LEAST_MIRED else warmer_by(by)


def _most_apart(m: MatchFacts) -> str:
    """Where a picture is not matched: ', and least at the top left'."""
    if (m.delta_e_there or 0.0) <= MOST_LEFT_THERE:
        if (m.delta_e_raised or 0.0) > MOST_LEFT_RAISED:
            return ", and least on the dish: its gloss and shadows are seen from another side."
        return "."
    down = "top" if m.there_y < 1 / 3 else "bottom" if m.there_y > 2 / 3 else ""
    across = "left" if m.there_x < 0.4 else "right" if m.there_x > 0.6 else ""
    place = " ".join(part for part in (down, across) if part)
    return f", and least {f'at the {place}' if place else 'in the middle'}: is a lamp on there?"


def _difference(m: MatchFacts) -> str:
    if m.delta_e_before is None or m.delta_e_after is None:
        return ""
    return f"; colour difference {m.delta_e_before:.1f} before, {m.delta_e_after:.1f} after (CIEDE2000)"


def figure_rows(m: MatchFacts) -> list[Row]:
    """Exposure, colour, and how far apart the pictures were."""
    given = m.by != ITSELF and (m.matched or is_changed(m))
    rows = [
        Row("exposure", "Exposure", stops_phrase(m.stops) if given else "as taken"),
        Row("colour", "Colour", mired_phrase(m.mired) if given else "as taken"),
    ]
    if m.delta_e_before is not None and m.delta_e_after is not None:
        after = "" if m.by == "no nearer" else f" before, {m.delta_e_after:.1f} after"
        apart = f"{m.delta_e_before:.1f}{after} (CIEDE2000)"
        rows.append(Row("difference", "Colour difference", apart))
    return rows
