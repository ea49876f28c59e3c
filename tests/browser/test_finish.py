"""Finish: told before the whole set is made like a frame that was to be taken again."""

import re
from collections.abc import Callable

import pytest
from playwright.sync_api import Page, expect

from plateside.files.in_turn import in_turn
from plateside.files.journal.journal import Journal
from plateside.files.journal.state import read_state
from plateside.files.originals.identity import content_hash
from tests.browser.resting import at_rest
from tests.browser.serving import Served, frame_pixels, write_frame

pytestmark = pytest.mark.browser


def test_a_doubtful_reference_is_told_and_goes_with_another_choice(
    served: Served, page: Page, axe: Callable[[Page], list[str]]
) -> None:
    state = read_state(served.root)
    frames = {
        shot: [f for f, s in state.shot_of.items() if s == shot] for shot in ("three-bowls", "one-bowl")
    }
    journal = Journal.open(served.root)
    chief = frames["three-bowls"][0]
    journal.append("select", shot="three-bowls", frame=chief)
    journal.append("select", shot="one-bowl", frame=frames["one-bowl"][0])
    journal.append("verdict", frame=chief, word="again", act="One stop darker", confidence=0.9)
    journal.append("verdict", frame=frames["one-bowl"][0], word="good", act="Keep", confidence=0.9)
    page.goto(served.url + "finish", wait_until="domcontentloaded")
    page.locator("#match-to").select_option("three-bowls")
    expect(page.locator("#doubt")).to_contain_text("Better shoot three-bowls again: one stop darker.")
    expect(page.locator("#doubt").get_by_role("link", name="Choose another frame")).to_have_attribute(
        "href", "/choose"
    )
    assert axe(page) == []
    page.locator("#match-to").select_option("one-bowl")
    expect(page.locator("#doubt")).to_be_hidden()
    page.locator("#match-to").select_option("three-bowls")
    expect(page.locator("#doubt")).to_be_visible()
    # another hero, chosen on another screen: the doubt goes
    journal.append("verdict", frame=frames["three-bowls"][1], word="good", act="Keep", confidence=0.9)
    journal.append("select", shot="three-bowls", frame=frames["three-bowls"][1])
    expect(page.locator("#doubt")).to_be_hidden()


def test_a_picture_that_could_not_be_matched_is_named_at_the_top(
    served: Served, page: Page, axe: Callable[[Page], list[str]]
) -> None:
    dark = served.root / "frames" / "plate-dark.jpg"
    write_frame(dark, frame_pixels(-3.5))
    state, frame = read_state(served.root), content_hash(dark)
    chief = next(f for f, s in state.shot_of.items() if s == "three-bowls")
    Journal.open(served.root).append_many(
        [
            ("frame landed", {"frame": frame, "name": dark.name}),
            ("frame belongs", {"frame": frame, "shot": "one-bowl", "guess": False}),
            ("select", {"shot": "three-bowls", "frame": chief}),
            ("select", {"shot": "one-bowl", "frame": frame}),
        ]
    )
    page.goto(served.url + "finish", wait_until="domcontentloaded")
    # only a shot with a frame can be followed
    expect(page.locator("#match-to option:disabled").first).to_contain_text("(no frame yet)")
    expect(page.locator("#match-to option:not(:disabled)")).to_have_count(2)
    assert page.locator("#match-to").input_value() in ("three-bowls", "one-bowl")
    page.locator("#match-to").select_option("three-bowls")
    page.locator("#kind").select_option("jpeg")
    page.get_by_role("button", name="Make the series").click()
    expect(page.locator("#stands")).to_contain_text("Not matched: one-bowl.")
    expect(page.locator("#shot-one-bowl .mind").first).to_have_attribute("data-code", "unmatched")
    expect(page.locator("#shot-one-bowl .said")).to_contain_text(
        re.compile(r"3\.\d stops darker than three-bowls")
    )
    expect(page.locator("#shot-three-bowls .mind[data-code=unmatched]")).to_have_count(0)
    assert axe(page) == []

    # open until it is accepted by name
    page.get_by_role("button", name="Accept one-bowl as it is").click()
    expect(page.locator("#shot-one-bowl .mind").first).to_have_attribute("data-code", "as taken")

    # set by hand: the picture follows, it is written down, and taken back
    after = page.locator("#shot-three-bowls img.after")
    expect(after).to_have_attribute("src", re.compile("/finish/pictures/"))
    at_rest(page)
    wheel = page.locator("#three-bowls-brighter_stops")
    wheel.focus()
    wheel.press("ArrowRight")
    expect(page.locator("#shot-three-bowls .mind[data-code='set by hand']")).to_have_count(1)
    expect(after).to_have_attribute("src", re.compile(r"/finish/hand/.*brighter_stops=0\.05"))
    assert read_state(served.root).hand("three-bowls").brighter_stops == 0.05
    page.locator("#say").get_by_role("button", name="Undo").click()
    expect(page.locator("#shot-three-bowls .mind[data-code='set by hand']")).to_have_count(0)
    assert not read_state(served.root).hand("three-bowls").changes


def test_a_second_finish_says_that_it_waits_and_can_be_stopped(served: Served, page: Page) -> None:
    state = read_state(served.root)
    frame = next(f for f, s in state.shot_of.items() if s == "one-bowl")
    Journal.open(served.root).append("select", shot="one-bowl", frame=frame)
    page.goto(served.url + "finish", wait_until="domcontentloaded")
    page.locator("#match-to").select_option("one-bowl")
    page.locator("#kind").select_option("jpeg")
    make = page.get_by_role("button", name="Make the series")
    with in_turn(served.root / ".plateside" / "finish.lock", lambda: pytest.fail("held by nobody")):
        make.click()
        expect(page.locator("#run")).to_contain_text("Another finish of this shoot is running.")
        page.locator("#run").get_by_role("button", name="Stop").click()
        expect(page.locator("#run .came")).to_contain_text("Stopped.")
        assert not (served.root / "finished").exists()
        make.click()
        expect(page.locator("#run")).to_contain_text("This one begins when it ends.")
    expect(page.locator("#run .came")).to_contain_text("2 made")
    assert (served.root / "finished" / "one-bowl.jpg").exists()
