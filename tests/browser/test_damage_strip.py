"""What is damaged, and what is said for a moment, cover nothing that is pressed or looked at on set."""

from collections.abc import Callable
from pathlib import Path

import pytest
from playwright.sync_api import Page, expect

from tests.browser.resting import at_rest
from tests.browser.serving import Served, copy_shoot, serve
from tests.browser.set_page import open_set

pytestmark = pytest.mark.browser

SIZES = ((390, 844), (820, 1180), (1180, 820), (844, 390))
COVERED = """() => [...document.querySelectorAll("[data-press], .stages a")].filter((e) => {
  const r = e.getBoundingClientRect();
  return !e.contains(document.elementFromPoint(r.x + r.width / 2, r.y + r.height / 2));
}).map((e) => e.textContent.trim())"""
OVER = """(notice) => { const a = document.querySelector(notice).getBoundingClientRect();
  return ["#shape", "#word", "#act", "#age", "#shot", "#picture", "[data-press]"].filter((part) =>
    [...document.querySelectorAll(part)].some((e) => { const b = e.getBoundingClientRect();
      return e.checkVisibility() && b.width && Math.min(a.right, b.right) - Math.max(a.left, b.left) > 1
        && Math.min(a.bottom, b.bottom) - Math.max(a.top, b.top) > 1; })); }"""
"""What of the set's screen stands under a notice."""
LONG = "Planned for Wednesday 15 September; the light here is today's, as the camera reads it."


def test_the_presses_and_the_stages_stay_free(
    _made_shoot: Path, tmp_path: Path, new_page: Callable[..., Page]
) -> None:
    root = copy_shoot(_made_shoot, tmp_path / "damaged")
    first, *rest = (root / "journal.jsonl").read_text("utf-8").splitlines(keepends=True)
    (root / "journal.jsonl").write_text("".join([first, '{"torn\n', *rest]), "utf-8")
    server = serve(root, "--no-watch")
    try:
        page = new_page(viewport={"width": 390, "height": 844})
        for at in ("set", "studio"):
            if at == "set":
                open_set(page, server.url)
            else:
                page.goto(f"{server.url}{at}", wait_until="domcontentloaded")
            for width, height in SIZES:
                page.set_viewport_size({"width": width, "height": height})
                expect(page.locator("#damaged")).to_be_visible()
                at_rest(page)
                assert page.evaluate(COVERED) == []
                if at == "set":
                    assert page.evaluate(OVER, "#damaged") == []
        page.close()
    finally:
        server.stop()


def test_what_is_said_covers_neither_the_word_nor_the_frame(
    served_once: Served, new_page: Callable[..., Page]
) -> None:
    page = new_page(viewport={"width": 390, "height": 844})
    open_set(page, served_once.url)
    page.wait_for_function("() => document.querySelector('#picture').naturalWidth > 0")
    for width, height in SIZES:
        page.set_viewport_size({"width": width, "height": height})
        page.evaluate("(words) => own('js/core/say.js').then((m) => m.say(words, null, 1e6))", LONG)
        at_rest(page)
        assert page.evaluate(OVER, "#say") == []
        assert page.evaluate(
            "document.querySelector('[data-press]').getBoundingClientRect().bottom <= innerHeight"
        )
