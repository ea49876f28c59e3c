"""Start: from nothing to 'when is my light' by keys alone and by touch alone, the demo, towns, folders.

Over 400 lines: one walk from nothing, by keys and by touch, whose steps share their helpers.
"""

import re
import tomllib
from collections.abc import Callable, Iterator
from importlib import resources
from pathlib import Path
from urllib.parse import urlsplit

import pytest
from playwright.sync_api import Locator, Page, Route, expect

from plateside.files.settings.load import open_shoot
from plateside.words.first_run import QUESTION
from tests.browser.conftest import LAPTOP, let_in_as_it_goes
from tests.browser.resting import at_rest, hesitating
from tests.browser.serving import Served, copy_shoot, serve, until
from tests.browser.set_page import open_set

pytestmark = pytest.mark.browser


@pytest.fixture
def empty(tmp_path: Path) -> Iterator[Served]:
    """A server in a folder where nothing lies."""
    home = tmp_path / "shoots"
    home.mkdir()
    server = serve(home, "--no-watch")
    yield server
    server.stop()


@pytest.fixture(scope="module")
def _once(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Served]:
    server = serve(tmp_path_factory.mktemp("nothing"), "--no-watch")
    yield server
    server.stop()


@pytest.fixture(scope="module")
def kitchens(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Served]:
    """One for the tests that begin a kitchen each, from the first question on: whether another is open is the same."""
    server = serve(tmp_path_factory.mktemp("kitchens"), "--no-watch")
    yield server
    server.stop()


@pytest.fixture
def asking(_once: Served) -> Iterator[Served]:
    """The same, for tests that answer questions and begin nothing: towns are looked up by one process for all."""
    yield _once
    assert {p.name for p in _once.root.iterdir()} <= {".plateside"}


def test_from_nothing_to_my_light_by_keys_alone(empty: Served, page: Page) -> None:
    page.goto(empty.url)
    keys = page.keyboard
    for _ in range(4):
        keys.press("Tab")
        if page.evaluate("document.activeElement.textContent") == "Begin with your kitchen":
            break
    keys.press("Enter")
    page.wait_for_url("**/start/new")
    keys.type("Lisb")
    expect(page.get_by_role("option").first).to_contain_text("Lisbon")
    keys.press("ArrowDown")
    keys.press("Enter")
    expect(page.locator("#city .chosen")).to_contain_text("Europe/Lisbon")
    keys.press("Enter")
    expect(page.get_by_role("heading", level=1).filter(visible=True)).to_have_text(QUESTION["facing"])
    keys.press("Tab")
    for _ in range(2):
        keys.press("Shift+ArrowRight")
    dial = page.get_by_role("slider", name="The way the window faces")
    expect(dial).to_have_attribute("aria-valuetext", "20 degrees, north-north-east")
    for _ in range(16):
        keys.press("Tab")
        if page.evaluate("document.activeElement.id") == "go":
            break
    keys.press("Enter")
    expect(page.locator("#q-room")).to_be_focused()
    for value in ("4,2", "310 cm", "2.5"):
        keys.press("Tab")
        page.evaluate("document.activeElement.select()")
        keys.type(value)
    keys.press("Enter")
    for step in ("window", "outside", "table", "camera"):
        expect(page.locator(f"#q-{step}")).to_be_focused()
        keys.press("Tab")
        keys.press("Enter")
    expect(page.locator("#q-shoot")).to_be_focused()
    keys.press("Tab")
    keys.type("Lemon tart")
    # the name says what it looks like
    expect(page.locator("#a-kind")).to_have_value("tart")
    keys.press("Tab")
    keys.press("Tab")
    keys.type("09182027")
    for _ in range(3):
        keys.press("Tab")
        if page.evaluate("document.activeElement.id") == "a-creator":
            break
    keys.type("Ana Reis")
    keys.press("Enter")
    # the light of the day that she gave
    page.wait_for_url(re.compile(r"/light\?.*day=2027-09-18"), wait_until="commit")
    opened = open_shoot(empty.root / "lemon-tart")
    assert (opened.studio.room.width_m, opened.studio.room.depth_m) == (4.2, 3.1)
    assert opened.studio.windows[0].bearing_deg == 20
    assert opened.shoot.recipe.title == "Lemon tart"
    assert {shot.stand_in for shot in opened.shoot.shots} == {"tart"}


