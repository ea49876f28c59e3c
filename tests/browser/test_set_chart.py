"""A frame of a colour chart on the pages: said as what it is, not kept, a picture once you say its shot."""

from collections.abc import Callable

import pytest
from playwright.sync_api import Page, expect

from plateside.files.journal.journal import Journal
from tests.browser.resting import at_rest, told
from tests.browser.serving import Served, until
from tests.browser.set_page import TABLET, kinds, last, open_set, put_frame, shown, wait_word

pytestmark = pytest.mark.browser


def test_a_chart_is_said_and_no_press_keeps_it(served_once: Served, new_page: Callable[..., Page]) -> None:
    page = new_page(viewport=TABLET)
    Journal.open(served_once.root).append("shot current", shot="one-bowl")
    open_set(page, served_once.url)
    frame = put_frame(served_once.root, "chart.jpg")
    wait_word(page, "Wait", frame)
    Journal.open(served_once.root).append("chart seen", frame=frame)
    wait_word(page, "Chart", frame)
    at_rest(page)
    assert (shown(page)["able"][:2], shown(page)["state"]) == (["true", "true"], "chart")
    start = last(served_once.root)
    page.click("[data-press=keep]", force=True)
    told(page, "This is a colour chart. If it is a picture, say its shot under More.")
    assert kinds(served_once.root, start) == []

    # looked at closely as any frame is
    page.click("#look")
    expect(page.locator("#closer-name")).to_have_text("chart.jpg")
    page.click("#closer-close")

    page.click("#about")
    expect(page.locator("#told")).to_contain_text("chart.jpg shows a colour chart")
    page.locator("#whose").get_by_role("button", name="one bowl").click()
    until(lambda: kinds(served_once.root, start) == ["frame belongs"])
    page.click("#close")
    wait_word(page, "Wait", frame)
    assert shown(page)["able"][:2] == ["false", "false"]


def test_on_choose_it_is_called_a_chart(served_once: Served, page: Page) -> None:
    frame = put_frame(served_once.root, "seen.jpg")
    page.goto(served_once.url + "choose")
    card = page.locator(f'.frame[data-frame="{frame}"]')
    expect(card.locator(".word")).to_have_text("not judged")
    Journal.open(served_once.root).append("chart seen", frame=frame)
    expect(card.locator(".word")).to_have_text("colour chart")
    card.click()
    expect(page.locator("#chosen .verdict")).to_have_text("colour chart")
    start = last(served_once.root)
    page.keyboard.press("k")
    told(page, "This is a colour chart. If it is a picture, choose its shot first, below.")
    assert kinds(served_once.root, start) == []

    answer = page.request.get(served_once.url + "choose").text()
    assert "seen.jpg, colour chart" in answer
