"""Deliver: what cannot be done yet is shut with its reason, the dish is marked, the headline and the list agree."""

import json
import os
import time
from collections.abc import Callable
from typing import Any

import pytest
from playwright.sync_api import Page, expect

from plateside.files.journal.journal import Journal
from plateside.files.journal.state import read_state
from tests.browser.finished_bowl import finish_one_bowl
from tests.browser.resting import saved
from tests.browser.serving import Served

pytestmark = pytest.mark.browser

PRESSES = ("Make the delivery", "Pack", "Check every file")


def row_of(served: Served, kind: str) -> dict[str, Any]:
    """The latest decision of a kind; empty: there is none yet."""
    found = [dict(r.data) for r in Journal.open(served.root).rows() if r.kind == kind]
    return found[-1] if found else {}


def test_before_anything_is_finished_nothing_is_promised_and_every_shot_says_what_comes_next(
    served: Served, page: Page, axe: Callable[[Page], list[str]]
) -> None:
    for frame in (served.root / "frames").glob("*.jpg"):
        assert frame.is_file()
    page.goto(served.url + "deliver", wait_until="domcontentloaded")
    for words in ("Make the delivery", "Check every file"):
        button = page.get_by_role("button", name=words)
        expect(button).to_have_attribute("aria-disabled", "true")
        why = button.get_attribute("aria-describedby")
        expect(page.locator(f"#{why}")).to_contain_text("Greyed out: needs")
        button.press("Enter")
    # frames have landed, so everything can be kept, and nothing else is offered
    expect(page.locator("#for-whom option")).to_have_text(["everything, to keep"])
    expect(page.get_by_role("button", name="Pack", exact=True)).not_to_have_attribute("aria-disabled", "true")
    landed, waits = page.locator("#shot-one-bowl"), page.locator("#shot-pour")
    expect(landed.locator("img.not-yet")).to_be_visible()
    saved(page, lambda: landed.locator("img.not-yet").evaluate("i => i.naturalWidth > 0"))
    expect(landed).to_contain_text("3 frames")
    expect(landed.get_by_role("link", name="Choose a select")).to_be_visible()
    expect(landed.locator(".will-go")).to_contain_text("page-classic 1600 × 1200")
    expect(waits.get_by_role("link", name="Photograph it")).to_have_attribute("href", "/set")
    assert axe(page) == []
    # a press that was shut has begun no work
    assert page.evaluate("fetch('/work').then((r) => r.json()).then((w) => w.jobs.length)") == 0


def test_the_dish_is_marked_by_keys_numbers_and_drag_and_the_tools_crop_follows(
    served: Served, page: Page, axe: Callable[[Page], list[str]]
) -> None:
    finish_one_bowl(served)
    page.goto(served.url + "deliver", wait_until="domcontentloaded")
    shot = page.locator("#shot-one-bowl")
    shot.scroll_into_view_if_needed()
    expect(shot.locator(".dish-words")).to_contain_text("a guess at the dish")
    expect(shot.locator(".dish > span").first).to_have_text("the dish (a guess)")
    shot.locator(".places").get_by_role("button", name="tall").click()
    before = shot.locator(".crop").evaluate("c => parseFloat(c.style.left)")

    shot.get_by_role("button", name="Move it").press("Enter")
    dish = shot.locator(".dish")
    expect(dish).to_be_focused()
    left = dish.evaluate("d => parseFloat(d.style.left)")
    page.keyboard.press("Shift+ArrowRight")
    saved(page, lambda: row_of(served, "dish"))
    assert row_of(served, "dish")["box"][0] * 100 == pytest.approx(left + 5, abs=0.1)
    # what was done is said under the crop, and does not lie over the words
    expect(shot.locator(".said-here").first).to_contain_text("where you marked it")
    expect(page.locator("#say")).to_be_empty()

    shot.get_by_label("Wide, %").fill("20")
    shot.get_by_label("Wide, %").press("Enter")
    saved(page, lambda: row_of(served, "dish")["box"][2] == 0.2)
    shot.get_by_label("From the left, %").fill("75")
    shot.get_by_label("From the left, %").press("Enter")
    saved(page, lambda: row_of(served, "dish")["box"][0] == 0.75)
    # what cannot be is said at its field
    numbers = shot.locator(".dish-numbers")
    shot.get_by_label("From the left, %").fill("120")
    shot.get_by_label("From the left, %").press("Enter")
    expect(numbers.locator(".said")).to_have_text("Between 0 and 100.")
    shot.get_by_label("From the left, %").fill("90")
    shot.get_by_label("From the left, %").press("Enter")
    expect(numbers.locator(".said")).to_contain_text("ends at the edge")
    saved(page, lambda: row_of(served, "dish")["box"][0] == 0.8)
    shot.get_by_label("From the left, %").fill("75")
    shot.get_by_label("From the left, %").press("Enter")
    saved(page, lambda: row_of(served, "dish")["box"][0] == 0.75)
    expect(numbers.locator(".said")).to_have_count(0)
    # the tool's own crop goes where the dish is
    saved(page, lambda: shot.locator(".crop").evaluate("c => parseFloat(c.style.left)") > before + 5)
    assert axe(page) == []

    # by its corner: the other corner stays
    corner = dish.locator(".corner.sw").bounding_box()
    assert corner is not None
    high = row_of(served, "dish")["box"][3]
    page.mouse.move(corner["x"] + 5, corner["y"] + corner["height"] - 5)
    page.mouse.down()
    page.mouse.move(corner["x"] + 5, corner["y"] + corner["height"] - 45, steps=4)
    page.mouse.up()
    saved(page, lambda: row_of(served, "dish")["box"][3] < high - 0.02)
    assert row_of(served, "dish")["box"][0] == pytest.approx(0.75, abs=0.01)

    shot.get_by_role("button", name="Where it was found").click()
    saved(page, lambda: row_of(served, "dish")["box"] is None)
    shot.get_by_role("button", name="Done").click()
    expect(shot.locator(".dish-words")).to_contain_text("a guess at the dish")
    shot.locator(".said-here").first.get_by_role("button", name="Undo").click()
    expect(shot.locator(".dish-words")).to_contain_text("where you marked the dish")
    assert read_state(served.root).dishes["one-bowl"][0] == pytest.approx(0.75, abs=0.01)
    page.reload(wait_until="domcontentloaded")
    expect(shot.locator(".dish-words")).to_contain_text("where you marked the dish")


