"""Studio: dragged, nudged and typed to the centimetre; undone; mistakes at their field; another's change shown.

Over 400 lines: the cases share the ways of dragging, nudging and typing, and read as one list of promises.
"""

import re
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest
from playwright.sync_api import Locator, Page, Route, expect

from plateside.files.atomic import write_text
from plateside.files.settings.load import load_shoot
from plateside.model.shoot import PlacedBoard
from plateside.plan.scene import board_rectangle, middle
from tests.browser.resting import at_rest, hesitating, saved, told
from tests.browser.serving import Served, serve, until
from tests.browser.studio_page import field, studio, thing

pytestmark = pytest.mark.browser


def box_of(at: Locator) -> Any:
    """Where something on the plan is; a plan that is drawn anew has nothing anywhere for a moment."""
    return until(at.bounding_box)


def drag(page: Page, at: Locator, dx: float, dy: float) -> None:
    at_rest(page)
    box = box_of(at)
    x, y = box["x"] + box["width"] / 2, box["y"] + box["height"] / 2
    page.mouse.move(x, y)
    page.mouse.down()
    page.mouse.move(x + dx / 2, y + dy / 2)
    page.mouse.move(x + dx, y + dy)
    page.mouse.up()


def px_per_m(page: Page) -> float:
    return float(box_of(page.locator(".plan rect").first)["width"]) / 4.2  # the demo's room is 4.2 m wide


@pytest.fixture
def at_studio(served: Served, page: Page) -> Page:
    page.goto(served.url + "studio")
    expect(thing(page, "windows", 0)).to_be_visible()
    return page


def test_dragging_is_to_scale_snaps_to_centimetres_and_is_undone(served: Served, at_studio: Page) -> None:
    page, before = at_studio, (served.root / "studio.toml").read_bytes()
    scale = px_per_m(page)
    spot = studio(served).spots[1]
    drag(page, thing(page, "spots", 1).locator("circle").first, -0.5 * scale, 0.25 * scale)
    now = saved(page, lambda: s if (s := studio(served).spots[1]) != spot else None)
    assert now.from_left_m == pytest.approx(spot.from_left_m - 0.5, abs=0.011)
    assert now.from_front_m == pytest.approx(spot.from_front_m + 0.25, abs=0.011)
    assert (round(now.from_left_m, 2), round(now.from_front_m, 2)) == (now.from_left_m, now.from_front_m)
    expect(field(page, "spots", 1, "from_left_m")).to_have_value(f"{now.from_left_m:g}")
    # far beyond the wall it stops at the wall
    drag(page, thing(page, "spots", 1).locator("circle").first, -40 * scale, 0)
    saved(page, lambda: studio(served).spots[1].from_left_m == 0)
    # a window stays in its wall
    drag(page, thing(page, "windows", 0), 0.3 * scale, 2 * scale)
    saved(page, lambda: studio(served).windows[0].from_left_m == pytest.approx(1.8, abs=0.011))
    for _ in range(3):
        expect(page.locator("#undo")).to_be_enabled()
        page.keyboard.press("Control+z")
        expect(page.locator("#saved")).to_have_text("Undone.")
        page.locator("#saved").evaluate("(e) => { e.textContent = ''; }")
    saved(page, lambda: (served.root / "studio.toml").read_bytes() == before)
    expect(page.locator("#undo")).to_be_disabled()


def test_what_is_dragged_moves_at_once_and_is_drawn_when_the_server_answers(at_studio: Page) -> None:
    page, table = at_studio, thing(at_studio, "spots", 1)
    held: list[Route] = []
    going = False
    scale, box = px_per_m(page), box_of(table.locator("circle").first)
    page.route("**/studio/plan?*", lambda route: route.continue_() if going else held.append(route))
    x, y = box["x"] + box["width"] / 2, box["y"] + box["height"] / 2
    page.mouse.move(x, y)
    page.mouse.down()
    page.mouse.move(x + 0.25 * scale, y)
    page.mouse.move(x + 0.5 * scale, y)
    # no drawing has come: the figure itself is half a metre to the right
    expect(table).to_have_attribute("transform", re.compile(r"translate\("))
    assert box_of(table.locator("circle").first)["x"] - box["x"] == pytest.approx(0.5 * scale, abs=2)
    until(lambda: held)
    assert len(held) == 1  # one at a time, the newest next
    going = True
    held[0].continue_()
    page.mouse.up()
    expect(table).to_have_attribute("aria-label", re.compile("2.6 m from the left wall"))
    expect(table).not_to_have_attribute("transform", re.compile("."))
    assert box_of(table.locator("circle").first)["x"] - box["x"] == pytest.approx(0.5 * scale, abs=2)


