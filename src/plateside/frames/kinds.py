"""The kinds of blur, told from a frame's own edges or, surer, against its reference.

Two steps. Whether the frame can be kept is one number (the evidence of a fault) against one threshold, so that the
share of good frames refused is in hand; which fault it is, a linear softmax over the features says. Weights
were fitted by `tests/synthetic/fit_kinds.py` on TRAIN photographs and dishes only; docs/measured.md shows what they do
on others.
"""

from enum import Enum

import numpy as np

from plateside.frames import kinds_weights as weights
from plateside.frames.blur_features import ALONE_NAMES, against
from plateside.frames.facts import FocusFacts
from plateside.frames.part_blur import STREAK
from plateside.frames.sharpness import WORK_PX
from plateside.frames.softer import Softening


class BlurKind(Enum):
    """What a frame's sharpness is."""

    SHARP = "sharp"
    SHALLOW = "wanted shallow focus"
    DEFOCUS = "out of focus"
    SHAKE = "camera shake"
    MOTION = "subject motion"
    ELSEWHERE = "focus elsewhere"
    DEPTH = "less depth of focus"
    UNSURE = "unsure"

    @property
    def keeps(self) -> bool:
        """Whether a frame of this kind can be kept."""
        return self in (BlurKind.SHARP, BlurKind.SHALLOW, BlurKind.UNSURE)


FAULTS = (BlurKind.DEFOCUS, BlurKind.SHAKE, BlurKind.MOTION, BlurKind.ELSEWHERE)
FEWEST_EDGES = 150
SHARP_SOMEWHERE_PX = 1.0
NO_SHARP_EDGE_PX = 0.6
NO_EDGE_AT_ALL_PX = 0.9
SHARP_SOMEWHERE_AROUND = 0.6
"""Of the frame around the hero: so much of it with sharp edges across the direction, and the camera stood still (made
shakes leave 0.57 at most, mostly none; around what moved by itself it is 0.8 and more)."""
MAY_BE_KEPT = 0.5
"""Probability of being fit to keep from which no fault is told, but where to look: a fine frame must not be refused."""
NEARLY_KEPT = 0.82
"""Probability of being fit to keep from which a frame is kept though the limit is higher, where nothing else in it
bears the fault out."""
ITS_OWN = 0.25
"""Probability of a movement from which it is told in the place of a shake that cannot be."""
KEPT_EDGE_PX = 0.35
"""A hero whose sharpest tenth is softer than this may be a sauce, or one that moved: the frame alone does not tell."""
ALONG_STAYS_SHARP_PX = 1.25
"""A shake leaves the edges that lie along it sharp; where they are not, depth of focus is at work."""
SURE_FAULT = 0.03
"""Below this probability of being fit to keep a fault that plain sense bears out is all but certain."""
SOFT_HERO_PX, UNDIRECTED_PX = 0.7, 0.5
CORE_KEPT = 0.1
"""Probability of being fit to keep, by the inner part of the hero alone, under which it is not kept without a look."""
CLEAR_SOMEWHERE, STREAKED_ALL_OVER, SHARPEST_PX = 0.016, 0.05, 0.3
"""Shares of the frame that are sharp in every direction, and across a shake's, and its sharpest place [px at working
size]: with more that is sharp it may be a dish beside the middle, in shallow focus. Made shakes have none of the first
and 0.02 of the second in the median."""
CLEAR_MOSTLY = 0.5
"""Share of the frame that is sharp in every direction; with more, a soft middle is no shallow focus elsewhere."""
CERTAIN, PROBABLE = 0.85, 0.65
"""Confidence in a fault told from one frame alone."""
MELTED_TIMES = 3.0
"""So much more blurred than the subject a background is melted; glazed ware and cloth are up to 2.5 times as soft."""
SOFTER_PX2, SHARPER_PX2 = 0.6, 0.8
"""Of the squared spread: the hero is softer, what lies around it sharper."""
DIRECTED, UNDIRECTED = 0.45, 0.4
"""How much less edges along a direction grew than those across it: a made shake of three strokes has 0.53 or more, a
lens out of focus 0.35 or less (tests/synthetic/other_kinds.py)."""
ALONG_SOFT = 0.3
"""Of what a streak adds across it: softer than that along it, edges have not only been moved."""
SOME, HALF, MOSTLY, NEARLY_ALL = 0.12, 0.45, 0.6, 0.85
"""Shares of the tiles that stayed sharp, or of the hero's that did not."""
PART_SHARE = 0.02
"""Of the hero's tiles, side by side: two of a hundred; in made frames without a fault not one grew softer by itself."""
MOVED_SHARE = 0.006
"""The same, of what `part_blur` found to have moved in one direction; in made frames without a fault 0.004 at most."""
PART_CONFIDENCE = 0.7
FAR_STILL, FAR_ALL = 0.45, 0.75
"""Of the tiles well away from the hero: so many as before, and what changed is the hero's own (made shakes leave 0.41
at most); so many, and nothing there is less in focus."""
SHARPER_SHARE = 0.25
STREAKED_AROUND = 0.02
"""Of the correlation of fine detail: so much better with the hero's streak than without, and all of it was streaked
(made shakes on plain tables: 0.03 to 0.20; a hero that moved alone: -0.01 and less)."""
UPRIGHT_DEG, ROWS_STAYED = 20.0, 0.3
"""Direction, and share of the tiles: made shakes and movements leave 0.23 at most."""
LITTLE_STREAK_PX2 = 2.0
"""A hero that is streaked more has moved, though a smaller aperture makes sharper what is around it."""
HERO_STAYED_PX2 = 0.25
STILL_PX2, STILL_SHARE = 0.25, 0.03
"""Growth of the squared spread around the subject, and share of the tiles there: under both it is as it was."""
MELTED_PX2 = 2.0
"""Growth of the squared spread around the subject from which the background counts as melted."""


