"""A warm prop is not a lamp, a lamp is; and what must be put right first is said first."""

from dataclasses import replace

import numpy as np
import pytest

from plateside.frames.compare import Comparison
from plateside.frames.exposure import clipped_display, exposure_of, small_linear
from plateside.frames.facts import FrameFacts
from plateside.frames.measure import facts_of
from plateside.frames.verdict import verdict_against, verdict_of
from plateside.model.frame import Settings
from plateside.model.shoot import Shot
from tests.synthetic.light_cases import light_case
from tests.synthetic.other_kinds import other_case
from tests.synthetic.props_told import AT, compared, told
from tests.synthetic.scenes import TEST, TRAIN
from tests.unit.frames.plain import PLAIN, exposed

PHOTOS = TEST + TRAIN
HELD_OUT = 9000


@pytest.fixture(scope="module")
def lamp_on() -> Comparison:
    return compared(light_case(PHOTOS, HELD_OUT, "lamp", 600, 400))


def test_a_warm_prop_is_not_a_lamp() -> None:
    assert not any(compared(light_case(PHOTOS, HELD_OUT + k, "prop", 600, 400)).lamp for k in range(8))


def test_a_lamp_is_said_first(lamp_on: Comparison) -> None:
    seen = [lamp_on, *(compared(light_case(PHOTOS, HELD_OUT + k, "both", 600, 400)) for k in (1, 2, 3))]
    assert [told(one).acts[0].kind for one in seen].count("light") >= 3


def test_a_lamp_goes_before_exposure_and_a_moved_camera_before_it(lamp_on: Comparison) -> None:
    darker = replace(lamp_on, lamp=True, stops=-2.0)
    assert [a.kind for a in told(darker).acts[:2]] == ["light", "exposure"]
    assert told(darker).word == "again"
    moved = replace(darker, moved_share=0.03)
    assert [a.kind for a in told(moved).acts[:3]] == ["level", "light", "exposure"]


def test_an_automatic_goes_before_what_it_would_undo() -> None:
    auto = replace(AT, auto_iso=True)
    acts = verdict_of(exposed(stops=-2.0), Shot(name="bowl"), auto).acts
    assert [a.kind for a in acts[:2]] == ["settings", "exposure"]
    # with nothing to correct it stays a remark
    assert verdict_of(PLAIN, None, auto).word == "good"


def facts_of_colour(rgb: tuple[int, int, int]) -> FrameFacts:
    picture = np.full((400, 600, 3), 90, np.uint8)
    picture[:80] = 200  # a pale cloth, so that the frame is not dark
    picture[120:280, 200:400] = rgb
    light = exposure_of(
        small_linear(picture),
        clipped_display(picture),
        (0.25, 0.2, 0.75, 0.8),
        (0.0, 0.5, 0.5),
        from_raw=False,
    )
    return replace(PLAIN, exposure=light)


def test_the_red_of_a_tomato_is_no_lost_highlight() -> None:
    # 255, 40, 30 is a saturated colour at the edge of sRGB; 255, 253, 250 is white that is gone (IEC 61966-2-1)
    red, white = facts_of_colour((255, 40, 30)), facts_of_colour((255, 253, 250))
    assert red.exposure.lost_on_subject_share == 0.0
    assert white.exposure.lost_on_subject_share > 0.3
    assert not any(a.kind == "exposure" and a.weight for a in verdict_of(red, None, AT).acts)
    assert verdict_of(white, None, AT).acts[0].kind == "exposure"


def test_a_little_white_is_asked_of_a_raw_and_only_looked_at_in_a_jpeg() -> None:
    shares = {raw: exposed(lost_on_subject_share=0.02, from_raw=raw) for raw in (False, True)}
    assert verdict_of(shares[True], None, AT).word == "adjust"
    assert verdict_of(shares[False], None, AT).word == "good"


def seen_of(kind: str, seed: int) -> Comparison:
    return compared(other_case(PHOTOS, seed, kind))


@pytest.mark.parametrize(
    ("kind", "named"),
    [
        ("less depth", "less depth of focus"), ("bent shake", "camera shake"), ("behind", "focus elsewhere"),
        ("part moving", "subject motion"), ("same", "sharp"),
    ],
)  # fmt: skip
def test_other_kinds_of_blur(kind: str, named: str) -> None:
    seen = [seen_of(kind, HELD_OUT + k).kind for k in range(3)]
    assert seen.count(named) >= (3 if kind == "same" else 2)


def test_an_aperture_opened_wider_is_named_and_no_shake() -> None:
    seen = replace(seen_of("less depth", HELD_OUT), kind="camera shake")
    seen = replace(seen, softening=replace(seen.softening, direction_share=0.1))
    acts = verdict_against(PLAIN, seen, None, replace(AT, f_number=2.8), AT).acts
    assert acts[0].kind == "focus"
    assert (acts[0].code, acts[0].amount, acts[0].against) == ("less depth", 2.8, 8)


def test_sugar_that_the_shot_lets_fall_is_no_camera_shake() -> None:
    case = other_case(PHOTOS, HELD_OUT + 8, "bent shake")
    facts = facts_of(case.frame)
    assert any(a.kind == "shake" and a.weight for a in verdict_of(facts, Shot(name="sugar"), Settings()).acts)
    pour = Shot(name="bowl", moves="falling sugar")
    kinds = {a.kind: a.weight for a in verdict_of(facts, pour, Settings()).acts}
    assert "shake" not in kinds and kinds.get("motion", 0) == 0


def test_what_is_not_known_is_looked_at_before_it_is_kept() -> None:
    verdict = verdict_of(PLAIN, None, AT)
    assert verdict.word == "good"
    assert verdict.acts[0].kind == "focus" and verdict.acts[0].weight == 0
