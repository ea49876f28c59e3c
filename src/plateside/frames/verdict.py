"""Facts and the shot's wishes to a verdict: good, adjust or again, with the one thing to change first.

Order of acts: what must be put right first comes first, for it changes all that is measured after it. A camera that
moved, then blur (the frame is lost by it), then a lamp, then an automatic that would undo the correction, then
exposure, then colour. What the shot says is deliberate is not nagged about.
"""

from collections.abc import Sequence
from dataclasses import replace

from plateside.camera.optics import CIRCLE_SHARE
from plateside.frames.advice import STILL, exposure_dial, faster_dial
from plateside.frames.compare import Comparison
from plateside.frames.facts import Box, FrameFacts
from plateside.frames.kinds import CERTAIN, DIRECTED, BlurKind, kind_of
from plateside.frames.register import only_scaled
from plateside.frames.set_up_acts import fill_against
from plateside.frames.settings_check import UNDONE_BY, automatics, changed, opened_wider, shorter, zoomed
from plateside.frames.sharpness import WORK_PX, streak_px
from plateside.frames.softer import Softening
from plateside.frames.subject import wants_shallow
from plateside.frames.weighted_act import WeightedAct
from plateside.model.frame import KEEP, Act, Settings, Verdict
from plateside.model.shoot import Shot

SLACK_STOPS = 1 / 6
TO_MIDDLE_STOPS = 2 / 3
"""A frame below the default aim is brought this far into it, towards its middle."""
MOST_ALONE_STOPS = 5.0
"""A frame that is all but black (a lens cap, a flash that stayed off) does not tell by how much."""
LOST_ON_SUBJECT = 0.01
SCALED_SHARE = 0.01
ZOOM_SLACK = 0.25
"""Of a zoom's change of scale: a file names its focal length in whole millimetres."""
CAST_MIRED = 50.0
AGAIN_STOPS = 1.5
DARK_BY_INTENT_STOPS = 4.0
"""Below the default aim: darker than low-key pictures are published (made ones reach 3.3)."""
SLOW_S = 1 / 15
"""Nobody holds a camera by hand this long for a still dish: it stands on something."""
ALLOWED_SHARE = CIRCLE_SHARE
"""A streak this long, as a share of the frame's longer side, is not seen on a page: the acceptable circle's."""
REFERENCE_STOPS = 1 / 6
MOVED_SHARE = 0.01
TURNED_DEG = 0.5
DRIFT_MIRED = 15.0
OUT_OF_FOCUS = (BlurKind.DEFOCUS, BlurKind.ELSEWHERE, BlurKind.DEPTH)
FIRST = (
    "scene",
    "zoom changed",
    "level",
    "shake",
    "motion",
    "focus",
    "light",
    "settings",
    "exposure",
    "colour",
)
"""Kinds of acts, and the code of one, in the order in which a set is put right: common practice, no source. A zoom that
was turned comes before a camera that moved: where it stands is seen once the picture is as large as before."""
LOST_ON_JPEG = 0.04
AGAIN_LOST, AGAIN_LOST_ON_JPEG = 0.1, 0.2
"""Of the hero, clipped as an area. A JPEG's white is often held by its raw, and a plate may be white in the finest
picture: it is asked for more."""
PART_OF_HERO, PART_AGAIN, PART_LOOK = 0.3, 0.06, 0.01
"""Of the hero's tiles, softer by themselves."""
LOOK = 0.3
"""Confidence of an act that asks for a look: it stands before `KEEP`."""


def verdict_of(
    facts: FrameFacts,
    shot: Shot | None,
    settings: Settings,
    more: Sequence[WeightedAct] = (),
    focus_side: Act | None = None,
) -> Verdict:
    """The verdict on a frame that stands alone (no accepted test frame of its set-up).

    more        what the set-up says (`set_up_acts`)
    focus_side  how far and whereto to move the focus, asked instead of 'out of focus' where it is known
    """
    found = [
        *_focus(facts, shot, settings),
        *_exposure(facts, shot, settings),
        *_colour(facts),
        *more,
        *automatics(settings, on_tripod=(settings.exposure_s or 0) >= SLOW_S),
    ]
    found = [_sided(w, focus_side) for w in found]
    return settle(found, ("alone",), provisional=facts.provisional)