def probabilities(features: "tuple[float, ...]", model: weights.Model) -> "tuple[float, ...]":
    """Keep, defocus, shake, motion, elsewhere: sums to 1."""
    x = (np.asarray(features) - np.asarray(model.mean)) / np.asarray(model.spread)
    z = x @ np.asarray(model.matrix) + np.asarray(model.offset)
    p = np.exp(z - z.max())
    return tuple(float(v) for v in p / p.sum())


def _decided(p: "tuple[float, ...]", threshold: float) -> tuple[BlurKind | None, float]:
    """The fault and its confidence; None when the frame can be kept."""
    if p[0] >= threshold:
        return None, p[0]
    faults = np.array(p[1:]) / max(sum(p[1:]), 1e-9)
    best = int(np.argmax(faults))
    return FAULTS[best], float((1 - p[0]) * (0.5 + 0.5 * faults[best]))


def kind_of(
    focus: FocusFacts, wants_shallow: bool = False, sharp_wish: str = "hero", *, placed: bool = True
) -> tuple[BlurKind, float]:
    """The kind of blur and how sure that is, 0 to 1, from one frame alone.

    placed  it is known where the hero is: a shot says so
    """
    if focus.edges_on_subject < FEWEST_EDGES or len(focus.features) != len(weights.ALONE.mean):
        return BlurKind.UNSURE, 0.3
    kind, confidence = _by_core(focus, sharp_wish, _by_hero(focus, wants_shallow, sharp_wish))
    if kind.keeps:
        return kind, confidence
    if not placed and not _whatever_the_hero(kind, focus):
        # what is sharp may be the hero, and the middle of the frame the table behind it
        return BlurKind.UNSURE, 0.45
    return kind, confidence


def _by_hero(focus: FocusFacts, wants_shallow: bool, sharp_wish: str) -> tuple[BlurKind, float]:
    """The kind by the edges in all of the hero's box."""
    p, fault, confidence = _fault(focus, focus.features)
    features = dict(zip(ALONE_NAMES, focus.features, strict=True))
    borne_out = fault is not None and fault in FAULTS and _borne_out(fault, features, sharp_wish)
    if fault is not None and (borne_out or p[0] < NEARLY_KEPT):
        # soft food looks like blur; saying that one is not sure costs a look, a wrong 'again' costs the dish
        if not borne_out or p[0] >= MAY_BE_KEPT:
            return BlurKind.UNSURE, 0.45
        certain = p[0] < SURE_FAULT and _unmistakable(fault, features) and _nothing_sharp(fault, focus)
        return fault, CERTAIN if certain else min(confidence, PROBABLE)
    if features["subject 10 %"] >= KEPT_EDGE_PX:
        return BlurKind.UNSURE, 0.45
    subject, around = focus.subject_spread_px or 0.0, focus.around_spread_px or 0.0
    melted = wants_shallow or around > MELTED_TIMES * max(subject, 1.0)
    return (BlurKind.SHALLOW if melted else BlurKind.SHARP), min(max(p[0], 0.5), 0.85)


def _by_core(focus: FocusFacts, sharp_wish: str, told: tuple[BlurKind, float]) -> tuple[BlurKind, float]:
    """What the inner part of the hero's box adds: a low dish does not fill its box, and the table in the rest is sharp.

    A lens focused elsewhere is told by it. A streak is not: noodles and slices lie in one direction, too.
    """
    if len(focus.core) != len(weights.ALONE.mean):
        return told
    p, fault, confidence = _fault(focus, focus.core)
    if fault is None or p[0] >= CORE_KEPT:
        return told
    features = dict(zip(ALONE_NAMES, focus.core, strict=True))
    open_to = told[0].keeps or (told[0] is BlurKind.MOTION and fault is BlurKind.ELSEWHERE)
    by_lens = fault in (BlurKind.DEFOCUS, BlurKind.ELSEWHERE) and _borne_out(fault, features, sharp_wish)
    if open_to and by_lens:
        return fault, min(confidence, PROBABLE)
    return (BlurKind.UNSURE, 0.45) if told[0].keeps else told


