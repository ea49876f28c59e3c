"""A set that looks like one: exposure and white balance of each picture brought to one of them.

What is compared, the surest first:

    grey card     the card read in the light of both: exact, unless what both show says that the light has changed since
    same things   features found in both (SIFT: D. G. Lowe, IJCV 60 (2004), 91; homography by RANSAC: M. A. Fischler
                  and R. C. Bolles, CACM 24 (1981), 381), then the median ratio of what lies on each other
    settings      the exposure that both raws were given, when the surroundings agree: as bright, and of one colour
    surroundings  surface and background outside the subject: the shift of one picture's histogram of log exposure and
                  log chroma that best lies on the other's (gains are shifts there: J. T. Barron, "Convolutional Color
                  Constancy", ICCV 2015). It brings the picture nearer and proves nothing

When the surroundings have too little in common the picture is left as it is, and that is said. All inputs are small
linear pictures (h, w, 3), about 480 px on the long side; nothing here sees the full-size picture.
"""

from dataclasses import dataclass, replace

import cv2
import numpy as np
from numpy.typing import NDArray

from plateside.finish.across import Across, gather, light_across, worst_part
from plateside.finish.ciede2000 import delta_e
from plateside.finish.facts import ITSELF as ITSELF_CODE
from plateside.finish.facts import MatchFacts
from plateside.finish.matched import LARGEST_STOPS, READ_TO_STOPS, reach_stops
from plateside.finish.raised import followed
from plateside.finish.shared import Shared, usable
from plateside.finish.tone import STRAIGHT, Curve, apply_curve
from plateside.finish.white_balance import NONE, Gains, of_array
from plateside.ground.spectrum import correlated
from plateside.ground.srgb import LUMINANCE, Floats, to_display, to_lab

Mask = NDArray[np.bool_]

LARGEST_CHROMA_STOPS = 0.75
"""Red or blue against green: about 150 mired."""
SURE_ENOUGH = 0.65
"""Least likeness of surroundings (0..1) that is acted on; below, the picture is left alone."""
LEAST_STOPS, LEAST_MIRED = 1 / 6, 12.0
"""Surroundings cannot tell less than this (bench matching: 0.2 stop and 9 mired in the mean): it is not acted on."""
AGREE_STOPS, AGREE_MIRED = 0.25, 15.0
"""What was read otherwise must agree so far with what the pictures show, else it tells of another light."""

_FEWEST_FEATURES = 25
_MOST_FEATURES = 1000
_COMPARED = 20_000
"""places over which a median colour difference is taken"""
_FEWEST_KEPT = 0.4
_NEAR_STOPS = 0.03
_BLUR_PX = 2.5
_NEAREST = 4.0
"""So many times as large a thing may be in one of two pictures that are compared."""
_BIN_STOPS = 1 / 10
_SOFT_BINS = (1.0, 0.6, 0.6)


@dataclass(frozen=True)
class Match:
    """How one picture was brought to the reference."""

    gains: Gains
    by: str
    """grey card, same things, settings, surroundings, itself (others are matched to it), too far (left as it is) or
    nothing"""
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

    def finished(self, colours: Floats) -> Floats:
        """As they are looked at: a difference shows by the brightness and the contrast that it is given."""
        if not self.shown_stops and self.curve.is_straight:
            return colours
        return apply_curve(colours * 2.0**self.shown_stops, self.curve)


UNKNOWN = Known()

ITSELF = Match(NONE, ITSELF_CODE, 1.0, None, None, 0.0, 0.0)


@dataclass(frozen=True, eq=False)
class MatchView:
    """A small linear picture, looked at once: its features are found once, however often it is compared."""

    linear: Floats
    subject: Mask | None
    """where the food is (True); surroundings are the rest"""
    keys: tuple[cv2.KeyPoint, ...]
    descriptors: NDArray[np.float32] | None
    """what describes each key, (n, 128)"""


