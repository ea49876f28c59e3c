"""Choosing: her word first, then the verdict, then the smaller fault."""

from dataclasses import replace
from datetime import datetime
from itertools import permutations

from hypothesis import given
from hypothesis import strategies as st

from plateside.frames.bursts import WhyBest
from plateside.frames.choose import Candidate, Reason, Remark, choose
from plateside.model.frame import Act

A = Candidate("a", "1.jpg", "good", exposure_stops=0.0, sharpness_stops=0.00)
B = Candidate("b", "2.jpg", "good", exposure_stops=0.3, sharpness_stops=-0.15)
C = Candidate("c", "3.jpg", "again", exposure_stops=0.0, sharpness_stops=-3.32)


def test_the_smaller_fault_is_hero_the_next_is_alternate() -> None:
    for order in permutations([A, B, C]):
        choice = choose("s", order)
        assert choice.select is not None
        assert choice.alternate is not None
        assert (choice.select.frame, choice.alternate.frame, choice.left) == ("a", "b", ("3.jpg",))
        assert Reason("sharpest", count=3) in choice.select.reasons


def test_two_frames_are_not_both_the_sharpest() -> None:
    for of_b in (0.0, -0.15, -1.0):
        choice = choose("s", [A, replace(B, sharpness_stops=of_b), C])
        assert choice.select is not None
        assert choice.alternate is not None
        assert (
            len([p for p in (choice.select, choice.alternate) if Reason("sharpest", count=3) in p.reasons])
            <= 1
        )
    alike = choose("s", [A, replace(B, sharpness_stops=0.0), C])
    assert alike.select is not None
    assert Reason("sharpest", count=3) not in alike.select.reasons


def test_her_own_choice_wins_over_every_measure() -> None:
    choice = choose("s", [A, B, C], her_select="c")
    assert choice.select is not None
    assert (choice.select.frame, choice.select.by) == ("c", "you")
    assert choice.alternate is not None
    assert choice.alternate.frame == "a"


def test_her_keep_and_again_come_before_the_verdict() -> None:
    kept = Candidate("k", "9.jpg", "adjust", kept=True, exposure_stops=0.6, sharpness_stops=-1.00)
    refused = Candidate("r", "0.jpg", "good", again=True, exposure_stops=0.0, sharpness_stops=1.00)
    choice = choose("s", [A, kept, refused])
    assert choice.select is not None
    assert choice.alternate is not None
    assert (choice.select.frame, choice.alternate.frame) == ("k", "a")
    assert choice.left == ("0.jpg",)


def test_a_spare_comes_from_another_moment_when_there_is_one() -> None:
    one = Candidate("1", "1.jpg", "good", sharpness_stops=0.00, burst=7)
    two = Candidate("2", "2.jpg", "good", sharpness_stops=-0.01, burst=7)
    other = Candidate("3", "3.jpg", "good", sharpness_stops=-0.74, burst=8)
    choice = choose("s", [one, two, other])
    assert choice.alternate is not None
    assert choice.alternate.frame == "3"


def test_a_worse_frame_of_another_moment_is_no_spare_while_a_good_one_is_left() -> None:
    one = Candidate("1", "1.jpg", "good", burst=7)
    two = Candidate("2", "2.jpg", "good", sharpness_stops=-0.01, burst=7)
    dark = Candidate("3", "3.jpg", "adjust", exposure_stops=-5 / 3, burst=8)
    choice = choose("s", [one, two, dark])
    assert choice.alternate is not None
    assert (choice.alternate.frame, choice.left) == ("2", ("3.jpg",))
    # your own Keep comes before none
    choice = choose("s", [replace(one, kept=True), replace(two, kept=True), replace(dark, word="good")])
    assert choice.alternate is not None
    assert choice.alternate.frame == "2"
    # as good by press and verdict: the other moment
    choice = choose("s", [one, replace(two, word="adjust"), dark])
    assert choice.alternate is not None
    assert choice.alternate.frame == "3"


def test_too_small_for_a_channel_comes_last() -> None:
    small = Candidate("t", "0.jpg", "good", exposure_stops=0.0, sharpness_stops=0.00, too_small_for=("tall",))
    choice = choose("s", [small, B])
    assert choice.select is not None
    assert choice.select.frame == "b"