def _fault(
    focus: FocusFacts, features: "tuple[float, ...]"
) -> "tuple[tuple[float, ...], BlurKind | None, float]":
    """Probabilities, the fault that they speak for (None: the frame can be kept) and its confidence."""
    p = probabilities(features, weights.ALONE)
    fault, confidence = _decided(p, weights.ALONE.threshold)
    if fault is BlurKind.SHAKE and focus.sharp_across >= SHARP_SOMEWHERE_AROUND:
        fault = BlurKind.MOTION if p[3] >= ITS_OWN else BlurKind.UNSURE
    return p, fault, confidence


def _whatever_the_hero(fault: BlurKind, focus: FocusFacts) -> bool:
    """Whether a fault would be one wherever the hero is: all of the frame has it, or the middle alone."""
    if fault in (BlurKind.MOTION, BlurKind.ELSEWHERE):
        return focus.clear_share >= CLEAR_MOSTLY
    return _nothing_sharp(fault, focus)


def _nothing_sharp(fault: BlurKind, focus: FocusFacts) -> bool:
    """Whether no place in the frame speaks against a fault that the whole frame has."""
    if focus.clear_share >= CLEAR_SOMEWHERE:
        return False
    if fault is BlurKind.SHAKE:
        return focus.sharp_across <= STREAKED_ALL_OVER
    finer = max(focus.measured_px / WORK_PX, 1.0)
    return focus.best_spread_px is None or focus.best_spread_px >= SHARPEST_PX * finer


def _borne_out(fault: BlurKind, features: "dict[str, float]", sharp_wish: str) -> bool:
    """Whether plain sense bears the fault out: soup, cream and steam have soft edges in the sharpest picture.

    Out of focus needs a subject without one sharp edge; a shake the same direction all over; a movement a direction.
    """
    somewhere = sharp_wish == "front" and features["subject's sharpest tile"] < SHARP_SOMEWHERE_PX
    if somewhere and fault is not BlurKind.MOTION:
        return False
    if fault in (BlurKind.DEFOCUS, BlurKind.ELSEWHERE):
        soft = fault is BlurKind.DEFOCUS and _soft_alike(features)
        return soft or features["subject 10 %"] >= NO_SHARP_EDGE_PX
    along = features["subject most direction"] - max(features["subject least direction"], 0.0)
    if fault is BlurKind.SHAKE:
        along_stays_sharp = features["subject least direction"] <= ALONG_STAYS_SHARP_PX
        return features["directions agree"] >= 0.5 and along >= 0.5 and along_stays_sharp
    return along >= 0.6


def _soft_alike(features: "dict[str, float]") -> bool:
    """Whether the hero and what is around it are soft alike, as a lens out of focus leaves them; grain and compression
    still leave some edges sharp."""
    return (
        features["subject 25 %"] >= SOFT_HERO_PX
        and features["subject most direction"] - max(features["subject least direction"], 0.0) < UNDIRECTED_PX
        and features["around 10 %"] >= NO_SHARP_EDGE_PX
        and features["around 25 %"] >= NO_EDGE_AT_ALL_PX
    )


def _unmistakable(fault: BlurKind, features: "dict[str, float]") -> bool:
    """Whether nothing else than this fault looks so. Noodles and slices lie in one direction as a movement's streaks
    do, and what is sharp beside the middle may be the hero: these two are never certain from one frame."""
    if fault is BlurKind.DEFOCUS:
        return (
            features["subject 10 %"] >= NO_EDGE_AT_ALL_PX and features["around 10 %"] >= NO_EDGE_AT_ALL_PX / 2
        )
    return fault is BlurKind.SHAKE


