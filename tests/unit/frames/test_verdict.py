"""Verdicts: the word, the one act first, what is deliberate; and the kinds of blur on a fixed sample."""

from dataclasses import replace

import pytest

from plateside.frames.facts import ColourFacts, FrameFacts
from plateside.frames.subject import subject_box, wants_shallow
from plateside.frames.verdict import verdict_of
from plateside.model.frame import Settings
from plateside.model.shoot import Shot
from tests.synthetic.blur_cases import blur_cases
from tests.synthetic.measured import Measured, measured
from tests.synthetic.scenes import TEST
from tests.synthetic.told import told_against, told_alone
from tests.unit.frames.plain import PLAIN, exposed

AT = Settings(f_number=8, exposure_s=1 / 3, iso=100)


def shot(*deliberate: str) -> Shot:
    return Shot(name="bowl", deliberate=deliberate)


def test_far_too_dark() -> None:
    verdict = verdict_of(exposed(stops=-2.0), shot(), AT)
    assert verdict.word == "again"
    first = verdict.first
    assert first.code == "expose"
    assert first.stops == pytest.approx(8 / 3)
    assert first.dial is not None and (first.dial.name, first.dial.to) == ("shutter", 2.0)
    assert verdict.rests_on == ("alone",)


def test_a_black_frame_does_not_tell_how_dark_it_is() -> None:
    # 8 bits reach 12 stops below white (IEC 61966-2-1: code 1 is 2 ** -11.7): a lens cap is not measured by them
    verdict = verdict_of(exposed(stops=-11.6), shot(), AT)
    assert verdict.word == "again"
    assert verdict.first.stops == pytest.approx(5.0)


def test_lost_highlights_go_before_a_cast() -> None:
    facts = replace(exposed(lost_on_subject_share=0.05), colour=ColourFacts(200.0, 0, "grey world"))
    acts = verdict_of(facts, shot(), AT).acts
    assert [a.kind for a in acts if a.kind in ("exposure", "colour")] == ["exposure", "colour"]
    assert acts[0].way == "highlights"
    assert acts[0].stops == pytest.approx(-2 / 3)


@pytest.mark.parametrize(
    ("facts", "word"),
    [
        (exposed(stops=-2.0), "dark"),
        (exposed(stops=-2.0), "silhouette"),
        (exposed(lost_on_subject_share=0.3), "high key"),
    ],
)
def test_what_is_deliberate_is_not_nagged_about(facts: FrameFacts, word: str) -> None:
    assert verdict_of(facts, shot(), AT).word == "again"
    assert verdict_of(facts, shot(word), AT).word == "good"


def test_a_card_is_believed_and_the_world_only_remarked() -> None:
    card = replace(PLAIN, colour=ColourFacts(30.0, 0, "grey card"))
    world = replace(PLAIN, colour=ColourFacts(80.0, 0, "grey world"))
    assert verdict_of(card, shot(), AT).word == "adjust"
    verdict = verdict_of(world, shot(), AT)
    assert verdict.word == "good"
    # it has no features of blur: a look is asked for before it is kept
    assert [a.kind for a in verdict.acts[:2]] == ["focus", ""]
    assert any((a.code, a.mired) == ("cast", 80.0) for a in verdict.acts)


def test_no_lamp_is_suspected_from_one_frame_alone() -> None:
    # 3300 K against a white balance for 6500 K, and warmer
    for mired in (151.0, 250.0):
        warm = replace(PLAIN, colour=ColourFacts(mired, 0, "grey world"))
        verdict = verdict_of(warm, shot(), AT)
        assert not any(a.kind == "light" for a in verdict.acts) and verdict.word == "good"
        assert any((a.code, a.mired) == ("cast", mired) for a in verdict.acts)


def test_a_first_look_says_that_the_whole_one_is_to_come() -> None:
    verdict = verdict_of(replace(PLAIN, provisional=True), shot(), AT)
    assert verdict.rests_on == ("alone", "first look")


def test_where_the_hero_is_expected() -> None:
    # overhead, 190 mm of 450 x 300 mm: 0.422 of the width, 0.633 of the height
    box = subject_box(Shot(name="a", angle="overhead", dish_width_mm=190), 6000, 4000)
    assert box == pytest.approx((0.289, 0.183, 0.711, 0.817), abs=0.001)
    assert subject_box(None, 6000, 4000) == (0.25, 0.25, 0.75, 0.75)
    assert wants_shallow(Shot(name="a", sharp="front"))
    assert not wants_shallow(None)


@pytest.fixture(scope="module")
def sample() -> list[Measured]:
    """Twelve frames of photographs that had no part in fitting: two of each kind."""
    return [measured(case) for case in blur_cases(TEST, 12, 77, 600)]


def test_kinds_against_the_reference(sample: list[Measured]) -> None:
    told = [told_against(m) for m in sample]
    assert all(kind.keeps for kind, m in zip(told, sample, strict=True) if m.label == 0)
    # at 600 px the faintest blur of the sample is 1.5 px: one of eight may pass
    assert sum(kind.keeps for kind, m in zip(told, sample, strict=True) if m.label) <= 1
    right = [kind.value for kind, m in zip(told, sample, strict=True) if m.label]
    wanted = {
        "defocus": "out of focus",
        "shake": "camera shake",
        "motion": "subject motion",
        "elsewhere": "focus elsewhere",
    }
    hits = sum(a == wanted[m.truth.kind] for a, m in zip(right, [m for m in sample if m.label], strict=True))
    assert hits >= 6


def test_good_frames_alone_are_not_refused(sample: list[Measured]) -> None:
    assert all(told_alone(m).keeps for m in sample if m.label == 0)
