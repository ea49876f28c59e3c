"""What is said for a moment at the foot of a page stands in nobody's way."""

import pytest
from playwright.sync_api import Page, expect

from tests.browser.serving import Served

pytestmark = pytest.mark.browser

SAY = """async () => {
  const below = document.createElement("button");
  below.textContent = "Below";
  below.style = "position: fixed; left: 0; right: 0; bottom: 0; height: 8rem";
  below.onclick = () => { below.textContent = "Pressed"; };
  document.body.append(below);
  const { say } = await own("js/core/say.js");
  say("Two rows were moved.", { words: "Undo", do: () => { document.title = "Taken back"; } });
}"""


def test_a_press_goes_through_what_is_said_and_its_own_button_is_pressed(
    served_once: Served, page: Page
) -> None:
    page.goto(served_once.url + "start")
    page.evaluate(SAY)
    words = page.locator("#say").bounding_box()
    assert words
    below = page.locator("button", has_text="Below")
    assert (
        page.evaluate("(at) => document.elementFromPoint(...at).id", [words["x"] + 4, words["y"] + 4])
        != "say"
    )
    page.mouse.click(words["x"] + 4, words["y"] + words["height"] / 2)
    expect(below).to_have_count(0)
    page.locator("#say button", has_text="Undo").click()
    expect(page).to_have_title("Taken back")