def test_a_press_made_while_the_usual_is_looked_at_is_meant_for_what_comes_next(
    asking: Served, new_page: Callable[..., Page]
) -> None:
    page = new_page(quiet=True)
    page.goto(asking.url + "start/new")
    page.locator("#a-place").press_sequentially("Melbourne")
    page.get_by_role("option").filter(has_text="Australia").first.click()
    for question in (2, 3):
        # a double click answers one question, not the next one unread
        page.locator("#go").dblclick()
        expect(page.locator("#where-we-are")).to_have_text(f"Question {question} of 8")
    # both before the first has been answered
    page.evaluate("() => { for (const id of ['usual', 'go']) document.getElementById(id).click(); }")
    expect(page.locator('[data-answer="dish"] .said')).to_contain_text("Say what it is")


def test_a_press_right_after_the_dish_is_written_goes_on(kitchens: Served, page: Page) -> None:
    page.goto(kitchens.url + "start/new")
    page.locator("#a-place").fill("Lisbon")
    page.locator("#go").click()
    expect(page.locator("#q-facing")).to_be_visible()
    page.locator("#go").click()
    page.locator("#usual").click()
    page.locator("#a-creator").fill("Ana Reis")
    # what the dish looks like is asked at the press, and again after the pause behind its last letter: the first
    # question's answer is the one that the press waits for
    asked: list[Route] = []
    page.route("**/start/kind?**", lambda route: asked.append(route))
    with hesitating(page):
        page.locator("#a-dish").fill("Quince tart")
        page.locator("#go").click()
    until(lambda: len(asked) == 2)
    asked[0].continue_()
    page.wait_for_url(re.compile(r"/light\?.*day=20"), wait_until="commit")
    assert open_shoot(kitchens.root / "quince-tart").shoot.recipe.title == "Quince tart"


def test_by_touch_alone_and_after_a_reload(kitchens: Served, new_page: Callable[..., Page]) -> None:
    page = new_page(viewport={"width": 390, "height": 844}, has_touch=True, is_mobile=True, quiet=True)
    page.goto(kitchens.url + "start/new")
    page.locator("#a-place").tap()
    page.keyboard.type("Melbourne")  # the screen's own keyboard
    page.get_by_role("option").filter(has_text="Australia").first.tap()
    page.locator("#go").tap()
    expect(page.locator("#q-facing")).to_be_visible()
    page.reload()  # the question is the same, and what was answered is still there
    expect(page.locator("#q-facing")).to_be_visible()
    expect(page.locator("#where-we-are")).to_have_text("Question 2 of 8")
    page.locator("#back").tap()
    expect(page.locator("#a-place")).to_have_value("Melbourne")
    page.locator("#go").tap()
    box = _box(page.get_by_role("slider"))
    # a tap at three o'clock of the ring is east
    page.touchscreen.tap(box["x"] + box["width"] * 0.8, box["y"] + box["height"] / 2)
    expect(page.get_by_role("slider")).to_have_attribute("aria-valuenow", "90")
    page.get_by_role("button", name="north-west", exact=True).tap()
    expect(page.get_by_role("slider")).to_have_attribute("aria-valuenow", "315")
    page.locator("#go").tap()
    page.locator("#usual").tap()
    page.locator("#go").tap()
    # what nobody else can know is asked for
    expect(page.locator('[data-answer="dish"] .said')).to_contain_text("Say what it is")
    expect(page.locator('[data-answer="creator"] .said')).to_contain_text("Write your name")
    expect(page.locator("#a-dish")).to_be_focused()
    page.keyboard.type("Lemon tart")
    expect(page.locator('[data-answer="dish"] .said')).to_have_count(0)
    page.locator("#a-creator").tap()
    page.keyboard.type("Ana Reis")
    page.locator("#go").tap()
    page.wait_for_url(re.compile(r"/light\?.*day=20"), wait_until="commit")
    # made: another kitchen begins anew
    page.goto(kitchens.url + "start/new")
    expect(page.locator("#q-place")).to_be_visible()
    expect(page.locator("#a-place")).to_have_value("")
    opened = open_shoot(kitchens.root / "lemon-tart")
    assert opened.studio.windows[0].bearing_deg == 315
    assert opened.studio.place.country == "AU"


