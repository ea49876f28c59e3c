"""An answer that was made before a press or a row, and comes after it: what you pressed and what came stay."""

import re
from collections.abc import Callable
from pathlib import Path

import pytest
from playwright.sync_api import Page, expect

from plateside.files.journal.journal import Journal
from plateside.files.journal.state import read_state
from plateside.files.settings.load import load_shoot
from tests.browser.finished_bowl import finish_one_bowl
from tests.browser.resting import LISTENING, at_rest, held, late, news
from tests.browser.serving import Served, serve, until
from tests.browser.set_page import judge
from tests.browser.studio_page import thing
from tests.shoots.charted import CHART, RAW, charted_shoot
from tests.shoots.re_lit import SHOOT
from tests.web.requests import change, get

pytestmark = pytest.mark.browser


@pytest.fixture
def page(new_page: Callable[..., Page]) -> Page:
    page = new_page()
    page.add_init_script(LISTENING)
    return page


def setting(served: Served, which: str, *changes: dict[str, object]) -> None:
    """A change of the settings on another screen."""
    version = get(served, f"/settings/{which}").json["version"]
    answer = change(served, f"/settings/{which}", {"changes": list(changes), "version": version})
    assert answer.status == 200, answer.body


def test_choose_keeps_what_you_pressed_and_what_came_since_the_question(served: Served, page: Page) -> None:
    root, journal = served.root, Journal.open(served.root)
    frame, other = [f for f, shot in read_state(root).shot_of.items() if shot == "one-bowl"][:2]
    judge(root, frame, "adjust")
    page.goto(served.url + "choose")
    at_rest(page)
    page.locator(f'button.frame[data-frame="{frame}"]').click()
    with late(page, "**/choose/sheets") as made:
        journal.append("frame belongs", frame=other, shot="one-bowl", guess=False)
        until(made)
        # with its own row, which comes by the stream as well
        with news(page, kept=1):
            page.locator("#judge-again").click()
        expect(page.locator("#judge-again")).to_have_text("Being judged")
    expect(page.locator("#judge-again")).to_have_text("Being judged")
    # a verdict on its way past the answer, and another frame's own place from that answer
    with late(page, "**/choose/sheets") as made:
        journal.append("frame belongs", frame=other, shot="three-bowls", guess=False)
        until(made)
        judge(root, frame, "again")
        expect(page.locator("#chosen .verdict")).to_contain_text("again")
    expect(page.locator("#chosen .verdict")).to_contain_text("again")
    expect(page.locator(f'#shot-three-bowls button.frame[data-frame="{other}"]')).to_be_visible()


def test_choose_shows_a_burst_that_is_being_judged_and_asks_no_more_than_it_must(
    served: Served, page: Page
) -> None:
    root, journal = served.root, Journal.open(served.root)
    frames, asked = list(read_state(root).landed), []
    page.goto(served.url + "choose")
    at_rest(page)
    page.on("request", lambda request: asked.append(request.url) if "/choose/sheets" in request.url else None)
    with late(page, "**/choose/sheets") as made:
        journal.append("frame belongs", frame=frames[0], shot="three-bowls", guess=False)
        until(made)
        for word in ("good", "again", "adjust"):
            journal.append("frame belongs", frame=frames[0], shot="one-bowl", guess=False)
            for frame in frames:
                judge(root, frame, word)
        page.wait_for_function("(many) => window.heard >= many", arg=1 + 3 * (len(frames) + 1))
        at_rest(page, kept=1)
    for frame in frames:
        card = page.locator(f'button.frame[data-frame="{frame}"]')
        expect(card).to_have_attribute("aria-label", re.compile("adjust"))
    expect(page.locator(f'#shot-one-bowl button.frame[data-frame="{frames[0]}"]')).to_be_visible()
    # while one was answered the others became one
    assert len(asked) == 2


