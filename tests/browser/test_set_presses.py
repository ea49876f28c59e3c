"""What a press on the set leaves to be seen: on the press itself, under the word, and in a place of its own."""

from collections.abc import Callable

import pytest
from playwright.sync_api import Page, expect

from plateside.files.journal.journal import Journal
from tests.browser.resting import at_rest, held, told
from tests.browser.serving import Served, until
from tests.browser.set_page import TABLET, UPRIGHT, judge, kinds, last, open_set, put_frame, shown, wait_word

pytestmark = pytest.mark.browser
SIZES = (TABLET, UPRIGHT, {"width": 390, "height": 844}, {"width": 844, "height": 390})
OVER = """(names) => { const box = (s) => document.querySelector(s).getBoundingClientRect(), said = box("#say");
  return names.filter((s) => { const b = box(s); return b.width && said.width && said.left < b.right - 1
    && b.left < said.right - 1 && said.top < b.bottom - 1 && b.top < said.bottom - 1; }); }"""
"""Which of these elements lie under what is being said."""


def test_again_on_a_frame_that_is_to_be_taken_again_is_seen_and_heard(
    served_once: Served, new_page: Callable[..., Page]
) -> None:
    page = new_page(viewport=TABLET)
    open_set(page, served_once.url)
    frame = put_frame(served_once.root, "again.jpg")
    judge(served_once.root, frame, "again", "Out of focus: focus again on the hero")
    wait_word(page, "Again", frame)
    again, keep = page.locator("[data-press=again]"), page.locator("[data-press=keep]")
    expect(again).to_have_attribute("aria-pressed", "false")
    shape, start = shown(page)["shape"], last(served_once.root)
    page.keyboard.press("Escape")  # sound is possible from the first key on
    # and when all sounds are here: a press before that is seen, and not heard
    page.wait_for_function("() => own('js/set/sounds.js').then((m) => m.unlocked() && m.ready())")
    again.click()
    expect(page.locator("#noted")).to_have_text("Again: noted")
    expect(again).to_have_attribute("aria-pressed", "true")
    expect(keep).to_have_attribute("aria-pressed", "false")
    assert shown(page)["word"] == "Again"
    assert shown(page)["shape"] != shape
    page.wait_for_function("() => own('js/set/sounds.js').then((m) => m.played.includes('taken'))")
    # said within the live region that says the word (WCAG 2.2, 4.1.3)
    assert page.locator('[role="status"] #noted').count() == 1
    # a second press says that it is noted, and leaves no row that Undo would take back without anything to see
    expect(again).not_to_have_class("taken")
    again.click()
    told(page, "Again: noted already.")
    assert kinds(served_once.root, start) == ["again"]
    page.click("[data-press=undo]")
    expect(page.locator("#noted")).to_have_text("")
    expect(again).to_have_attribute("aria-pressed", "false")


def test_what_is_said_covers_nothing_and_goes_with_the_next_press(
    served_once: Served, new_page: Callable[..., Page]
) -> None:
    page = new_page(viewport=TABLET)
    open_set(page, served_once.url)
    frame = put_frame(served_once.root, "said.jpg")
    judge(served_once.root, frame, "again", "Out of focus: focus again on the hero")
    wait_word(page, "Again", frame)
    said = page.locator("#say")
    at_rest(page)
    page.click("[data-press=keep]")
    wait_word(page, "Kept")
    page.click("[data-press=undo]")
    told(page, "Taken back: Keep.")
    for size in SIZES:
        page.set_viewport_size(size)  # type: ignore[arg-type]
        # the page fits its letters to the new size with the screen's next pictures
        at_rest(page)
        page.evaluate("own('js/core/say.js').then((m) => m.say('Taken back: the move to one bowl.'))")
        expect(said).to_contain_text("one bowl")
        assert page.evaluate(OVER, ["#shape", "#word", "#act", "#age", "#shot", "#presses"]) == [], size
    page.evaluate("own('js/core/say.js').then((m) => m.say('Old words.', null, 600000))")
    expect(said).to_have_text("Old words.")
    start = last(served_once.root)
    page.click("[data-press=keep]")
    until(lambda: kinds(served_once.root, start) == ["kept"])
    expect(said).to_have_text("")


def test_what_is_said_while_the_sheet_is_open_is_said_on_the_sheet(
    served_once: Served, new_page: Callable[..., Page]
) -> None:
    page = new_page(viewport=TABLET, quiet=True)  # the refusal is a line in the console
    open_set(page, served_once.url)
    frame = put_frame(served_once.root, "sheet.jpg")
    judge(served_once.root, frame, "good")
    wait_word(page, "Good", frame)
    page.click("#about")
    page.route("**/press", lambda route: route.fulfill(status=409, json={"error": "No.", "mistakes": []}))
    page.get_by_role("button", name="Make it the test frame").click()
    told(page, "No.")
    expect(page.locator("#sheet #say")).to_have_count(1)
    page.click("#close")
    expect(page.locator("#main > #say")).to_have_count(1)
    assert Journal.open(served_once.root).rows()[-1].kind == "verdict"


def test_a_second_touch_of_next_passes_over_no_shot_and_a_second_press_does(
    served_once: Served, new_page: Callable[..., Page]
) -> None:
    page = new_page(viewport=TABLET)
    open_set(page, served_once.url)
    at_rest(page)
    following, start = page.locator("[data-press=next]"), last(served_once.root)
    with held(page, "**/set/now"):
        following.click()
        until(lambda: kinds(served_once.root, start) == ["shot current"])
        page.mouse.down()
    # the screen speaks of the next shot, and would take another press
    expect(page.locator("#main")).to_have_attribute("data-row", str(start + 1))
    expect(following).not_to_have_class("taken")
    page.mouse.up()
    told(page, "The shot has just changed. Look, then press.")
    at_rest(page)
    assert kinds(served_once.root, start) == ["shot current"]
    following.click()
    until(lambda: kinds(served_once.root, start) == ["shot current", "shot current"])
    # a screen reader's press has no hand that comes down
    at_rest(page)
    following.evaluate("(button) => button.click()")
    until(lambda: kinds(served_once.root, start) == ["shot current"] * 3)
