"""A press that is under way when news comes: it does what was seen, and the news is shown after it."""

from collections.abc import Callable, Iterator
from contextlib import contextmanager

import pytest
from playwright.sync_api import Locator, Page, expect

from plateside.files.journal.journal import Journal
from plateside.files.journal.state import read_state
from plateside.files.settings.load import load_shoot
from tests.browser.finished_bowl import finish_one_bowl
from tests.browser.resting import LISTENING, at_rest, news, saved
from tests.browser.serving import Served
from tests.browser.set_page import TABLET, kinds, open_set
from tests.browser.studio_page import field, thing
from tests.web.requests import change, get

pytestmark = pytest.mark.browser


@pytest.fixture
def page(new_page: Callable[..., Page]) -> Page:
    page = new_page(viewport=TABLET, has_touch=True)
    page.add_init_script(LISTENING)
    return page


@contextmanager
def by_mouse(what: Locator) -> Iterator[None]:
    what.hover()
    what.page.mouse.down()
    yield
    what.page.mouse.up()


@contextmanager
def by_space(what: Locator) -> Iterator[None]:
    what.focus()
    what.page.keyboard.down("Space")
    yield
    what.page.keyboard.up("Space")


@contextmanager
def by_touch(what: Locator) -> Iterator[None]:
    what.scroll_into_view_if_needed()
    box, finger = what.bounding_box(), what.page.context.new_cdp_session(what.page)
    assert box is not None
    point = {"x": box["x"] + box["width"] / 2, "y": box["y"] + box["height"] / 2}
    finger.send("Input.dispatchTouchEvent", {"type": "touchStart", "touchPoints": [point]})
    yield
    finger.send("Input.dispatchTouchEvent", {"type": "touchEnd", "touchPoints": []})


def setting(served: Served, which: str, *changes: dict[str, object]) -> None:
    """A change of the settings on another screen."""
    version = get(served, f"/settings/{which}").json["version"]
    answer = change(served, f"/settings/{which}", {"changes": list(changes), "version": version})
    assert answer.status == 200, answer.body


def test_a_press_on_choose_and_set_is_not_lost_to_a_verdict(served: Served, page: Page) -> None:
    root, journal = served.root, Journal.open(served.root)
    frame = next(f for f, shot in read_state(root).shot_of.items() if shot == "one-bowl")
    page.goto(served.url + "choose")
    at_rest(page)
    page.locator(f'button.frame[data-frame="{frame}"]').click()
    verdict = page.locator("#chosen .verdict")
    for name, held, kind, word in [
        ("keep", by_mouse, "kept", "adjust"),
        ("again", by_space, "again", "good"),
        ("alternate", by_touch, "alternate", "again"),
    ]:
        before = len(kinds(root))
        with held(page.locator(f"#{name}")), news(page):
            journal.append("verdict", frame=frame, word=word, act="", confidence=0.9)
        expect(verdict).to_contain_text(word)
        saved(page, lambda before=before, kind=kind: kinds(root, before) == ["verdict", kind])
    open_set(page, served.url)
    page.click("#about")
    at_rest(page)
    before, shown = len(kinds(root)), page.locator("#picture").get_attribute("data-frame")
    with by_mouse(page.get_by_role("button", name="Make it the test frame")), news(page):
        journal.append("verdict", frame=shown, word="again", act="Tilt it.", confidence=0.9)
    expect(page.locator("#act")).to_contain_text("Tilt it.")
    saved(page, lambda: kinds(root, before) == ["verdict", "test frame"])


def test_a_press_on_finish_and_deliver_is_not_lost_to_a_verdict(served: Served, page: Page) -> None:
    finish_one_bowl(served)
    journal = Journal.open(served.root)
    frame = next(f for f, shot in read_state(served.root).shot_of.items() if shot == "one-bowl")
    page.goto(served.url + "finish")
    at_rest(page)
    others = page.locator("#shot-one-bowl details.others")
    with by_mouse(others.locator("summary")), news(page):
        journal.append("verdict", frame=frame, word="again", act="Tilt it.", confidence=0.9)
    expect(others).to_have_attribute("open", "")
    with by_space(others.locator("button").first), news(page):
        journal.append("again", frame=frame)
    saved(page, lambda: kinds(served.root)[-1] == "extra")
    page.goto(served.url + "deliver")
    at_rest(page)
    point = page.locator("#open a").first
    address = point.get_attribute("href")
    with by_mouse(point), news(page):
        journal.append("kept", frame=frame)
    page.wait_for_url(f"**{address}")