def test_a_wrong_answer_leads_back_to_its_question(kitchens: Served, new_page: Callable[..., Page]) -> None:
    page = new_page(quiet=True)  # the server's refusal is a line in the console
    page.goto(kitchens.url + "start/new")
    page.locator("#go").click()
    expect(page.locator("#city .said")).to_contain_text("Type the name of your town")
    # a town that is not found is told, with the nearest names and the way by coordinates
    page.locator("#a-place").fill("Edinbrgh")
    page.locator("#go").click()
    expect(page.locator("#city .said")).to_contain_text("No place called “Edinbrgh” is known here")
    expect(page.locator("#city .said")).to_contain_text("38.72, -9.14")
    expect(page.get_by_role("option").filter(has_text="Edinburgh")).to_be_visible()
    expect(page.locator("#q-place")).to_be_visible()
    page.locator("#a-place").fill("55.95, -3.19")
    expect(page.get_by_role("option").first).to_contain_text("55.95° north, 3.19° west")
    page.get_by_role("option").first.click()
    expect(page.locator("#city .chosen")).to_contain_text("Europe/London")
    expect(page.locator("#city .said")).to_have_count(0)
    page.locator("#a-place").fill("Lisbon")
    page.locator("#go").click()  # typed to its end, not chosen
    expect(page.locator("#q-facing")).to_be_visible()
    page.fill("#a-facing_deg-number", "by the sea")
    page.locator("#go").click()
    expect(page.locator("#a-facing_deg-said")).to_contain_text("Write degrees as a number")
    page.fill("#a-facing_deg-number", "400")
    page.locator("#go").click()
    expect(page.locator("#a-facing_deg-said")).to_contain_text("400 is more than a whole turn")
    expect(page.locator("#q-facing")).to_be_visible()
    page.fill("#a-facing_deg-number", "-90")
    expect(page.locator("#a-facing_deg-said")).to_contain_text("taken as 270")
    page.locator("#go").click()
    page.fill("#a-width_m", "wide")
    page.locator("#go").click()
    expect(page.locator('[data-answer="width_m"] .said')).to_contain_text("Write metres as 4.2")
    # as people write it
    for text, metres in (("4 m 20", "4.2 m"), ("3m5cm", "3.05 m"), ("380 cm", "3.8 m"), ("2,5 m", "2.5 m")):
        page.fill("#a-width_m", text)
        expect(page.locator("#sketch svg")).to_contain_text(metres)
        expect(page.locator('[data-answer="width_m"] .said')).to_have_count(0)
    # what cannot be is told at its question, in words, and the next one does not come before it is mended
    for wrong, words in (("-3", "from 1 to 30 m"), ("300", "Did you mean 3 "), ("0", "from 1 to 30 m")):
        page.fill("#a-width_m", wrong)
        page.locator("#go").click()
        expect(page.locator('[data-answer="width_m"] .said')).to_contain_text(words)
        expect(page.locator("#q-room")).to_be_visible()
    page.fill("#a-width_m", "2")
    page.locator("#go").click()
    page.fill("#a-window_width_m", "3")
    expect(page.locator("#sketch-words")).to_contain_text("does not fit")
    for button in ("#go", "#usual"):
        page.locator(button).click()
        expect(page.locator('[data-answer="window_width_m"] .said')).to_contain_text(
            "its wall is only 2 m long"
        )
        expect(page.locator("#q-window")).to_be_visible()
    page.fill("#a-window_width_m", "1")
    # two answers that clash: either may be mended
    page.fill("#a-sill_m", "2")
    page.locator("#go").click()
    expect(page.locator('[data-answer="window_height_m"] .said')).to_contain_text("ceiling is at 2.5 m")
    page.fill("#a-sill_m", "0.9")
    page.locator("#usual").click()
    expect(page.locator("#q-shoot")).to_be_visible()
    # half a day is none, and no year has five digits
    page.locator("#a-date").focus()
    page.keyboard.press("Delete")
    expect(page.locator('[data-answer="date"] .said')).to_have_text("Choose a day.")
    page.locator("#go").click()
    expect(page.locator('[data-answer="date"] .said')).to_have_text("Choose a day.")
    page.locator("#a-date").focus()
    page.keyboard.type("07152027")
    expect(page.locator("#a-date")).to_have_value("2027-07-15")
    expect(page.locator('[data-answer="date"] .said')).to_have_count(0)
    page.fill("#a-dish", "Soup")
    page.fill("#a-creator", "Ana Reis")
    page.fill("#a-folder", "../elsewhere")
    page.locator("#go").click()
    expect(page.locator('[data-answer="folder"] .said')).to_contain_text("letters, digits")
    page.fill("#a-folder", "mine")
    assert not (kitchens.root / "mine").exists()
    page.locator("#go").click()
    page.wait_for_url(re.compile(r"/light\?.*day=20"), wait_until="commit")
    assert (kitchens.root / "mine" / "studio.toml").is_file()


