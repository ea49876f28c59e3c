"""The strip that says what is damaged covers nothing that is pressed."""

from collections.abc import Callable
from pathlib import Path

import pytest
from playwright.sync_api import Page, expect

from tests.browser.resting import at_rest
from tests.browser.serving import copy_shoot, serve

pytestmark = pytest.mark.browser

COVERED = """() => [...document.querySelectorAll("[data-press], .stages a")].filter((e) => {
  const r = e.getBoundingClientRect();
  return !e.contains(document.elementFromPoint(r.x + r.width / 2, r.y + r.height / 2));
}).map((e) => e.textContent.trim())"""


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
            page.goto(f"{server.url}{at}", wait_until="domcontentloaded")
            for width, height in ((390, 844), (820, 1180), (1180, 820), (844, 390)):
                page.set_viewport_size({"width": width, "height": height})
                expect(page.locator("#damaged")).to_be_visible()
                at_rest(page)
                assert page.evaluate(COVERED) == []
        page.close()
    finally:
        server.stop()
