"""Finish: told before the whole set is made like a frame that was to be taken again."""

from collections.abc import Callable

import pytest
from playwright.sync_api import Page, expect

from plateside.files.journal.journal import Journal
from plateside.files.journal.state import read_state
from tests.browser.serving import Served

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
    journal.append("hero", shot="three-bowls", frame=chief)
    journal.append("hero", shot="one-bowl", frame=frames["one-bowl"][0])
    journal.append("verdict", frame=chief, word="again", act="One stop darker", confidence=0.9)
    journal.append("verdict", frame=frames["one-bowl"][0], word="good", act="Keep", confidence=0.9)
    page.goto(served.url + "finish", wait_until="domcontentloaded")
    page.locator("#reference").select_option("three-bowls")
    expect(page.locator("#doubt")).to_contain_text(
        "The tool would take the frame of three-bowls again: One stop darker."
    )
    expect(page.locator("#doubt").get_by_role("link", name="choose another frame")).to_have_attribute(
        "href", "/choose"
    )
    assert axe(page) == []
    page.locator("#reference").select_option("one-bowl")
    expect(page.locator("#doubt")).to_be_hidden()
    page.locator("#reference").select_option("three-bowls")
    expect(page.locator("#doubt")).to_be_visible()
    # another hero, chosen on another screen: the doubt goes
    journal.append("verdict", frame=frames["three-bowls"][1], word="good", act="Keep", confidence=0.9)
    journal.append("hero", shot="three-bowls", frame=frames["three-bowls"][1])
    expect(page.locator("#doubt")).to_be_hidden()
