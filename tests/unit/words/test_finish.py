"""What is said of finished pictures, by table. The figures in the sentences are the facts'; arithmetic."""

from dataclasses import replace

import pytest

from plateside.deliver.points import Point
from plateside.finish import facts as finish_facts
from plateside.finish.facts import Adjustments, CameBack, FinishedShot, FinishFacts, MatchFacts
from plateside.finish.followed import LookOff
from plateside.finish.matching import ITSELF, Match
from plateside.finish.white_balance import Gains
from plateside.words import finish as words
from plateside.words import finish_matched as matched
from plateside.words import retouched
from plateside.words.deliver.points import point_sentence

SEEN = MatchFacts("same things", 0.32, 8.4, 5.94, 0.31)
DONE = Adjustments("IMG_4.jpg", False, "three-bowls", SEEN, "straight")


@pytest.mark.parametrize(
    ("done", "said"),
    [
        (DONE, "Matched to three-bowls by what both pictures show: 0.32 stop brighter, a little warmer (8 mired); "
         "colour difference 5.9 before, 0.3 after (CIEDE2000)."),
        (replace(DONE, match=MatchFacts("grey card", -1.5, 0.2)),
         "Matched to three-bowls by the grey card: 1.50 stops darker, colour unchanged."),
        (replace(DONE, match=MatchFacts("surroundings", 0, 25)),
         "Brought nearer to three-bowls by the surroundings: exposure unchanged, clearly warmer (25 mired). "
         + matched.UNPROVEN),
        (replace(DONE, match=MatchFacts("itself", 0, 0)),
         "The series is matched to this picture: exposure and white balance as taken."),
        (replace(DONE, match=MatchFacts("itself", 0, -12)),
         "The series is matched to this picture, made neutral by the grey card: exposure unchanged, a little cooler "
         "(12 mired)."),
        (replace(DONE, match=MatchFacts("nothing", 0, 0)),
         "Exposure and white balance as taken: too little in common with three-bowls to match."),
        (replace(DONE, match=MatchFacts("surroundings", 0, 0)),
         "Exposure and white balance as taken: it shares nothing certain with three-bowls, and the surroundings "
         "differ too little to tell."),
        (replace(DONE, match=MatchFacts("no nearer", 0, 0, 11.3, 11.3, delta_e_there=14.0, there_x=0.2, there_y=0.5)),
         "Exposure and white balance as taken: one brightness and one colour bring it hardly nearer to three-bowls "
         "(colour difference 11.3, CIEDE2000), and least at the left: is a lamp on there?"),
        (replace(DONE, match=MatchFacts("too far", 0, 0, None, None, 3.32, 0)),
         "Exposure and white balance as taken: 3.3 stops darker than three-bowls, too far for one series "
         "(at most 2)."),
        (replace(DONE, match=MatchFacts("too far", 0, 0, None, None, 0.1, -200)),
         "Exposure and white balance as taken: its colour is much warmer than that of three-bowls, too much for one "
         "series."),
    ],
)  # fmt: skip
def test_how_a_picture_was_matched(done: Adjustments, said: str) -> None:
    assert matched.matching_sentence(done) == said


@pytest.mark.parametrize(
    ("done", "first", "tone", "last"),
    [
        (DONE, "Made from the camera's JPEG IMG_4.jpg, which keeps the camera's own tones.", None, words.NOTHING_ELSE),
        (replace(DONE, from_raw=True, frame="IMG_4.dng", tone="calm"),
         "Developed from the raw IMG_4.dng, with one white balance for the series.",
         "One tone curve for the series: middle grey kept, a little contrast, highlights held.", words.NOTHING_ELSE),
        (replace(DONE, tone="rolled off", by_hand=True),
         "Made from the camera's JPEG IMG_4.jpg, which keeps the camera's own tones.",
         "One tone curve for the series: highlights rolled off, so that brightening clips nothing.", words.BY_HAND),
    ],
)  # fmt: skip
def test_what_was_done_ends_with_what_was_not(
    done: Adjustments, first: str, tone: str | None, last: str
) -> None:
    said = words.adjustment_sentences(done)
    assert said == [first, matched.matching_sentence(done), *([tone] if tone else []), last]
    assert words.handed_over_sentences(done) == said
    # why it could not be matched is for you, not for whoever gets it
    alone = replace(done, match=MatchFacts("nothing", 0, 0))
    assert words.handed_over_sentences(alone) == [first, matched.AS_TAKEN, *([tone] if tone else []), last]


def test_noise_that_cannot_be_told_is_said_to_you_only() -> None:
    done = replace(DONE, from_raw=True, tone="calm")
    plain, unknown = (words.adjustment_sentences(replace(done, noise_unknown=u)) for u in (False, True))
    assert [line for line in unknown if line not in plain] == [words.NOISE_UNKNOWN]
    assert words.NOISE_UNKNOWN not in words.handed_over_sentences(replace(done, noise_unknown=True))


