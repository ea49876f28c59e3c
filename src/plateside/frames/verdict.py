"""Facts and the shot's wishes to a verdict: good, adjust or again, with the one next act first.

Order of acts: what must be put right first comes first, for it changes all that is measured after it. A camera that
moved, then blur (the frame is lost by it), then a lamp, then an automatic that would undo the correction, then
exposure, then colour. What the shot says is deliberate is not nagged about.
"""

from collections.abc import Sequence
from dataclasses import replace

from plateside.camera.optics import CIRCLE_SHARE
from plateside.frames.advice import STILL, exposure_words, faster_words
from plateside.frames.compare import Comparison
from plateside.frames.facts import Box, FrameFacts
from plateside.frames.kinds import CERTAIN, DIRECTED, BlurKind, kind_of
from plateside.frames.set_up_acts import fill_against
from plateside.frames.settings_check import UNDONE_BY, automatics, changed, wider_words
from plateside.frames.sharpness import WORK_PX, streak_px
from plateside.frames.softer import Softening
from plateside.frames.subject import wants_shallow
from plateside.frames.weighted_act import WeightedAct
from plateside.model.casts import too_warm_by, warmer_by
from plateside.model.frame import Act, Settings, Verdict
from plateside.model.shoot import Shot

SLACK_STOPS = 1 / 6
TO_MIDDLE_STOPS = 2 / 3
"""A frame below the default aim is brought this far into it, towards its middle."""
LOST_ON_SUBJECT = 0.01
SCALED_SHARE = 0.01
CAST_MIRED = 50.0
LAMP_CAST_MIRED = 150.0
"""No window light is this warm against a white balance set for it (6500 K to 3300 K): a lamp."""
AGAIN_STOPS = 1.5
SLOW_S = 1 / 15
"""Nobody holds a camera by hand this long for a still dish: it stands on something."""
ALLOWED_SHARE = CIRCLE_SHARE
"""A streak this long, as a share of the frame's longer side, is not seen on a page: the acceptable circle's."""
REFERENCE_STOPS = 1 / 6
MOVED_SHARE = 0.01
TURNED_DEG = 0.5
DRIFT_MIRED = 15.0
FIRST = ("scene", "level", "shake", "motion", "focus", "light", "settings", "exposure", "colour")
"""Kinds of acts, in the order in which a set is put right: common practice, no source."""
LOST_ON_JPEG = 0.04
AGAIN_LOST, AGAIN_LOST_ON_JPEG = 0.1, 0.2
"""Of the hero, clipped as an area. A JPEG's white is often held by its raw, and a plate may be white in the finest
picture: it is asked for more."""
PART_OF_HERO, PART_AGAIN = 0.3, 0.06
"""Of the hero's tiles, softer by themselves."""
LOOK = 0.3
"""Confidence of an act that asks for a look: it stands before 'Keep it.'"""
NO_REFERENCE = "without a reference for this set-up: less sure"


def verdict_of(
    facts: FrameFacts,
    shot: Shot | None,
    settings: Settings,
    more: Sequence[WeightedAct] = (),
    focus_side: str | None = None,
) -> Verdict:
    """The verdict on a frame that stands alone (no accepted reference frame of its set-up).

    more        what the set-up says (`set_up_acts`)
    focus_side  'Focus 15 mm nearer ...', said instead of 'focus again' when the frame is out of focus
    """
    found = [
        *_focus(facts, shot, settings),
        *_exposure(facts, shot, settings),
        *_colour(facts),
        *more,
        *automatics(settings, on_tripod=(settings.exposure_s or 0) >= SLOW_S),
    ]
    found = [_sided(w, focus_side) for w in found]
    return settle(found, NO_REFERENCE, provisional=facts.provisional)


