"""Many photographs from a paired browser: all there once, each judged once, in turn (bench/uploads.py: 200 large)."""

from collections.abc import Callable
from pathlib import Path

import pytest
from playwright.sync_api import Page, expect

from plateside.files.journal.journal import Journal
from tests.browser.serving import copy_shoot, serve, until
from tests.browser.set_page import TABLET as TABLET_SIZE
from tests.browser.uploading import let_paired_in, once_each, out_of_turn, verdicts, write_photographs
from tests.web.tablets import TABLET

pytestmark = pytest.mark.browser

COUNT = 12


def test_a_paired_browser_adds_many_and_each_is_judged_once_in_turn(
    _made_shoot: Path, tmp_path: Path, new_page: Callable[..., Page]
) -> None:
    served = serve(copy_shoot(_made_shoot, tmp_path / "shoot"), "--tablet-address", TABLET)
    try:
        journal = Journal.open(served.root)
        before = journal.last_number()
        page = new_page(viewport=TABLET_SIZE, quiet=True)
        page.goto(let_paired_in(served, page.context), wait_until="domcontentloaded")
        sent = write_photographs(tmp_path / "phone", COUNT)
        page.locator("#add-files").set_input_files(sent)
        expect(page.locator("#arriving")).to_have_attribute("data-done", str(COUNT))
        names = [path.name for path in sent]
        until(lambda: all(verdicts(journal.rows(before), names).values()))
        assert once_each(sent, served.root / "frames")
        assert list((served.root / ".plateside/arriving").iterdir()) == []
        rows = journal.rows(before)
        assert set(verdicts(rows, names).values()) == {1}
        assert out_of_turn(rows) == []
    finally:
        served.stop()