def test_finish_keeps_a_frame_that_you_asked_for(served: Served, page: Page) -> None:
    finish_one_bowl(served)
    page.goto(served.url + "finish")
    at_rest(page)
    others, count = page.locator("#shot-one-bowl details.others"), page.locator(".finished").count()
    others.locator("summary").click()
    with late(page, "**/finish/standing") as made:
        Journal.open(served.root).append("kept", frame=next(iter(read_state(served.root).landed)))
        until(made)
        others.locator("button").first.click()
        expect(page.locator(".finished")).to_have_count(count + 1)
    expect(page.locator(".finished")).to_have_count(count + 1)


def test_deliver_keeps_the_newer_of_two_answers(served: Served, page: Page) -> None:
    finish_one_bowl(served)
    journal, alt = Journal.open(served.root), page.locator("#alt_text-one-bowl")
    page.goto(served.url + "deliver")
    at_rest(page)
    with late(page, "**/deliver/standing") as made:
        journal.append("words", shot="one-bowl", field="alt_text", text="A bowl.")
        until(made)
        with news(page, kept=1):
            journal.append("words", shot="one-bowl", field="alt_text", text="A bowl of soup on a grey table.")
    expect(alt).to_have_value("A bowl of soup on a grey table.")


def test_the_tablets_page_keeps_that_you_closed_it(shoot: Path, new_page: Callable[..., Page]) -> None:
    server = serve(shoot, "--no-watch", "--tablet-address", "127.0.0.2")
    try:
        page = new_page()
        page.goto(server.url + "tablet")
        page.click("#show")
        expect(page.locator("#opened")).to_be_visible()
        with late(page, "**/tablet/now") as made:
            code = page.inner_text("#typed").replace(" ", "")
            assert change(server, "/pair", {"secret": code, "name": "tablet"}).status == 200
            until(made)
            page.click("#close")
            expect(page.locator("#closed")).to_be_visible()
        expect(page.locator("#closed")).to_be_visible()
        expect(page.locator("#opened")).to_be_hidden()
    finally:
        server.stop()


def test_studio_keeps_the_newer_remarks_and_the_newer_boards(served: Served, page: Page) -> None:
    page.goto(served.url + "studio")
    thing(page, "spots", 0).focus()
    page.locator("#boards-shot").select_option("bowl-at-an-angle")
    at_rest(page)
    number = next(n for n, s in enumerate(load_shoot(served.root).shots) if s.name == "bowl-at-an-angle")
    distance = {"put": ["shots", number, "boards", 0, "distance_m"]}
    with late(page, "**/settings/shoot") as made:
        setting(served, "shoot", {**distance, "value": 0.55})
        until(made)
        with news(page, kept=1):
            setting(served, "shoot", {**distance, "value": 0.66})
    expect(page.locator("#placed-0-distance_m")).to_have_value("0.66")
    # remarks of before the second change
    old = {"worth": [{"code": "old", "about": "Old", "said": "no longer so"}]}
    with late(page, "**/studio/worth", old) as made:
        setting(served, "shoot", {**distance, "value": 0.55})
        until(made)
        with news(page, kept=1):
            setting(served, "shoot", {**distance, "value": 0.66})
    expect(page.locator("#worth-list [data-code=old]")).to_have_count(0)


def test_the_kind_of_dish_is_of_the_name_that_was_typed_last(tmp_path: Path, page: Page) -> None:
    server = serve(tmp_path, "--no-watch")
    try:
        page.goto(server.url + "start/new")
        dish, kind = page.locator("#a-dish"), page.locator("#a-kind")
        # the questions are one form: this one is filled in before its turn
        page.evaluate("for (const each of document.querySelectorAll('[data-step]')) each.hidden = false")
        with late(page, "**/start/kind?*") as made:
            dish.fill("Plum tart")
            until(made)
            dish.fill("Leek soup")
            expect(kind).to_have_value("soup")
        expect(kind).to_have_value("soup")
    finally:
        server.stop()


