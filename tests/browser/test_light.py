"""The light page: the hour moves the sun, the year is read out, work is stopped, the address keeps the choices."""

import base64
import re
from collections.abc import Callable
from datetime import date
from pathlib import Path

import pytest
from playwright.sync_api import Page, expect

from plateside.files.atomic import write_text
from plateside.files.settings.load import load_shoot
from tests.browser.resting import at_rest, held, told
from tests.browser.serving import PATIENT_MS, Served, until
from tests.unit.light_weather.samples import epw_text

pytestmark = pytest.mark.browser

DAY = "2027-07-15"
PNG = b"\x89PNG\r\n\x1a\n\x00\x00\x00\rIHDR\x00\x00\x00\x01"
ONE_PIXEL = base64.b64decode(
    "iVBORw0KGgoAAAANSUhEUgAAAAEAAAABCAYAAAAfFcSJAAAADUlEQVR42mNk+M9QDwADhgGAWjR9awAAAABJRU5ErkJggg=="
)
SLOW_MS = PATIENT_MS
"""The first answer compiles the light engine; a busy machine takes its time."""


def open_light(page: Page, served: Served, query: str = f"?day={DAY}&at=10:00") -> None:
    page.set_default_timeout(SLOW_MS)
    page.goto(f"{served.url}light{query}")
    page.wait_for_selector("#plan svg")


def test_the_answer_comes_first_and_the_keyboard_moves_the_sun(served_once: Served, page: Page) -> None:
    open_light(page, served_once)
    expect(page.locator("h1")).to_contain_text("Thursday 15 July 2027, by the window: your light is from")
    expect(page.locator(".moment")).to_have_attribute("data-at", "10:00")
    before = page.locator("#plan desc").text_content() or ""
    slider = page.locator("#slider")
    slider.focus()
    page.keyboard.press("ArrowRight")
    expect(page.locator("#clock")).to_have_value("10:05")
    page.keyboard.press("PageUp")
    page.keyboard.press("PageUp")
    page.keyboard.press("PageUp")
    expect(page.locator("#clock")).to_have_value("13:05")
    expect(page.locator(".moment")).to_have_attribute("data-at", "13:05")
    after = page.locator("#plan desc").text_content() or ""
    east, south = (float(re.search(r"sun at (\d+) degrees", d)[1]) for d in (before, after))  # type: ignore[index]
    assert 80 < east < 110 and 150 < south < 180  # July in Lisbon: east in the morning, south at 13:40
    assert "13:05" in (slider.get_attribute("aria-valuetext") or "")
    expect(page).to_have_url(re.compile(r"at=13%3A05"))
    # typed, and a slip told
    page.fill("#clock", "8.30")
    page.keyboard.press("Tab")
    expect(page.locator(".moment")).to_have_attribute("data-at", "08:30")
    for typed in ("later", "25:99", "7:75", "13 pm", "99"):
        page.fill("#clock", typed)
        page.keyboard.press("Tab")
        expect(page.locator("#clock-said")).to_contain_text(f"“{typed}”")
        expect(page.locator("#clock-said")).to_contain_text("08:30")
        expect(page.locator("#clock")).to_have_value(typed)
    expect(page.locator("#clock")).to_have_attribute("aria-invalid", "true")
    # as people write an hour
    for typed, meant in (("7pm", "19:00"), ("19", "19:00"), ("7:5", "07:05"), ("7.30 p.m.", "19:30"),
                         ("930", "09:30"), ("noon", "12:00"), ("12 am", ""), ("3", "")):  # fmt: skip
        page.fill("#clock", typed)
        page.keyboard.press("Tab")
        if meant:
            expect(page.locator("#clock")).to_have_value(meant)
            expect(page.locator("#clock-said")).to_have_text("")
        else:  # night: the first light is shown, and said
            expect(page.locator("#clock-said")).to_contain_text("first daylight")
    slider.focus()
    page.keyboard.press("PageUp")
    expect(page.locator("#clock-said")).to_have_text("")