def test_another_town_takes_the_first_ones_sun_away(asking: Served, page: Page) -> None:
    page.goto(asking.url + "start/new")
    page.locator("#a-place").fill("Lisbon")
    page.get_by_role("option").first.click()
    expect(page.locator("#sketch-words")).to_contain_text("Lisbon: at noon the sun")
    # at once, before anything is offered or chosen: read in the same turn as it is typed
    typed = """(text) => {
      const input = document.getElementById("a-place");
      input.value = text;
      input.dispatchEvent(new Event("input", { bubbles: true }));
      return [document.getElementById("sketch-words").textContent, document.querySelector("#city .chosen").textContent,
        document.querySelectorAll('#city [role="option"]').length];
    }"""
    words, chosen, offered = page.evaluate(typed, "Oslo")
    assert ("Lisbon" in words, chosen, offered) == (False, "", 0)
    expect(page.get_by_role("option").first).to_contain_text("Oslo")
    assert page.evaluate(typed, "Osl")[2] > 0
    assert page.evaluate(typed, "Qslo")[2] == 0
    page.locator("#a-place").fill("Oslo")
    page.get_by_role("option").first.click()
    expect(page.locator("#sketch-words")).to_contain_text("Oslo: at noon the sun")


def test_every_question_is_answered_without_scrolling_and_drawn_inside_its_frame(
    asking: Served, page: Page
) -> None:
    page.goto(asking.url + "start/new")
    page.locator("#a-place").fill("Lisbon")
    page.get_by_role("option").first.click()
    for question in ("facing", "room", "window"):
        page.locator("#go").click()
        expect(page.locator(f"#q-{question}")).to_be_visible()
        at_rest(page)
        button, drawn = _box(page.locator("#go")), _box(page.locator("#sketch"))
        assert button["y"] + button["height"] <= LAPTOP["height"]
        # the caption is under the middle of its drawing
        words = _box(page.locator("#sketch-words"))
        assert words["x"] + words["width"] / 2 == pytest.approx(drawn["x"] + drawn["width"] / 2, abs=2)
    # a window that cannot be is drawn whole, inside the drawing's frame
    for width, height, left in (("6", "3", ""), ("2", "1", "3.5")):
        page.fill("#a-window_width_m", width)
        page.fill("#a-window_height_m", height)
        page.fill("#a-window_from_left_m", left)
        expect(page.locator("#sketch-words")).to_contain_text("does not fit")
        at_rest(page)
        # both in one turn of the page: each answer draws anew
        frame, window = page.evaluate(
            """() => ["#sketch svg", "#sketch rect:nth-of-type(2)"].map((at) => {
              const { x, y, width, height } = document.querySelector(at).getBoundingClientRect();
              return { x, y, width, height };
            })"""
        )
        assert window["x"] >= frame["x"]
        assert window["y"] >= frame["y"]
        assert window["x"] + window["width"] <= frame["x"] + frame["width"]


def test_the_way_on_stays_in_sight_on_a_phone(asking: Served, new_page: Callable[..., Page]) -> None:
    page = new_page(viewport={"width": 390, "height": 844}, has_touch=True, is_mobile=True)
    page.goto(asking.url + "start/new")
    page.locator("#a-place").fill("Lisbon")
    page.get_by_role("option").first.tap()
    for question in ("facing", "room", "window", "outside", "table", "camera"):
        page.locator("#go").tap()
        expect(page.locator(f"#q-{question}")).to_be_visible()
        at_rest(page)
        assert page.evaluate("scrollY") == 0
        button = _box(page.locator("#go"))
        assert button["y"] + button["height"] <= 844


