"""What is changed while a save is under way waits its turn: nothing is lost, nothing is taken for another's change."""

from collections.abc import Callable, Iterator
from typing import Any

import pytest
from playwright.sync_api import Page, Response, Route, expect

from plateside.files.journal.journal import Journal
from plateside.files.settings.load import load_shoot, load_studio
from plateside.model.shoot import PlacedBoard
from tests.browser.finished_bowl import finish_one_bowl
from tests.browser.resting import at_rest, hesitating
from tests.browser.serving import Served, until
from tests.browser.studio_page import field, thing

pytestmark = pytest.mark.browser


class Held:
    """The first change that a page sends is held until it is let go; every answer is noted."""

    def __init__(self, page: Page, path: str) -> None:
        self.page = page
        self.routes: list[Route] = []
        self.statuses: list[int] = []
        self.waiting = True
        page.route(path, self._take)
        page.on("response", self._note)

    def _take(self, route: Route) -> None:
        if self.waiting and route.request.method == "POST":
            self.routes.append(route)
        else:
            route.continue_()

    def _note(self, response: Response) -> None:
        if response.request.method == "POST" and ("/settings/" in response.url or "/press" in response.url):
            self.statuses.append(response.status)

    def let_go(self) -> None:
        self.waiting = False
        for route in self.routes:
            route.continue_()

    def all_answered(self) -> set[int]:
        """What the changes were answered, when the page waits for none any more: the disk has one before its answer."""
        at_rest(self.page)
        return set(self.statuses)


@pytest.fixture
def page(new_page: Callable[..., Page]) -> Iterator[Page]:
    """A refused change is a fault of these tests: the console's own word of it is not needed."""
    yield new_page(quiet=True)


def rows(served: Served, kind: str) -> list[dict[str, Any]]:
    return [dict(r.data) for r in Journal.open(served.root).rows() if r.kind == kind]


def placed(served: Served) -> PlacedBoard:
    return next(s for s in load_shoot(served.root).shots if s.name == "bowl-at-an-angle").boards[0]


TOWARD = {"right": "ArrowDown", "left": "ArrowUp", "far": "ArrowRight", "near": "ArrowLeft"}
"""Arrow of the plan to each side of that shot's dish: its camera looks to the right, 90 degrees."""


def test_a_board_nudged_while_its_save_is_under_way_goes_on_from_where_it_stands(
    served: Served, page: Page
) -> None:
    page.goto(served.url + "studio")
    thing(page, "spots", 0).focus()
    page.locator("#boards-shot").select_option("bowl-at-an-angle")
    first, held = placed(served), Held(page, "**/settings/shoot")

    def nudge() -> None:
        thing(page, "placed", 0).focus()
        page.keyboard.press(f"Shift+{TOWARD[first.side]}")

    nudge()
    until(lambda: page.title() and held.routes)
    nudge()
    # chosen in the same moment, before the first is answered
    other = next(b.name for b in load_studio(served.root).boards if b.name != first.board)
    page.locator("#placed-0-board").select_option(other)
    nudge()
    held.let_go()
    until(lambda: page.title() and placed(served).distance_m == pytest.approx(first.distance_m + 0.3))
    assert placed(served).board == other
    # back and forth while the first is under way: where it stood before is a change, too
    expect(page.locator("#placed-0-distance_m")).to_have_value(f"{first.distance_m + 0.3:g}")
    assert held.all_answered() == {200}
    steps = len(held.statuses)
    assert steps == 4
    for left in (0.2, 0.2, 0.1, 0.0):
        page.locator("#undo").click()
        until(
            lambda left=left: (
                page.title() and placed(served).distance_m == pytest.approx(first.distance_m + left)
            )
        )
    until(lambda: page.title() and placed(served) == first)


def test_a_thing_renamed_and_a_board_moved_at_once_are_both_saved(served: Served, page: Page) -> None:
    page.goto(served.url + "studio")
    thing(page, "spots", 0).focus()
    page.locator("#boards-shot").select_option("bowl-at-an-angle")
    held, before = Held(page, "**/settings/*"), placed(served)
    name = field(page, "spots", 0, "name")
    name.fill("at the sill")
    name.press("Enter")
    until(lambda: page.title() and held.routes)
    distance = page.locator("#placed-0-distance_m")
    distance.fill("0.77")
    distance.press("Enter")
    held.let_go()
    until(lambda: page.title() and placed(served).distance_m == 0.77)
    shot = next(s for s in load_shoot(served.root).shots if s.name == "bowl-at-an-angle")
    assert shot.spot == "at the sill"
    assert held.all_answered() == {200}
    # and the other way round, which was done last is taken back first
    page.locator("#undo").click()
    page.locator("#undo").click()
    until(lambda: page.title() and load_studio(served.root).spots[0].name == "by the window")
    assert placed(served) == before
    assert held.all_answered() == {200}