def test_the_curve_is_dragged_and_what_ifs_follow(served_once: Served, page: Page) -> None:
    open_light(page, served_once)
    at_rest(page)  # what still comes moves the curve: it is taken where it then is
    box = page.locator("#curve").bounding_box()
    assert box
    page.mouse.move(box["x"] + box["width"] / 2, box["y"] + 100)
    page.mouse.down()
    page.mouse.move(box["x"] + box["width"] / 2 + 120, box["y"] + 100, steps=6)
    page.mouse.up()
    at = until(
        lambda: at if (at := page.input_value("#clock")) == page.get_attribute(".moment", "data-at") else ""
    )
    assert "14:00" < at < "17:00"
    expect(page.locator("#what-ifs thead")).to_contain_text(at)
    expect(page.locator("#what-ifs tbody")).to_contain_text("white board")
    assert page.locator("#what-ifs tbody tr").count() >= 5
    expect(page.locator("#best-week")).to_contain_text("seven days")
    expect(page.locator("#week li")).to_have_count(7)


def test_the_year_is_worked_out_stopped_begun_again_and_read_out(
    served_once: Served, new_page: Callable[..., Page], axe: Callable[[Page], list[str]]
) -> None:
    page = new_page(meanwhile=True)
    with held(page, "**/light/year"):
        open_light(page, served_once, f"?day={DAY}&sky=hazy&at=10:00")
        page.wait_for_selector("#year-stop:visible")
        page.click("#year-stop")
    expect(page.locator("#year-words")).to_contain_text("Stopped")
    page.click("#year-again")
    page.wait_for_selector("#year svg")
    expect(page.locator("#year-stop")).to_be_hidden()
    read = page.locator("#year-read")
    page.locator("#year").focus()
    expect(read).to_contain_text("Thursday 15 July, 12:00: about")
    page.keyboard.press("ArrowRight")
    page.keyboard.press("ArrowUp")
    expect(read).to_contain_text(
        re.compile(r"Friday 16 July, 11:45: about \d+ lx \(\d+-\d+\).*, (not )?good")
    )
    page.keyboard.press("Home")
    expect(read).to_contain_text("Friday 1 January")
    page.keyboard.press("PageDown")
    expect(read).to_contain_text("Sunday 31 January, 11:45")
    assert axe(page) == []
    page.keyboard.press("Enter")
    expect(page.locator("h1")).to_contain_text("Sunday 31 January 2027")
    expect(page.locator("#clock")).to_have_value("11:45")
    # the next time it is at once: nothing is worked out
    page.reload()
    page.wait_for_selector("#year svg")
    assert (
        page.evaluate(
            "performance.getEntriesByType('resource').filter((r) => r.name.includes('/work/')).length"
        )
        == 0
    )


def test_a_tap_on_the_year_goes_to_that_day(served_once: Served, new_page: Callable[..., Page]) -> None:
    page = new_page(meanwhile=True, has_touch=True, viewport={"width": 820, "height": 1180})
    open_light(page, served_once, f"?day={DAY}&sky=hazy&at=10:00")
    page.wait_for_selector("#year svg")
    place = page.locator("#year")
    at_rest(page)
    box = place.bounding_box()
    assert box
    # what still comes moves the year: it is tapped where it then is
    place.tap(position={"x": 52 + (box["width"] - 60) * 0.25, "y": box["height"] * 0.45})
    expect(page.locator("h1")).to_contain_text(re.compile("(March|April) 2027"))


