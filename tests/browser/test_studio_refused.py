"""Studio: a refused text stays in view until it is mended, a reading is kept only when it was read."""

from collections.abc import Callable

import pytest
from playwright.sync_api import Page, expect

from plateside.files.atomic import write_text
from tests.browser.resting import saved
from tests.browser.serving import Served
from tests.browser.studio_page import field, studio, thing

pytestmark = pytest.mark.browser


def test_a_refused_text_stays_until_it_is_mended_and_the_head_says_so(
    served: Served, new_page: Callable[..., Page], axe: Callable[[Page], list[str]]
) -> None:
    page = new_page(quiet=True)  # a refusal is a line in the console
    page.goto(served.url + "studio")
    width, height, head = (
        field(page, "room", "width_m"),
        field(page, "room", "height_m"),
        page.locator("#saved"),
    )
    said = page.locator('[data-path=\'["room","width_m"]\'] .said')
    width.fill("-1")
    width.press("Tab")
    expect(said).to_contain_text("allowed: a number from")
    expect(head).to_have_text("Not saved: Width of the room.")
    # another field is saved meanwhile, another thing looked at, and what was saved is taken back
    height.fill("2.4")
    height.press("Tab")
    expect(head).to_have_text("Saved. Not saved: Width of the room.")
    assert studio(served).room.height_m == 2.4
    expect(width).to_have_value("-1")
    expect(said).to_contain_text("allowed: a number from")
    thing(page, "furniture", 0).focus()
    expect(width).to_have_count(0)
    page.locator("#undo").click()
    expect(head).to_have_text("Undone. Not saved: Width of the room.")
    page.locator("#to-room").click()
    expect(width).to_have_value("-1")
    expect(width).to_have_attribute("aria-invalid", "true")
    assert axe(page) == []
    # typed as it was, nothing is left to be said
    width.fill("4.2")
    width.press("Tab")
    expect(said).to_have_count(0)
    expect(head).to_have_text("Every change is saved.")
    expect(width).not_to_have_attribute("aria-invalid", "true")
    # or left as it was, by a press
    width.fill("")
    width.press("Tab")
    expect(said).to_contain_text("is missing")
    said.get_by_role("button", name="Leave it at 4.2").click()
    expect(width).to_have_value("4.2")
    expect(head).to_have_text("Every change is saved.")
    # what two fields say together is told at the one that was typed into, and gone when that is emptied
    page.locator("section[aria-label=Lenses] details.item > summary").click()
    to = field(page, "lenses", 0, "focal_length_to_mm")
    page.locator("section[aria-label=Lenses] details.more > summary").evaluate(
        "e => { e.parentElement.open = true; }"
    )
    told = page.locator(".field", has=to).locator(".said")
    to.fill("4")
    to.press("Enter")
    expect(told).to_contain_text("the two swapped")
    to.fill("")
    to.press("Tab")
    expect(page.locator(".gear .said")).to_have_count(0)
    expect(head).to_have_text("Every change is saved.")


def test_what_stood_in_a_texts_way_is_mended_and_it_is_sent_again(
    served: Served, new_page: Callable[..., Page]
) -> None:
    page = new_page(quiet=True)
    page.goto(served.url + "studio")
    thing(page, "windows", 0).focus()
    field(page, "windows", 0, "width_m").fill("4.6")
    field(page, "windows", 0, "width_m").press("Tab")
    expect(page.locator("#saved")).to_have_text("Not saved: Width of kitchen window.")
    page.locator("#to-room").click()
    field(page, "room", "width_m").fill("5")
    field(page, "room", "width_m").press("Tab")
    saved(page, lambda: studio(served).room.width_m == 5)
    thing(page, "windows", 0).focus()
    expect(field(page, "windows", 0, "width_m")).to_have_value("4.6")
    field(page, "windows", 0, "width_m").press("Enter")
    saved(page, lambda: studio(served).windows[0].width_m == 4.6)
    expect(page.locator("#saved")).to_have_text("Saved.")
    # changed by another meanwhile, both values are told
    field(page, "windows", 0, "width_m").fill("40")
    field(page, "windows", 0, "width_m").press("Enter")
    expect(page.locator("#saved")).to_have_text("Not saved: Width of kitchen window.")
    path = served.root / "studio.toml"
    write_text(path, path.read_text().replace("width_m = 4.6", "width_m = 4.5"))
    said = page.locator('[data-path=\'["windows",0,"width_m"]\'] .said')
    expect(said).to_contain_text("Changed elsewhere to 4.5")
    expect(field(page, "windows", 0, "width_m")).to_have_value("40")
    said.get_by_role("button", name="Use 4.5").click()
    expect(page.locator("#saved")).to_have_text("Every change is saved.")


