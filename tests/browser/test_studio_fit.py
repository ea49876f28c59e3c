"""Studio: what light readings, and the sun on a wall, teach is worked out, told, kept by a press and taken back."""

from collections.abc import Callable

import numpy as np
import pytest
from playwright.sync_api import Page, expect

from plateside.tasks.light.asked import Asked
from plateside.tasks.light.meter import find_bearing, keep_reading
from plateside.tasks.light.moment_and_day import light_at_moment
from tests.browser.resting import at_rest, held, saved
from tests.browser.serving import Served
from tests.browser.studio_page import field, studio, thing
from tests.synthetic.dng import write_dng

pytestmark = pytest.mark.browser


@pytest.mark.slow
def test_what_readings_teach_is_told_kept_and_taken_back(
    served: Served, new_page: Callable[..., Page], axe: Callable[[Page], list[str]]
) -> None:
    page, root = new_page(quiet=True), served.root
    page.goto(served.url + "studio")
    learning = page.locator(".learning")
    ask = learning.get_by_role("button", name="Fit the studio to them")
    expect(learning).to_contain_text("2 more to go")
    expect(ask).to_be_disabled()
    # a window that passes half of what the studio says
    for hour in (10, 12, 16):
        at = f"2027-07-15T{hour}:00"
        lux = light_at_moment(Asked(root, sky="overcast"), at).light.horizontal_lx.value / 2
        keep_reading(root, "", at, lux, "overcast")
    before = (root / "studio.toml").read_bytes()
    expect(learning).to_contain_text("not fitted to them yet")
    # three are enough for that: a fit that is asked before the page has heard of the last is one of another studio
    expect(page.get_by_text("2027-07-15T16:00")).to_be_attached()
    at_rest(page)
    ask.click()
    keep = learning.get_by_role("button", name="Keep this fit")
    expect(keep).to_be_visible()
    expect(learning).to_contain_text("4 readings")
    expect(learning).to_contain_text("Predictions now miss your 4 readings")
    assert axe(page) == []
    assert (root / "studio.toml").read_bytes() == before
    # what was found of another room is not kept for this one
    field(page, "room", "width_m").fill("4.3")
    field(page, "room", "width_m").press("Tab")
    expect(learning).to_contain_text("The studio has changed meanwhile")
    expect(keep).to_be_hidden()
    page.locator("#undo").click()
    saved(page, lambda: (root / "studio.toml").read_bytes() == before)
    # asked before the page shows the room as it was again, the answer would be of the other one
    expect(field(page, "room", "width_m")).to_have_value("4.2")
    ask.click()
    keep.click()
    fit = saved(page, lambda: f if (f := studio(served).fit).readings else None)
    assert fit.readings == 4
    assert 0.3 < fit.light_factor < 0.95
    expect(learning).to_contain_text("to 4 readings: light × 0.")
    page.locator("#undo").click()
    saved(page, lambda: (root / "studio.toml").read_bytes() == before)
    expect(learning).to_contain_text("not fitted")
    # stopped, nothing is found
    with held(page, "**/studio/fit"):
        ask.click()
        learning.get_by_role("button", name="Stop").click()
    expect(learning).to_contain_text("Stopped")
    expect(keep).to_be_hidden()
    expect(ask).to_be_enabled()


def test_a_windows_bearing_is_found_from_the_sun_and_kept(
    served: Served, new_page: Callable[..., Page], axe: Callable[[Page], list[str]]
) -> None:
    page, path = new_page(quiet=True), served.root / "studio.toml"
    before = path.read_bytes()
    page.goto(served.url + "studio")
    thing(page, "windows", 0).focus()
    by_sun = page.locator(".by-sun")
    by_sun.locator("summary").click()
    by_sun.get_by_role("button", name="Find it from the sun").click()
    expect(by_sun.locator(".said")).to_have_text("Write the day and the time.")
    when = by_sun.locator("input[type=datetime-local]")
    when.fill("2027-07-15T02:00")
    by_sun.get_by_role("button", name="Find it from the sun").click()
    expect(by_sun.get_by_role("status")).to_contain_text("the sun was down")
    # an hour later than the demo's window would have it
    when.fill("2027-07-15T12:00")
    by_sun.locator("select").select_option("right")
    by_sun.get_by_role("button", name="Find it from the sun").click()
    expect(by_sun.get_by_role("status")).to_contain_text("glass faces")
    assert axe(page) == []
    assert path.read_bytes() == before
    by_sun.get_by_role("button", name="Turn the room by").click()
    now = saved(page, lambda: w if (w := studio(served).windows[0]).bearing_deg != 20 else None)
    found = find_bearing(served.root, "", [["2027-07-15T12:00", "right"]], keep=False).found
    assert now.bearing_deg == pytest.approx(found.bearing_deg, abs=0.06)
    expect(field(page, "windows", 0, "bearing_deg")).to_have_value(f"{now.bearing_deg:g}")
    page.locator("#undo").click()
    saved(page, lambda: path.read_bytes() == before)
    # a corner of the patch has its place
    by_sun.locator("select").select_option("top-left")
    by_sun.get_by_role("button", name="Find it from the sun").click()
    expect(by_sun.locator(".said")).to_have_count(2)
    expect(by_sun.locator(".said").first).to_have_text("Write metres as 1.2.")


def test_a_reading_is_taken_from_a_grey_cards_raw(
    served: Served, new_page: Callable[..., Page], axe: Callable[[Page], list[str]]
) -> None:
    """The made raw of tests/unit/tasks/light/test_light.py: 515.5 lx by hand, from ISO 12232."""
    page, root = new_page(quiet=True), served.root
    level = np.full((64, 96, 3), 10 / 78, np.float32)
    write_dng(root / "frames" / "card.dng", level, taken="2027:07:15 13:30:00")
    half = level.copy()
    half[:, 48:] = 0.5
    write_dng(root / "frames" / "half.dng", half, taken="2027:07:15 13:31:00")
    before = (root / "studio.toml").read_bytes()
    page.goto(served.url + "studio")
    page.get_by_role("button", name="Add a reading").click()
    form = page.locator("form.new-reading")
    form.locator("summary", has_text="Read it from a grey card").click()
    form.locator("#card-frame").select_option("half.dng")
    form.get_by_role("button", name="Read the grey card").click()
    expect(form).to_contain_text("The patch in half.dng is not even")
    expect(form).not_to_contain_text("--patch")
    form.locator("summary", has_text="elsewhere").click()
    assert axe(page) == []
    form.locator("#card-0").fill("10")
    form.get_by_role("button", name="Read the grey card").click()
    expect(form).to_contain_text("half.dng: 51")
    form.locator("#card-0").fill("40")
    form.locator("#card-frame").select_option("card.dng")
    form.get_by_role("button", name="Read the grey card").click()
    expect(form).to_contain_text("card.dng: 51")
    expect(form.locator("input[id$=-at]")).to_have_value("2027-07-15T13:30")
    assert (root / "studio.toml").read_bytes() == before
    form.locator("select[id$=sky]").select_option("overcast")
    form.get_by_role("button", name="Keep this reading").click()
    now = saved(page, lambda: r if len(r := studio(served).readings) > 1 else None)[-1]
    assert now.illuminance_lx == pytest.approx(515.5, rel=0.01)
    assert (now.source, now.evidence, now.at) == ("grey card", "card.dng", "2027-07-15T13:30")