def look(linear: Floats, subject: Mask | None = None) -> MatchView:
    """Find the features of a small linear picture."""
    return MatchView(linear, subject, *_features(linear))


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
    found = _same_things(reference, picture)
    seen = None if found is None else _wanted(_median_ratio(found.theirs, found.mine), keep_exposure)
    if known.card is not None:
        gains = _wanted(known.card, keep_exposure)
        if seen is None or _agree(gains, seen):
            return _measured("grey card", gains, found, keep_exposure, reach, known)
    if seen is not None:
        return _measured("same things", seen, found, keep_exposure, reach, known)
    if not same_surface:
        return Match(NONE, "nothing", 0.0, None, None, 0.0, 0.0)
    gains_or_none, sure = _surroundings(reference, picture)
    if gains_or_none is None or sure < SURE_ENOUGH:
        return Match(NONE, "nothing", sure, None, None, 0.0, 0.0)
    acted_on = _beyond_doubt(gains_or_none, keep_exposure)
    stops = None if keep_exposure else known.stops
    one_light = stops is not None and abs(gains_or_none.exposure_stops - stops) <= AGREE_STOPS
    if stops is not None and one_light and abs(gains_or_none.mired) < LEAST_MIRED:
        return _match(of_array(np.full(3, 2.0**stops)), "settings", sure, None, None)
    return _match(acted_on, "surroundings", sure, None, None)


def _wanted(gains: Gains, keep_exposure: bool) -> Gains:
    return gains.balance if keep_exposure else gains


def _agree(one: Gains, two: Gains) -> bool:
    apart = one.times(of_array(1 / two.array))
    return abs(apart.exposure_stops) <= AGREE_STOPS and abs(apart.mired) <= AGREE_MIRED


def _measured(
    by: str, gains: Gains, found: Shared | None, keep_exposure: bool, reach: float, known: Known
) -> Match:
    """By colours that were read in both, `found` of them at the same places."""
    if _too_far(gains, reach):
        return Match(NONE, "too far", 1.0, None, None, 0.0, 0.0, gains.exposure_stops, gains.mired)
    if found is None:
        return _match(gains, by, 1.0, None, None)
    theirs, mine = found.theirs, found.mine
    if keep_exposure:  # what is left of its colour: how dark it is meant to be is no difference
        mine = mine * 2.0 ** _median_ratio(theirs, mine).exposure_stops
    before, _ = _differences(known.finished(theirs), known.finished(mine))
    cells = gather(found.x, found.y, theirs, mine)
    across = light_across(cells, _median_ratio(theirs, mine).array)
    lit = mine * gains.array
    if across is not None:
        lit = lit * 2.0 ** across.at(found.x, found.y)
    aim, got = known.finished(theirs), known.finished(lit)
    after, widely = _differences(aim, got)
    kept = cells.of >= 0
    if kept.mean() > _FEWEST_KEPT:
        # what is something else now says nothing of the light
        widely = _differences(aim[kept], got[kept])[1]
    there, x, y = worst_part(found.x, found.y, aim, got, cells)
    found_match = _match(gains, by, float(np.clip(1 - after / 6, 0.1, 1)), before, after)
    return replace(
        found_match, delta_e_widely=widely, delta_e_there=there, there_x=x, there_y=y, across=across,
        evened_stops=0.0 if across is None else across.reach_stops,
        delta_e_raised=_left_of_raised(found.raised, gains, across, keep_exposure, known),
    )  # fmt: skip


def _left_of_raised(
    raised: tuple[Shared, ...], gains: Gains, across: Across | None, keep_exposure: bool, known: Known
) -> float | None:
    left = []
    for thing in raised:
        lit = thing.mine * gains.array
        if across is not None:
            lit = lit * 2.0 ** across.at(thing.x, thing.y)
        if keep_exposure:
            lit = lit * 2.0 ** _median_ratio(thing.theirs, lit).exposure_stops
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