def test_a_reading_is_kept_only_when_its_lux_is_typed(
    served: Served, new_page: Callable[..., Page], axe: Callable[[Page], list[str]]
) -> None:
    page, path = new_page(quiet=True), served.root / "studio.toml"
    page.goto(served.url + "studio")
    before, count = path.read_bytes(), len(studio(served).readings)
    page.get_by_role("button", name="Add a reading").click()
    form = page.locator("form.new-reading")
    lux = form.locator("input[id$=illuminance_lx]")
    expect(lux).to_be_focused()
    expect(lux).to_have_value("")
    assert axe(page) == []
    form.get_by_role("button", name="Keep this reading").click()
    expect(form).to_contain_text("Type the lux you read")
    expect(form).to_contain_text("Choose the sky you had")
    assert path.read_bytes() == before
    form.get_by_role("button", name="Discard it").last.click()
    expect(form).to_be_hidden()
    page.get_by_role("button", name="Add a reading").click()
    form.locator("select[id$=sky]").select_option("clear")
    form.locator("select[id$=spot]").select_option("middle of the room")
    lux.fill("bright")
    lux.press("Enter")
    expect(form.locator(".said")).to_contain_text("allowed: a number")
    assert path.read_bytes() == before
    lux.fill("640")
    lux.press("Enter")
    now = saved(page, lambda: r if len(r := studio(served).readings) > count else None)[-1]
    assert (now.illuminance_lx, now.sky, now.spot) == (640, "clear", "middle of the room")
    expect(form).to_be_hidden()
    expect(page.locator(".gear details.item[open] > summary")).to_contain_text("640 lx")
    page.locator("#undo").click()
    saved(page, lambda: path.read_bytes() == before)


def test_what_is_worth_a_look_stands_below_the_plan_and_goes_when_it_is_mended(
    served: Served, page: Page, axe: Callable[[Page], list[str]]
) -> None:
    page.goto(served.url + "studio")
    worth = page.locator("#worth")
    expect(worth).to_be_hidden()  # the demo's studio is in order
    thing(page, "spots", 0).focus()
    field(page, "spots", 0, "from_left_m").fill("4.1")
    field(page, "spots", 0, "from_left_m").press("Enter")
    expect(worth.locator('[data-code="table through a wall"]')).to_have_count(1)
    assert studio(served).spots[0].from_left_m == 4.1
    thing(page, "windows", 0).focus()
    field(page, "windows", 0, "bearing_deg").fill("45")
    field(page, "windows", 0, "bearing_deg").press("Enter")
    expect(worth.locator("li")).to_have_count(2)
    expect(worth.locator('[data-code="round bearing"]')).to_have_count(1)
    assert axe(page) == []
    page.reload()
    expect(worth.locator("li")).to_have_count(2)
    page.locator("#undo").click()
    expect(worth.locator("li")).to_have_count(1)
    page.locator("#undo").click()
    expect(worth).to_be_hidden()
    # no support holds the camera over the table any more
    text = (served.root / "studio.toml").read_text()
    write_text(served.root / "studio.toml", text.replace('kind = "arm"', 'kind = "tripod"'))
    expect(worth.locator('[data-code="overhead without arm"]').first).to_contain_text("three-bowls")
