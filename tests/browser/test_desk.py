"""A browser of this laptop is let in by the address in the terminal, once; its address line keeps nothing of it."""

import re
from collections.abc import Callable, Iterator
from pathlib import Path

import pytest
from playwright.sync_api import Browser, Page, expect

from tests.browser.serving import Served, serve

pytestmark = pytest.mark.browser


@pytest.fixture
def served(tmp_path: Path) -> Iterator[Served]:
    """In a folder where nothing lies: no page works anything out. Its terminal is read here, and nowhere else."""
    server = serve(tmp_path, "--no-watch")
    yield server
    server.stop()


def test_a_browser_comes_in_by_the_terminals_address(
    served: Served, browser: Browser, axe: Callable[[Page], list[str]]
) -> None:
    assert served.process.stdout is not None
    # the first one let these tests in: the terminal shows the next
    found = re.search(r"http://\S+", served.process.stdout.readline())
    assert found
    context, other = browser.new_context(), browser.new_context()
    complaints: list[str] = []
    sent: list[str] = []
    try:
        page = context.new_page()
        page.on("console", lambda m: complaints.append(m.text) if m.type in ("error", "warning") else None)
        page.on("request", lambda r: sent.append(r.url + str(r.headers.get("referer", ""))))
        page.goto(served.url + "start")
        assert page.url == served.url + "desk"
        expect(page.locator("#told")).to_be_visible()
        assert axe(page) == []
        page.goto(found[0])
        page.wait_for_url(lambda url: "/desk" not in url)
        page.goto(served.url + "start")
        assert page.url == served.url + "start"
        key = found[0].partition("#")[2]
        assert page.evaluate("document.cookie") == ""
        assert not any(key in url for url in sent)
        history = context.new_cdp_session(page).send("Page.getNavigationHistory")
        assert key not in str(history)
        # a link from elsewhere comes without the cookie, and gets in all the same
        page.goto("data:text/html,<a href='" + served.url + "start'>there</a>")
        page.click("a")
        page.wait_for_url(lambda url: url.startswith(served.url) and "/desk" not in url)
        assert complaints == []
        # used: another browser gets nothing by it
        second = other.new_page()
        second.goto(found[0])
        expect(second.locator("#told")).to_contain_text("terminal")
        assert second.url == served.url + "desk"
    finally:
        context.close()
        other.close()