def test_a_list_of_files_stays_open_with_its_focus_and_its_place(served: Served, page: Page) -> None:
    finish_one_bowl(served)
    page.goto(served.url + "deliver")
    page.get_by_role("button", name="Make the delivery").click()
    listed = page.locator("#listed details")
    expect(listed.first).to_be_visible()
    at_rest(page)
    for each in (listed.first, listed.last):
        each.locator("summary").press("Enter")
    file = listed.last.locator("a").last
    file.focus()
    file.scroll_into_view_if_needed()
    is_open, top = "all => all.map((one) => one.open)", file.bounding_box()
    before = listed.evaluate_all(is_open)
    assert before.count(True) == 2
    assert False in before
    with news(page):
        Journal.open(served.root).append("words", shot="one-bowl", field="title", text="Soup")
    expect(page.locator("#title-one-bowl")).to_have_value("Soup")
    assert listed.evaluate_all(is_open) == before
    expect(file).to_be_focused()
    assert file.bounding_box() == pytest.approx(top, abs=1)
    listed.last.locator("summary").press("Enter")
    with news(page):
        Journal.open(served.root).append("words", shot="one-bowl", field="title", text="Leek soup")
    assert listed.evaluate_all(is_open) == [*before[:-1], False]
    expect(listed.last.locator("summary")).to_be_focused()


def begins(page: Page) -> list[str]:
    """What the page begins by itself or by a press, as it goes on: suggestions."""
    begun: list[str] = []
    page.on("request", lambda r: begun.append(r.url) if r.url.endswith("/choose/proposal") else None)
    return begun


def suggested(served: Served) -> dict[str, object]:
    """A suggestion that is made by now, as it was told of while it went on."""
    job = change(served, "/choose/proposal", {}).json["job"]
    until(lambda: get(served, f"/work/{job}").json["state"] == "done")
    (told,) = [one for one in get(served, "/work").json["jobs"] if one["job"] == job]
    return {"jobs": [told | {"state": "running"}]}


def test_a_work_that_went_on_at_the_load_is_not_begun_again(served: Served, page: Page) -> None:
    running, begun = suggested(served), begins(page)
    page.route("**/work", lambda route: route.fulfill(json=running))
    page.goto(served.url + "choose")
    expect(page.locator("#propose .came")).not_to_be_empty()
    at_rest(page)
    assert begun == []
    page.unroute("**/work")
    # pressed, and over, before it was told what went on at the load
    with late(page, "**/work", running) as made:
        page.goto(served.url + "choose")
        until(made)
        page.locator("#propose button").first.click()
        expect(page.locator("#propose .came")).not_to_be_empty()
    expect(page.locator("#propose .came")).not_to_be_empty()
    assert len(begun) == 1


def test_the_chart_that_is_used_is_the_one_that_is_shown(
    tmp_path: Path, opened_on: Callable[[Path], Served], page: Page
) -> None:
    root = charted_shoot(tmp_path / "shoot", SHOOT)
    older, newer = ([k + v for v in (0.1, 0.1, 0.4, 0.1, 0.4, 0.4, 0.1, 0.4)] for k in (0.0, 0.3))
    page.goto(opened_on(root).url + "finish", wait_until="domcontentloaded")
    at_rest(page)
    page.locator("#chart summary").click()
    which, use = page.locator("#chart-frame"), page.get_by_role("button", name="Use this chart")
    page.route("**/finish/chart", lambda route: route.fulfill(json={"corners": newer, "said": []}))
    with late(page, "**/finish/chart", {"corners": older, "said": []}) as made:
        which.select_option(label=RAW)
        until(made)
        which.select_option(label=CHART)
        expect(use).to_be_enabled()
    use.click()
    until(lambda: read_state(root).charts)
    (corners,) = read_state(root).charts.values()
    assert list(corners) == pytest.approx(newer)


def test_the_light_that_was_typed_after_a_reading_stays(served: Served, page: Page) -> None:
    page.goto(served.url + "plan")
    page.locator("#by-camera > summary").click()
    for name, typed in (("f-number", "8"), ("shutter", "1/60"), ("iso", "100")):
        page.locator(f"#by-{name}").fill(typed)
    light = page.locator("#read-lx")
    with held(page, "**/plan/lux"):
        page.get_by_role("button", name="Use this light").click()
        light.fill("500")
        light.press("Tab")
    at_rest(page)
    expect(light).to_have_value("500")
    page.reload()
    expect(light).to_have_value("500")