def test_a_saved_crop_is_told_beside_it_and_the_alt_text_can_be_written_at_once(
    served: Served, page: Page
) -> None:
    finish_one_bowl(served)
    page.goto(served.url + "deliver", wait_until="domcontentloaded")
    shot = page.locator("#shot-one-bowl")
    expect(shot.locator(".dish")).to_be_visible()
    shot.locator(".crop").focus()
    page.keyboard.press("-")
    saved(page, lambda: row_of(served, "crop"))
    expect(shot.locator(".said-here").first).to_contain_text("Your crop: one-bowl")
    alt = page.locator("#alt_text-one-bowl")
    alt.scroll_into_view_if_needed()
    # nothing lies over the field: the topmost thing at its middle is the field itself
    assert alt.evaluate(
        """(a) => { const b = a.getBoundingClientRect();
             return document.elementFromPoint(b.left + b.width / 2, b.top + b.height / 2) === a }"""
    )
    expect(page.locator("#say")).to_be_empty()
    alt.fill("A green soup.")
    alt.blur()
    expect(shot.locator(".words .said-here")).to_contain_text("Saved.")
    expect(page.locator("#say")).to_be_empty()


def deliver_long_ago(served: Served) -> None:
    """The list of a delivery that was made before the words were written."""
    folder = served.root / "delivery"
    folder.mkdir()
    picture = {
        "file": "tall/one-bowl.jpg", "shot": "one-bowl", "channel": "tall", "kind": "jpeg", "width_px": 10,
        "height_px": 20, "bytes": 5, "sha256": "0" * 64,
    }  # fmt: skip
    told = {"ready_to_publish": False, "withheld": [], "open": [], "pictures": [picture], "documents": []}
    (folder / "manifest.json").write_text(json.dumps(told), encoding="utf-8")
    os.utime(folder / "manifest.json", (time.time() - 60, time.time() - 60))
    Journal.open(served.root).append("words", shot="one-bowl", field="title", text="Soup of the day")


def test_an_old_delivery_is_told_beside_pack_and_make_it_again_makes_it(
    served: Served, page: Page, axe: Callable[[Page], list[str]]
) -> None:
    finish_one_bowl(served)
    deliver_long_ago(served)
    page.goto(served.url + "deliver", wait_until="domcontentloaded")
    mind = page.locator("#pack-mind")
    expect(mind).to_contain_text("older than your last changes")
    page.locator("#for-whom").select_option("archive")
    expect(mind).to_be_hidden()
    page.locator("#for-whom").select_option("delivery")
    expect(mind).to_be_visible()
    assert axe(page) == []
    page.get_by_role("button", name="Make it again").press("Enter")
    expect(page.get_by_role("button", name="Make it again")).to_have_count(0)
    expect(mind).not_to_contain_text("older")
    assert "Soup of the day" in (served.root / "delivery" / "words.txt").read_text(encoding="utf-8")