def test_everything_by_keys_alone(served: Served, at_studio: Page) -> None:
    page, keys = at_studio, at_studio.keyboard
    thing(page, "windows", 0).focus()
    with hesitating(page):
        keys.press("Shift+ArrowRight")
        for _ in range(3):
            keys.press("ArrowRight")
        keys.press("ArrowDown")  # not along its wall: nothing
    saved(page, lambda: studio(served).windows[0].from_left_m == 1.63)  # from the middle, 1.5
    # one step to take back for all presses in a row
    assert len(list((served.root / "undo").glob("*.toml"))) == 1
    assert page.evaluate("document.activeElement.dataset.path") == '["windows",0]'
    keys.press("Enter")
    expect(page.locator("#panel-head")).to_be_focused()
    field(page, "windows", 0, "sill_m").focus()
    keys.press("ArrowUp")
    saved(page, lambda: studio(served).windows[0].sill_m == 0.79)
    thing(page, "windows", 0, "opposite", 0).focus()
    keys.press("ArrowRight")
    saved(page, lambda: studio(served).windows[0].opposite[0].bearing_from_deg == 326)
    thing(page, "room", "depth_m").focus()
    keys.press("Shift+ArrowDown")
    saved(page, lambda: studio(served).room.depth_m == 3.2)
    page.get_by_role("button", name="Add furniture").focus()
    keys.press("Enter")
    saved(page, lambda: len(studio(served).furniture) == 2)
    thing(page, "furniture", 1).focus()
    keys.press("Delete")
    saved(page, lambda: len(studio(served).furniture) == 1)
    page.get_by_role("button", name="Add a prop").focus()
    keys.press("Enter")
    saved(page, lambda: len(studio(served).props) == 6)
    expect(page.locator("details.item[open] > summary")).to_be_focused()
    keys.press("Tab")
    page.evaluate("document.activeElement.select()")
    keys.type("blue bowl")
    keys.press("Tab")
    saved(page, lambda: studio(served).props[5].name == "blue bowl")


def test_by_touch_alone(served: Served, new_page: Callable[..., Page]) -> None:
    page = new_page(viewport={"width": 390, "height": 844}, has_touch=True, is_mobile=True)
    page.goto(served.url + "studio")
    thing(page, "spots", 0).locator("circle").first.tap()
    expect(page.locator("#panel-head")).to_have_text("Table spot: by the window")
    page.get_by_role("button", name="Move right").tap()
    page.get_by_role("button", name="Move right").tap()
    saved(page, lambda: studio(served).spots[0].from_left_m == 2.12)
    # a finger drags: pointer events as a touch screen sends them
    thing(page, "furniture", 0).scroll_into_view_if_needed()
    at_rest(page)
    box = box_of(thing(page, "furniture", 0))
    assert box is not None
    x, y = box["x"] + box["width"] / 2, box["y"] + box["height"] / 2
    touch = page.context.new_cdp_session(page)
    for kind, points in (
        ("touchStart", [(x, y)]), ("touchMove", [(x - 20, y)]), ("touchMove", [(x - 60, y - 10)]), ("touchEnd", []),
    ):  # fmt: skip
        touch.send(
            "Input.dispatchTouchEvent", {"type": kind, "touchPoints": [{"x": a, "y": b} for a, b in points]}
        )
    saved(page, lambda: studio(served).furniture[0].from_left_m < 3)
    page.locator("#undo").tap()
    saved(page, lambda: studio(served).furniture[0].from_left_m == 3.55)
    page.get_by_role("button", name="Add a table spot").tap()
    saved(page, lambda: len(studio(served).spots) == 3)
    page.get_by_role("button", name="Remove", exact=True).tap()
    saved(page, lambda: len(studio(served).spots) == 2)