def verdict_against(
    facts: FrameFacts,
    comparison: Comparison,
    shot: Shot | None,
    settings: Settings,
    before: Settings,
    more: Sequence[WeightedAct] = (),
    focus_side: Act | None = None,
) -> Verdict:
    """The verdict on a frame whose set-up has an accepted test frame (taken with the settings `before`).

    more, focus_side  as for `verdict_of`
    """
    if not comparison.fits:
        alone = verdict_of(facts, shot, settings, more, focus_side)
        found = [WeightedAct(act, 1) for act in alone.acts if act.kind] + [
            WeightedAct(Act("another scene", "scene", confidence=0.6), 1)
        ]
        return settle(found, ("another scene",), provisional=facts.provisional)
    found = [
        *_focus_against(facts, comparison, shot, settings, before, focus_side),
        *_exposure_against(facts, comparison, shot, settings),
        *_camera_against(comparison, zoomed(before, settings)),
        *_lamp_against(comparison),
        *fill_against(facts, comparison, shot),
        *_colour_against(comparison),
        *changed(before, settings),
        *more,
        *automatics(settings, on_tripod=True),
    ]
    return settle(found, ("test frame",), provisional=facts.provisional)


def not_compared(verdict: Verdict) -> Verdict:
    """The verdict on a frame whose shape is another than its test frame's, which is said."""
    acts = (*verdict.acts, Act("not compared", "scene", weight=0))
    return replace(verdict, acts=acts, rests_on=("another shape",))


def _sided(found: WeightedAct, focus_side: Act | None) -> WeightedAct:
    """An act about focus with the side and the way, where they could be told."""
    if focus_side is None or found.act.kind != "focus" or found.weight == 0:
        return found
    said = found.act
    act = replace(focus_side, confidence=said.confidence, probably=said.probably, at=focus_side.at or said.at)
    return replace(found, act=act)


def _focus_against(
    facts: FrameFacts,
    comparison: Comparison,
    shot: Shot | None,
    settings: Settings,
    before: Settings,
    focus_side: Act | None,
) -> list[WeightedAct]:
    if shot is not None and "blur" in shot.deliberate:
        return []
    kind = BlurKind(comparison.kind)
    soft = comparison.softening
    if kind.keeps:
        return [_part_to_look_at(soft)] if soft.part_share >= PART_LOOK else []
    wider = opened_wider(before, settings)
    # with little around the hero, rims before and behind the sharp rows look streaked; a shorter time streaks less
    directed = soft.direction_share >= DIRECTED and not (
        soft.far_stayed_share < 0 and soft.around_streaked <= 0 and shorter(before, settings)
    )
    if kind is BlurKind.DEPTH or (
        wider and kind in (BlurKind.DEFOCUS, BlurKind.SHAKE, BlurKind.MOTION) and not directed
    ):
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


def _depth(soft: Softening, wider: tuple[float, float] | None, confidence: float) -> WeightedAct:
    """Less of the hero is in focus than in the reference: by the aperture, or by where the focus lies."""
    now, before = wider or (None, None)
    weight = 2 if soft.part_share >= PART_OF_HERO else 1
    return WeightedAct(Act("less depth", "focus", amount=now, against=before, confidence=confidence), weight)


def _part(soft: Softening, shot: Shot | None, confidence: float) -> WeightedAct:
    """A part of the hero alone is softer: it moved, unless the shot says that something does."""
    if shot is not None and shot.moves != "nothing":
        return _part_to_look_at(soft)
    act = Act("part moved", "motion", at=soft.part_at, confidence=confidence)
    return WeightedAct(act, 2 if soft.part_share >= PART_AGAIN else 1)


def _part_to_look_at(soft: Softening) -> WeightedAct:
    return WeightedAct(Act("look at part", "motion", at=soft.part_at, confidence=LOOK), 0)


def _exposure_against(
    facts: FrameFacts, comparison: Comparison, shot: Shot | None, settings: Settings
) -> list[WeightedAct]:
    if abs(comparison.stops) <= REFERENCE_STOPS or (comparison.lamp and comparison.stops > 0):
        return []  # what a lamp adds goes away with the lamp
    if facts.exposure.aim == "grey card":
        return _exposure(facts, shot, settings)
    moves = shot.moves if shot else "nothing"
    light = comparison.light_stops
    act = Act(
        "expose", "exposure", stops=-comparison.stops, dial=exposure_dial(-comparison.stops, settings, moves),
        light_stops=light if light is not None and abs(light) > REFERENCE_STOPS else None, confidence=0.95,
    )  # fmt: skip
    lost = facts.exposure.lost_on_subject_share > LOST_ON_SUBJECT and comparison.stops > 0
    return [WeightedAct(act, 2 if lost or abs(comparison.stops) > AGAIN_STOPS else 1)]


