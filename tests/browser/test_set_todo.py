"""Until a shot's first frame lands the Set page says what to do for it; the figures are the plan's own."""

import json
from collections.abc import Callable
from typing import Any

import pytest
from playwright.sync_api import Page, expect

from plateside.files.journal.journal import Journal
from tests.browser.serving import Served, until
from tests.browser.set_page import TABLET, judge, open_set, put_frame, wait_word

pytestmark = pytest.mark.browser


def card_of(page: Page, shot: str) -> Any:
    day = json.loads(page.evaluate("fetch('/plan/day').then((answer) => answer.text())"))
    return next(each for each in day["day"]["shots"] if each["name"] == shot)["card"]


def test_what_to_do_then_the_frame_then_what_to_do_for_the_next(
    served_once: Served, new_page: Callable[..., Page]
) -> None:
    page = new_page(viewport=TABLET, quiet=True)
    open_set(page, served_once.url)
    journal = Journal.open(served_once.root)
    given = page.evaluate("JSON.parse(document.getElementById('given').textContent)")
    names = [shot["name"] for shot in given["shots"] if not shot["frames"]]
    first, second = names[0], names[1]
    journal.append("shot current", shot=first)
    lines = page.locator("#todo-lines p")
    card = card_of(page, first)
    until(lambda: lines.all_inner_texts()[:-1] == card["on_set"])
    expect(lines.first).to_be_visible()
    # where to focus is on the first screen as well
    assert card["focus"] in lines.all_inner_texts()[-1]
    assert card["on_set"][0] == f"{card['aperture']}, {card['shutter']}"
    # nothing is there to keep: a press would mean a frame that the screen does not show
    for press in ("keep", "again"):
        expect(page.locator(f'[data-press="{press}"]')).to_have_attribute("aria-disabled", "true")

    page.locator("#todo").click()
    named = page.locator("#pictures .todo-card dt")
    expect(named.last).to_have_text(card["facts"][-1]["name"])
    shown = named.all_inner_texts()
    assert shown[-len(card["facts"]) :] == [row["name"] for row in card["facts"]]
    # before them: white balance, light, plate, what goes where
    values = page.locator("#pictures .todo-card dd").all_inner_texts()
    assert all(words in values for words in card["put"])
    page.keyboard.press("Escape")

    frame = put_frame(served_once.root, "first.jpg")
    journal.append("frame belongs", frame=frame, shot=first, guess=False)
    judge(served_once.root, frame, "good")
    wait_word(page, "Good", frame)
    expect(page.locator("#todo")).to_be_hidden()
    expect(page.locator("#look")).to_be_visible()

    journal.append("shot current", shot=second)
    expect(page.locator("#word")).to_have_text("Ready")
    wanted = card_of(page, second)["on_set"]
    until(lambda: lines.all_inner_texts()[:-1] == wanted)
    expect(lines.first).to_be_visible()
    journal.append("shot current", shot=first)
    expect(page.locator("#word")).to_have_text("Good")
