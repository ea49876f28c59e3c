"""Every page: reached, without axe violations, without Nu errors, without a word to anyone else."""

from collections.abc import Callable
from pathlib import Path

import pytest
from playwright.sync_api import Page

from tests.browser.resting import at_rest
from tests.browser.serving import Served
from tests.nu_checker import complaints

pytestmark = pytest.mark.browser

PAGES = ("start", "studio", "light", "plan", "set", "choose", "finish", "deliver", "tablet", "nowhere")
SIZES = ((1440, 900), (1180, 820), (820, 1180), (390, 844))


@pytest.mark.parametrize("name", PAGES)
def test_axe_finds_nothing_and_nothing_overflows(
    name: str, served_once: Served, new_page: Callable[..., Page], axe: Callable[[Page], list[str]]
) -> None:
    page = new_page(quiet=name == "nowhere")
    answer = page.goto(served_once.url + name)
    assert answer is not None
    assert answer.status == (404 if name == "nowhere" else 200)
    page.wait_for_load_state("load")
    at_rest(page)
    assert page.locator("h1").count() >= 1
    for wide, high in SIZES:
        page.set_viewport_size({"width": wide, "height": high})
        at_rest(page)
        over = page.evaluate("document.documentElement.scrollWidth - window.innerWidth")
        assert over <= 0, f"{name} is {over} px too wide at {wide}"
    page.set_viewport_size({"width": 1180, "height": 820})
    at_rest(page)
    assert axe(page) == []


def test_the_html_checker_finds_no_error(served_once: Served, page: Page, tmp_path: Path) -> None:
    files = []
    for name in PAGES[:-1]:
        file = tmp_path / f"{name}.html"
        file.write_text(page.request.get(served_once.url + name).text(), encoding="utf-8")
        files.append(file)
    assert [str(c) for c in complaints(files) if c.kind == "error"] == []
