"""Leaving a page breaks its stream: nothing is said of that. A server that went away is said, also then."""

import re
from pathlib import Path

import pytest
from playwright.sync_api import Page, expect

from plateside.files.settings.load import open_shoot
from tests.browser.resting import told
from tests.browser.serving import Served, frame_pixels, lasting_port, serve, until, write_frame
from tests.browser.set_page import open_set

pytestmark = pytest.mark.browser

JUDGED = re.compile("^(Good|Adjust|Again)$")
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
    """A page whose console may tell of a stream that broke; no light is worked out on its way."""
    page: Page = new_page(quiet=True)  # type: ignore[operator]
    page.route("**/light/*", lambda route: route.abort())
    return page


def test_a_page_that_is_left_does_not_say_that_it_lost_the_connection(served: Served, page: Page) -> None:
    page.add_init_script(WATCH)
    for name in ("plan", "choose", "studio", "plan"):
        with page.expect_response("**/events*"):
            page.goto(served.url + name)
    assert page.evaluate("sessionStorage.getItem('flashed')") is None
    # it was about to be left and stayed, and the server is gone: then it is said
    page.evaluate("dispatchEvent(new Event('beforeunload'))")
    served.kill()
    told(page, "Not connected since")


def test_what_is_changed_while_the_server_is_away_is_saved_when_it_is_back(shoot: Path, page: Page) -> None:
    server = serve(shoot, "--no-watch", port=lasting_port())
    page.goto(server.url + "plan")
    title = page.locator('[data-path="recipe.title"] input').first
    expect(title).to_be_attached()
    page.get_by_role("link", name="Recipe").click()
    server.kill()
    title.fill("Plum cake with salt")
    title.press("Enter")
    told(page, "Not saved yet: Plateside does not answer.")
    assert open_shoot(shoot).shoot.recipe.title != "Plum cake with salt"
    again = serve(shoot, "--no-watch", port=server.port)
    try:
        until(lambda: open_shoot(shoot).shoot.recipe.title == "Plum cake with salt")
        told(page, "your change is saved")
    finally:
        again.stop()


def test_a_server_started_again_where_shoots_are_kept_opens_the_one_that_was_open(
    shoot: Path, page: Page
) -> None:
    """Its tablet stands beside the set and asks for nothing but the verdict."""
    server = serve(shoot.parent, port=lasting_port())
    page.goto(server.url + "start")
    page.get_by_role("button", name="Open Chilled").first.click()
    page.wait_for_url("**/light*", wait_until="domcontentloaded")
    open_set(page, server.url)
    expect(page.locator("#word")).to_have_text(JUDGED)
    server.kill()
    expect(page.locator("#word")).to_have_text("Not connected")
    again = serve(shoot.parent, port=server.port)
    try:
        expect(page.locator("#word")).to_have_text(JUDGED)
        before = page.locator("#picture").get_attribute("data-frame")
        write_frame(shoot / "frames" / "after.jpg", frame_pixels(0.2, 20))
        expect(page.locator("#picture")).not_to_have_attribute("data-frame", before or "")
    finally:
        again.stop()


def test_a_set_whose_shoot_is_gone_shows_no_old_word(shoot: Path, page: Page) -> None:
    server = serve(shoot.parent, "--no-watch", port=lasting_port())
    page.goto(server.url + "start")
    page.get_by_role("button", name="Open Chilled").first.click()
    page.wait_for_url("**/light*", wait_until="domcontentloaded")
    open_set(page, server.url)
    expect(page.locator("#word")).to_have_text(JUDGED)
    server.kill()
    shoot.rename(shoot.with_name("elsewhere"))
    (shoot.with_name("elsewhere") / "shoot.toml").rename(shoot.with_name("elsewhere") / "shoot.bak")
    again = serve(shoot.parent, "--no-watch", port=server.port)
    try:
        expect(page.locator("#word")).to_have_text("Not judging")
        expect(page.locator("#act")).to_contain_text("No shoot is open.")
    finally:
        again.stop()