def verdict_against(
    facts: FrameFacts,
    comparison: Comparison,
    shot: Shot | None,
    settings: Settings,
    before: Settings,
    more: Sequence[WeightedAct] = (),
    focus_side: str | None = None,
) -> Verdict:
    """The verdict on a frame whose set-up has an accepted reference frame (taken with the settings `before`).

    more, focus_side  as for `verdict_of`
    """
    if not comparison.fits:
        alone = verdict_of(facts, shot, settings, more, focus_side)
        words = (
            "The frame does not show the reference's set-up: is it another shot, or was the camera turned?"
        )
        found = [WeightedAct(act, 1) for act in alone.acts if act.kind] + [
            WeightedAct(Act(words, kind="scene", confidence=0.6), 1)
        ]
        return settle(found, "without a reference that fits: less sure", provisional=facts.provisional)
    found = [
        *_focus_against(facts, comparison, shot, settings, before, focus_side),
        *_exposure_against(facts, comparison, shot, settings),
        *_camera_against(comparison),
        *_lamp_against(comparison),
        *fill_against(facts, comparison, shot),
        *_colour_against(comparison),
        *changed(before, settings),
        *more,
        *automatics(settings, on_tripod=True),
    ]
    return settle(found, "against the reference frame", provisional=facts.provisional)


def not_compared(verdict: Verdict) -> Verdict:
    """The verdict on a frame whose shape is another than its reference's, which is said."""
    words = (
        "Not compared with the reference: the two have not the same shape. Turned, or another crop or camera?"
    )
    because = "without a reference of the same shape: less sure"
    return replace(verdict, acts=(*verdict.acts, Act(words, kind="scene", weight=0)), sure_because=because)


def _sided(found: WeightedAct, focus_side: str | None) -> WeightedAct:
    """An act about focus with the side and the way, where they could be told."""
    if focus_side is None or found.act.kind != "focus" or found.weight == 0:
        return found
    return replace(found, act=replace(found.act, words=focus_side))


def _focus_against(
    facts: FrameFacts,
    comparison: Comparison,
    shot: Shot | None,
    settings: Settings,
    before: Settings,
    focus_side: str | None,
) -> list[WeightedAct]:
    if shot is not None and "blur" in shot.deliberate:
        return []
    kind = BlurKind(comparison.kind)
    soft = comparison.softening
    if kind.keeps:
        return [_part_to_look_at(soft)] if soft.part_share > 0 else []
    wider = wider_words(before, settings)
    if kind is BlurKind.DEPTH or (wider and kind in (BlurKind.DEFOCUS, BlurKind.SHAKE, BlurKind.MOTION)
                                  and soft.direction_share < DIRECTED):  # fmt: skip
        return [_depth(soft, wider, comparison.kind_confidence)]
    if kind is BlurKind.MOTION and soft.part_share < PART_OF_HERO:
        return [_part(soft, shot, comparison.kind_confidence)]
    # what grew since the reference tells length and direction better than the frame alone
    focus = replace(
        facts.focus,
        along_px2=max(soft.subject_along, 0.0),
        direction_deg=soft.subject_direction_deg,
        around_along_px2=max(soft.around_along, 0.0),
        around_direction_deg=soft.around_direction_deg,
    )
    blur = blur_act(kind, comparison.kind_confidence, replace(facts, focus=focus), shot, settings)
    return [_sided(blur, focus_side)]


def _depth(soft: Softening, wider: str, confidence: float) -> WeightedAct:
    """Less of the hero is in focus than in the reference: by the aperture, or by where the focus lies."""
    if wider:
        words = f"Less depth of focus: {wider}. Set the aperture back"
    else:
        words = "Less of the hero is in focus than in the reference: check the aperture and where you focused"
    weight = 2 if soft.part_share >= PART_OF_HERO else 1
    return WeightedAct(Act(words, kind="focus", confidence=confidence), weight)


def _part(soft: Softening, shot: Shot | None, confidence: float) -> WeightedAct:
    """A part of the hero alone is softer: it moved, unless the shot says that something does."""
    if shot is not None and shot.moves != "nothing":
        return _part_to_look_at(soft)
    at = place_words(soft.part_at)
    words = f"Part of the hero moved, {at}: look at 100 %, let it settle and take it again"
    return WeightedAct(
        Act(words, kind="motion", confidence=confidence), 2 if soft.part_share >= PART_AGAIN else 1
    )


