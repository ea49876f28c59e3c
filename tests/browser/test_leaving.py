"""Leaving a page breaks its stream: nothing is said of that. A server that went away is said, also then."""

import pytest
from playwright.sync_api import Page, expect

from tests.browser.serving import Served

pytestmark = pytest.mark.browser

WATCH = """
addEventListener("DOMContentLoaded", () => {
  const place = document.getElementById("say");
  const note = () => {
    if (place.textContent.includes("Not connected")) sessionStorage.setItem("flashed", location.pathname);
  };
  new MutationObserver(note).observe(place, { childList: true, characterData: true, subtree: true });
});
"""


@pytest.fixture
def page(new_page: object) -> Page:
    """A page whose console may tell of a stream that broke."""
    return new_page(quiet=True)  # type: ignore[operator, no-any-return]


def test_a_page_that_is_left_does_not_say_that_it_lost_the_connection(served: Served, page: Page) -> None:
    page.add_init_script(WATCH)
    for name in ("plan", "choose", "studio", "plan"):
        with page.expect_response("**/events*"):
            page.goto(served.url + name)
    assert page.evaluate("sessionStorage.getItem('flashed')") is None
    # it was about to be left and stayed, and the server is gone: then it is said
    page.evaluate("dispatchEvent(new Event('beforeunload'))")
    served.kill()
    expect(page.locator("#say")).to_contain_text("Not connected since")
