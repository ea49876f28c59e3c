"""On set, an answer that was made before newer news, and comes after it, is not what the screen says."""

import re
from collections.abc import Callable
from datetime import UTC, datetime, timedelta
from typing import Any

import pytest
from playwright.sync_api import Page, expect

from plateside.files.journal.journal import Journal
from plateside.files.journal.state import read_state
from tests.browser.resting import LISTENING, at_rest, late, news
from tests.browser.serving import Served, until
from tests.browser.set_page import NO_LIGHT, TABLET, open_set
from tests.web.requests import get

pytestmark = pytest.mark.browser
NOT_JUDGED = "Frames are not judged: the disk is full."


@pytest.fixture
def page(new_page: Callable[..., Page]) -> Page:
    page = new_page(viewport=TABLET)
    page.add_init_script(LISTENING)
    return page


def hears(page: Page, kind: str, words: str = "") -> None:
    """What the server says beside the rows."""
    page.evaluate(
        "([kind, words]) => window.stream.dispatchEvent(new MessageEvent(kind, { data: JSON.stringify({ words }) }))",
        [kind, words],
    )


def kept(served: Served) -> None:
    """A press on another screen."""
    Journal.open(served.root).append("kept", frame=next(iter(read_state(served.root).landed)))


def test_why_frames_are_not_judged_goes_when_they_are(served: Served, page: Page) -> None:
    open_set(page, served.url)
    at_rest(page)
    main = page.locator("#main")
    hears(page, "watcher", NOT_JUDGED)
    expect(main).to_have_attribute("data-state", "stopped")
    # that they are judged again was said while the connection was lost: the next answer tells it
    kept(served)
    expect(main).not_to_have_attribute("data-state", "stopped")
    at_rest(page)
    with late(page, "**/set/now", get(served, "/set/now").json | {"trouble": NOT_JUDGED}) as made:
        kept(served)
        until(made)
        hears(page, "watcher")
    expect(main).not_to_have_attribute("data-state", "stopped")


def test_the_light_and_the_marks_are_those_that_were_asked_for_last(served: Served, page: Page) -> None:
    def light(minutes: float) -> dict[str, Any]:
        until_ = (datetime.now(UTC) + timedelta(minutes=minutes)).isoformat()
        return NO_LIGHT | {"shot": "three-bowls", "until": until_}

    def measured(act: str) -> dict[str, Any]:
        return {"marks": [], "acts": [act], "facts": [], "judged": "", "since": "", "since_words": ""}

    journal = Journal.open(served.root)
    frame = next(f for f, shot in read_state(served.root).shot_of.items() if shot == "three-bowls")
    journal.append("shot current", shot="three-bowls")
    first = journal.append("kept", frame=frame).number
    open_set(page, served.url, light=lambda route: route.fulfill(json=light(40.5)))
    page.route(re.compile("/set/marks/"), lambda route: route.fulfill(json=measured("Newer.")))
    at_rest(page)
    words = page.locator("#light")
    with late(page, re.compile("/set/light/"), light(20.5)) as made:
        hears(page, "light")
        until(made)
        hears(page, "light")
        at_rest(page, kept=1)
    expect(words).to_have_text(re.compile("^(40|39) min light$"))
    with late(page, re.compile("/set/marks/"), measured("Older.")) as made:
        journal.append("undo", row=first)
        until(made)
        with news(page, kept=1):
            second = journal.append("again", frame=frame).number
            journal.append("undo", row=second)
    page.click("#about")
    expect(page.locator("#told ol li")).to_have_text("Newer.")


def test_the_last_check_is_the_one_that_was_opened_last(served: Served, page: Page) -> None:
    open_set(page, served.url)
    at_rest(page)
    page.route("**/set/clearing", lambda route: route.fulfill(json={"head": "Newer.", "shots": []}))
    head = page.locator("#clearing-head")
    page.click("#about")
    with late(page, "**/set/clearing", {"head": "Older.", "shots": []}) as made:
        page.locator("#last-check").click()
        until(made)
        page.locator("#clearing-back").click()
        page.locator("#last-check").click()
        expect(head).to_have_text("Newer.")
    expect(head).to_have_text("Newer.")