def test_a_lens_is_written_as_on_its_ring(kitchens: Served, new_page: Callable[..., Page]) -> None:
    page = new_page(quiet=True)
    page.goto(kitchens.url + "start/new")
    page.locator("#a-place").fill("Lisbon")
    for question in ("facing", "room", "window", "outside", "table", "camera"):
        page.locator("#go").click()
        expect(page.locator(f"#q-{question}")).to_be_visible()
    # what cannot be is not drawn, and told with what is possible
    page.fill("#a-megapixels", "24000000")
    page.locator("#go").click()
    expect(page.locator('[data-answer="megapixels"] .said')).to_contain_text("Did you mean 24?")
    page.fill("#a-megapixels", "24")
    page.get_by_label("The kit zoom").check()
    expect(page.locator("#sketch-words")).to_contain_text("at 18 mm")
    page.get_by_label("Another").check()
    expect(page.locator("#a-focal_mm")).to_have_value("18-55")
    page.fill("#a-focal_mm", "0")
    expect(page.locator("#sketch-words")).to_have_text("Give a focal length from 4 to 1200 mm.")
    page.fill("#a-f_number", "f/3.5-5.6")
    expect(page.locator('[data-answer="f_number"] .said')).to_have_count(0)
    page.fill("#a-focal_mm", "70-24")
    page.fill("#a-f_number", "wide open")
    expect(page.locator('[data-answer="f_number"] .said')).to_contain_text("Write it as 2.8")
    page.fill("#a-f_number", "f/2,8")
    expect(page.locator('[data-answer="f_number"] .said')).to_have_count(0)
    page.locator("#go").click()
    expect(page.locator('[data-answer="focal_mm"] .said')).to_contain_text("as 24-70")
    page.fill("#a-focal_mm", "24 - 70 mm")
    page.locator("#go").click()
    expect(page.locator("#q-shoot")).to_be_visible()
    page.reload()
    page.locator("#back").click()
    expect(page.locator("#a-focal_mm")).to_have_value("24-70")
    page.locator("#go").click()
    page.fill("#a-dish", "Soup")
    page.fill("#a-creator", "Ana Reis")
    page.locator("#go").click()
    page.wait_for_url(re.compile(r"/light\?.*day=20"), wait_until="commit")
    lens = open_shoot(kitchens.root / "soup").studio.lenses[0]
    assert (lens.focal_length_mm, lens.focal_length_to_mm, lens.widest_aperture) == (24, 70, 2.8)
    assert lens.name == "24-70"


def test_no_wrong_size_breaks_the_drawing(asking: Served, page: Page) -> None:
    page.goto(asking.url + "start/new")
    page.locator("#a-place").fill("Lisbon")
    for question in ("facing", "room"):
        page.locator("#go").click()
        expect(page.locator(f"#q-{question}")).to_be_visible()
    # an error in the console would fail the test
    for wrong in ("-3", "0", "-0.001"):
        page.fill("#a-width_m", wrong)
        expect(page.locator("#sketch-words")).to_have_text("A room or a window of that size cannot be drawn.")
        expect(page.locator("#sketch svg")).not_to_contain_text("-")
    page.fill("#a-width_m", "4")
    expect(page.locator("#sketch svg")).to_contain_text("4 m")
    page.locator("#go").click()
    page.fill("#a-window_width_m", "-1")
    expect(page.locator("#sketch-words")).to_contain_text("cannot be drawn")


