"""A select and an alternate for each shot, with measured reasons. Never a mark for beauty: that is hers.

Order of the candidates, first difference decides:

1. her own press: Keep before none before Again;
2. the verdict: good before adjust before again;
3. the fault left in it, in stops: distance from the aimed exposure, plus the sharpness missing
   against the sharpest frame of the shot (in stops of the sharpness measure), plus the colour cast at 30 mired a stop,
   plus what is in it and in no other frame, plus five stops for a picture that is too small for a channel it must
   serve. Of each measure only what lies beyond its own error counts (`SAME_...`): what cannot be told apart is equal;
4. among equals: the accepted test frame (her own press), the one that looks most like the rest (crumbs and a thing left
   lying add fine detail, so the sharpest by a hair is not the cleanest), the best of a burst (see `bursts`) before its
   mates, a raw before a JPEG, the earlier before the later.

One ruler for all: where a test frame is accepted, every frame of the shot is measured against it, and it against
itself.

The weights are ours (common practice, no source): a third of a stop of exposure is easily put right in finishing,
lost sharpness is not put right at all but differs little between good frames, 30 mired is a cast one sees.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime

from plateside.frames.apart import Apart
from plateside.frames.bursts import WhyBest
from plateside.model.frame import KEEP, Act

SHARPNESS_WEIGHT = 1.0
MIRED_PER_STOP = 30.0
TOO_SMALL_STOPS = 5.0
SAME_EXPOSURE_STOPS, SAME_SHARPNESS_STOPS, SAME_CAST_MIRED = 0.05, 0.04, 4.0
"""Less than this is the measures' own error on frames of one scene (`python -m bench.choosing`)."""
SAME_ODD_SHARE, ODD_STOPS = 0.004, 20.0
"""A twentieth of the dish's place changed counts as a stop."""
SAME_TURN_DEG, STOPS_A_DEGREE = 0.25, 0.3
ANOTHER_SHARE = 0.5
"""So much of the dish's place changed: another picture."""
HAIR_STOPS = 0.1
"""So much of another fault is forgiven to the frame of a burst that is best where it matters."""
STEP_STOPS = 0.02
"""Faults nearer to each other than this are equal."""
_WORD_RANK = {"good": 0, "adjust": 1, "again": 2}


@dataclass(frozen=True)
class Candidate:
    """What is known of one frame of a shot. Measures that could not be taken are None."""

    frame: str
    name: str
    word: str
    kept: bool = False
    again: bool = False
    exposure_stops: float | None = None
    """from the aim, bright positive"""
    sharpness_stops: float | None = None
    """grows with sharpness, one for each halving of the blur; compares frames of one shot"""
    cast_mired: float | None = None
    against_reference: bool = False
    """exposure and cast are told against the test frame of the set-up, not against the default aim"""
    burst: int | None = None
    """frames of one burst share a number"""
    best_of_burst: bool = False
    burst_count: int = 0
    why_best: WhyBest | None = None
    """why it is the best of its burst; None by your own choice"""
    best_on_hero: bool = False
    """it is that by the hero's sharpness alone, which `sharpness_stops` has told already: nothing is forgiven it"""
    accepted: bool = False
    """the accepted test frame of the set-up: the ruler itself"""
    is_raw: bool = False
    taken_at: datetime | None = None
    odd_share: float = 0.0
    """share of the dish's place that looks other than in the rest of the frames"""
    turn_deg: float = 0.0
    """how far it is turned against the rest of the frames"""
    word_alike: str = ""
    """the verdict as it would be on one ruler for raws and JPEGs; empty: `word`"""
    apart: Apart | None = None
    """against the only other frame of the shot, where nothing says which of the two is right"""
    too_small_for: tuple[str, ...] = ()
    act: Act = KEEP
    """the one thing to change"""
    asked_stops: float | None = None
    """what the verdict asks of the exposure, brighter positive; None when it asks nothing"""


@dataclass(frozen=True)
class Reason:
    """One reason for a pick, as facts; `words.choose` says it."""

    code: str
    """yours, kept, verdict, burst, as sharp, sharpest, less sharp, asked, exposure, cast, odd, turn or too small"""
    value: float | None = None
    """less sharp: fine contrast, share of the sharpest's; asked, exposure [stops, bright positive]; cast [mired, warm
    positive]; turn [degrees]"""
    count: int = 0
    """of frames: of the shot, or of the burst"""
    word: str = ""
    """the verdict"""
    names: tuple[str, ...] = ()
    """channels for which it has too few pixels"""
    by_test_frame: bool = False
    """told against the test frame, not against the default aim"""
    why: WhyBest | None = None


