"""What is said on set, from acts, rows and measures: sentences by table."""

import pytest

from plateside.files.journal.rows import FIELDS
from plateside.files.journal.state import UNDOABLE
from plateside.files.journal.verdict_rows import act_in, act_row, lead_in, sentence_in
from plateside.frames.bursts import WhyBest
from plateside.frames.lamp_check import Lamp
from plateside.model.frame import KEEP, Act, Dial, Verdict
from plateside.tasks.report import as_json
from plateside.words.set.acts import CODES, LONGEST_LEAD, act_lead, act_sentence
from plateside.words.set.cards import card_read_sentence, no_card_sentence
from plateside.words.set.events import best_sentence, burst_lead, lamp_settled_sentence
from plateside.words.set.places import place_phrase, thirds_phrase
from plateside.words.set.presses import decision_phrase, pressed_sentence, taken_back_sentence
from plateside.words.set.screen import CAUTIONS, shot_line
from plateside.words.set.verdicts import frame_line, judged_sentence, rests_phrase, tally_sentence

SHUTTER = Dial("shutter", 1 / 3, 1 / 2)
ACTS = [
    (KEEP, "Keep it.", "Keep it."),
    (Act("expose", stops=2 / 3, dial=SHUTTER, light_stops=-0.7),
     "Two thirds of a stop brighter: 1/3 s to 1/2 s",
     "Two thirds of a stop brighter: 1/3 s to 1/2 s (the light fell 0.7 stop)."),
    (Act("expose", stops=-1.0, way="highlights"), "One stop darker",
     "One stop darker (the hero's highlights are gone)."),
    (Act("shake", amount=21.3, degrees=63.0), "Camera shake, 21 px at 63 degrees",
     "Camera shake, 21 px at 63 degrees: tripod, 2 s delay, stand still."),
    (Act("out of focus", probably=True), "Probably: out of focus: focus again on the hero",
     "Probably: out of focus: focus again on the hero; look at 100 % first."),
    (Act("focus mm", amount=15, way="nearer"), "Focus 15 mm nearer",
     "Focus 15 mm nearer: it is behind where you want it."),
    (Act("focus mm", amount=60, way="further", rough=True), "Focus about 60 mm further away",
     "Focus about 60 mm further away: it is in front of where you want it."),
    (Act("less depth", amount=2.8, against=8.0), "Less depth of field: f/2.8 now, f/8 in the test frame",
     "Less depth of field: f/2.8 now, f/8 in the test frame. Set the aperture back."),
    (Act("camera moved", share=0.046, degrees=-1.2), "The camera moved",
     "The camera moved: the frame is off by 4.6 % of its width, it is turned 1.2 degrees. "
     "Set it back, or take a new test frame."),
    (Act("camera moved", scale=1.03), "The camera moved, or was focused elsewhere",
     "The camera moved, or was focused elsewhere: everything is 3 % larger. Set it back, or take a new test frame."),
    (Act("turn camera", way="portrait", by="channel", name="tall", amount=1080, against=1350),
     "Shoot this one portrait",
     "Shoot this one portrait: the 4:5 picture (tall) needs it."),
    (Act("turn camera", way="portrait", by="channel", name="tall", amount=1001, against=1500),
     "Shoot this one portrait",
     "Shoot this one portrait: the portrait picture (tall) needs it."),
    (Act("turn camera", way="landscape", by="shot"), "Shoot this one landscape",
     "Shoot this one landscape: the shot asks for a landscape frame."),
    (Act("lamp on", at=(0.9, 0.5), share=0.37, mired=120), "Lamp on at the right: switch it off",
     "Lamp on at the right: switch it off. It gives 37 % of the light there, much warmer (120 mired)."),
    (Act("white board", amount=2.5, against=2.0, way="closer", by="ball"), "White board closer",
     "White board closer: shadow side is 2.5 stops down, you asked for 2."),
    (Act("key and fill", by="ball", amount=2.3, way="left above"), "On the ball: shadow side is 2.3 stops down",
     "On the ball: shadow side is 2.3 stops down, key from the left and above."),
    (Act("key and fill", by="test frame", amount=2.0, against=0.0),
     "By the test frame: shadow side is 2.0 stops down",
     "By the test frame: shadow side is 2.0 stops down, as in the test frame."),
    (Act("lux", amount=483.0, by="grey card"), "About 480 lx on the dish",
     "About 480 lx on the dish (grey card, within half a stop)."),
    (Act("zoom changed", amount=50, against=35), "Zoom: 50 mm now, 35 mm in the test frame",
     "Zoom: 50 mm now, 35 mm in the test frame."),
    (Act("card height", amount=5.0, way="higher", degrees=40.0, against=45.0),
     "By the set card: 5° higher: 40° now, 45° wanted", "By the set card: 5° higher: 40° now, 45° wanted."),
    (Act("cast", mired=30.0, by="grey card"), "Looks clearly too warm (30 mired)",
     "Looks clearly too warm (30 mired): set the white balance from your grey card."),
]  # fmt: skip


