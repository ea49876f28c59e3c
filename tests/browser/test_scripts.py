"""Scripts in every text, name and field of a shoot run nowhere; `python -m bench scripts` tries each kind."""

from collections.abc import Callable
from pathlib import Path

import pytest
from playwright.sync_api import Browser, Page, Request

from tests.abuse import scripted_pages
from tests.abuse.scripted_pages import CALLED
from tests.browser.conftest import ELSEWHERE
from tests.browser.serving import serve
from tests.shoots.scripted import ALL, CANARY, PAYLOADS, SUM, make_scripted_shoot
from tests.web.tablets import TABLET

pytestmark = pytest.mark.browser


@pytest.mark.slow
def test_no_script_of_a_shoots_texts_runs_anywhere(tmp_path: Path, new_page: Callable[..., Page]) -> None:
    root = make_scripted_shoot(tmp_path)
    served = serve(root, "--no-watch", "--tablet-address", TABLET)
    try:
        wrong = scripted_pages.names_typed(served, PAYLOADS[1])
        page = new_page(bypass_csp=True, quiet=True)
        page.add_init_script(CALLED)
        wrong += scripted_pages.walk(served, page)
        wrong += scripted_pages.broken(served, page, ALL)
        page.close()
    finally:
        served.stop()
    assert wrong == []


def test_a_page_that_lets_a_script_in_is_found_out(browser: Browser) -> None:
    """Each script, put raw where it is made for, is seen: else the test above would prove nothing."""
    # a context of its own: these pages complain, and are meant to
    context = browser.new_context(bypass_csp=True)
    page = context.new_page()
    page.add_init_script(CALLED)
    page.route("**/*", lambda route: route.fulfill(body="", content_type="text/html"))
    page.goto("http://127.0.0.1:9/")
    missed = []
    for payload in PAYLOADS:
        places = (
            f"<p>{payload}</p>", f'<p title="{payload}">x</p>', f"<p title='{payload}'>x</p>",
            f'<a href="{payload}">x</a>', f"<!-- {payload} -->", f"<p>{payload.replace('{{7*6012}}', str(SUM))}</p>",
            f"<script>const x = `{payload}`;</script>", f"<svg><![CDATA[{payload}]]></svg>",
        )  # fmt: skip
        found = []
        for html in places:
            page.set_content(html)
            found += page.evaluate(scripted_pages.SEEN, [CANARY, str(SUM)])
            page.evaluate("window.ran = []")
        missed += [] if found else [payload]
    context.close()
    assert missed == []


def test_a_page_that_asks_for_anything_elsewhere_is_found_out(browser: Browser) -> None:
    """By name and by address (RFC 5737, RFC 3849): what no page of ours may do is seen in every one (conftest)."""
    context = browser.new_context()
    page = context.new_page()
    asked: list[str] = []

    def failed(request: Request) -> None:
        assert ELSEWHERE in (request.failure or "")
        asked.append(request.url)

    page.on("requestfailed", failed)
    page.route("http://127.0.0.1:9/", lambda route: route.fulfill(body="", content_type="text/html"))
    places = ("http://elsewhere.example/a.png", "http://192.0.2.1/b.png", "http://[2001:db8::1]/c.png")
    for place in places:
        page.goto("http://127.0.0.1:9/")
        with page.expect_event("requestfailed"):
            page.evaluate("(place) => { new Image().src = place; }", place)
    page.goto("http://127.0.0.1:9/")
    with page.expect_event("requestfailed"):
        page.evaluate("() => { location.href = 'http://elsewhere.example/'; }")
    context.close()
    assert asked == [*places, "http://elsewhere.example/"]