@pytest.mark.parametrize(
    ("mired", "said"),
    [(0.2, "colour unchanged"), (3, "barely warmer (3 mired)"), (-12, "a little cooler (12 mired)"),
     (25, "clearly warmer (25 mired)"), (-90, "much cooler (90 mired)")],
)  # fmt: skip
def test_a_change_of_colour_is_said_in_words_first(mired: float, said: str) -> None:
    assert matched.mired_phrase(mired) == said


@pytest.mark.parametrize(
    ("off", "said"),
    [
        (LookOff("test frame", -1.5, 0), "cup is 1.5 stops darker than its test frame, and so is every picture matched "
         "to it."),
        (LookOff("others", 0.6, 30), "cup is 0.6 stop brighter and clearly warmer (30 mired) than the other pictures "
         "as you took them, and so is every picture matched to it."),
        (LookOff("grey card", 0, -20), "cup is clearly cooler (20 mired) than its grey card says it should be, and "
         "so is every picture matched to it."),
    ],
)  # fmt: skip
def test_how_far_the_look_is_off(off: LookOff, said: str) -> None:
    assert words.look_off_sentence(off, "cup") == said


def shot(name: str, match: Match) -> FinishedShot:
    return FinishedShot(name, f"{name}.jpg", "0" * 32, "you", f"{name}.tif", 1961, 1396, "0" * 64, False, "key",
                        match, False, "straight")  # fmt: skip


def test_what_the_command_answers() -> None:
    apart = Match(Gains(), "nothing", 0.0, None, None, 0.0, 0.0)
    facts = FinishFacts(
        match_to="cup", finished=(shot("cup", ITSELF), replace(shot("near", apart), by_hand=True)), written=1,
        missing=("pour",), unmatched=("near",), list_renewed=True, look_off=LookOff("test frame", 1.0, 0),
    )  # fmt: skip
    assert words.finish_lines(facts, "soup/finished") == [
        "2 pictures finished, in soup/finished: 1 made, 1 unchanged.",
        "The series is matched to cup.",
        "Check the look: cup is 1 stop brighter than its test frame, and so is every picture matched to it. Choose "
        "another frame of cup, or match to another shot: --match-to SHOT.",
        "cup: cup.jpg, 1961 x 1396. The series is matched to this picture: exposure and white balance as taken.",
        "near: near.jpg, 1961 x 1396. Not matched. Exposure and white balance as taken: too little in common with cup "
        "to match.",
        "  You changed near.tif by hand, so it is kept as it is. Delete it to have it made again.",
        "To accept near as it is: --accept SHOT.",
        "No frame yet, so not in the series: pour.",
    ]


def test_where_the_series_stands() -> None:
    said = words.standing_sentences(
        2, 4, "cup", unmatched=["near"], another=["near", "cup"], missing=["pour", "hand"]
    )
    assert said == [
        "2 of 4 pictures finished, matched to cup.",
        "Not matched: near. Compare it by eye: accept it as it is, or take another frame.",
        "The select has changed since for near and cup: make the series again.",
        "Still to finish: pour and hand.",
    ]
    assert words.standing_sentences(1, 1, "cup") == ["1 of 1 picture finished, matched to cup."]


@pytest.mark.parametrize(
    ("by_you", "act", "kept", "said"),
    [
        (True, "", False, "You wanted to shoot cup again."),
        (False, "One stop darker.", False, "Better shoot cup again: one stop darker."),
        (False, "", True, "Better shoot cup again. You kept it."),
    ],
)
def test_a_frame_to_be_taken_again(by_you: bool, act: str, kept: bool, said: str) -> None:
    assert words.again_sentence("cup", by_you, act, kept) == said


CODES = [
    finish_facts.TAKEN, finish_facts.LATER, finish_facts.AS_MADE, finish_facts.ANOTHER_KIND, finish_facts.UNREAD,
    finish_facts.PRINT_COLOURS, finish_facts.NO_PICTURE, finish_facts.OF_ANOTHER, finish_facts.ANOTHER_FRAME,
    finish_facts.ANOTHER_SHAPE, finish_facts.ANOTHER_PICTURE,
]  # fmt: skip


@pytest.mark.parametrize("code", CODES)
@pytest.mark.parametrize(
    ("file", "where"),
    [("retouched/cup-2.tif", "cup-2.tif (in finished/retouched)"), ("cup-2.tif", "cup-2.tif (in finished)")],
)
def test_every_sentence_on_a_file_that_came_back_says_in_which_folder_it_is(
    code: str, file: str, where: str
) -> None:
    one = CameBack(file, code, "cup", "retouched/cup-3.tif", size=(20, 30), asked=(30, 20))
    assert retouched.came_back_sentence(one, ["cup"]).startswith(where)
    assert where in retouched.waiting_sentence(file)
    for wrong in ("", "older", "changed", "gone"):
        assert where in retouched.retouched_sentence(file, wrong)
    for point in ("retouched waiting", "retouched unknown"):
        assert point_sentence(Point(point, names=(file,))).startswith(where)