def test_a_mistake_is_told_at_its_field_and_can_be_taken_as_meant(
    served: Served, new_page: Callable[..., Page]
) -> None:
    page = new_page(quiet=True)  # a refusal is a line in the console
    page.goto(served.url + "studio")
    thing(page, "windows", 0).focus()
    width = field(page, "windows", 0, "width_m")
    width.fill("120 cm")
    width.press("Tab")
    said = page.locator('[data-path=\'["windows",0,"width_m"]\'] .said')
    expect(said).to_contain_text("allowed: a number from 0.1 to 12 m")
    expect(width).to_have_value("120 cm")
    expect(width).to_have_attribute("aria-invalid", "true")
    said.get_by_role("button", name="Write 1.2").click()
    expect(said).to_have_count(0)
    width.fill("9")
    width.press("Enter")
    expect(said).to_contain_text("only 4.2 m long")
    # no key and no heading of the file on the page
    expect(said).not_to_contain_text(re.compile(r"_|\["))
    assert studio(served).windows[0].width_m == 1.2
    # a mistake elsewhere is told where she typed
    page.locator("#to-room").click()
    field(page, "room", "width_m").fill("2")
    field(page, "room", "width_m").press("Tab")
    expect(page.locator('[data-path=\'["room","width_m"]\'] .said')).to_contain_text("by the window")
    field(page, "room", "width_m").fill("")
    field(page, "room", "width_m").press("Tab")
    expect(page.locator('[data-path=\'["room","width_m"]\'] .said')).to_contain_text("is missing")
    # what a shot uses stays
    thing(page, "spots", 0).focus()
    page.keyboard.press("Delete")
    told(page, "table spot")
    page.locator("#shelf button", has_text="white").click()
    page.get_by_role("button", name="Remove", exact=True).click()
    told(page, "is used by the shots")
    assert (len(studio(served).spots), len(studio(served).boards)) == (2, 2)


def test_the_last_window_stays_and_a_room_without_one_leads_back_here(
    served: Served, new_page: Callable[..., Page], axe: Callable[[Page], list[str]]
) -> None:
    page, path = new_page(quiet=True), served.root / "studio.toml"
    page.goto(served.url + "studio")
    thing(page, "windows", 0).focus()
    page.keyboard.press("Delete")
    told(page, "no light to plan by")
    expect(thing(page, "windows", 0)).to_be_visible()
    assert len(studio(served).windows) == 1
    # a text editor may take it out: every page then leads to where a window is added
    text = path.read_text()
    start = text.index("[[windows]]")
    write_text(path, text[:start] + text[text.index("[[", text.rindex("[[windows.opposite]]") + 2) :])
    page.goto(served.url + "light")
    expect(page.locator("main")).to_contain_text("no window yet")
    assert axe(page) == []
    page.get_by_role("link", name="Fix it in Studio").click()
    page.wait_for_url("**/studio")
    page.get_by_role("button", name="Add a window").click()
    saved(page, lambda: len(studio(served).windows) == 1)
    page.goto(served.url + "light")
    expect(page.locator("#answer")).to_be_visible()
    # a mistake in the shoot leads to the shoot's lines
    page.goto("about:blank")  # no page of ours that reads the file anew meanwhile
    shoot = served.root / "shoot.toml"
    write_text(shoot, shoot.read_text().replace("date = ", "dat = "))
    page.goto(served.url + "plan")
    page.get_by_role("link", name="Fix the shoot").click()
    expect(page.locator("form.fix")).not_to_have_count(0)


def test_another_tabs_change_is_shown_and_not_overwritten(
    served: Served, new_page: Callable[..., Page]
) -> None:
    mine, other = new_page(quiet=True), new_page()
    for page in (mine, other):
        page.goto(served.url + "studio")
    thing(other, "spots", 0).focus()
    field(other, "spots", 0, "height_m").fill("0.9")
    field(other, "spots", 0, "height_m").press("Enter")
    told(mine, "changed elsewhere")
    thing(mine, "spots", 0).focus()
    expect(field(mine, "spots", 0, "height_m")).to_have_value("0.9")
    # at the very same moment: who comes second is told, and sees what is there
    path = served.root / "studio.toml"
    mine.route("**/studio/version", lambda route: route.abort())  # the page never sees it before it saves
    write_text(path, path.read_text().replace("altitude_m = 60", "altitude_m = 61"))
    field(mine, "spots", 0, "height_m").fill("0.7")
    field(mine, "spots", 0, "height_m").press("Enter")
    told(mine, "make your change again")
    assert studio(served).place.altitude_m == 61
    assert studio(served).spots[0].height_m == 0.9
    # what she typed stays in view, and is saved when she says so
    expect(field(mine, "spots", 0, "height_m")).to_have_value("0.7")
    said = mine.locator('[data-path=\'["spots",0,"height_m"]\'] .said')
    expect(said).to_contain_text("Not saved")
    said.get_by_role("button", name="Use mine").click()
    saved(mine, lambda: studio(served).spots[0].height_m == 0.7)
    expect(said).to_have_count(0)
    # the very value was changed elsewhere, and she left the field before the page had seen it
    write_text(path, re.sub(r"\bheight_m = 0\.7\b", "height_m = 0.8", path.read_text()))
    field(mine, "spots", 0, "height_m").fill("0.6")
    field(mine, "spots", 0, "height_m").press("Tab")
    expect(said).to_contain_text("Changed elsewhere to 0.8")
    expect(field(mine, "spots", 0, "height_m")).to_have_value("0.6")
    said.get_by_role("button", name="Use 0.8").click()
    expect(field(mine, "spots", 0, "height_m")).to_have_value("0.8")
    assert studio(served).spots[0].height_m == 0.8


