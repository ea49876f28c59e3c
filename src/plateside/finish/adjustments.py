"""What was done to a picture, written down with it: the honesty of a finished file."""

from dataclasses import dataclass

from plateside.finish.matched import is_matched
from plateside.finish.matching import LARGEST_STOPS, Match
from plateside.finish.tone import CALM_CONTRAST, Curve
from plateside.finish.white_balance import NONE
from plateside.model.casts import warmer_by

NOTHING_ELSE = "Nothing was retouched, added, taken away or moved."
AS_TAKEN = "Exposure and white balance as taken."
BY_HAND = "Changed by hand afterwards: what was done then is not known here."


@dataclass(frozen=True)
class Adjustments:
    """Everything that was done to one frame."""

    shot: str
    frame: str
    """name of the original"""
    from_raw: bool
    reference_shot: str
    match: Match
    curve: Curve
    by_hand: bool = False
    """the finished file is no longer as it was written"""

    def sentences(self) -> list[str]:
        """One sentence for each adjustment, in order, then that nothing else was done (or that it is not known)."""
        said = [
            f"Developed from the raw {self.frame} with one white balance for the set."
            if self.from_raw
            else f"Made from the camera's JPEG {self.frame}, whose tones the camera had already set."
        ]
        said.append(self._matching())
        if self.curve.contrast == CALM_CONTRAST:
            said.append("The set's one tone curve: middle grey kept, a little contrast, highlights held.")
        elif self.curve.white > 1:
            said.append("The set's one tone curve: highlights rolled off so that no gain clips them.")
        said.append(BY_HAND if self.by_hand else NOTHING_ELSE)
        return said

    def _matching(self) -> str:
        m = self.match
        if m.by == "reference":
            if m.gains != NONE:
                change = f"{stops_said(m.stops)}, {mired_said(m.mired)}"
                return f"The set's reference, set neutral by the grey card: {change}."
            return "The set's reference: exposure and white balance as taken."
        if m.by == "nothing":
            return f"Exposure and white balance as taken: too little in common with {self.reference_shot} to match by."
        if m.by == "too far":
            return f"Exposure and white balance as taken: {too_far_said(m, self.reference_shot)}."
        if not is_matched(m.by, m.stops, m.mired):
            return (
                f"Exposure and white balance as taken: nothing in it is surely in {self.reference_shot} as well, and "
                "the surroundings differ by no more than they can tell."
            )
        change = (
            f"Matched to {self.reference_shot} by {_BY[m.by]}: {stops_said(m.stops)}, {mired_said(m.mired)}"
        )
        if m.delta_e_before is not None and m.delta_e_after is not None:
            change += (
                f"; colour difference {m.delta_e_before:.1f} before, {m.delta_e_after:.1f} after (CIEDE2000)"
            )
        return change + "."


_BY = {
    "grey card": "the grey card",
    "same things": "what both pictures show",
    "surroundings": "the surroundings (less sure)",
}


def too_far_said(m: Match, reference: str) -> str:
    """As '3.3 stops darker than whole-dish, and more than 2 are not made up': why a picture was left alone."""
    if abs(m.lacking_stops) > LARGEST_STOPS:
        lacking = f"{abs(m.lacking_stops):.1f} stops {'darker' if m.lacking_stops > 0 else 'brighter'} than {reference}"
        return f"{lacking}, and more than {LARGEST_STOPS:.0f} are not made up"
    cast = "cooler" if m.lacking_mired > 0 else "warmer"
    return f"its colour is much {cast} than that of {reference}, too much for one set"


def stops_said(stops: float) -> str:
    """As '0.30 stop brighter'."""
    if abs(stops) < 0.005:
        return "exposure unchanged"
    many = "s" if abs(stops) >= 1.005 else ""
    return f"{abs(stops):.2f} stop{many} {'brighter' if stops > 0 else 'darker'}"


def mired_said(mired: float) -> str:
    """As 'a little warmer (12 mired)'."""
    return "colour unchanged" if abs(mired) < 0.5 else warmer_by(mired)