def test_reload_and_a_second_tablet_show_the_same(served_once: Served, new_page: Callable[..., Page]) -> None:
    page = new_page()
    open_light(page, served_once)
    page.select_option("#sky", "overcast")
    page.select_option("#for", "shot:one-bowl")
    page.fill("#lux", "700")
    page.check("#sun")
    page.click("#later")
    expect(page.locator("h1")).to_contain_text("Friday 16 July 2027")
    expect(page.locator("#day-title")).to_contain_text("overcast sky")
    expect(page).to_have_url(re.compile(r"day=2027-07-16.*lux=700.*sun=yes"))
    said = page.locator("h1").text_content()
    page.reload()
    expect(page.locator("h1")).to_have_text(said or "")
    second = new_page(has_touch=True, viewport={"width": 820, "height": 1180})
    second.set_default_timeout(SLOW_MS)
    second.goto(page.url)
    expect(second.locator("h1")).to_have_text(said or "")
    for one in (page, second):
        assert one.input_value("#for") == "shot:one-bowl"
        assert (one.input_value("#sky"), one.input_value("#lux"), one.is_checked("#sun")) == (
            "overcast",
            "700",
            True,
        )
        assert one.input_value("#shot") == "one-bowl"


def test_a_need_that_is_no_number_is_told_and_mended(
    served_once: Served, new_page: Callable[..., Page]
) -> None:
    page = new_page(quiet=True)
    open_light(page, served_once)
    said = [page.locator(part).text_content() or "" for part in ("h1", "#lead")]
    page.fill("#lux", "plenty")
    page.keyboard.press("Tab")
    field = page.locator(".field", has=page.locator("#lux"))
    expect(field.locator(".said")).to_contain_text("'plenty' is not a number")
    expect(page.locator("#lux")).to_have_attribute("aria-invalid", "true")
    # the answer stays: it is still true of what was asked before
    expect(page.locator("h1")).to_have_text(said[0])
    expect(page.locator("#lead")).to_have_text(said[1])
    page.fill("#lux", "500")
    page.keyboard.press("Tab")
    expect(field.locator(".said")).to_have_count(0)
    expect(page.locator("#lux")).not_to_have_attribute("aria-invalid", "true")
    expect(page.locator("h1")).to_contain_text("your light is from")
    expect(page.locator("h1")).to_contain_text("strongest")
    # opened with a slip in its address, the page says where it is and waits
    page.goto(f"{served_once.url}light?fill=99", wait_until="domcontentloaded")
    expect(page.locator(".field", has=page.locator("#fill")).locator(".said")).to_contain_text(
        "0 to 10 stops"
    )
    expect(page.locator("#lead")).to_contain_text("what is marked below")


def test_a_picture_is_begun_and_stopped(served_once: Served, page: Page) -> None:
    open_light(page, served_once)
    # a double click is one wish, not a wish and its stop
    asked: list[str] = []
    page.on("request", lambda r: asked.append(r.url))
    with held(page, "**/light/picture"):
        page.locator("#draw").dblclick()
        page.wait_for_selector("#stop:visible")
        expect(page.locator("#drawing")).to_contain_text("rough")
    at_rest(page)
    assert not [url for url in asked if url.endswith("/stop")]
    expect(page.locator("#drawing")).not_to_contain_text("Stopped")
    page.click("#stop")
    expect(page.locator("#drawing")).to_contain_text("Stopped")
    expect(page.locator("#stop")).to_be_hidden()


def test_without_the_renderer_the_page_says_how_to_get_it(
    served_once: Served, new_page: Callable[..., Page]
) -> None:
    page = new_page(quiet=True)
    open_light(page, served_once)
    words = (
        'Drawing needs the renderer, which is not installed; run: python -m pip install "plateside[picture]"'
    )
    page.route("**/light/picture", lambda r: r.fulfill(status=503, json={"error": words, "mistakes": []}))
    page.click("#draw")
    expect(page.locator("#drawing")).to_have_text(words)
    expect(page.locator("#stop")).to_be_hidden()