def test_what_is_being_typed_is_not_written_over_another_tabs_value(
    served: Served, new_page: Callable[..., Page]
) -> None:
    mine, other = new_page(quiet=True), new_page()
    for page in (mine, other):
        page.goto(served.url + "studio")
        thing(page, "room", "width_m").focus()
    height = field(mine, "room", "height_m")
    height.focus()
    height.press("Control+a")
    mine.keyboard.type("2.6")
    field(other, "room", "height_m").fill("2.9")
    field(other, "room", "height_m").press("Enter")
    said = mine.locator(".field", has=height).locator(".said")
    expect(said).to_contain_text("Changed elsewhere to 2.9")
    mine.keyboard.press("Tab")
    expect(said).to_contain_text("Changed elsewhere to 2.9")
    expect(height).to_have_value("2.6")
    at_rest(mine)
    assert studio(served).room.height_m == 2.9
    said.get_by_role("button", name="Use mine").click()
    saved(mine, lambda: studio(served).room.height_m == 2.6)
    expect(said).to_have_count(0)


def test_a_text_editors_change_is_shown_also_a_broken_one_and_mended_here(
    served: Served, new_page: Callable[..., Page]
) -> None:
    page, path = new_page(quiet=True), served.root / "studio.toml"
    page.goto(served.url + "studio")
    thing(page, "furniture", 0).focus()
    good = path.read_text()
    write_text(path, good.replace("from_left_m = 3.55", "from_left_m = 3.4"))
    expect(field(page, "furniture", 0, "from_left_m")).to_have_value("3.4")
    write_text(path, good.replace("from_left_m = 3.55", "from_left_m = '3,3'"))
    expect(page.locator("#broken")).to_contain_text("cannot be read now")
    page.get_by_role("link", name="See what to fix").click()
    expect(page.locator("form.fix")).to_have_attribute("data-code", "number with words")
    page.get_by_role("button", name="Save this line").click()
    page.wait_for_url("**/studio")
    assert studio(served).furniture[0].from_left_m == 3.3
    assert path.read_text() == good.replace("from_left_m = 3.55", "from_left_m = 3.3")


def test_a_press_before_the_pages_code_has_arrived_is_not_lost(
    served: Served, new_page: Callable[..., Page]
) -> None:
    page, path = new_page(), served.root / "studio.toml"
    good = path.read_text()
    write_text(path, good.replace("from_left_m = 3.55", "from_left_m = '3,3'"))
    late: list[Route] = []
    page.route(
        "**/studio/fix_lines.js", lambda route: late.append(route)
    )  # a plain method cannot be a handler
    page.goto(served.url + "studio/fix", wait_until="commit")
    page.get_by_role("button", name="Save this line").click()
    assert path.read_text() != good.replace("from_left_m = 3.55", "from_left_m = 3.3")
    assert page.url.endswith("/studio/fix")  # nor was the form sent the browser's own way
    until(lambda: page.title() and late)
    late[0].continue_()
    page.wait_for_url("**/studio")
    assert path.read_text() == good.replace("from_left_m = 3.55", "from_left_m = 3.3")