def _part_to_look_at(soft: Softening) -> WeightedAct:
    words = f"Look at 100 % {place_words(soft.part_at)}: the hero is softer there than in the reference"
    return WeightedAct(Act(words, kind="motion", confidence=LOOK), 0)


def _exposure_against(
    facts: FrameFacts, comparison: Comparison, shot: Shot | None, settings: Settings
) -> list[WeightedAct]:
    if abs(comparison.stops) <= REFERENCE_STOPS or (comparison.lamp and comparison.stops > 0):
        return []  # what a lamp adds goes away with the lamp
    if facts.exposure.aim == "grey card":
        return _exposure(facts, shot, settings)
    moves = shot.moves if shot else "nothing"
    words = exposure_words(-comparison.stops, settings, moves)
    light = comparison.light_stops
    if light is not None and abs(light) > REFERENCE_STOPS:
        words += f" (the light {'rose' if light > 0 else 'fell'} {abs(light):.1f} stops)"
    act = Act(words, -comparison.stops, "exposure", 0.95)
    lost = facts.exposure.lost_on_subject_share > LOST_ON_SUBJECT and comparison.stops > 0
    return [WeightedAct(act, 2 if lost or abs(comparison.stops) > AGAIN_STOPS else 1)]


def _camera_against(comparison: Comparison) -> list[WeightedAct]:
    found = []
    if comparison.moved_share >= MOVED_SHARE:
        found.append(f"the frame lies {comparison.moved_share * 100:.1f} % of its width away")
    if abs(comparison.turn_deg) >= TURNED_DEG:
        found.append(f"it is turned {abs(comparison.turn_deg):.1f} degrees")
    if abs(comparison.scale - 1) >= SCALED_SHARE:
        larger = "larger" if comparison.scale > 1 else "smaller"
        found.append(f"everything is {abs(comparison.scale - 1) * 100:.0f} % {larger}")
    if not found:
        return []
    # a lens that breathes draws larger or smaller when it is focused elsewhere, with the camera still
    only_scaled = found[0].startswith("everything")
    cause = "The camera moved, or was focused elsewhere" if only_scaled else "The camera moved"
    words = f"{cause}: {', '.join(found)}. Set it back, or take a new reference"
    return [WeightedAct(Act(words, kind="level", confidence=0.9), 1)]


def _lamp_against(comparison: Comparison) -> list[WeightedAct]:
    if not comparison.lamp:
        return []
    words = (
        f"Lamp on {place_words(comparison.lamp_at)}: it gives {comparison.lamp_share * 100:.0f} % of the light there, "
        f"{warmer_by(comparison.lamp_warmer_mired)}. Switch it off"
    )
    return [WeightedAct(Act(words, kind="light", confidence=0.9), 1)]


def _colour_against(comparison: Comparison) -> list[WeightedAct]:
    if abs(comparison.cast_mired) < DRIFT_MIRED or comparison.lamp:
        return []
    warmer = warmer_by(comparison.cast_mired, "the reference")
    words = f"{warmer[0].upper()}{warmer[1:]}: take the grey card again"
    return [WeightedAct(Act(words, kind="colour", confidence=0.85), 1)]


def settle(found: "list[WeightedAct]", because: str, *, provisional: bool = False) -> Verdict:
    """Acts to a verdict: the heaviest decides the word, the order is weight, then confidence."""
    found = sorted(_automatics_first(found), key=_first)
    heaviest = max((w.weight for w in found), default=0)
    if heaviest == 0:
        keep = WeightedAct(Act("Keep it.", confidence=0.9), 0)
        looks = [w for w in found if w.act.kind in ("focus", "motion") and w.act.confidence <= LOOK]
        found = [*looks, keep, *(w for w in found if w not in looks)]
    word = ("good", "adjust", "again")[heaviest]
    sure = [w.act.confidence for w in found if w.weight == heaviest and heaviest > 0]
    confidence = max(sure) if sure else min([0.9, *(1 - w.act.confidence / 2 for w in found if w.act.kind)])
    if provisional:
        because += "; a first look, the whole one follows"
    acts = tuple(replace(w.act, weight=w.weight) for w in found)
    return Verdict(word, acts, round(confidence, 2), because)


