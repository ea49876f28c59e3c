"""Finish: four corners moved by keys and by pointer make a picture square; the lens switch; both taken back."""

from collections.abc import Callable
from pathlib import Path

import pytest
from playwright.sync_api import Page, expect

from plateside.files.journal.state import read_state
from plateside.tasks.finish.series import finish
from tests.browser.resting import at_rest, held, saved
from tests.browser.serving import Served
from tests.browser.set_page import kinds
from tests.shoots.dotted import dotted_shoot
from tests.synthetic.dotted import DOTS, dotted

pytestmark = pytest.mark.browser


def test_corners_are_moved_written_and_taken_back(
    tmp_path: Path, opened_on: Callable[[Path], Served], page: Page, axe: Callable[[Page], list[str]]
) -> None:
    root = dotted_shoot(tmp_path / "shoot", dotted(DOTS))
    finish(root)
    page.goto(opened_on(root).url + "finish", wait_until="domcontentloaded")
    page.locator("#cup-square").click()
    stage = page.locator(".squaring .corners")
    expect(stage.locator("img")).to_have_js_property("complete", True)
    first = page.locator(".squaring .pin").first
    expect(first).to_be_focused()
    before = first.get_attribute("aria-label")
    page.keyboard.press("Shift+ArrowLeft")
    expect(first).not_to_have_attribute("aria-label", before or "")
    assert axe(page) == []
    box, last = stage.bounding_box(), page.locator(".squaring .pin").nth(2).bounding_box()
    assert box and last
    page.mouse.move(last["x"] + last["width"] / 2, last["y"] + last["height"] / 2)
    page.mouse.down()
    page.mouse.move(box["x"] + 0.8 * box["width"], box["y"] + 0.8 * box["height"])
    page.mouse.up()
    page.locator("#square-do").click()
    expect(page.locator("#cup-square-back")).to_be_visible()
    expect(page.locator("#shot-cup [data-code='set by hand']")).to_be_visible()
    square = read_state(root).squares["cup"]
    assert square.corners[0] == pytest.approx(0.24, abs=1e-3)
    assert square.corners[4:6] == pytest.approx((0.8, 0.8), abs=0.01)
    page.locator("#cup-square-back").click()
    expect(page.locator("#cup-square-back")).to_have_count(0)
    assert read_state(root).squares == {}

    page.locator("#lens").uncheck()
    expect(page.locator("#shot-cup [data-code='set by hand']")).to_be_visible()
    assert read_state(root).lens == "off"
    page.get_by_role("button", name="Undo").click()
    expect(page.locator("#lens")).to_be_checked()

    # two quick ones are written in their order
    at_rest(page)
    page.locator("#cup-square").click()
    at_rest(page)
    with held(page, "**/finish/square"):
        page.locator("#square-do").click()
        page.locator("#lens").uncheck()
        at_rest(page, kept=1)
    saved(page, lambda: kinds(root)[-2:] == ["square", "lens"])
    expect(page.locator("#lens")).not_to_be_checked()
    expect(page.locator("#cup-square-back")).to_be_visible()