def test_nothing_landed_and_nothing_good_are_said() -> None:
    assert choose("s", []).select is None
    bad = choose("s", [C])
    assert bad.select is not None
    assert bad.remark is not None and (bad.remark.code, bad.remark.count) == ("none good", 1)
    assert bad.alternate is None


_CANDIDATES = st.lists(
    st.builds(
        Candidate,
        frame=st.uuids().map(str),
        name=st.text(min_size=1, max_size=4),
        word=st.sampled_from(["good", "adjust", "again"]),
        kept=st.booleans(),
        exposure_stops=st.none() | st.floats(-3, 3),
        sharpness_stops=st.none() | st.floats(-6, 2),
        burst=st.none() | st.integers(0, 3),
    ),
    min_size=1,
    max_size=8,
    unique_by=lambda c: c.frame,
)


@given(_CANDIDATES)
def test_hero_alternate_and_left_are_all_frames_once(candidates: list[Candidate]) -> None:
    choice = choose("s", candidates)
    assert choice.select is not None
    names = [choice.select.name, *([choice.alternate.name] if choice.alternate else []), *choice.left]
    assert sorted(names) == sorted(c.name for c in candidates)


@given(_CANDIDATES, st.integers(0, 7))
def test_any_choice_of_hers_is_obeyed(candidates: list[Candidate], which: int) -> None:
    hers = candidates[which % len(candidates)].frame
    choice = choose("s", candidates, her_select=hers)
    assert choice.select is not None
    assert choice.select.frame == hers


def test_the_best_of_a_burst_stands_before_its_mates() -> None:
    # the mate has the smaller fault by a hair, but the hand is sharp in the other
    mate = Candidate("m", "1.jpg", "good", exposure_stops=0.0, sharpness_stops=0.0, burst=1)
    best = Candidate(
        "best", "2.jpg", "good", exposure_stops=0.1, sharpness_stops=-0.1, burst=1,
        best_of_burst=True, burst_count=2, why_best=WhyBest("sharpest", "the hand"),
    )  # fmt: skip
    for order in permutations([mate, best, B]):
        choice = choose("s", order)
        assert choice.select is not None
        assert choice.select.frame == "best"
        assert Reason("burst", count=2, why=WhyBest("sharpest", "the hand")) in choice.select.reasons
        # the spare is of another moment
        assert choice.alternate is not None
        assert choice.alternate.frame == B.frame


def test_against_a_reference_the_reasons_say_so() -> None:
    one = Candidate("a", "1.jpg", "good", exposure_stops=-0.3, cast_mired=20.0, against_reference=True)
    choice = choose("s", [one])
    assert choice.select is not None
    assert Reason("exposure", -0.3, by_test_frame=True) in choice.select.reasons
    assert Reason("cast", 20.0, by_test_frame=True) in choice.select.reasons
    more = choose("s", [replace(one, exposure_stops=1.9)])
    assert more.select is not None
    assert Reason("exposure", 1.9, by_test_frame=True) in more.select.reasons


def test_the_reason_and_the_verdict_name_one_number() -> None:
    brighter = Act("expose", "exposure", stops=10 / 3)
    dark = Candidate("a", "1.jpg", "again", exposure_stops=-2.8, asked_stops=10 / 3, act=brighter)
    choice = choose("s", [dark])
    assert choice.select is not None
    assert Reason("asked", -10 / 3) in choice.select.reasons
    assert "exposure" not in [reason.code for reason in choice.select.reasons]
    assert choice.remark == Remark("none good", 1, brighter)


def test_what_cannot_be_told_apart_is_equal_and_then_the_accepted_frame_is_hero() -> None:
    accepted = Candidate("r", "5.jpg", "good", exposure_stops=0.0, sharpness_stops=-0.01, accepted=True)
    other = Candidate(
        "o", "1.jpg", "good", exposure_stops=0.01, sharpness_stops=0.0, cast_mired=0.5, is_raw=True
    )
    for order in permutations([accepted, other, B]):
        choice = choose("s", order)
        assert choice.select is not None
        assert choice.select.frame == "r"
    kept = replace(other, kept=True)
    choice = choose("s", [accepted, kept])
    assert choice.select is not None
    assert choice.select.frame == "o"