@dataclass(frozen=True)
class Pick:
    """One chosen frame with its reasons."""

    frame: str
    name: str
    by: str
    """'you' or 'tool'"""
    reasons: tuple[Reason, ...]


@dataclass(frozen=True)
class Remark:
    """What to know of a choice, as facts."""

    code: str
    """no frame, none good (take it again if you can), or differ (two frames, and nothing says which is right)"""
    count: int = 0
    act: Act = KEEP
    """none good: what to change"""
    apart: Apart | None = None
    names: tuple[str, str] = ("", "")
    """differ: the first frame, and the other that it is held against"""


@dataclass(frozen=True)
class ShotChoice:
    """The outcome for one shot."""

    shot: str
    select: Pick | None
    alternate: Pick | None
    left: tuple[str, ...]
    """names of the frames that are neither"""
    remark: Remark | None = None

    @property
    def differ(self) -> tuple[str, ...]:
        """In what the two frames of the shot differ, where the choice between them is yours (`Apart.kinds`)."""
        return self.remark.apart.kinds if self.remark is not None and self.remark.apart is not None else ()


def choose(
    shot: str, candidates: Sequence[Candidate], her_select: str = "", her_alternate: str = ""
) -> ShotChoice:
    """Choose a select and an alternate among the frames of one shot.

    her_select, her_alternate: frame ids she chose herself; they always win, whatever was measured.
    """
    if not candidates:
        return ShotChoice(shot, None, None, (), Remark("no frame"))
    order = sorted(candidates, key=lambda c: (_rank(c), *_fault_in_burst(c, candidates), *_among_equals(c)))
    by_id = {c.frame: c for c in candidates}
    chosen = by_id.get(her_select)
    usable = [c for c in order if c.kept or (not c.again and c.word != "again")]
    first = chosen or next((c for c in usable if c.frame != her_alternate), order[0])
    second = by_id.get(her_alternate) or _spare(first, usable)
    remark = None
    if chosen is None and first not in usable:
        remark = Remark("none good", len(order), first.act)
    others = [c for c in usable if c is not first]
    alike = chosen is None and first in usable and others and _rank(first) == _rank(others[0])
    if alike and first.apart and first.apart.kinds:
        remark = Remark("differ", apart=first.apart, names=(first.name, others[0].name))
    picks = (
        _pick(first, candidates, "you" if chosen else "tool"),
        None
        if second is None
        else _pick(second, candidates, "you" if second.frame == her_alternate else "tool"),
    )
    taken = {first.frame, second.frame if second else ""}
    left = tuple(c.name for c in order if c.frame not in taken)
    return ShotChoice(shot, picks[0], picks[1], left, remark)


def _rank(c: Candidate) -> tuple[int, int]:
    press = 0 if c.kept else 2 if c.again else 1
    word = _WORD_RANK.get(c.word_alike or c.word, 1)
    # what spoils the dish in all the others cannot be seen in a frame that does not show it
    return press, max(word, 1) if c.odd_share >= ANOTHER_SHARE else word


def _missing_sharpness_stops(c: Candidate, all_of_shot: Sequence[Candidate]) -> float | None:
    known = [o.sharpness_stops for o in all_of_shot if o.sharpness_stops is not None]
    return None if c.sharpness_stops is None else max(known) - c.sharpness_stops


def _fault_stops(c: Candidate, all_of_shot: Sequence[Candidate]) -> float:
    fault = _softness_stops(c, all_of_shot)
    fault += _beyond(c.exposure_stops, SAME_EXPOSURE_STOPS)
    fault += _beyond(c.cast_mired, SAME_CAST_MIRED) / MIRED_PER_STOP
    fault += _unlike_stops(c)
    return fault + (TOO_SMALL_STOPS if c.too_small_for else 0.0)


def _unlike_stops(c: Candidate) -> float:
    """What is in the frame and in no other, and how far it is turned against the rest."""
    unlike = _beyond(c.odd_share, SAME_ODD_SHARE) * ODD_STOPS
    return unlike + _beyond(c.turn_deg, SAME_TURN_DEG) * STOPS_A_DEGREE


