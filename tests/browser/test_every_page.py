"""Every page: reached, without axe violations, without Nu errors, without a word to anyone else."""

from collections.abc import Callable, Iterator
from contextlib import contextmanager
from pathlib import Path

import pytest
from playwright.sync_api import Page

from plateside.files.settings.write import Put, update_shoot
from tests.browser.layout import SIZES, faults
from tests.browser.resting import at_rest
from tests.browser.serving import Served, copy_shoot, serve
from tests.nu_checker import complaints

pytestmark = pytest.mark.browser

PAGES = ("start", "studio", "light", "plan", "set", "choose", "finish", "deliver", "tablet", "nowhere")
MORE = ("start/new", "plan/call-sheet", "plan/card/three-bowls")


@contextmanager
def alone(root: Path) -> Iterator[Served]:
    """A server of its own: its start page lists this shoot, and none of other tests."""
    server = serve(root, "--no-watch")
    try:
        yield server
    finally:
        server.stop()


@pytest.mark.parametrize("name", (*PAGES[1:], *MORE))
def test_axe_finds_nothing_and_nothing_is_cut_or_lies_over_another(
    name: str, served_once: Served, new_page: Callable[..., Page], axe: Callable[[Page], list[str]]
) -> None:
    finds_nothing(new_page(quiet=name == "nowhere"), served_once, name, axe)


@pytest.fixture
def of_one_shoot(shoot_once: Path) -> Iterator[Served]:
    with alone(shoot_once) as served:
        yield served


def test_axe_finds_nothing_at_the_start(
    of_one_shoot: Served, new_page: Callable[..., Page], axe: Callable[[Page], list[str]]
) -> None:
    finds_nothing(new_page(), of_one_shoot, "start", axe)


def test_what_a_page_is_made_of_is_asked_for_once(served_once: Served, page: Page) -> None:
    asked: list[list[str]] = []
    page.on("request", lambda request: asked[-1].append(request.url))
    for name in ("set", "choose", "set"):
        asked.append([])
        page.goto(served_once.url + name)
        at_rest(page)
    ours = [url for url in asked[0] if "/static/" in url]
    assert len(ours) > 20
    assert all("/static/v-" in url for url in ours)
    # transferSize: nothing of it came over the network (Resource Timing, 4.3)
    sent = page.evaluate(
        "performance.getEntriesByType('resource').filter((e) => e.name.includes('/static/') && e.transferSize)"
    )
    assert sent == []


def finds_nothing(page: Page, served: Served, name: str, axe: Callable[[Page], list[str]]) -> None:
    answer = page.goto(served.url + name)
    assert answer is not None
    assert answer.status == (404 if name == "nowhere" else 200)
    page.wait_for_load_state("load")
    at_rest(page)
    assert page.locator("h1").count() >= 1
    for wide, high in SIZES:
        page.set_viewport_size({"width": wide, "height": high})
        at_rest(page)
        assert faults(page) == [], f"{name} at {wide}"
    page.set_viewport_size({"width": 1180, "height": 820})
    at_rest(page)
    assert axe(page) == []


LONG = "Rindfleischetikettierungsüberwachungsaufgabenübertragungsgesetz"
"""A real word of 63 letters (a German law of 1999, from memory)."""


def test_long_words_and_names_are_cut_nowhere(
    _made_shoot: Path, tmp_path: Path, new_page: Callable[..., Page], opened_on: Callable[[Path], Served]
) -> None:
    root = copy_shoot(_made_shoot, tmp_path / "a-shoot-in-a-folder-with-a-name-longer-than-the-page-is-wide")
    changes = [
        Put(("recipe", "title"), f"Pie of {LONG}"),
        Put(("shots", "one-bowl", "title"), LONG),
        Put(("shots", "pour", "name"), "a-shot-name-that-somebody-typed-in-once-and-never-again"),
    ]
    update_shoot(root / "shoot.toml", changes)
    found: dict[str, list[str]] = {}
    # the stream of the start page ends with its server, and says so
    page = new_page(viewport={"width": 390, "height": 844}, quiet=True)

    def look(served: Served, name: str) -> None:
        page.goto(served.url + name)
        page.evaluate("document.querySelectorAll('main details').forEach((box) => { box.open = true; })")
        at_rest(page)
        found[name] = faults(page)

    with alone(root) as served:
        look(served, "start")
    served = opened_on(root)
    for name in ("light", "plan", "plan/call-sheet", "set", "choose", "finish", "deliver"):
        look(served, name)
    assert {name: each for name, each in found.items() if each} == {}


@pytest.mark.parametrize(
    ("body", "fault"),
    [
        ('<p style="width:100px;overflow:hidden;white-space:nowrap">far too many words for it</p>', "too narrow"),
        ('<p style="height:12px;overflow:hidden">one<br>two</p>', "cut"),
        ('<div style="position:relative"><p>one thing</p><p style="margin-top:-2rem">and another</p></div>', "over"),
        ('<button>press</button><button style="margin-left:-2rem">or press</button>', "over"),
        ('<p style="width:3000px">wide</p>', "too wide"),
        ('<p style="margin-left:-2rem">off to the left</p>', "beyond the window"),
        ('<p>plain</p><p style="line-height:1">lines<br>that are set tight</p><button>press</button>', ""),
        ('<ul style="overflow-x:auto;white-space:nowrap;width:90px"><li>scrolled <b>on</b> its own</li></ul>', ""),
        ('<p class="hidden" style="position:absolute;top:0">not seen</p><p>seen</p>', ""),
    ],
)  # fmt: skip
def test_the_measure_finds_what_it_should(page: Page, body: str, fault: str) -> None:
    page.set_content(f"<style>.hidden{{display:none}} body{{margin:0}}</style><body>{body}</body>")
    found = faults(page)
    assert any(fault in each for each in found) if fault else found == []


def test_the_html_checker_finds_no_error(served_once: Served, page: Page, tmp_path: Path) -> None:
    files = []
    for name in PAGES[:-1]:
        file = tmp_path / f"{name}.html"
        file.write_text(page.request.get(served_once.url + name).text(), encoding="utf-8")
        files.append(file)
    assert [str(c) for c in complaints(files) if c.kind == "error"] == []