def test_faults_are_the_same_either_way_from_the_ruler() -> None:
    accepted = Candidate("r", "5.jpg", "good", exposure_stops=0.0, sharpness_stops=0.0, accepted=True)
    for stops, cast in ((0.3, 0.0), (-0.3, 0.0), (0.0, 20.0), (0.0, -20.0)):
        rival = Candidate("o", "1.jpg", "good", exposure_stops=stops, sharpness_stops=0.0, cast_mired=cast)
        choice = choose("s", [rival, accepted])
        assert choice.select is not None
        assert choice.select.frame == "r"


def test_among_equals_a_raw_comes_before_a_jpeg_and_the_earlier_before_the_later() -> None:
    at = datetime(2027, 5, 1, 12, 0)
    one = Candidate("1", "z.jpg", "good", exposure_stops=0.0, sharpness_stops=0.0, taken_at=at)
    two = replace(one, frame="2", name="a.jpg", taken_at=at.replace(minute=1))
    raw = replace(two, frame="3", name="zz.dng", is_raw=True, exposure_stops=0.02)
    for order in permutations([one, two, raw]):
        choice = choose("s", order)
        assert choice.select is not None and choice.alternate is not None
        assert (choice.select.frame, choice.alternate.frame) == ("3", "1")


def test_what_is_in_one_frame_alone_is_a_fault() -> None:
    hand = Candidate(
        "h", "1.jpg", "good", exposure_stops=0.0, sharpness_stops=0.0, odd_share=0.1, is_raw=True
    )
    choice = choose("s", [hand, Candidate("c", "2.jpg", "good", exposure_stops=0.1, sharpness_stops=-0.05)])
    assert choice.select is not None
    assert choice.select.frame == "c"


def test_a_frame_that_does_not_show_the_dish_is_not_the_better_for_it() -> None:
    lost = Candidate("l", "1.jpg", "adjust", exposure_stops=0.0, sharpness_stops=0.0)
    other = Candidate("o", "2.jpg", "good", exposure_stops=0.0, sharpness_stops=0.0, odd_share=1.0)
    choice = choose("s", [other, lost])
    assert choice.select is not None
    assert choice.select.frame == "l"


def test_among_equals_the_one_most_like_the_rest_is_chosen() -> None:
    # crumbs and a thing left lying add fine detail: within the measures' error the sharpest is not the cleanest
    clean = Candidate("a", "a.jpg", "good", sharpness_stops=-0.02, burst=1)
    crumbs = Candidate(
        "b",
        "b.jpg",
        "good",
        sharpness_stops=0.0,
        burst=1,
        best_of_burst=True,
        odd_share=0.002,
    )
    found = choose("dish", [crumbs, clean])
    assert found.select is not None
    assert found.select.frame == "a"
    # nothing odd seen: the best of the burst
    found = choose("dish", [replace(crumbs, odd_share=0.0), clean])
    assert found.select is not None
    assert found.select.frame == "b"


def test_a_thing_left_lying_is_not_forgiven_to_the_best_of_a_burst() -> None:
    stray = Candidate(
        "b",
        "b.jpg",
        "good",
        sharpness_stops=0.0,
        burst=1,
        best_of_burst=True,
        odd_share=0.007,
    )
    clean = Candidate("a", "a.jpg", "good", sharpness_stops=0.0, burst=1)
    found = choose("dish", [stray, clean])
    assert found.select is not None
    assert found.select.frame == "a"


def test_a_cast_is_not_forgiven_to_the_sharpest_of_a_burst_by_a_hair() -> None:
    # 8 mired: 4 beyond the measure's error, a seventh of a stop; both are as sharp as can be told
    cast = Candidate(
        "c",
        "1.jpg",
        "good",
        sharpness_stops=0.0,
        cast_mired=7.0,
        burst=1,
        best_of_burst=True,
        best_on_hero=True,
    )
    clean = Candidate("a", "2.jpg", "good", sharpness_stops=-0.002, cast_mired=0.0, burst=1)
    found = choose("dish", [cast, clean])
    assert found.select is not None
    assert found.select.frame == "a"
    # on the hand, which nothing else measures, it is
    found = choose("dish", [replace(cast, best_on_hero=False), clean])
    assert found.select is not None
    assert found.select.frame == "c"