@pytest.mark.parametrize(("act", "lead", "sentence"), ACTS)
def test_acts(act: Act, lead: str, sentence: str) -> None:
    assert (act_lead(act), act_sentence(act)) == (lead, sentence)


FULL = {
    "stops": -3.66, "dial": Dial("shutter", 1 / 125, 1 / 8000), "at": (0.1, 0.1), "amount": 1234.0, "against": 45.0,
    "share": 0.99, "degrees": 179.0, "scale": 0.5, "mired": 300.0, "probably": True,
}  # fmt: skip
"""The longest there is of each, or nearly."""
WAYS = {
    "card level": "bottom", "card roll": "anticlockwise", "card height": "higher", "card distance": "nearer",
    "focus mm": "further", "turn camera": "landscape", "key and fill": "right above behind",
}  # fmt: skip
SMALL = {"aperture changed": (2.8, 8.0), "less depth": (2.8, 8.0), "shutter changed": (1 / 8000, 1 / 125)}


@pytest.mark.parametrize("code", CODES)
def test_every_lead_fits_where_it_stands_large(code: str) -> None:
    amounts = dict(zip(("amount", "against"), SMALL.get(code, (1234.0, 45.0)), strict=True))
    sure = code not in ("shake", "moved", "focus elsewhere", "out of focus")
    act = Act(code, **{**FULL, **amounts, "probably": not sure, "way": WAYS.get(code, "")})  # type: ignore[arg-type]
    assert len(act_lead(act)) <= LONGEST_LEAD or code in ("card level", "card roll", "moved")
    assert act_sentence(act).endswith(".")


@pytest.mark.parametrize(("act", "lead", "sentence"), ACTS)
def test_an_act_goes_through_its_row_unchanged_but_for_rounding(act: Act, lead: str, sentence: str) -> None:
    row = {"change": act_row(act), "act": "as it was"}
    assert (lead_in(row), sentence_in(row)) == (lead, sentence)


@pytest.mark.parametrize(
    "change",
    [None, "x", {}, {"code": "expose", "dial": "x"}, {"code": "expose", "stops": "x"}, {"code": "lamp on", "at": [1]},
     {"code": "card distance", "way": "up"}],
)  # fmt: skip
def test_a_row_without_readable_facts_shows_its_sentence(change: object) -> None:
    assert act_in({"change": change}) is None
    assert sentence_in({"change": change, "act": "Darker."}) == "Darker."


def test_verdicts() -> None:
    verdict = Verdict("adjust", (Act("out of focus"),), 0.8, ("test frame", "lamp off"))
    assert rests_phrase(verdict) == "against the test frame; settled by the frame with the lamp off"
    assert judged_sentence(Verdict("good")) == "Judged alone."
    line = "a.jpg  adjust  Out of focus: focus again on the hero.  (bowl, a guess)"
    assert frame_line("a.jpg", verdict, "bowl", True) == line
    assert tally_sentence(["good", "again", "good"]) == "3 frames: 2 good, 1 again."
    assert tally_sentence([]) == ""


