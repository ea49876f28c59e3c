"""A tablet is paired as a person does it: the code on the laptop's page is scanned (OpenCV decodes it) or typed."""

from collections.abc import Callable, Iterator
from pathlib import Path

import cv2
import numpy as np
import pytest
from playwright.sync_api import Page

from tests.browser.serving import Served, serve, until

pytestmark = pytest.mark.browser


@pytest.fixture
def with_tablet(shoot: Path) -> Iterator[Served]:
    server = serve(shoot, "--no-watch", "--tablet-address", "127.0.0.2")
    yield server
    server.stop()


def scanned(page: Page) -> str:
    """What a camera reads off the laptop's screen."""
    picture = cv2.imdecode(np.frombuffer(page.locator("#code img").screenshot(), np.uint8), cv2.IMREAD_COLOR)
    assert picture is not None
    # one size that the finder of corners does not like is no fault of the code: a hand moves nearer, too
    for times in (1.0, 1.5, 2.0, 0.75):
        nearer = cv2.resize(picture, None, fx=times, fy=times, interpolation=cv2.INTER_CUBIC)
        if found := str(cv2.QRCodeDetector().detectAndDecode(nearer)[0]):
            return found
    return ""


def test_the_code_is_scanned_and_the_tablet_forgotten_again(
    with_tablet: Served, new_page: Callable[..., Page], axe: Callable[[Page], list[str]]
) -> None:
    desk = new_page()
    desk.goto(with_tablet.url + "tablet")
    desk.click("#show")
    desk.wait_for_function("() => document.querySelector('#code img')?.naturalWidth > 0")
    assert axe(desk) == []
    address = scanned(desk)
    assert address.startswith("http://127.0.0.2:")
    tablet = new_page(viewport={"width": 1180, "height": 820}, has_touch=True, quiet=True)
    tablet.goto(address)
    tablet.wait_for_url("**/set")
    assert "#" not in tablet.url
    desk.wait_for_selector("#devices li")
    # the code that was used is gone from the laptop's screen
    until(lambda: desk.locator("#inviting").is_hidden())
    second = new_page(quiet=True)
    second.goto(address)
    second.wait_for_function("() => document.querySelector('#told').textContent.includes('does not work')")
    desk.click("#devices button")
    desk.wait_for_selector("#none:visible")
    tablet.goto(address.split("pair")[0] + "set")
    assert tablet.url.endswith("/pair"), "a forgotten tablet is led to the pairing page"


def test_the_code_is_typed_in_small_letters_with_spaces(
    with_tablet: Served, new_page: Callable[..., Page]
) -> None:
    desk = new_page()
    desk.goto(with_tablet.url + "tablet")
    desk.keyboard.press("Tab")
    desk.locator("#show").focus()
    desk.keyboard.press("Enter")
    code = until(lambda: desk.inner_text("#typed"))
    tablet = new_page(viewport={"width": 390, "height": 844})
    tablet.goto(desk.inner_text("#address"))
    assert tablet.locator(".stages").count() == 0
    tablet.fill("#secret", code.lower())
    tablet.fill("#name", "<b>Kitchen</b> tablet")
    tablet.click("button[type=submit]")
    tablet.wait_for_url("**/set")
    desk.wait_for_selector("#devices li")
    assert "<b>Kitchen</b> tablet" in desk.inner_text("#devices"), "a name is text, never markup"
    assert desk.locator("#devices b").count() == 0