def test_a_newcomers_shoot_and_then_a_mistake_in_her_file(
    tmp_path: Path, new_page: Callable[..., Page], opened_on: Callable[[Path], Served]
) -> None:
    from plateside.cli.main import main

    root = tmp_path / "mine"
    place = ["--at", "38.72,-9.14", "--timezone", "Europe/Lisbon", "--facing", "south"]
    assert main(["new", str(root), *place]) == 0
    server = opened_on(root)
    page = new_page(quiet=True)
    open_light(page, server, "")
    # a shoot that is still to come is opened at its own day
    day = date.fromisoformat(load_shoot(root / "shoot.toml").date)
    at = f"{day:%A} {day.day} {day:%B}, by the window"
    expect(page.locator("h1")).to_contain_text(re.compile(f"^{at}|^Today, by the window"))
    studio = root / "studio.toml"
    write_text(studio, studio.read_text().replace("floor_reflectance = 0.3", "floor_reflectance = 3"))
    page.goto(f"{server.url}light")
    expect(page.locator("h1")).to_contain_text("Something to fix")
    expect(page.locator("main")).to_contain_text("studio.toml")


def test_a_forecast_is_given_used_and_taken_away(
    served: Served, new_page: Callable[..., Page], tmp_path: Path, axe: Callable[[Page], list[str]]
) -> None:
    page = new_page(quiet=True)
    open_light(page, served)
    lines = "".join(f"{hour:02d}:00,{80 if hour < 14 else 20}\n" for hour in range(5, 23))
    (tmp_path / "mine.csv").write_text(lines, encoding="utf-8")
    (tmp_path / "list.txt").write_text("leeks and butter\n", encoding="utf-8")
    page.locator(".own-sky summary").click()
    page.set_input_files("#sky-file", tmp_path / "list.txt")
    expect(page.locator("#sky-said")).to_contain_text("There is no forecast in the text", timeout=SLOW_MS)
    # a year's weather file, and then a forecast: each stays beside the other
    (tmp_path / "bay.epw").write_text(epw_text(), encoding="utf-8")
    page.set_input_files("#sky-file", tmp_path / "bay.epw")
    page.wait_for_url(re.compile("sky=typical"), timeout=SLOW_MS)
    expect(page.locator("#lead")).to_contain_text("the typical year of Invented Bay", timeout=SLOW_MS)
    page.set_input_files("#sky-file", tmp_path / "mine.csv")
    page.wait_for_url(re.compile("sky=forecast"), timeout=SLOW_MS)
    expect(page.locator("#lead")).to_contain_text("the sky of your forecast", timeout=SLOW_MS)
    expect(page.locator("#sky")).to_have_value("forecast")
    assert axe(page) == []
    # one day is no best of seven, and no year
    expect(page.locator("#best-week")).to_contain_text("one day", timeout=SLOW_MS)
    expect(page.locator("#week .rest")).to_contain_text("6 days")
    expect(page.locator("#year-words")).to_contain_text("A forecast")
    expect(page.locator("#year-again")).to_be_hidden()
    page.select_option("#sky", "typical year")
    expect(page.locator("#year-words")).not_to_contain_text("A forecast")
    page.select_option("#sky", "forecast")
    expect(page.locator("#year-words")).to_contain_text("A forecast")
    # a picture of a forecast is none
    (tmp_path / "shot.png").write_bytes(PNG)
    page.set_input_files("#sky-file", tmp_path / "shot.png")
    expect(page.locator("#sky-said")).to_contain_text("That is not a text file")
    # a day that it says nothing of is told, and the answer stays
    page.click("#later")
    page.click("#later")
    told(page, "without 2027-07-17")
    page.get_by_role("button", name="Remove the forecast").click()
    page.wait_for_url(lambda url: "sky=forecast" not in url, timeout=SLOW_MS)
    page.get_by_role("button", name="Remove the typical year").click()
    expect(page.locator("#sky > option")).to_have_count(4)
    assert not (served.root / "sky" / "forecast.csv").exists()


