"""A set that looks like one: exposure and white balance of each picture brought to one of them.

What is compared, the surest first:

    grey card     the card read in the light of both: exact, unless what both show says that the light has changed since
    same things   features found in both (`recognised`), then the median ratio of what lies on each other
    settings      the exposure that both raws were given, when the surroundings agree: as bright, and of one colour
    surroundings  surface and background outside the subject (`surroundings`). It brings the picture nearer and proves
                  nothing

When the surroundings have too little in common the picture is left as it is, and that is said. All inputs are small
linear pictures (h, w, 3), about 480 px on the long side; nothing here sees the full-size picture.
"""

from dataclasses import dataclass, replace
from functools import cached_property

import numpy as np

from plateside.finish.across import Across, light_across
from plateside.finish.cells import Cells, gather, taken_by, worst_part
from plateside.finish.ciede2000 import delta_e
from plateside.finish.facts import ITSELF as ITSELF_CODE
from plateside.finish.facts import MatchFacts
from plateside.finish.matched import MOST_LEFT, READ_TO_STOPS, reach_stops
from plateside.finish.recognised import Mask, MatchView, same_things
from plateside.finish.shared import Shared
from plateside.finish.surroundings import LARGEST_CHROMA_STOPS, surroundings
from plateside.finish.tone import STRAIGHT, Curve, apply_curve
from plateside.finish.white_balance import NONE, Gains, of_array
from plateside.ground.srgb import Floats, to_lab
from plateside.model.channels import highest

SURE_ENOUGH = 0.65
"""Least likeness of surroundings (0..1) that is acted on; below, the picture is left alone."""
LEAST_STOPS, LEAST_MIRED = 1 / 6, 12.0
"""Surroundings cannot tell less than this (bench matching: 0.2 stop and 9 mired in the mean): it is not acted on."""
AGREE_STOPS, AGREE_MIRED = 0.25, 15.0
"""What was read otherwise must agree so far with what the pictures show, else it tells of another light."""

_COMPARED, _ASKED = 20_000, 40_000
"""Places over which a median colour difference, and a median ratio, is taken: they are smoothed, and lie close."""
_HARDLY = 0.75
"""A picture with more than this share of its difference left was hardly brought nearer (common practice, no source)."""
_MUCH = 0.42
"""Of a picture: with less, something else must bear out what it tells."""
_FEWEST = 0.02
"""Of the picture: less that is the same tells nothing."""
_FEWEST_MOVED = 0.01
_NEAR_STOPS = 0.03


@dataclass(frozen=True)
class Match:
    """How one picture was brought to the reference."""

    gains: Gains
    by: str
    """grey card, same things, settings, surroundings, itself (others are matched to it), too far, no nearer
    or nothing (left as it is)"""
    sure: float
    """0..1; what it rests on is in `by`"""
    delta_e_before: float | None
    """median CIEDE2000 over what both pictures show; None when no place is surely in both"""
    delta_e_after: float | None
    stops: float
    """exposure given; positive is brighter [stops]"""
    mired: float
    """colour given; positive is warmer [mired]"""
    lacking_stops: float = 0.0
    """too far: what it would take to meet the reference, and was not given; positive is brighter [stops]"""
    lacking_mired: float = 0.0
    """too far: the same of its colour; positive is warmer [mired]"""
    delta_e_widely: float | None = None
    """CIEDE2000 that two thirds of what both pictures show stay below"""
    delta_e_there: float | None = None
    """median CIEDE2000 in the part of the picture where surely the same things differ most"""
    there_x: float = 0.5
    """where that part is: shares of the picture's width and height"""
    there_y: float = 0.5
    across: Across | None = None
    """what evens the light across the picture besides the gains; None: it is even"""
    evened_stops: float = 0.0
    """by how much that is from one end to the other [stops]"""
    delta_e_raised: float | None = None
    """median CIEDE2000 of the thing standing on the table that is farthest off, seen from another place; None: nothing
    that stands there was found"""

    def factors(self, size: tuple[int, int]) -> Floats:
        """What a picture of `size` (height, width) is multiplied by, (h, w, 3)."""
        gains = self.gains.array
        if self.across is None:
            return np.broadcast_to(gains, (*size, 3))
        return np.asarray(gains * self.across.factors(0, size[0], size))

    @property
    def facts(self) -> MatchFacts:
        """The same without its gains."""
        return MatchFacts(
            self.by, self.stops, self.mired, self.delta_e_before, self.delta_e_after, self.lacking_stops,
            self.lacking_mired, self.delta_e_widely, self.delta_e_there, self.there_x, self.there_y,
            self.evened_stops, self.delta_e_raised,
        )  # fmt: skip


