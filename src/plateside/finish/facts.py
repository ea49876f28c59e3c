"""What is known of finished pictures: numbers, names and codes. Light to import: the pages ask it too.

`words/finish.py` says it; nothing here is a sentence.
"""

from dataclasses import dataclass
from typing import TYPE_CHECKING

from plateside.finish.followed import LookOff
from plateside.finish.hand import UNTOUCHED, Hand
from plateside.finish.lens_facts import LEFT, LensDone
from plateside.finish.matched import is_matched
from plateside.finish.square import Square

if TYPE_CHECKING:
    from plateside.finish.matching import Match

ITSELF = "itself"
"""How the picture is matched that the others are matched to."""
CALM, ROLLED_OFF, STRAIGHT = "calm", "rolled off", "straight"
"""The series' tone curve: of raws; of JPEGs whose highlights were lifted; none."""


def by_now(by: str) -> str:
    """The code of how a picture was matched; lists of earlier versions had another for the one matched to."""
    return ITSELF if by == "reference" else by


@dataclass(frozen=True)
class MatchFacts:
    """How a picture was brought to its series (see matching.Match), without its gains."""

    by: str
    """ITSELF, grey card, same things, settings, surroundings, too far, no nearer or nothing"""
    stops: float
    mired: float
    delta_e_before: float | None = None
    delta_e_after: float | None = None
    lacking_stops: float = 0.0
    """too far: what it would take and was not given; positive is brighter [stops]"""
    lacking_mired: float = 0.0
    delta_e_widely: float | None = None
    """what two thirds of what both pictures show stay below, after"""
    delta_e_there: float | None = None
    """median in the part of the picture where the same things differ most, after"""
    there_x: float = 0.5
    """where that part is: shares of the picture's width and height"""
    there_y: float = 0.5
    evened_stops: float = 0.0
    """by how much its light was evened across the picture, from one end to the other [stops]"""
    delta_e_raised: float | None = None
    """median of the thing on the table that is farthest off, seen from another place, after"""

    @property
    def matched(self) -> bool:
        """Whether it was brought to the series by something that was measured."""
        return is_matched(
            self.by,
            self.delta_e_after,
            self.delta_e_widely,
            self.delta_e_there,
            self.delta_e_raised,
        )


@dataclass(frozen=True)
class Adjustments:
    """Everything that was done to one frame: the honesty of a finished file."""

    frame: str
    """name of the original"""
    from_raw: bool
    match_to: str
    """shot that the series is matched to"""
    match: MatchFacts
    tone: str
    """CALM, ROLLED_OFF or STRAIGHT"""
    noise_evened: bool = False
    """some of the sensor's noise was taken out"""
    hand: Hand = UNTOUCHED
    """what you set for it, and for its series"""
    by_hand: bool = False
    """the finished file is no longer as it was written"""
    chart: str = ""
    """name of the frame whose colour chart its colours are made by"""
    chart_delta_e: float = 0.0
    """how far a patch that its profile has not seen is off, in the mean (CIEDE2000)"""
    lens: LensDone = LEFT
    """what was done about its lens, or why nothing was"""
    square: Square | None = None
    """what was squared to the picture"""
    noise_unknown: bool = False
    """of a raw: it neither states nor shows how strong its noise is, so none was taken out"""
    profile_damaged: bool = False
    """its colours are read as sRGB, as its colour profile cannot be followed"""


@dataclass(frozen=True)
class Rendering:
    """By what a frame's numbers became its picture, before anything was set by hand."""

    gains: tuple[float, float, float]
    """on developed linear light"""
    white_balance: tuple[float, float, float] | None
    """multipliers of the raw in place of its own; None: its own, or no raw"""
    contrast: float
    white: float
    """of the tone curve"""
    profile: tuple[tuple[float, ...], ...] | None = None
    """by a colour chart, in place of the camera's matrix (`chart.ColourProfile.terms`)"""


@dataclass(frozen=True)
class FinishedShot:
    """One finished picture."""

    shot: str
    frame: str
    frame_id: str
    chosen_by: str
    file: str
    width_px: int
    height_px: int
    sha256: str
    by_hand: bool
    """changed by hand since it was written here; kept as it is"""
    made_from: str
    """key of everything it was made from"""
    match: "Match"
    from_raw: bool
    tone: str
    """CALM, ROLLED_OFF or STRAIGHT"""
    noise_evened: bool = False
    hand: Hand = UNTOUCHED
    """what you set for it, and for its series"""
    rendering: Rendering | None = None
    """by what its numbers became a picture; lists of earlier versions do not say"""
    extra: bool = False
    """of a frame beside the select; `shot` is then the name of its picture"""
    chart: str = ""
    chart_delta_e: float = 0.0
    lens: LensDone = LEFT
    square: Square | None = None
    noise_unknown: bool = False
    profile_damaged: bool = False
    """as in Adjustments, each"""

    def adjustments(self, match_to: str) -> Adjustments:
        """What was done to it, in a series matched to that shot."""
        return Adjustments(
            self.frame,
            self.from_raw,
            match_to,
            self.match.facts,
            self.tone,
            self.noise_evened,
            self.hand,
            self.by_hand,
            self.chart,
            self.chart_delta_e,
            self.lens,
            self.square,
            self.noise_unknown,
            self.profile_damaged,
        )


TAKEN, LATER, AS_MADE = "taken", "later", "as made"
"""A retouched file counts; another that came later does; you took it back."""
ANOTHER_KIND, UNREAD, PRINT_COLOURS, NO_PICTURE = "another kind", "unread", "print colours", "no picture"
OF_ANOTHER, ANOTHER_FRAME = "of another", "another frame"
ANOTHER_SHAPE, ANOTHER_PICTURE = "another shape", "another picture"
"""Why one cannot count."""


@dataclass(frozen=True)
class CameBack:
    """What was found of a file that came back from retouching."""

    file: str
    """as it lies under finished/"""
    code: str
    """TAKEN, LATER, AS_MADE, or why it cannot count"""
    picture: str = ""
    """the finished picture that it is, or is named after"""
    other: str = ""
    """the picture that it was made from, the file that counts"""
    text: str = ""
    """what is wrong with the file, or to know of its colours"""
    size: tuple[int, int] = (0, 0)
    """its width and height [px]"""
    asked: tuple[int, int] = (0, 0)
    """those of the picture [px]"""


@dataclass(frozen=True, kw_only=True)
class FinishFacts:
    """What was finished, and what was not."""

    match_to: str
    """shot that the series is matched to"""
    finished: tuple[FinishedShot, ...]
    written: int
    """how many files were made now; the others were there already"""
    missing: tuple[str, ...]
    """shots that have no frame yet"""
    unmatched: tuple[str, ...] = ()
    """shots whose picture is as taken, because nothing told surely how to match it"""
    as_taken: tuple[str, ...] = ()
    """those of them that you accept as they are; the others are left to decide"""
    came_back: tuple[CameBack, ...] = ()
    """retouched files, and what was found of each"""
    list_renewed: bool = False
    """the list beside the pictures could not be read and was written anew"""
    look_off: LookOff | None = None
    """how far the look that the series follows is off what its grey card, its test frame or the others say"""