def test_a_press_or_a_letter_on_studio_and_plan_is_not_lost_to_another_screen(
    served: Served, page: Page
) -> None:
    page.goto(served.url + "studio")
    at_rest(page)
    board = page.locator("#shelf button").last
    with by_mouse(board), news(page):
        setting(served, "studio", {"put": ["room", "height_m"], "value": 2.9})
    expect(board).to_have_attribute("aria-pressed", "true")
    page.click("#to-room")
    expect(field(page, "room", "height_m")).to_have_value("2.9")
    # a field that is left by a press says what it lacks: what is pressed moves down by those words
    thing(page, "spots", 0).focus()
    field(page, "spots", 0, "from_left_m").fill("")
    more = page.locator("#panel details.more")
    with by_mouse(more.locator("summary")):
        expect(page.locator("#panel .said")).to_have_count(1)
    expect(more).to_have_attribute("open", "")

    page.goto(served.url + "plan")
    at_rest(page)
    shot, steps = page.locator("#shot-one-bowl"), page.locator("#step-list > li").count()
    heading, title = shot.locator("button.shot-open"), shot.locator("[data-path='shots.1.title'] input")
    with by_mouse(heading), news(page):
        setting(served, "shoot", {"add": ["recipe", "steps"], "item": {"name": "rest the dough"}})
    expect(heading).to_have_attribute("aria-expanded", "true")
    expect(page.locator("#step-list > li")).to_have_count(steps + 1)
    title.fill("Steam")
    title.press("ArrowLeft")
    with news(page):
        setting(served, "shoot", {"put": ["shots", 0, "name"], "value": "bowls"})
    page.keyboard.type("X")
    expect(title).to_have_value("SteaXm")
    title.press("Enter")
    saved(page, lambda: load_shoot(served.root).shots[1].title == "SteaXm")


@pytest.mark.parametrize("how", ["chosen", "left"])
def test_an_open_list_holds_where_the_browser_does_not_tell_that_it_is_open(
    served_once: Served, new_page: Callable[..., Page], how: str
) -> None:
    page = new_page(viewport=TABLET)
    page.add_init_script(
        """const known = CSS.supports.bind(CSS);
        CSS.supports = (...asked) => !asked.join().includes(":open") && known(...asked);"""
    )
    page.goto(served_once.url + "choose")
    at_rest(page)
    options = page.locator("#main select, main select").first
    options.click()
    # what was begun by the press has had its turn before this one
    assert page.evaluate(
        """async () => {
          const { whenLetGo } = await own("js/core/hold.js");
          whenLetGo(() => { window.drawn = true; });
          await new Promise((resolve) => setTimeout(resolve));
          return !window.drawn;
        }"""
    )
    if how == "chosen":
        options.select_option(index=1)
    else:
        page.locator("h1").click()
    page.wait_for_function("() => window.drawn")


def test_what_another_screen_wrote_is_heard_after_a_lost_connection_though_a_press_named_it(
    served: Served, new_page: Callable[..., Page]
) -> None:
    page = new_page(viewport=TABLET, quiet=True)  # the refusal is a line in the console
    page.add_init_script(LISTENING)
    page.goto(served.url + "choose")
    at_rest(page)
    live = "own('js/core/live.js')"
    page.evaluate(
        f"{live}.then((m) => {{ window.rows = []; m.on('row', ({{ n }}) => window.rows.push(n)); }})"
    )
    page.evaluate("window.stream.close()")
    journal = Journal.open(served.root)
    frame = next(f for f, shot in read_state(served.root).shot_of.items() if shot == "one-bowl")
    journal.append("kept", frame=frame)
    row = journal.last_number()
    page.evaluate(
        "(frame) => own('js/core/press.js').then((m) => m.press('again', { frame })).catch(() => {})",
        frame,
    )
    assert page.evaluate(f"{live}.then((m) => m.seenRow())") == row
    # silent for long enough to be opened anew
    page.evaluate("() => { const now = Date.now; Date.now = () => now() + 9000; }")
    page.wait_for_function("(row) => window.rows.includes(row)", arg=row)
