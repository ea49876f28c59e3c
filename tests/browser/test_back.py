"""Back closes what lies open before it leaves the page; after the last Keep the way to Choose is said."""

from collections.abc import Callable

import pytest
from playwright.sync_api import Page, expect

from plateside.files.journal.journal import Journal
from plateside.files.settings.load import load_shoot
from tests.browser.serving import Served
from tests.browser.set_page import TABLET, judge, open_set, put_frame, wait_word

pytestmark = pytest.mark.browser


def test_back_closes_the_sheet_and_then_leaves(served_once: Served, new_page: Callable[..., Page]) -> None:
    page = new_page(viewport=TABLET)
    page.goto(f"{served_once.url}studio")
    open_set(page, served_once.url)
    at, sheet = page.url, page.locator("#sheet")
    page.locator("#about").click()
    expect(sheet).to_be_visible()
    page.go_back()
    expect(sheet).to_be_hidden()
    assert page.url == at
    # closed by its own button, twice: one Back still leaves the page
    for _ in range(2):
        page.locator("#about").click()
        expect(sheet).to_be_visible()
        page.locator("#close").click()
        expect(sheet).to_be_hidden()
    page.evaluate("history.back()")
    page.wait_for_url("**/studio")


def test_after_the_last_keep_the_way_leads_to_choose(
    served_once: Served, new_page: Callable[..., Page]
) -> None:
    journal = Journal.open(served_once.root)
    names = [s.name for s in load_shoot(served_once.root / "shoot.toml").shots]
    for name in names:
        journal.append("shot current", shot=name)
        frame = put_frame(served_once.root, f"{name}.jpg")
        judge(served_once.root, frame, "good", "Keep it.")
        if name != names[-1]:
            journal.append("kept", frame=frame)
    page = new_page(viewport=TABLET)
    open_set(page, served_once.url)
    wait_word(page, "Good", frame)
    expect(page.locator("[data-press=next]")).to_have_text("Next shot")
    page.locator("[data-press=keep]").click()
    expect(page.locator("[data-press=next]")).to_have_text("Last check")
    page.locator("[data-press=next]").click()
    page.locator("#clearing").get_by_role("link", name="Choose").click()
    page.wait_for_url("**/choose")