@pytest.mark.parametrize("typed", ["", "2300-01-01"])
def test_a_room_that_changes_while_the_day_is_none_is_answered_for_the_day_that_stands_there(
    served: Served, new_page: Callable[..., Page], typed: str
) -> None:
    page = new_page()
    open_light(page, served)
    at_rest(page)
    before = page.locator("#facts").text_content() or ""
    page.fill("#day", typed)
    page.dispatch_event("#day", "change")
    at_rest(page)
    studio = served.root / "studio.toml"
    changed = re.sub(r"floor_reflectance = .*", "floor_reflectance = 0.9", studio.read_text(encoding="utf-8"))
    assert changed != studio.read_text(encoding="utf-8")
    write_text(studio, changed)
    page.evaluate("document.dispatchEvent(new Event('visibilitychange'))")
    expect(page.locator("#facts")).not_to_have_text(before)
    expect(page.locator("#day-title")).to_contain_text("15 July 2027")
    # none of it of the room before; the year takes longer
    expect(page.locator(".light .old:not(#year)")).to_have_count(0)
    assert f"day={DAY}" in page.url
    # the day is still asked for
    expect(page.locator("#day:invalid")).to_have_value(typed)
    # and the next one is that after what stands there
    page.click("#later")
    expect(page.locator("#day-title")).to_contain_text("16 July 2027")


def test_one_of_the_cies_skies_is_chosen_and_kept_in_the_address(served_once: Served, page: Page) -> None:
    open_light(page, served_once)
    expect(page.locator("#sky optgroup option")).to_have_count(16)
    page.select_option("#sky", "cie:3")
    expect(page.locator("#day-title")).to_contain_text("CIE type 3, overcast, moderately graded")
    expect(page).to_have_url(re.compile(r"sky=cie(:|%3A)3"))
    page.reload()
    expect(page.locator("#sky")).to_have_value("cie:3")
    expect(page.locator("#lead")).to_contain_text("CIE type 3")


def test_the_year_and_a_picture_are_of_the_room_as_it_is_now(
    served: Served, new_page: Callable[..., Page]
) -> None:
    page = new_page()
    room = "the wide room"
    drawn = (
        '<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 9 9" data-left="0" data-wide="9" data-top="0" \
data-high="9" data-days="365"><path class="today"/></svg>'
    )
    page.route(
        "**/light/year?**",
        lambda route: route.fulfill(
            json={
                "year": 2027, "spot": "window", "sky": "hazy", "needs": "", "answer": f"Of {room}.", "months": [],
                "first_hour": 3, "last_hour": 23, "calendar": drawn, "calendar_small": drawn,
            }
        ),
    )  # fmt: skip
    job = {"job": 1, "work": "light.picture", "args": {}, "state": "done", "done": 0, "total": 0, "words": "",
           "mistakes": [], "server": "", "ending": False,
           "result": {"key": "0" * 32, "width_px": 1, "height_px": 1, "words": []}}  # fmt: skip
    page.route("**/light/picture", lambda route: route.fulfill(json=job))
    page.route(
        "**/light/picture/*.jpg", lambda route: route.fulfill(body=ONE_PIXEL, content_type="image/png")
    )
    open_light(page, served)
    expect(page.locator("#year-words")).to_contain_text("Of the wide room.")
    page.click("#draw")
    before = page.locator("#picture .before")
    expect(page.locator("#picture img[data-quality=clean]")).to_be_visible()
    expect(before).to_be_hidden()
    # in an editor: the page is told when it is looked at again
    room = "the low room"
    studio = served.root / "studio.toml"
    changed = re.sub(
        r"floor_reflectance = .*", "floor_reflectance = 0.11", studio.read_text(encoding="utf-8")
    )
    assert changed != studio.read_text(encoding="utf-8")
    write_text(studio, changed)
    page.evaluate("document.dispatchEvent(new Event('visibilitychange'))")
    expect(page.locator("#year-words")).to_contain_text("Of the low room.")
    expect(before).to_have_text("The settings have changed since. Make the picture again to see the change.")
    expect(before).to_be_visible()
    page.click("#draw")
    expect(before).to_be_hidden()
