"""A judged frame, as the journal keeps it, and the trend of the light over several."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Any

from plateside.files.journal.verdict_rows import act_row
from plateside.frames.compare import Comparison
from plateside.frames.facts import FrameFacts
from plateside.frames.lamp_check import Lamp
from plateside.frames.set_up_acts import dish_lux
from plateside.frames.trend import LightSample as LightReading
from plateside.frames.trend import trend
from plateside.model.frame import Frame, Verdict
from plateside.model.light_facts import Trend
from plateside.words.set.verdicts import frame_line, next_sentence

MOST_READINGS = 300
"""Of the light, the latest: every pair of them is weighed, and a trend of an hour ago says nothing any more."""


@dataclass(frozen=True)
class Judged:
    """One frame with its verdict."""

    frame: Frame
    shot: str
    guessed: bool
    """The shot is a guess: nobody said it."""
    verdict: Verdict
    facts: FrameFacts
    comparison: Comparison | None = None
    """Against the test frame of its set-up, when there is one."""

    def line(self, width: int = 0) -> str:
        """One line; `width`: of the names of frames."""
        return frame_line(self.frame.name, self.verdict, self.shot, self.guessed, width)


def light_trend(judged: Sequence[Judged], shot: str) -> Trend | None:
    """The trend of the light over a shot's frames, against its reference; None when too little is known."""
    readings = [
        LightReading(one.frame.settings.taken_at, one.comparison.light_stops)
        for one in judged
        if one.shot == shot
        and one.comparison is not None
        and one.comparison.fits
        and one.comparison.light_stops is not None
        and one.frame.settings.taken_at is not None
    ]
    found = trend(readings[-MOST_READINGS:])
    if found is None:
        return None
    by_card = [
        lux
        for one in judged
        if one.shot == shot and (lux := dish_lux(one.facts, one.frame.settings)[0]) is not None
    ]
    return replace(found, lux=by_card[-1] if by_card else None)


def lamp_of(row: Mapping[str, Any]) -> Lamp:
    """What a 'lamp settled' row says."""
    x, y = row["at"]
    return Lamp(
        bool(row["lamp"]), float(row["share"]), float(row.get("warmer_mired", 0.0)), (float(x), float(y))
    )


def verdict_row(one: Judged) -> dict[str, Any]:
    """A verdict as the journal keeps it."""
    return {
        "frame": one.frame.id,
        "shot": one.shot,
        "word": one.verdict.word,
        "act": next_sentence(one.verdict),
        "change": act_row(one.verdict.first),
        "confidence": one.verdict.confidence,
        "light": _light_row(one),
    }


def _light_row(one: Judged) -> dict[str, Any]:
    """Whether a grey card is in the frame, and its light against the test frame's, where the two can be compared."""
    card = one.facts.colour.card_level is not None
    compared = one.comparison
    if compared is None or not compared.fits or compared.light_stops is None:
        return {"card": card}
    return {
        "card": card, "against": compared.reference,
        "stops": round(compared.light_stops, 3), "mired": round(compared.cast_mired, 1),
    }  # fmt: skip