def _first(found: WeightedAct) -> tuple[bool, int, int, float]:
    kind = found.act.kind
    rank = FIRST.index(kind) if kind in FIRST else len(FIRST)
    return found.weight == 0, rank if found.weight else 0, -found.weight, -found.act.confidence


def _automatics_first(found: Sequence[WeightedAct]) -> list[WeightedAct]:
    """An automatic that will undo the correction is no longer a remark: it is what must be put right before it."""
    asked = {w.act.kind: w.weight for w in found if w.weight}
    return [
        replace(w, weight=1) if w.weight == 0 and asked.get(UNDONE_BY.get(w.act.words, "")) else w
        for w in found
    ]


def _focus(facts: FrameFacts, shot: Shot | None, settings: Settings) -> list[WeightedAct]:
    deliberate = shot.deliberate if shot else ()
    if "blur" in deliberate:
        return []
    kind, confidence = kind_of(facts.focus, wants_shallow(shot), shot.sharp if shot else "hero")
    # a pour and falling sugar are streaks that are wanted
    if kind in (BlurKind.SHAKE, BlurKind.MOTION) and shot is not None and shot.moves not in STILL:
        return [_look(facts, "something moves in this shot, and its streaks look like blur")]
    if kind is BlurKind.UNSURE:
        return [_look(facts, "its edges are soft, and without a reference that may be the food itself")]
    if kind.keeps:
        return []
    blur = blur_act(kind, confidence, facts, shot, settings)
    if confidence >= CERTAIN:
        return [blur]
    return [WeightedAct(replace(blur.act, words=f"Probably: {blur.act.words}; look at 100 % first"), 1)]


def _look(facts: FrameFacts, why: str) -> WeightedAct:
    """What to look at and where, when the frame alone does not tell."""
    x0, y0, x1, y1 = facts.subject_box
    at = facts.focus.sharpest_at
    on_hero = at is not None and x0 <= at[0] <= x1 and y0 <= at[1] <= y1
    where = place_words(at if on_hero else ((x0 + x1) / 2, (y0 + y1) / 2))
    return WeightedAct(Act(f"Look at the hero at 100 %, {where}: {why}", kind="focus", confidence=LOOK), 0)


def blur_act(
    kind: BlurKind, confidence: float, facts: FrameFacts, shot: Shot | None, settings: Settings
) -> WeightedAct:
    """What to do about a kind of blur."""
    focus = facts.focus
    moves = shot.moves if shot else "nothing"
    if kind is BlurKind.SHAKE:
        length = streak_px(max(focus.along_px2, focus.around_along_px2)) * _whole(facts)
        words = f"Camera shake, {length:.0f} px at {focus.direction_deg:.0f} degrees: tripod, 2 s delay, stand still"
        return WeightedAct(Act(words, kind="shake", confidence=confidence), 2)
    if kind is BlurKind.MOTION:
        length = streak_px(focus.along_px2) * _whole(facts)
        faster = faster_words(settings, length, ALLOWED_SHARE * max(facts.width_px, facts.height_px))
        words = f"The subject moved, {length:.0f} px" + (f": {faster}" if faster else "")
        if moves == "nothing":
            words += ", or let it settle"
        return WeightedAct(Act(words, kind="motion", confidence=confidence), 2)
    if kind is BlurKind.ELSEWHERE:
        where = place_words(focus.sharpest_at)
        return WeightedAct(
            Act(f"Focus on the hero: it is sharpest {where}", kind="focus", confidence=confidence), 2
        )
    return WeightedAct(Act("Out of focus: focus again on the hero", kind="focus", confidence=confidence), 2)


def _middle(box: Box | None) -> tuple[float, float] | None:
    return None if box is None else ((box[0] + box[2]) / 2, (box[1] + box[3]) / 2)


