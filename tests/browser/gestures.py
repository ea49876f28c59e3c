"""Two ways to use a page: by keys alone, by touch alone. A test says what is done, its hands how."""

import re
from typing import Protocol

from playwright.sync_api import Locator, Page, expect

MOST_TABS = 400
TOWARDS = """e => {
  const now = document.activeElement;
  if (e === now) return "";
  return now.compareDocumentPosition(e) & Node.DOCUMENT_POSITION_PRECEDING ? "Shift+Tab" : "Tab";
}"""
"""The key that goes from where the focus is to a thing; none where it is there."""
SHARE = """e => {
  const low = Number(e.min || e.getAttribute("aria-valuemin") || 0);
  const high = Number(e.max || e.getAttribute("aria-valuemax") || 100);
  return (Number(e.value ?? e.getAttribute("aria-valuenow")) - low) / (high - low);
}"""
"""Where a slider stands, from 0 to 1."""


class Gestures(Protocol):
    """What a person does to a page, with the pointer that she has."""

    page: Page

    def press(self, what: Locator) -> None:
        """Press a button, follow a link, open a summary."""

    def pick(self, what: Locator) -> None:
        """Go to a thing of a list, so that what follows is about it."""

    def write(self, where: Locator, text: str) -> None:
        """Put text into a field in place of what stands there."""

    def choose(self, which: Locator, words: str) -> None:
        """Take the option with these words."""

    def move(self, slider: Locator) -> None:
        """Move a slider a little, from where it is."""


class Keys:
    """Never a pointer: Tab to the thing, then Enter, letters, arrows."""

    def __init__(self, page: Page) -> None:
        self.page = page

    def reach(self, what: Locator) -> None:
        """Tab until it has the focus; a thing that Tab never comes to fails the test."""
        expect(what).to_be_visible()
        keys = self.page.keyboard
        for _ in range(MOST_TABS):
            towards = what.evaluate(TOWARDS)
            if not towards:
                return
            keys.press(towards)
        raise AssertionError(f"{what} is never reached by Tab")

    def press(self, what: Locator) -> None:
        self.reach(what)
        self.page.keyboard.press("Enter")

    def pick(self, what: Locator) -> None:
        """Tab comes to a list once; within it the arrows go on."""
        group = what.locator("xpath=ancestor::*[.//button[@tabindex='0'] or .//*[@tabindex='0']][1]")
        if what.get_attribute("tabindex") != "-1":
            self.reach(what)
            return
        self.reach(group.locator("[tabindex='0']").first)
        for _ in range(MOST_TABS):
            if what.evaluate("e => e === document.activeElement"):
                return
            self.page.keyboard.press("ArrowRight")
        raise AssertionError(f"{what} is never reached by the arrows")

    def write(self, where: Locator, text: str) -> None:
        self.reach(where)
        self.page.keyboard.press("ControlOrMeta+a")
        self.page.keyboard.type(text)
        self.page.keyboard.press("Tab")

    def choose(self, which: Locator, words: str) -> None:
        self.reach(which)
        self.page.keyboard.type(words)
        expect(which.locator("option:checked")).to_have_text(re.compile(rf"^\s*{re.escape(words)}"))

    def move(self, slider: Locator) -> None:
        self.reach(slider)
        self.page.keyboard.press("ArrowRight" if float(slider.evaluate(SHARE)) < 0.5 else "ArrowLeft")


class Touch:
    """Fingers on glass. Letters come from the screen's own keyboard, and a list's options from the system's wheel."""

    def __init__(self, page: Page) -> None:
        self.page = page

    def press(self, what: Locator) -> None:
        what.tap()

    def pick(self, what: Locator) -> None:
        what.tap()

    def write(self, where: Locator, text: str) -> None:
        where.tap()
        expect(where).to_be_focused()
        where.evaluate("e => e.select()")
        self.page.keyboard.type(text)
        where.blur()

    def choose(self, which: Locator, words: str) -> None:
        which.tap()
        self.page.keyboard.press("Escape")
        options = which.locator("option").all_text_contents()
        which.select_option(label=next(o for o in options if o.strip().startswith(words)))

    def move(self, slider: Locator) -> None:
        slider.scroll_into_view_if_needed()
        box = slider.bounding_box()
        assert box is not None
        # where it is not now: which hour of the day that is hangs on the date
        share = 0.7 if float(slider.evaluate(SHARE)) < 0.5 else 0.3
        self.page.touchscreen.tap(box["x"] + share * box["width"], box["y"] + box["height"] / 2)