def test_two_things_nudged_within_the_pause_are_both_moved(served: Served, page: Page) -> None:
    page.goto(served.url + "studio")
    before, held = load_studio(served.root), Held(page, "**/settings/studio")
    with hesitating(page):
        thing(page, "spots", 1).focus()
        page.keyboard.press("Shift+ArrowLeft")
        thing(page, "windows", 0).focus()
        page.keyboard.press("Shift+ArrowRight")
    until(lambda: page.title() and held.routes)
    thing(page, "spots", 1).focus()
    page.keyboard.press("Shift+ArrowLeft")
    held.let_go()
    spot, window = before.spots[1].from_left_m, before.windows[0]
    assert window.from_left_m is None
    middle = (before.room.width_m - window.width_m) / 2
    until(lambda: page.title() and load_studio(served.root).spots[1].from_left_m == pytest.approx(spot - 0.2))
    assert load_studio(served.root).windows[0].from_left_m == pytest.approx(middle + 0.1)
    assert held.all_answered() == {200}


def test_a_row_moved_down_twice_at_once_is_two_places_down(served: Served, page: Page) -> None:
    page.goto(served.url + "plan")
    names = [s.name for s in load_shoot(served.root).shots]
    card, held = page.locator(f"#shot-{names[0]}"), Held(page, "**/settings/shoot")
    expect(card).to_be_visible()
    down = card.locator('[data-act="down"]').first
    # pressed by the page's own code: the row that is pressed twice is the one that was drawn
    down.evaluate("(b) => { b.click(); b.click(); }")
    until(lambda: page.title() and held.routes)
    held.let_go()
    wanted = [*names[1:3], names[0], *names[3:]]
    until(lambda: page.title() and [s.name for s in load_shoot(served.root).shots] == wanted)
    assert held.all_answered() == {200}


def test_the_dish_marked_again_before_the_first_mark_is_written_is_marked_twice(
    served: Served, page: Page
) -> None:
    finish_one_bowl(served)
    page.goto(served.url + "deliver", wait_until="domcontentloaded")
    shot = page.locator("#shot-one-bowl")
    shot.scroll_into_view_if_needed()
    shot.get_by_role("button", name="Move it").press("Enter")
    dish = shot.locator(".dish")
    expect(dish).to_be_focused()
    held, left = Held(page, "**/press"), dish.evaluate("d => parseFloat(d.style.left)")
    page.keyboard.press("Shift+ArrowRight")
    until(lambda: page.title() and held.routes)
    for label, value in (("Wide, %", "20"), ("High, %", "30")):
        shot.get_by_label(label).fill(value)
        shot.get_by_label(label).press("Enter")
    # words are written in the same moment, too
    shot.locator("#alt_text-one-bowl").fill("A bowl of soup on a grey table.")
    shot.locator("#alt_text-one-bowl").blur()
    held.let_go()
    until(lambda: page.title() and rows(served, "words"))
    boxes = [row["box"] for row in rows(served, "dish")]
    assert [box[2:] for box in boxes[1:]] == [[0.2, pytest.approx(boxes[0][3])], [0.2, 0.3]]
    assert boxes[-1][0] * 100 == pytest.approx(left + 5, abs=0.1)
    assert held.all_answered() == {200}
    # what stands there now is the last of them
    expect(shot.get_by_label("High, %")).to_have_value("30")
    expect(shot.get_by_label("Wide, %")).to_have_value("20")


def test_terms_and_a_model_release_said_at_once_are_both_saved(served: Served, page: Page) -> None:
    finish_one_bowl(served)
    page.goto(served.url + "deliver", wait_until="domcontentloaded")
    held = Held(page, "**/settings/shoot")
    page.locator("#usage_terms").fill("One year, one website.")
    page.locator("#usage_terms").blur()
    until(lambda: page.title() and held.routes)
    page.locator("#licence_url").fill("https://example.org/terms")
    page.locator("#licence_url").press("Enter")
    box = page.locator("#releases input").first
    box.click()
    wanted = box.is_checked()
    name = (box.get_attribute("id") or "").removeprefix("release-")
    held.let_go()
    until(
        lambda: (
            page.title()
            and next(s for s in load_shoot(served.root).shots if s.name == name).model_release == wanted
        )
    )
    creator = load_shoot(served.root).creator
    assert (creator.usage_terms, creator.licence_url) == (
        "One year, one website.",
        "https://example.org/terms",
    )
    assert held.all_answered() == {200}