def test_the_demo_is_one_press_away_and_shoots_are_opened(empty: Served, page: Page) -> None:
    page.goto(empty.url)
    # as many as the demo plans: counted, not written
    words = ("no", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten")
    shots = tomllib.loads(resources.files("plateside.demo").joinpath("shoot.toml").read_text())["shots"]
    expect(page.locator(".demo")).to_contain_text(f"{words[len(shots)]} shots to take")
    page.get_by_role("button", name="Open the demo").click()
    page.wait_for_url(re.compile(r"/light(\?|$)"), wait_until="commit")
    assert (empty.root / "demo" / "shoot" / "studio.toml").is_file()
    page.goto(empty.url + "start")
    page.get_by_role("button", name="New shoot in this kitchen").click()
    page.fill("#next-dish", "Plum cake")
    page.get_by_role("button", name="Make it").click()
    page.wait_for_url(re.compile(r"/light\?.*day=20"), wait_until="commit")
    assert open_shoot(empty.root / "plum-cake").studio.place.name == "Lisbon"
    page.goto(empty.url + "start")
    expect(page.locator(".shoot")).to_have_count(2)
    expect(page.locator(".shoot.here")).to_contain_text("plum-cake")
    page.get_by_role("button", name="Open Chilled cucumber").click()
    page.wait_for_url(re.compile(r"/light(\?|$)"), wait_until="commit")
    page.goto(empty.url + "start")
    expect(page.locator(".shoot.here")).to_contain_text("demo/shoot")


def test_the_page_that_opens_a_shoot_goes_where_it_is_led_whichever_word_of_it_comes_first(
    shoot: Path, new_page: Callable[..., Page]
) -> None:
    copy_shoot(shoot, shoot.parent / "another")
    server, page = serve(shoot.parent, "--no-watch"), new_page(quiet=True)
    try:
        page.goto(server.url + "start")
        page.get_by_role("button", name="Open Chilled").first.click()
        page.wait_for_url("**/light*")
        page.goto(server.url + "start")
        gone: list[str] = []
        page.on("request", lambda r: gone.append(urlsplit(r.url).path) if r.is_navigation_request() else None)

        def late(route: Route) -> None:
            # every other page has heard that a shoot was opened before this one has its answer
            answer = route.fetch()
            for follower in (tablet, desk):
                # a page in the background is hardly ever drawn: it is asked by the clock
                follower.wait_for_function("() => !window.old", polling=20)
            route.fulfill(response=answer, json={"next": "/plan"})

        def follow(opened: Callable[[Page], object]) -> Page:
            # made when it is wanted: one that stands behind another is not at rest for seconds
            follower = let_in_as_it_goes(page.context.new_page())
            # that a shoot was opened is told once, to those that listen then
            with follower.expect_response("**/events*"):
                opened(follower)
            at_rest(follower)
            follower.evaluate("window.old = true")
            return follower

        tablet = follow(lambda one: open_set(one, server.url))
        desk = follow(lambda one: one.goto(server.url + "deliver", wait_until="domcontentloaded"))
        page.bring_to_front()
        page.route("**/start/open", late)
        page.get_by_role("button", name="Open Chilled").first.click()
        page.wait_for_url("**/plan")
        assert gone == ["/plan"]
        assert [urlsplit(follower.url).path for follower in (tablet, desk)] == ["/set", "/light"]
    finally:
        server.stop()


def test_only_a_shoot_of_the_list_is_opened(asking: Served, page: Page) -> None:
    page.goto(asking.url)
    token = page.locator('meta[name="plateside-token"]').get_attribute("content") or ""
    head = {"x-plateside-token": token, "origin": asking.url.rstrip("/"), "content-type": "application/json"}
    for wrong in ("..", "/etc", "nowhere", None, 3, ["."], {"a": 1}):
        answer = page.request.post(asking.url + "start/open", headers=head, data={"shoot": wrong})
        assert answer.status == 422
        assert "no such shoot" in answer.json()["error"]
    answer = page.request.post(asking.url + "start/new", headers=head, data={"place": "x", "folder": "a"})
    assert answer.status == 422


def test_axe_finds_nothing_on_any_question(
    asking: Served, page: Page, axe: Callable[[Page], list[str]]
) -> None:
    page.goto(asking.url)
    assert axe(page) == []
    page.goto(asking.url + "start/new")
    page.evaluate("document.querySelectorAll('[data-step]').forEach((s) => { s.hidden = false; })")
    assert [v for v in axe(page) if "heading" not in v] == []


def _box(locator: Locator) -> dict[str, float]:
    box = locator.bounding_box()
    assert box is not None
    return dict(box)  # type: ignore[arg-type]