def _by_place(soft: Softening, fault: BlurKind, *, refocused: bool) -> BlurKind:
    """The kind by where edges grew softer and in which direction, in the place of the model's where these tell.

    A movement leaves the edges along it sharp, in every part of the frame that it reaches: the camera's reaches all of
    it, the hero's none of what lies well away. A lens out of focus softens both alike: everywhere, or the more the
    further from what is in focus; and it draws larger or smaller, which no movement does.
    """
    soft_along = soft.subject_level > ALONG_SOFT * soft.subject_along
    sharper = soft.around_median < -SHARPER_PX2 or (soft_along and soft.around_sharper_share >= SHARPER_SHARE)
    # no movement makes anything sharper
    mostly_sharper = (
        soft.around_median < -SHARPER_PX2
        and soft.around_sharper_share >= HALF
        and soft.subject_along < LITTLE_STREAK_PX2
    )
    if mostly_sharper or (soft.subject_median > SOFTER_PX2 and sharper):
        return BlurKind.ELSEWHERE
    if refocused and soft_along and fault in (BlurKind.SHAKE, BlurKind.MOTION):
        return BlurKind.DEFOCUS
    if soft.far_stayed_share >= FAR_STILL:
        return BlurKind.MOTION if _one_direction(soft) else BlurKind.ELSEWHERE
    if (
        soft.far_stayed_share >= 0
        and soft.subject_median < HERO_STAYED_PX2
        and soft.subject_along < SOFTER_PX2
    ):
        return BlurKind.DEPTH
    if soft.direction_share >= DIRECTED:
        if soft.far_stayed_share < 0 and soft.around_streaked < STREAKED_AROUND and _rows_stayed(soft):
            return BlurKind.DEPTH
        if soft.far_stayed_share >= 0:
            return fault if fault is BlurKind.DEFOCUS and not _one_direction(soft) else BlurKind.SHAKE
        if soft.around_direction_share >= UNDIRECTED and soft.stayed_share < HALF:
            return BlurKind.SHAKE
        # few tiles show both directions: where the hero grew softer in all of them it is the lens all the same,
        # unless all around it is as it was: a lens focused anew changes that, too
        by_lens = fault in (BlurKind.DEFOCUS, BlurKind.ELSEWHERE) and not _still_around(soft)
        if by_lens and soft_along:
            return fault
        return BlurKind.SHAKE if soft.around_streaked >= STREAKED_AROUND else BlurKind.MOTION
    if not -0.5 <= soft.direction_share < UNDIRECTED:
        return fault
    if soft.stayed_share >= MOSTLY and soft.part_share >= HALF:
        return BlurKind.ELSEWHERE
    if fault is BlurKind.ELSEWHERE and soft.stayed_share < HALF and soft.around_median > 0:
        return BlurKind.DEFOCUS
    if fault is BlurKind.DEFOCUS and soft.subject_softer_share < HALF and soft.stayed_share >= SOME:
        return BlurKind.DEPTH
    if fault not in (BlurKind.SHAKE, BlurKind.MOTION):
        return fault
    graded = soft.stayed_share >= SOME or soft.part_share < HALF
    return BlurKind.DEPTH if graded else BlurKind.DEFOCUS


def _rows_stayed(soft: Softening) -> bool:
    """Whether rows stayed sharp between others that did not: a plate's rims before and behind them look streaked."""
    upright = abs(soft.subject_direction_deg - 90) <= UPRIGHT_DEG
    return upright and soft.stayed_share >= ROWS_STAYED


def _one_direction(soft: Softening) -> bool:
    """Whether the hero's blur is a streak: by all edges, by those of both directions side by side, without edges."""
    votes = [1 if soft.subject_level <= ALONG_SOFT * soft.subject_along else -1]
    if soft.direction_share > -0.5:
        votes.append(1 if soft.direction_share >= DIRECTED else -1)
    if soft.part_along >= 0:
        votes.append(1 if soft.part_along >= STREAK else -1)
    return sum(votes) > 0 or (sum(votes) == 0 and votes[0] > 0)


def _still_around(soft: Softening) -> bool:
    changed = max(soft.around_softer_share, soft.around_sharper_share)
    unchanged = abs(soft.around_median) < STILL_PX2 and changed < STILL_SHARE
    return soft.around_edges >= FEWEST_EDGES and unchanged


def kind_against(
    soft: Softening, wants_shallow: bool = False, *, refocused: bool = False
) -> tuple[BlurKind, float]:
    """The kind of blur and how sure that is, from what grew softer since the reference.

    refocused  the frame is drawn larger or smaller about its middle (`register.only_scaled`)
    """
    if soft.subject_edges < FEWEST_EDGES:
        return BlurKind.UNSURE, 0.3
    fault, confidence = _decided(probabilities(against(soft), weights.AGAINST), weights.AGAINST.threshold)
    if fault is not None:
        return _by_place(soft, fault, refocused=refocused), confidence
    streak = soft.part_along >= STREAK
    # edges alone are also lost to what was laid on them, and to another light: that is worth a look, no more
    if soft.part_along >= 0 and soft.part_share >= (MOVED_SHARE if streak else PART_SHARE):
        graded = 0 <= soft.direction_share < UNDIRECTED and soft.stayed_share < NEARLY_ALL
        graded = graded and soft.far_stayed_share < FAR_ALL
        return (BlurKind.DEPTH if graded else BlurKind.MOTION), PART_CONFIDENCE
    melted = wants_shallow or soft.around_median > MELTED_PX2
    return (BlurKind.SHALLOW if melted else BlurKind.SHARP), confidence