@dataclass(frozen=True)
class Known:
    """What is known of two pictures beside what they show."""

    card: Gains | None = None
    """by a grey card read in the light of both"""
    stops: float | None = None
    """by the exposure that both raws were given, were the light the same; positive is brighter [stops]"""
    from_raw: bool = False
    shown_stops: float = 0.0
    """how much brighter than here the series is finished [stops]"""
    curve: Curve = STRAIGHT
    """by which both are finished"""

    @property
    def by_exposure(self) -> Gains | None:
        return None if self.stops is None else of_array(np.full(3, 2.0**self.stops))

    def finished(self, colours: Floats) -> Floats:
        """As they are looked at: a difference shows by the brightness and the contrast that it is given."""
        if not self.shown_stops and self.curve.is_straight:
            return colours
        return apply_curve(colours * 2.0**self.shown_stops, self.curve)


UNKNOWN = Known()

ITSELF = Match(NONE, ITSELF_CODE, 1.0, None, None, 0.0, 0.0)


def match(
    reference: MatchView,
    picture: MatchView,
    keep_exposure: bool = False,
    same_surface: bool = True,
    known: "Known" = UNKNOWN,
) -> Match:
    """Gains that bring `picture` to `reference`.

    keep_exposure  colour only: for a picture that is meant dark or light
    same_surface   False: the shot list says they stand on different surfaces, so surroundings tell nothing
    known          what is known of both beside what they show
    """
    reach = reach_stops(known.from_raw) + READ_TO_STOPS
    found, around = _found(reference, picture), _Around(reference, picture, same_surface)
    seen = None if found is None else _wanted(found.ratio, keep_exposure)
    if found is not None and seen is not None and not found.much:
        others = (known.card, known.by_exposure)
        if not any(_bears_out(g, seen, keep_exposure) for g in others) and not _bears_out(
            around.gains, seen, keep_exposure
        ):
            found = seen = None
    if known.card is not None:
        gains = _wanted(known.card, keep_exposure)
        if seen is None or _agree(gains, seen):
            return _measured("grey card", gains, found, keep_exposure, reach, known)
    if seen is not None:
        brought = _measured("same things", seen, found, keep_exposure, reach, known)
        if not _hardly_nearer(brought):
            return brought
        as_taken = _measured("same things", NONE, found, keep_exposure, reach, known, may_even=False)
        return as_taken if as_taken.facts.matched else replace(as_taken, by="no nearer")
    if around.gains is None:
        return Match(NONE, "nothing", around.sure, None, None, 0.0, 0.0)
    acted_on = _beyond_doubt(around.gains, keep_exposure)
    stops = None if keep_exposure else known.stops
    one_light = stops is not None and abs(around.gains.exposure_stops - stops) <= AGREE_STOPS
    if stops is not None and one_light and abs(around.gains.mired) < LEAST_MIRED:
        return _match(of_array(np.full(3, 2.0**stops)), "settings", around.sure, None, None)
    return _match(acted_on, "surroundings", around.sure, None, None)