def test_undo_survives_a_reload_and_a_restart(served: Served, new_page: Callable[..., Page]) -> None:
    page = new_page(quiet=True)
    page.goto(served.url + "studio")
    thing(page, "spots", 0).focus()
    name = field(page, "spots", 0, "name")
    name.fill("at the sill")
    name.press("Enter")
    saved(
        page, lambda: "at the sill" in (served.root / "shoot.toml").read_text()
    )  # her shots follow the new name
    served.kill()
    again = serve(served.root, "--no-watch", port=served.port)
    try:
        page.goto(again.url + "studio")
        page.locator("#undo").click()
        saved(page, lambda: studio(again).spots[0].name == "by the window")
        # two files, written one after the other
        until(lambda: "at the sill" not in (again.root / "shoot.toml").read_text())
    finally:
        again.stop()


def test_a_window_in_the_right_wall_is_dragged_by_its_middle(served: Served, at_studio: Page) -> None:
    page, room = at_studio, studio(served).room
    page.get_by_role("button", name="Add a window").click()
    saved(page, lambda: len(studio(served).windows) == 2)
    page.locator("#window-wall").select_option("right")
    saved(page, lambda: studio(served).windows[1].from_left_m is None)  # in the middle of its wall
    expect(thing(page, "windows", 1)).to_have_attribute("aria-label", re.compile("right wall"))
    page.evaluate("scrollTo(0, 0)")
    scale = px_per_m(page)
    drag(page, thing(page, "windows", 1).locator(".edge"), 0, 0.3 * scale)
    moved = (room.depth_m - studio(served).windows[1].width_m) / 2 + 0.3
    saved(page, lambda: studio(served).windows[1].from_left_m == pytest.approx(moved, abs=0.02))
    assert studio(served).room == replace(room, front_bearing_deg=studio(served).room.front_bearing_deg)
    # the room's own handle is beside it, and still resizes the room
    drag(page, thing(page, "room", "width_m").locator(".edge"), 0.2 * scale, 0)
    saved(page, lambda: studio(served).room.width_m == pytest.approx(room.width_m + 0.2, abs=0.02))


def test_a_sheer_is_dragged_onto_its_window_and_off_it(served: Served, at_studio: Page) -> None:
    page = at_studio
    sheer = page.locator("#shelf button").first
    sheer.scroll_into_view_if_needed()
    at_rest(page)
    to, at = thing(page, "windows", 0).bounding_box(), sheer.bounding_box()
    assert to is not None
    assert at is not None
    middle = (at["x"] + at["width"] / 2, at["y"] + at["height"] / 2)
    drag(page, sheer, to["x"] + to["width"] / 2 - middle[0], to["y"] + to["height"] / 2 - middle[1])
    saved(page, lambda: studio(served).diffusers[0].window == "kitchen window")
    expect(field(page, "diffusers", 0, "window")).to_have_value("kitchen window")
    field(page, "diffusers", 0, "window").select_option("")
    saved(page, lambda: studio(served).diffusers[0].window == "")


