"""What is drawn on a frame: only what the facts say, asked for only where an act is about it."""

from dataclasses import replace

from plateside.frames.changes import Part
from plateside.frames.facts import ColourFacts, ExposureFacts, FocusFacts, FrameFacts
from plateside.frames.marks import changed_marks, marks_of
from plateside.model.frame import Act, Verdict

BOX = (0.3, 0.3, 0.7, 0.7)


def facts(lost: bool = False) -> FrameFacts:
    return FrameFacts(
        version="", width_px=6000, height_px=4000, subject_box=BOX,
        exposure=ExposureFacts(
            stops=0, bright_level=0.6, middle_level=0.2, clipped_share=0.0, glint_share=0.0,
            lost_share=0.05 if lost else 0.0, lost_on_subject_share=0.2 if lost else 0.0,
            lost_box=(0.4, 0.4, 0.5, 0.5) if lost else None, headroom_stops=(1.0, 1.0, 1.0), from_raw=True,
        ),
        focus=FocusFacts(
            subject_spread_px=3.0, around_spread_px=1.0, best_spread_px=0.8, sharpest_at=(0.1, 0.2), along_px2=0,
            direction_deg=0, around_along_px2=0, around_direction_deg=0, edges_on_subject=9, edges_around=9, noise=0.01,
        ),
        colour=ColourFacts(0, 0, "grey card"),
    )  # fmt: skip


def asked(kind: str, lost: bool = False) -> set[str]:
    verdict = Verdict("adjust", (Act("out of focus", kind=kind, weight=1),))
    return {m.kind for m in marks_of(facts(lost), None, verdict) if m.asked}


def test_an_act_asks_for_its_own_marks() -> None:
    assert asked("focus") == {"sharpest", "wanted"}
    assert asked("shake") == {"wanted"}
    assert asked("exposure", lost=True) == {"lost"}
    assert asked("exposure") == asked("colour", lost=True) == set()


def test_marks_lie_where_the_facts_say() -> None:
    found = {m.kind: m.box for m in marks_of(facts(lost=True), None, Verdict("good"))}
    assert found == {"lost": (0.4, 0.4, 0.5, 0.5), "sharpest": (0.1, 0.2, 0.1, 0.2), "wanted": BOX}
    assert not any(m.asked for m in marks_of(facts(lost=True), None, Verdict("good")))


def test_the_card_that_was_read_is_drawn() -> None:
    card = replace(facts(), colour=ColourFacts(0, 0, "grey card", card_box=(0.1, 0.1, 0.2, 0.2)))
    guessed = replace(card, colour=replace(card.colour, source="grey world"))
    assert [m.box for m in marks_of(card, None, Verdict("good")) if m.kind == "card"] == [
        (0.1, 0.1, 0.2, 0.2)
    ]
    assert not [m for m in marks_of(guessed, None, Verdict("good")) if m.kind == "card"]


def test_changes_are_outlined_largest_first() -> None:
    outline = ((0.1, 0.1), (0.2, 0.1), (0.2, 0.2))
    parts = [Part("added", (0.1, 0.1, 0.2, 0.2), outline, share) for share in (0.01, 0.05, 0.02)]
    moved = changed_marks(parts, Verdict("adjust", (Act("camera moved", kind="level"),)), most=2)
    assert [m.outline for m in moved] == [outline] * 2
    assert all(m.asked for m in moved)
    assert not any(m.asked for m in changed_marks(parts, Verdict("good")))