@dataclass(frozen=True, eq=False)
class _Around:
    """What the surroundings tell, compared only when it is asked for."""

    reference: MatchView
    picture: MatchView
    same_surface: bool

    @cached_property
    def _told(self) -> tuple[Gains | None, float]:
        return surroundings(self.reference, self.picture) if self.same_surface else (None, 0.0)

    @property
    def sure(self) -> float:
        return self._told[1]

    @property
    def gains(self) -> Gains | None:
        """None: they have too little in common to be acted on."""
        return self._told[0] if self.sure >= SURE_ENOUGH else None


def _hardly_nearer(one: Match) -> bool:
    """Not matched, and with nearly as much left as before: to change such a picture serves nothing."""
    before, after = one.delta_e_before, one.delta_e_after
    if one.facts.matched or before is None or after is None:
        return False
    return after > max(_HARDLY * before, MOST_LEFT)


@dataclass(frozen=True, eq=False)
class _Found:
    """What was recognised in both pictures."""

    laid: Shared
    """all that lies on each other, the same things or not"""
    on_dish: Mask
    """which of these places are on the dish (n,)"""
    cells: Cells
    kept: Mask
    """which of them surely show the same things, or belong to what does (n,)"""
    same: Shared
    """these places alone"""

    @cached_property
    def ratio(self) -> Gains:
        """What brings them nearest, all together."""
        return _median_ratio(self.same)

    @property
    def widely(self) -> bool:
        """Whether it is much of the picture."""
        return float(self.kept.mean()) > _MUCH

    @property
    def much(self) -> bool:
        """Whether it is enough to tell by itself: much of the picture, or of the dish."""
        on_dish = self.kept[self.on_dish]
        return self.widely or (len(on_dish) > 0 and float(on_dish.mean()) > _MUCH)


def _found(reference: MatchView, picture: MatchView) -> _Found | None:
    each = list[_Found]()
    for laid in same_things(reference, picture):
        on_dish = laid.within(picture.dish)
        cells = gather(laid.x, laid.y, laid.theirs, laid.mine, on_dish)
        kept = cells.of >= 0
        each.append(_Found(laid, on_dish, cells, kept, laid.only(kept)))
    if not each:
        return None
    first, *others = sorted(each, key=lambda one: -len(one.same.x))
    size = picture.linear[..., 0].size
    if len(first.same.x) < _FEWEST * size:
        return None
    # what was moved besides is held against itself, like what stands up
    moved = [one.same.only(~taken_by(first.cells, one.same.x, one.same.y)) for one in others]
    things = (
        *(t for one in each for t in one.laid.raised),
        *(m for m in moved if len(m.x) > _FEWEST_MOVED * size),
    )
    return replace(first, laid=replace(first.laid, raised=things))


def _wanted(gains: Gains, keep_exposure: bool) -> Gains:
    return gains.balance if keep_exposure else gains


def _bears_out(told: Gains | None, seen: Gains, keep_exposure: bool) -> bool:
    return told is not None and _agree(seen, _wanted(told, keep_exposure))


def _agree(one: Gains, two: Gains) -> bool:
    apart = one.times(of_array(1 / two.array))
    return abs(apart.exposure_stops) <= AGREE_STOPS and abs(apart.mired) <= AGREE_MIRED


