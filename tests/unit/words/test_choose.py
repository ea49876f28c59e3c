"""What is said while choosing, from reasons and remarks: sentences by table."""

import pytest

from plateside.frames.apart import Apart
from plateside.frames.bursts import WhyBest
from plateside.frames.choose import Pick, Reason, Remark, ShotChoice
from plateside.model.frame import Act
from plateside.words.choose import choice_lines, reason_phrase, remark_sentence


@pytest.mark.parametrize(
    ("reason", "phrase"),
    [
        (Reason("yours"), "your own choice"),
        (Reason("verdict", word="good"), "verdict: good"),
        (Reason("sharpest", count=3), "sharpest of 3"),
        (Reason("less sharp", 0.57), "57 % as much fine detail as the sharpest"),
        (Reason("asked", -10 / 3), "three and a third stops too dark"),
        (Reason("exposure", -0.3, by_test_frame=True), "0.3 stop darker than the test frame"),
        (Reason("exposure", 1.9), "1.9 stops brighter than wanted"),
        (Reason("exposure", 0.0), "as bright as wanted"),
        (Reason("cast", 20.0, by_test_frame=True), "clearly warmer than the test frame (20 mired)"),
        (Reason("turn", -1.5), "turned 1.5 degrees against the other frames"),
        (Reason("too small", names=("tall", "wide")), "too few pixels for tall, wide"),
        (Reason("burst", count=2), "best of a burst of 2: your own choice"),
        (Reason("burst", count=2, why=WhyBest("only", "the hand")),
         "best of a burst of 2: the only usable one, judged on the hand"),
    ],
)  # fmt: skip
def test_reasons(reason: Reason, phrase: str) -> None:
    assert reason_phrase(reason) == phrase


def test_remarks() -> None:
    assert remark_sentence(None) == ""
    assert remark_sentence(Remark("no frame")) == "No frame of this shot has landed."
    assert remark_sentence(Remark("none good", 1, Act("out of focus"))) == (
        "The one frame is not good: take this shot again if you can. Out of focus: focus again on the hero."
    )
    told = Apart(odd_share=0.02, stops=0.4)
    assert remark_sentence(Remark("differ", apart=told, names=("2.jpg", "1.jpg"))) == (
        "You decide: something shows in one of them only; 2.jpg is 0.4 stop brighter than 1.jpg, and two frames do "
        "not say which is right. Look at both, or take a third."
    )


def test_a_shot_on_the_command_line() -> None:
    pick = Pick("a", "a.jpg", "tool", (Reason("verdict", word="good"), Reason("sharpest", count=2)))
    assert choice_lines(ShotChoice("pour", pick, None, ())) == [
        "pour", "  select: a.jpg (verdict: good; sharpest of 2)", "  alternate: none",
    ]  # fmt: skip
