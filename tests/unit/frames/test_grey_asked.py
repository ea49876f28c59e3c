"""When the grey card is asked for: none yet, or the light moved a third of a stop or 30 mired since the last one.

The two limits are the photographer's own asking (a click of the dial; a filter's step), not a standard's.
"""

import pytest

from plateside.frames.grey_asked import LightOfFrame, card_asked


def read(frame: str, stops: float = 0.0, mired: float = 0.0, card: bool = False) -> LightOfFrame:
    return LightOfFrame(frame, card, "test", stops, mired)


TEST = LightOfFrame("test", card=True)
"""The test frame itself, with the card in it: it is compared with nothing."""


def test_a_set_up_begins_with_one() -> None:
    for frames in ([], [read("a")], [LightOfFrame("test", card=False), read("a", 2.0)]):
        asked = card_asked(frames)
        assert asked is not None
        assert asked.why == "set-up"
    assert card_asked([TEST]) is None


@pytest.mark.parametrize(
    ("stops", "mired", "wanted"),
    [(0.3, 0, False), (1 / 3, 0, True), (-1 / 3, 0, True), (-0.4, 0, True), (0, 29, False), (0, 30, True),
     (0, -30, True), (0.2, 20, False)],
)  # fmt: skip
def test_the_light_must_have_moved_a_third_of_a_stop_or_30_mired(
    stops: float, mired: float, wanted: bool
) -> None:
    asked = card_asked([TEST, read("a", stops, mired), read("b", stops, mired)])
    assert (asked is not None) == wanted
    if asked is not None:
        assert (asked.why, asked.stops, asked.mired) == ("light", stops, mired)


def test_it_counts_from_the_last_grey_card_frame() -> None:
    later = [TEST, read("a", -0.5), read("card", -0.5, card=True)]
    assert card_asked(later) is None
    assert card_asked([*later, read("b", -0.6), read("c", -0.7)]) is None
    asked = card_asked([*later, read("b", -0.9), read("c", -1.0)])
    assert asked is not None
    assert asked.stops == pytest.approx(-0.5)


def test_one_passing_cloud_asks_for_nothing() -> None:
    assert card_asked([TEST, read("a"), read("b", -0.8)]) is None
    assert card_asked([TEST, read("a"), read("b", -0.8), read("c", 0.0)]) is None
    assert card_asked([TEST, read("b", -0.8), read("c", -0.7)]) is not None
    assert card_asked([TEST, read("b", -0.8)]) is not None, "the only one since"


def test_what_cannot_be_compared_asks_for_nothing() -> None:
    other = LightOfFrame("a", card=False, against="another test frame", stops=-2.0, mired=0.0)
    assert card_asked([TEST, other]) is None
    assert card_asked([TEST, LightOfFrame("a", card=False)]) is None
    assert card_asked([read("card", card=True), other]) is None