def _measured(
    by: str, gains: Gains, found: _Found | None, keep_exposure: bool, reach: float, known: Known,
    may_even: bool = True,
) -> Match:  # fmt: skip
    """By colours that were read in both, `found` of them at the same places."""
    if _too_far(gains, reach):
        return Match(NONE, "too far", 1.0, None, None, 0.0, 0.0, gains.exposure_stops, gains.mired)
    if found is None:
        return _match(gains, by, 1.0, None, None)
    laid, same, cells, kept, ratio = found.laid, found.same, found.cells, found.kept, found.ratio
    if keep_exposure:  # what is left of its colour: how dark it is meant to be is no difference
        step = 2.0**ratio.exposure_stops
        laid, same = (replace(shared, mine=shared.mine * step) for shared in (laid, same))
        ratio = ratio.balance
        cells = replace(cells, steps=cells.steps - np.log2(step))
    # where the rest is something else, nothing tells of the light on it
    may_even = may_even and found.widely
    across = light_across(cells, ratio.array) if may_even else None
    aim, got = known.finished(laid.theirs), known.finished(_lit(laid, gains, across))
    before, _ = _differences(aim[kept], known.finished(same.mine))
    after, widely = _differences(aim[kept], got[kept])
    there, x, y = worst_part(laid.x, laid.y, aim, got, cells, found.on_dish)
    found_match = _match(gains, by, float(np.clip(1 - after / 6, 0.1, 1)), before, after)
    return replace(
        found_match, delta_e_widely=widely, delta_e_there=there, there_x=x, there_y=y, across=across,
        evened_stops=0.0 if across is None else across.reach_stops,
        delta_e_raised=_left_of_raised(found.laid.raised, gains, across, keep_exposure, known),
    )  # fmt: skip


def _lit(shared: Shared, gains: Gains, across: Across | None) -> Floats:
    """Its colours in the picture as they are matched (n, 3)."""
    lit = shared.mine * gains.array
    return lit if across is None else lit * 2.0 ** across.at(shared.x, shared.y)


def _left_of_raised(
    raised: tuple[Shared, ...], gains: Gains, across: Across | None, keep_exposure: bool, known: Known
) -> float | None:
    left = []
    for thing in raised:
        lit = _lit(thing, gains, across)
        if keep_exposure:
            lit = lit * 2.0 ** _median_ratio(replace(thing, mine=lit)).exposure_stops
        left.append(_differences(known.finished(thing.theirs), known.finished(lit))[0])
    return max(left, default=None)


def _match(gains: Gains, by: str, sure: float, before: float | None, after: float | None) -> Match:
    # of gains of one the logarithms are not quite 0, which would be told as a change
    stops, mired = (0.0, 0.0) if gains == NONE else (gains.exposure_stops, gains.mired)
    return Match(gains, by, sure, before, after, stops, mired)


def _beyond_doubt(gains: Gains, keep_exposure: bool) -> Gains:
    """Exposure and colour, each only where it is larger than surroundings may err."""
    exposure = 0.0 if keep_exposure or abs(gains.exposure_stops) < LEAST_STOPS else gains.exposure_stops
    balance = NONE if abs(gains.mired) < LEAST_MIRED else gains.balance
    return of_array(balance.array * 2.0**exposure)


def _too_far(gains: Gains, reach: float) -> bool:
    balance = np.log2(gains.balance.array)
    chroma = balance[[0, 2]] - balance[1]
    return abs(gains.exposure_stops) > reach or float(np.abs(chroma).max()) > LARGEST_CHROMA_STOPS


def _median_ratio(shared: Shared) -> Gains:
    """Per channel, the median ratio of colours seen in both, highlights of the subject weighing no more.

    What was changed between the two (another dish, a hand) lies to one side and draws the median along: so it is taken
    again of those near it, three times.
    """
    step = max(len(shared.x) // _ASKED, 1)
    steps = np.log2(shared.theirs[::step] / shared.mine[::step])
    middle = np.median(steps, axis=0)
    for _ in range(3):
        away = highest(np.abs(steps - middle))
        near = steps[away <= max(2 * float(np.median(away)), _NEAR_STOPS)]
        middle = np.median(near, axis=0)
    return of_array(2.0**middle)


def _differences(theirs: Floats, mine: Floats) -> tuple[float, float]:
    """CIEDE2000: the median, and what two thirds stay below."""
    step = max(len(theirs) // _COMPARED, 1)
    theirs, mine = theirs[::step], mine[::step]
    apart = delta_e(to_lab(np.clip(theirs, 0, 1)), to_lab(np.clip(mine, 0, 1)))
    return float(np.median(apart)), float(np.quantile(apart, 2 / 3))