def _whole(facts: FrameFacts) -> float:
    """Pixels of the original for each pixel at working size."""
    return max(facts.width_px, facts.height_px) / min(facts.focus.measured_px or WORK_PX, WORK_PX)


def place_words(at: tuple[float, float] | None) -> str:
    """'at the upper left', 'in the middle' ..."""
    if at is None:
        return "nowhere"
    across = "left" if at[0] < 1 / 3 else "right" if at[0] > 2 / 3 else ""
    down = "upper" if at[1] < 1 / 3 else "lower" if at[1] > 2 / 3 else ""
    if across and down:
        return f"at the {down} {across}"
    if across:
        return f"at the {across}"
    return {"upper": "at the top", "lower": "at the bottom"}.get(down, "in the middle")


def _exposure(facts: FrameFacts, shot: Shot | None, settings: Settings) -> list[WeightedAct]:
    deliberate = set(shot.deliberate if shot else ())
    moves = shot.moves if shot else "nothing"
    exposure = facts.exposure
    lost, meant_bright = exposure.lost_on_subject_share, deliberate & {"high key", "silhouette"}
    most, again = (LOST_ON_SUBJECT, AGAIN_LOST) if exposure.from_raw else (LOST_ON_JPEG, AGAIN_LOST_ON_JPEG)
    if lost > most and not meant_bright:
        # How far above saturation it lies cannot be seen; the clipped area says whether a little or a lot.
        down = -1.0 if lost > 0.1 else -2 / 3
        words = exposure_words(down, settings, moves)
        act = Act(f"{words} (the hero's highlights are gone)", down, "exposure", 0.85)
        return [WeightedAct(act, 2 if lost > again else 1)]
    if lost > LOST_ON_SUBJECT and not meant_bright:
        where = place_words(_middle(exposure.lost_box))
        words = (
            f"Look at the highlights {where} at 100 %: they are white in the JPEG, and the raw may hold them"
        )
        return [WeightedAct(Act(words, kind="exposure", confidence=0.5), 0)]
    if exposure.aim == "grey card":
        meant = deliberate & ({"high key"} if exposure.stops > 0 else {"dark", "silhouette"})
        if abs(exposure.stops) <= SLACK_STOPS or meant:
            return []
        words = f"{exposure_words(-exposure.stops, settings, moves)} (by the grey card)"
        weight = 2 if abs(exposure.stops) > AGAIN_STOPS else 1
        return [WeightedAct(Act(words, -exposure.stops, "exposure", 0.9), weight)]
    if exposure.stops > SLACK_STOPS and "high key" not in deliberate:
        down = -exposure.stops
        return [
            WeightedAct(Act(exposure_words(min(down, -1 / 3), settings, moves), down, "exposure", 0.6), 1)
        ]
    if exposure.stops < -SLACK_STOPS and not deliberate & {"dark", "silhouette"}:
        up = TO_MIDDLE_STOPS - exposure.stops
        weight = 2 if exposure.stops < -AGAIN_STOPS else 1
        return [WeightedAct(Act(exposure_words(up, settings, moves), up, "exposure", 0.6), weight)]
    return []


def _colour(facts: FrameFacts) -> list[WeightedAct]:
    colour = facts.colour
    sure = colour.source == "grey card"
    if abs(colour.cast_mired) < (15.0 if sure else CAST_MIRED):
        return []
    words = f"Looks {too_warm_by(colour.cast_mired)}: " + (
        "set white balance from the card" if sure else "lamps off? Shoot the grey card to be sure"
    )
    if not sure and colour.cast_mired > LAMP_CAST_MIRED:
        words = f"A lamp may be on: the frame is {too_warm_by(colour.cast_mired)}. Lamp off, one frame, settles it"
        return [WeightedAct(Act(words, kind="light", confidence=0.5), 0)]
    return [WeightedAct(Act(words, kind="colour", confidence=0.9 if sure else 0.4), 1 if sure else 0)]