def _camera_against(comparison: Comparison, zoomed_by: float) -> list[WeightedAct]:
    """`zoomed_by`: how much larger everything is drawn by the zoom alone."""
    away = comparison.moved_share if comparison.moved_share >= MOVED_SHARE else None
    turned = comparison.turn_deg if abs(comparison.turn_deg) >= TURNED_DEG else None
    beside_zoom = comparison.scale / zoomed_by
    slack = max(SCALED_SHARE, ZOOM_SLACK * abs(zoomed_by - 1))
    scale = beside_zoom if abs(beside_zoom - 1) >= slack else None
    if BlurKind(comparison.kind) in OUT_OF_FOCUS and only_scaled(
        comparison.scale, comparison.moved_share, comparison.turn_deg
    ):
        scale = None  # a lens focused elsewhere draws at another scale: that goes with the focus
    if away is None and turned is None and scale is None:
        return []
    act = Act("camera moved", "level", share=away, degrees=turned, scale=scale, confidence=0.9)
    return [WeightedAct(act, 1)]


def _lamp_against(comparison: Comparison) -> list[WeightedAct]:
    if not comparison.lamp:
        return []
    return [WeightedAct(lamp_on(comparison.lamp_at, comparison.lamp_share, comparison.lamp_warmer_mired), 1)]


def lamp_on(at: tuple[float, float], share: float, mired: float, confidence: float = 0.9) -> Act:
    """A lamp that is to be switched off."""
    return Act("lamp on", "light", at=at, share=share, mired=mired, confidence=confidence)


def _colour_against(comparison: Comparison) -> list[WeightedAct]:
    if abs(comparison.cast_mired) < DRIFT_MIRED or comparison.lamp:
        return []
    return [WeightedAct(Act("colour changed", "colour", mired=comparison.cast_mired, confidence=0.85), 1)]


def settle(found: "list[WeightedAct]", rests_on: tuple[str, ...], *, provisional: bool = False) -> Verdict:
    """Acts to a verdict: the heaviest decides the word, the order is weight, then confidence."""
    found = sorted(_automatics_first(found), key=_first)
    heaviest = max((w.weight for w in found), default=0)
    if heaviest == 0:
        keep = WeightedAct(KEEP, 0)
        asked = ("focus", "motion", "exposure")
        looks = [w for w in found if w.act.kind in asked and w.act.confidence <= LOOK]
        found = [*looks, keep, *(w for w in found if w not in looks)]
    word = ("good", "adjust", "again")[heaviest]
    sure = [w.act.confidence for w in found if w.weight == heaviest and heaviest > 0]
    confidence = max(sure) if sure else min([0.9, *(1 - w.act.confidence / 2 for w in found if w.act.kind)])
    if provisional:
        rests_on = *rests_on, "first look"
    acts = tuple(replace(w.act, weight=w.weight) for w in found)
    return Verdict(word, acts, round(confidence, 2), rests_on)


def _first(found: WeightedAct) -> tuple[bool, int, int, float]:
    kind = found.act.code if found.act.code in FIRST else found.act.kind
    rank = FIRST.index(kind) if kind in FIRST else len(FIRST)
    return found.weight == 0, rank if found.weight else 0, -found.weight, -found.act.confidence


def _automatics_first(found: Sequence[WeightedAct]) -> list[WeightedAct]:
    """An automatic that will undo the correction is no longer a remark: it is what must be put right before it."""
    asked = {w.act.kind: w.weight for w in found if w.weight}
    return [
        replace(w, weight=1) if w.weight == 0 and asked.get(UNDONE_BY.get(w.act.code, "")) else w
        for w in found
    ]


def _focus(facts: FrameFacts, shot: Shot | None, settings: Settings) -> list[WeightedAct]:
    deliberate = shot.deliberate if shot else ()
    if "blur" in deliberate:
        return []
    sharp = shot.sharp if shot else "hero"
    kind, confidence = kind_of(facts.focus, wants_shallow(shot), sharp, placed=shot is not None)
    # a pour and falling sugar are streaks that are wanted
    if kind in (BlurKind.SHAKE, BlurKind.MOTION) and shot is not None and shot.moves not in STILL:
        return [_look(facts, "moves")]
    if kind is BlurKind.UNSURE:
        return [_look(facts, "soft" if shot is not None else "no shot")]
    if kind.keeps:
        return []
    blur = blur_act(kind, confidence, facts, shot, settings)
    if confidence >= CERTAIN:
        return [blur]
    at = blur.act.at or _look(facts, "soft").act.at
    return [WeightedAct(replace(blur.act, probably=True, at=at), 1)]


def _look(facts: FrameFacts, why: str) -> WeightedAct:
    """What to look at and where, when the frame alone does not tell."""
    x0, y0, x1, y1 = facts.subject_box
    at = facts.focus.sharpest_at
    on_hero = at is not None and x0 <= at[0] <= x1 and y0 <= at[1] <= y1
    if on_hero and why == "no shot":
        why = "soft"
    # without a shot the hero may be wherever it is sharpest
    where = at if on_hero or (at and why == "no shot") else ((x0 + x1) / 2, (y0 + y1) / 2)
    return WeightedAct(Act("look at hero", "focus", at=where, way=why, confidence=LOOK), 0)