def _median_ratio(theirs: Floats, mine: Floats) -> Gains:
    """Per channel, the median ratio of (n, 3) colours seen in both, highlights of the subject weighing no more.

    What was changed between the two (another dish, a hand) lies to one side and draws the median along: so it is taken
    again of those near it, three times.
    """
    steps = np.log2(theirs / mine)
    middle = np.median(steps, axis=0)
    for _ in range(3):
        away = np.abs(steps - middle).max(axis=1)
        near = steps[away <= max(2 * float(np.median(away)), _NEAR_STOPS)]
        middle = np.median(near, axis=0)
    return of_array(2.0**middle)


def _differences(theirs: Floats, mine: Floats) -> tuple[float, float]:
    """CIEDE2000: the median, and what two thirds stay below."""
    step = max(len(theirs) // _COMPARED, 1)
    theirs, mine = theirs[::step], mine[::step]
    apart = delta_e(to_lab(np.clip(theirs, 0, 1)), to_lab(np.clip(mine, 0, 1)))
    return float(np.median(apart)), float(np.quantile(apart, 2 / 3))


def _features(linear: Floats) -> tuple[tuple[cv2.KeyPoint, ...], NDArray[np.float32] | None]:
    """SIFT on lightness stretched to the same range, so that a dark frame has as many as a bright one."""
    light = to_display(np.clip(linear @ LUMINANCE, 0, None))
    low, high = np.percentile(light, [1, 99])
    grey = np.clip((light - low) / max(float(high - low), 1e-6), 0, 1)
    sift = cv2.SIFT_create(nfeatures=_MOST_FEATURES)  # type: ignore[attr-defined]
    keys, descriptors = sift.detectAndCompute((grey * 255).astype(np.uint8), None)
    return tuple(keys), descriptors


def _same_things(view: MatchView, other: MatchView) -> Shared | None:
    """Colours of the reference and of the picture at the same places of the scene, or None."""
    reference, keys_1, descriptors_1 = view.linear, view.keys, view.descriptors
    picture, keys_2, descriptors_2 = other.linear, other.keys, other.descriptors
    if descriptors_1 is None or descriptors_2 is None or min(len(keys_1), len(keys_2)) < _FEWEST_FEATURES:
        return None
    pairs = cv2.BFMatcher(cv2.NORM_L2).knnMatch(descriptors_2, descriptors_1, k=2)
    good = [p[0] for p in pairs if len(p) == 2 and p[0].distance < 0.75 * p[1].distance]
    if len(good) < _FEWEST_FEATURES:
        return None
    mine = np.array([keys_2[m.queryIdx].pt for m in good], dtype=np.float32)
    theirs = np.array([keys_1[m.trainIdx].pt for m in good], dtype=np.float32)
    cv2.setRNGSeed(1)
    homography, inliers = cv2.findHomography(mine, theirs, cv2.RANSAC, 3.0)
    if homography is None or int(inliers.sum()) < max(_FEWEST_FEATURES, len(good) // 4):
        return None
    back, size = np.linalg.inv(homography), picture.shape[:2]
    # a little blur, so that grain, focus and a pixel's error do not matter: as wide in both where one was nearer
    height, width = reference.shape[:2]
    nearer = float(np.clip(_enlarged(back, width / 2, height / 2), 1 / _NEAREST, _NEAREST))
    blurred = _blurred(picture, _BLUR_PX * max(nearer, 1.0))
    laid = np.asarray(
        cv2.warpPerspective(blurred, homography, (width, height), flags=cv2.INTER_LINEAR), np.float32
    )
    whole = np.ones(picture.shape[:2], np.uint8)
    there = cv2.warpPerspective(whole, homography, (width, height), flags=cv2.INTER_NEAREST)
    there = cv2.erode(there, np.ones((9, 9), np.uint8))
    soft = _blurred(reference, _BLUR_PX * max(1 / nearer, 1.0))
    both = (there > 0) & usable(soft) & usable(laid)
    if both.sum() < 0.02 * both.size:
        return None
    return followed(soft, laid, both, back, size)


def _enlarged(homography: Floats, x: float, y: float) -> float:
    """How many times as long a short line at a place becomes: the root of the Jacobian's determinant."""
    below = abs(float(homography[2] @ (x, y, 1)))
    return float(np.sqrt(abs(np.linalg.det(homography)) / max(below, 1e-9) ** 3))


def _blurred(linear: Floats, sigma_px: float) -> NDArray[np.float32]:
    return np.asarray(cv2.GaussianBlur(linear.astype(np.float32), (0, 0), sigma_px), np.float32)


def _surroundings(reference: MatchView, picture: MatchView) -> tuple[Gains | None, float]:
    """Gains from the best shift of one log histogram on the other, and their likeness there (0..1)."""
    one = _histogram(reference.linear, reference.subject)
    two = _histogram(picture.linear, picture.subject)
    if one is None or two is None:
        return None, 0.0
    # Roots, so that the sum over bins is the Bhattacharyya coefficient: 1 for the same distribution.
    reach = [round(LARGEST_STOPS / _BIN_STOPS), *[round(LARGEST_CHROMA_STOPS / _BIN_STOPS)] * 2]
    window = correlated(np.sqrt(one), np.sqrt(two), reach)
    # of two shifts that fit as well, the smaller one is the likelier
    shifts = np.meshgrid(*[np.arange(-r, r + 1) * _BIN_STOPS for r in reach], indexing="ij")
    prior = np.exp(-0.5 * ((shifts[0] / 1.5) ** 2 + (shifts[1] / 0.5) ** 2 + (shifts[2] / 0.5) ** 2) * 0.1)
    place = np.unravel_index(int(np.argmax(window * prior)), window.shape)
    light, red, blue = (
        _refined(window, place, axis) * _BIN_STOPS - reach[axis] * _BIN_STOPS for axis in range(3)
    )
    green = 2.0**light
    return of_array(np.array([green * 2.0**red, green, green * 2.0**blue])), float(
        np.clip(window[place], 0, 1)
    )


def _refined(window: Floats, place: tuple[np.intp, ...], axis: int) -> float:
    """The top of the parabola through the best bin and its two neighbours along `axis` [bins]."""
    at = int(place[axis])
    if not 0 < at < window.shape[axis] - 1:
        return float(at)
    index = list(place)
    values = []
    for step in (-1, 0, 1):
        index[axis] = np.intp(at + step)
        values.append(float(window[tuple(index)]))
    bend = values[0] - 2 * values[1] + values[2]
    return at + (0.5 * (values[0] - values[2]) / bend if bend < -1e-12 else 0.0)


def _histogram(linear: Floats, subject: Mask | None) -> Floats | None:
    """Share of the surroundings by log2 green, log2 red/green, log2 blue/green; softened; None when too few."""
    soft = _blurred(linear, 2.0)
    there = usable(soft)
    if subject is not None and subject.shape == there.shape:
        there &= ~subject
    colours = soft[there].astype(np.float64)
    if len(colours) < 0.02 * there.size:
        return None
    log = np.log2(colours)
    points = np.stack([log[:, 1], log[:, 0] - log[:, 1], log[:, 2] - log[:, 1]], axis=1)
    edges = [np.arange(low, high, _BIN_STOPS) for low, high in ((-8.0, 0.5), (-3.0, 4.0), (-4.0, 2.5))]
    counts, _ = np.histogramdd(points, bins=edges)
    for axis, width in enumerate(_SOFT_BINS):
        counts = _softened(counts, width, axis)
    total = counts.sum()
    return counts / total if total > 0 else None


def _softened(counts: Floats, sigma_bins: float, axis: int) -> Floats:
    reach = int(np.ceil(3 * sigma_bins))
    kernel = np.exp(-0.5 * (np.arange(-reach, reach + 1) / sigma_bins) ** 2)
    kernel /= kernel.sum()
    return np.apply_along_axis(lambda line: np.convolve(line, kernel, mode="same"), axis, counts)