def test_a_shots_boards_are_placed_round_its_dish(
    served: Served, at_studio: Page, axe: Callable[[Page], list[str]]
) -> None:
    page, path = at_studio, served.root / "shoot.toml"
    before = path.read_bytes()
    thing(page, "spots", 0).focus()
    page.locator("#boards-shot").select_option("bowl-at-an-angle")
    board = thing(page, "placed", 0)
    expect(board).to_be_visible()
    assert axe(page) == []

    def placed() -> PlacedBoard:
        return next(s for s in load_shoot(served.root).shots if s.name == "bowl-at-an-angle").boards[0]

    def taken() -> None:
        """The page has its own change back from the server: the next one is made on it."""
        expect(page.locator("#saved")).to_have_text("Saved.")
        at_rest(page)  # and the plan is drawn with it
        page.locator("#saved").evaluate("(e) => { e.textContent = ''; }")

    first = placed()
    # it stands where the set-up's own drawing has it (the middle of the room's board rectangle)
    studio_now = studio(served)
    shot = next(s for s in load_shoot(served.root).shots if s.name == "bowl-at-an-angle")
    spot, scale = studio_now.spots[0], px_per_m(page)
    dish = (spot.from_left_m, studio_now.room.depth_m - spot.from_front_m, spot.height_m)
    x, y, _ = middle(board_rectangle(studio_now, shot, first, dish))
    floor, drawn = box_of(page.locator(".plan rect").first), box_of(board.locator(".edge"))
    assert (drawn["x"] + drawn["width"] / 2 - floor["x"]) / scale == pytest.approx(x, abs=0.03)
    front = (drawn["y"] + drawn["height"] / 2 - floor["y"]) / scale
    assert studio_now.room.depth_m - front == pytest.approx(y, abs=0.03)
    # by keys: away from the dish, and to the side that an arrow points to (the camera looks right, 90 degrees)
    board.focus()
    toward = {"right": "ArrowDown", "left": "ArrowUp", "far": "ArrowRight", "near": "ArrowLeft"}
    page.keyboard.press(f"Shift+{toward[first.side]}")
    saved(page, lambda: placed().distance_m == pytest.approx(first.distance_m + 0.1))
    taken()
    expect(board).to_be_focused()
    page.keyboard.press("ArrowRight")
    saved(page, lambda: placed().side == "far")
    taken()
    expect(page.locator("#placed-0-side")).to_have_value("far")
    # by the pointer, and to scale: half a metre up from the dish is on the camera's left
    box = box_of(thing(page, "spots", 0).locator("circle").first)
    grip = box_of(thing(page, "placed", 0).locator(".edge"))
    page.mouse.move(grip["x"] + grip["width"] / 2, grip["y"] + grip["height"] / 2)
    page.mouse.down()
    cx, cy = box["x"] + box["width"] / 2, box["y"] + box["height"] / 2
    page.mouse.move(cx, cy - 0.3 * scale)
    page.mouse.move(cx, cy - 0.5 * scale)
    page.mouse.up()
    saved(page, lambda: (placed().side, round(placed().distance_m, 1)) == ("left", 0.5))
    taken()
    # behind the camera it may stand, but not without a word
    expect(page.locator("#placed-0-behind")).to_be_hidden()
    grip = box_of(thing(page, "placed", 0).locator(".edge"))
    page.mouse.move(grip["x"] + grip["width"] / 2, grip["y"] + grip["height"] / 2)
    page.mouse.down()
    page.mouse.move(cx - 0.4 * scale, cy)
    page.mouse.move(cx - 0.6 * scale, cy)
    page.mouse.up()
    saved(page, lambda: (placed().side, round(placed().distance_m, 1)) == ("near", 0.6))
    taken()
    told(page, "stands behind the camera")
    expect(page.locator("#placed-0-behind")).to_be_visible()
    page.locator("#placed-0-side").select_option("left")
    saved(page, lambda: placed().side == "left")
    taken()
    expect(page.locator("#placed-0-behind")).to_be_hidden()
    # typed
    distance = page.locator("#placed-0-distance_m")
    distance.fill("0,62")
    distance.press("Enter")
    saved(page, lambda: placed().distance_m == 0.62)
    taken()
    page.get_by_role("button", name="Stand a board here").click()
    saved(
        page,
        lambda: (
            len(next(s for s in load_shoot(served.root).shots if s.name == "bowl-at-an-angle").boards) == 2
        ),
    )
    # all of it is taken back in order, by the page's one Undo
    for _ in range(7):
        expect(page.locator("#undo")).to_be_enabled()
        page.locator("#undo").click()
        expect(page.locator("#saved")).to_have_text("Undone.")
        page.locator("#saved").evaluate("(e) => { e.textContent = ''; }")
    saved(page, lambda: path.read_bytes() == before)
    # at a spot where no shot stands, it says where they are given one
    thing(page, "spots", 1).focus()
    expect(page.locator(".stood")).to_contain_text("No shot uses this table spot")


def test_a_double_click_adds_one_thing(served: Served, at_studio: Page) -> None:
    page = at_studio
    page.get_by_role("button", name="Add a table spot").dblclick()
    saved(page, lambda: len(studio(served).spots) == 3)
    expect(page.locator("#saved")).to_have_text("Saved.")
    expect(page.locator("#say")).to_be_empty()
    at_rest(page)
    assert len(studio(served).spots) == 3