def blur_act(
    kind: BlurKind, confidence: float, facts: FrameFacts, shot: Shot | None, settings: Settings
) -> WeightedAct:
    """What to do about a kind of blur."""
    focus = facts.focus
    moves = shot.moves if shot else "nothing"
    if kind is BlurKind.SHAKE:
        length = streak_px(max(focus.along_px2, focus.around_along_px2)) * _whole(facts)
        act = Act("shake", "shake", amount=length, degrees=focus.direction_deg, confidence=confidence)
    elif kind is BlurKind.MOTION:
        length = streak_px(focus.along_px2) * _whole(facts)
        faster = faster_dial(settings, length, ALLOWED_SHARE * max(facts.width_px, facts.height_px))
        way = "settle" if moves == "nothing" else ""
        act = Act("moved", "motion", amount=length, dial=faster, way=way, confidence=confidence)
    elif kind is BlurKind.ELSEWHERE:
        act = Act("focus elsewhere", "focus", at=focus.sharpest_at, confidence=confidence)
    else:
        act = Act("out of focus", "focus", confidence=confidence)
    return WeightedAct(act, 2)


def _middle(box: Box | None) -> tuple[float, float] | None:
    return None if box is None else ((box[0] + box[2]) / 2, (box[1] + box[3]) / 2)


def _whole(facts: FrameFacts) -> float:
    """Pixels of the original for each pixel at working size."""
    return max(facts.width_px, facts.height_px) / min(facts.focus.measured_px or WORK_PX, WORK_PX)


def _exposure(facts: FrameFacts, shot: Shot | None, settings: Settings) -> list[WeightedAct]:
    deliberate = set(shot.deliberate if shot else ())
    moves = shot.moves if shot else "nothing"
    exposure = facts.exposure
    lost, meant_bright = exposure.lost_on_subject_share, deliberate & {"high key", "silhouette"}
    most, again = (LOST_ON_SUBJECT, AGAIN_LOST) if exposure.from_raw else (LOST_ON_JPEG, AGAIN_LOST_ON_JPEG)
    if lost > most and not meant_bright:
        # How far above saturation it lies cannot be seen; the clipped area says whether a little or a lot.
        down = -1.0 if lost > 0.1 else -2 / 3
        dial = exposure_dial(down, settings, moves)
        act = Act("expose", "exposure", stops=down, dial=dial, way="highlights", confidence=0.85)
        return [WeightedAct(act, 2 if lost > again else 1)]
    if lost > LOST_ON_SUBJECT and not meant_bright:
        where = _middle(exposure.lost_box)
        return [WeightedAct(Act("look at highlights", "exposure", at=where, confidence=0.5), 0)]
    if exposure.aim == "grey card":
        meant = deliberate & ({"high key"} if exposure.stops > 0 else {"dark", "silhouette"})
        if abs(exposure.stops) <= SLACK_STOPS or meant:
            return []
        weight = 2 if abs(exposure.stops) > AGAIN_STOPS else 1
        dial = exposure_dial(-exposure.stops, settings, moves)
        act = Act("expose", "exposure", stops=-exposure.stops, dial=dial, by="grey card", confidence=0.9)
        return [WeightedAct(act, weight)]
    if exposure.stops > SLACK_STOPS and "high key" not in deliberate:
        down = min(-exposure.stops, -1 / 3)
        dial = exposure_dial(down, settings, moves)
        return [WeightedAct(Act("expose", "exposure", stops=down, dial=dial, confidence=0.6), 1)]
    if exposure.stops < -SLACK_STOPS and not deliberate & {"dark", "silhouette"}:
        up = min(TO_MIDDLE_STOPS - exposure.stops, MOST_ALONE_STOPS)
        if shot is None and exposure.stops > -DARK_BY_INTENT_STOPS:
            # nobody has said how bright it should be: a dark picture is as often meant
            return [WeightedAct(Act("looks dark", "exposure", stops=up, confidence=LOOK), 0)]
        weight = 2 if exposure.stops < -AGAIN_STOPS else 1
        dial = exposure_dial(up, settings, moves)
        return [WeightedAct(Act("expose", "exposure", stops=up, dial=dial, confidence=0.6), weight)]
    return []


def _colour(facts: FrameFacts) -> list[WeightedAct]:
    mired = facts.colour.cast_mired
    sure = facts.colour.source == "grey card"
    if abs(mired) < (15.0 if sure else CAST_MIRED):
        return []
    if sure:
        return [WeightedAct(Act("cast", "colour", mired=mired, by="grey card", confidence=0.9), 1)]
    return [WeightedAct(Act("cast", "colour", mired=mired, confidence=0.4), 0)]