@pytest.mark.parametrize(
    ("why", "sentence"),
    [
        (WhyBest("only", "the hand"), "the only usable one, judged on the hand"),
        (WhyBest("sharpest", "the hero", 0.57, 0.57),
         "sharpest on the hero: the others have 57 % of its fine contrast"),
        (WhyBest("as sharp", "the eyes", 0.9, 1.0),
         "as sharp as any on the eyes, exposed like the rest: the others have 90 to 100 % of its fine contrast"),
        (WhyBest("poured", "the hand", worse_streams=2, softer=1),
         "stream unbroken, hand sharp: of the others 2 with a worse stream, 1 softer on the hand"),
        (WhyBest("poured", "the hand", breaks=2), "stream broken twice, hand sharp: the others are like it"),
    ],
)  # fmt: skip
def test_the_best_of_a_burst(why: WhyBest, sentence: str) -> None:
    assert best_sentence(as_json(why)) == sentence


def test_bursts_in_large_letters() -> None:
    why = as_json(WhyBest("poured", "the hand", worse_streams=2))
    assert burst_lead(6, "3rd", why, own=False) == "Best of 6: the 3rd: stream unbroken, hand sharp"
    assert burst_lead(6, "3rd", why, own=True) == "Best of 6: the 3rd: your own choice"
    assert burst_lead(4, "2nd", None, own=False) == "Best of 4: the 2nd"
    assert burst_lead(2, "", None, own=False) == "Burst of 2: none sharp enough to measure"


@pytest.mark.parametrize(
    ("kind", "data", "phrase"),
    [
        ("kept", {}, "Keep"),
        ("test frame", {"shot": "pour"}, "the test frame of pour"),
        ("select", {"shot": "pour"}, "the select of pour"),
        ("shot current", {"shot": "pour"}, "the move to pour"),
        ("crop", {"shot": "pour", "channel": "square", "box": None}, "the crop of pour for square"),
        ("words", {"shot": "pour", "field": "alt_text"}, "alt text of pour"),
    ],
)
def test_what_is_taken_back(kind: str, data: dict[str, object], phrase: str) -> None:
    assert decision_phrase(kind, data) == phrase
    assert taken_back_sentence(kind, data) == f"Taken back: {phrase}."


def test_every_decision_has_words() -> None:
    data = {"shot": "pour", "frame": "a", "channel": "square", "field": "title", "box": None}
    for kind in UNDOABLE:
        assert kind in FIELDS
        assert decision_phrase(kind, data) not in ("", kind)
        assert pressed_sentence(kind, data).endswith(".")


def test_lamps_cards_places_and_shots() -> None:
    assert lamp_settled_sentence(Lamp(True, 0.34, 120.0, (0.1, 0.5))) == (
        "It was a lamp, at the left: 34 % of the light there, much warmer (120 mired). Leave it off."
    )
    assert lamp_settled_sentence(Lamp(False, 0.0, 0.0, (0.5, 0.5))) == (
        "No lamp: with it off the light has the same colour everywhere."
    )
    assert card_read_sentence(-0.5, 3.0, 0.0) == "Grey card: 0.5 stop too dark, neutral."
    assert card_read_sentence(0.1, 20.0, -0.1) == (
        "Grey card: as bright as it should be, clearly too warm (20 mired) and a little pink."
    )
    assert (
        no_card_sentence("green")
        == "That is not the grey card: it is green. Touch the middle of the grey card."
    )
    places = [place_phrase(at) for at in ((0.1, 0.1), (0.5, 0.5), (0.9, 0.5), (0.5, 0.9))]
    assert places == ["at the upper left", "in the middle", "at the right", "at the bottom"]
    assert [thirds_phrase(s) for s in (1 / 3, -8 / 3, 2.0)] == [
        "A third of a stop", "Two and two thirds stops", "Two stops",
    ]  # fmt: skip
    assert shot_line("pour", 1, "a.jpg", current=True) == "now pour: 1 frame, select a.jpg"
    assert all(len(caution) <= LONGEST_LEAD for caution in CAUTIONS.values())