def test_a_board_is_proposed_where_it_fills_not_before_the_window(served: Served, at_studio: Page) -> None:
    page, path = at_studio, served.root / "shoot.toml"
    thing(page, "spots", 0).focus()
    page.locator("#boards-shot").select_option("bowl-at-an-angle")

    def boards() -> tuple[PlacedBoard, ...]:
        return next(s for s in load_shoot(served.root).shots if s.name == "bowl-at-an-angle").boards

    # the window is on the camera's left, and the white board of the shot on its right already
    assert [(b.board, b.side) for b in boards()] == [("white", "right")]
    page.get_by_role("button", name="Remove the white board").click()
    saved(page, lambda: boards() == ())
    page.get_by_role("button", name="Stand a board here").click()
    saved(page, lambda: [(b.board, b.side) for b in boards()] == [("white", "right")])
    # a camera that looks the other way has the window on its right
    text = path.read_text()
    head, tail = text.split('name = "bowl-at-an-angle"')
    turned = re.sub(r"camera_faces_deg = \d+", "camera_faces_deg = 270", tail, count=1)
    assert turned != tail
    write_text(path, head + 'name = "bowl-at-an-angle"' + turned)
    page.reload()
    thing(page, "spots", 0).focus()
    page.locator("#boards-shot").select_option("bowl-at-an-angle")
    page.get_by_role("button", name="Remove the white board").click()
    saved(page, lambda: boards() == ())
    page.get_by_role("button", name="Stand a board here").click()
    saved(page, lambda: [(b.board, b.side) for b in boards()] == [("white", "left")])


def test_boards_by_touch_and_where_there_is_no_shot(served: Served, new_page: Callable[..., Page]) -> None:
    page = new_page(viewport={"width": 390, "height": 844}, has_touch=True, is_mobile=True)
    page.goto(served.url + "studio")
    thing(page, "spots", 0).focus()
    expect(thing(page, "placed", 0)).to_be_visible()
    at_rest(page)
    scale = px_per_m(page)
    touch = page.context.new_cdp_session(page)
    grip = box_of(thing(page, "placed", 0).locator(".edge"))
    spot = box_of(thing(page, "spots", 0).locator("circle").first)
    x, y = grip["x"] + grip["width"] / 2, grip["y"] + grip["height"] / 2
    cx, cy = spot["x"] + spot["width"] / 2, spot["y"] + spot["height"] / 2
    for kind, points in (
        ("touchStart", [(x, y)]), ("touchMove", [(x, y + 8)]),
        ("touchMove", [(cx, cy + 0.7 * scale)]), ("touchEnd", []),
    ):  # fmt: skip
        touch.send(
            "Input.dispatchTouchEvent", {"type": kind, "touchPoints": [{"x": a, "y": b} for a, b in points]}
        )
    saved(page, lambda: load_shoot(served.root).shots[0].boards[0].distance_m == pytest.approx(0.7, abs=0.03))
    shoot = served.root / "shoot.toml"
    text = shoot.read_text()
    start, end = text.index("[[shots]]"), text.index("[[channels]]")
    steps = text[:start].replace('for_shot = "pour"', 'for_shot = ""')
    # whole at once: the page may read it at any moment
    write_text(shoot, steps + text[end:])
    page.reload()
    thing(page, "spots", 0).focus()
    expect(page.locator(".stood")).to_contain_text("placed for a shot")
    expect(page.get_by_role("link", name="Add a shot on the Plan page")).to_be_visible()


def test_the_place_by_its_name_and_the_room_turned(served: Served, at_studio: Page) -> None:
    page = at_studio
    page.locator("#to-place").click()
    page.locator("#studio-city").fill("Edinb")
    page.get_by_role("option").filter(has_text="Scotland").first.click()
    saved(page, lambda: studio(served).place.timezone == "Europe/London")
    expect(field(page, "place", "latitude_deg")).to_have_value("55.9521")
    page.locator("#to-room").click()
    page.get_by_role("slider").focus()
    page.keyboard.press("Shift+ArrowRight")
    saved(page, lambda: studio(served).windows[0].bearing_deg == 30)
    assert studio(served).wall_of(studio(served).windows[0]) == "front"


def test_axe_finds_nothing_with_everything_open(at_studio: Page, axe: Callable[[Page], list[str]]) -> None:
    page = at_studio
    thing(page, "windows", 0, "opposite", 0).focus()
    page.evaluate("document.querySelectorAll('details').forEach((d) => { d.open = true; })")
    at_rest(page)
    assert axe(page) == []


def test_names_are_never_markup(served: Served, new_page: Callable[..., Page]) -> None:
    path: Path = served.root / "studio.toml"
    evil = "<img src=x onerror=alert(1)></script>"
    write_text(path, path.read_text().replace('name = "fridge"', f"name = '{evil}'"))
    page = new_page()
    page.on("dialog", lambda d: pytest.fail(f"a script ran: {d.message}"))
    page.goto(served.url + "studio")
    expect(thing(page, "furniture", 0)).to_contain_text(evil)
    thing(page, "furniture", 0).focus()
    expect(page.locator("#panel-head")).to_contain_text(evil)
    assert page.locator("img").count() == 0