def _unlike_within_error(c: Candidate) -> int:
    """The same below the measures' own error, in halves of it: too little to be a fault, enough among equals."""
    return round(2 * (abs(c.odd_share) / SAME_ODD_SHARE + abs(c.turn_deg) / SAME_TURN_DEG))


def _softness_stops(c: Candidate, all_of_shot: Sequence[Candidate]) -> float:
    return SHARPNESS_WEIGHT * _beyond(_missing_sharpness_stops(c, all_of_shot), SAME_SHARPNESS_STOPS)


def _beyond(value: float | None, same: float) -> float:
    return max(abs(value or 0.0) - same, 0.0)


def _fault_in_burst(c: Candidate, all_of_shot: Sequence[Candidate]) -> tuple[float, bool, int, int]:
    """The fault, and the place among equals: the accepted frame, the one most like the rest, the best of a burst."""
    soft, unlike = _softness_stops(c, all_of_shot), _unlike_stops(c)
    rest, place = _fault_stops(c, all_of_shot) - soft - unlike, 1
    if c.best_of_burst:
        place = 0
    if c.best_of_burst and not c.best_on_hero:
        # the sharpest where it matters, whatever is sharp elsewhere; its other faults stay its own, but for a hair
        mates = [o for o in all_of_shot if o.burst == c.burst and _rank(o) == _rank(c)]
        softs = [_softness_stops(o, all_of_shot) for o in mates]
        rests = [
            _fault_stops(o, all_of_shot) - own - _unlike_stops(o) for o, own in zip(mates, softs, strict=True)
        ]
        soft = min([soft, *softs])
        rest = min([rest, *(other for other in rests if other >= rest - HAIR_STOPS)])
    own = soft + unlike + rest
    return round(own / STEP_STOPS) * STEP_STOPS, not c.accepted, _unlike_within_error(c), place


def _among_equals(c: Candidate) -> tuple[bool, bool, datetime, str]:
    return not c.is_raw, c.taken_at is None, c.taken_at or datetime.min, c.name


def _spare(first: Candidate, usable: Sequence[Candidate]) -> Candidate | None:
    rest = [c for c in usable if c.frame != first.frame]
    # a spare from the same burst has the same crumb in the same place: another moment goes before it where press and
    # verdict are the same, and no frame to be put right goes before a good one
    best = [c for c in rest if _rank(c) == _rank(rest[0])]
    other_moment = [c for c in best if first.burst is None or c.burst != first.burst]
    return next(iter(other_moment or rest), None)


def _pick(c: Candidate, all_of_shot: Sequence[Candidate], by: str) -> Pick:
    reasons = []
    if by == "you":
        reasons.append(Reason("yours"))
    elif c.kept:
        reasons.append(Reason("kept"))
    reasons.append(Reason("verdict", word=c.word))
    if c.best_of_burst:
        reasons.append(Reason("burst", count=c.burst_count, why=c.why_best))
    many = len(all_of_shot)
    missing = _missing_sharpness_stops(c, all_of_shot)
    if missing is not None and many > 1:
        # two frames of one shot cannot both be its sharpest
        known = [o.sharpness_stops for o in all_of_shot if o.sharpness_stops is not None]
        alike = sum(max(known) - k <= SAME_SHARPNESS_STOPS for k in known) > 1
        if missing <= SAME_SHARPNESS_STOPS:
            reasons.append(Reason("as sharp" if alike else "sharpest", count=many))
        else:
            reasons.append(Reason("less sharp", 2**-missing))
    if c.asked_stops and not c.against_reference:
        # the same number as in the verdict: it leads to the middle of what is wanted, not to its edge
        reasons.append(Reason("asked", -c.asked_stops))
    elif c.exposure_stops is not None:
        reasons.append(Reason("exposure", c.exposure_stops, by_test_frame=c.against_reference))
    if c.cast_mired is not None and abs(c.cast_mired) >= 10:
        reasons.append(Reason("cast", c.cast_mired, by_test_frame=c.against_reference))
    if c.odd_share > SAME_ODD_SHARE:
        reasons.append(Reason("odd", c.odd_share))
    if abs(c.turn_deg) > SAME_TURN_DEG:
        reasons.append(Reason("turn", c.turn_deg))
    if c.too_small_for:
        reasons.append(Reason("too small", names=c.too_small_for))
    return Pick(c.frame, c.name, by, tuple(reasons))
