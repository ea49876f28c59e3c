"""The Set page's second disk, memory card and last check."""

from collections.abc import Callable
from pathlib import Path

import pytest
from playwright.sync_api import Page, expect

from plateside.files.journal.journal import Journal
from plateside.files.settings.load import load_shoot
from tests.browser.resting import at_rest, told
from tests.browser.serving import Served
from tests.browser.set_page import TABLET, open_set

pytestmark = pytest.mark.browser


def test_a_folder_is_named_refused_and_kept(
    served: Served, new_page: Callable[..., Page], tmp_path: Path
) -> None:
    page = new_page(viewport=TABLET, quiet=True)
    open_set(page, served.url)
    page.locator("#about").click()
    page.locator("#second-disk").fill(str(served.root))
    page.locator("#name-second button").click()
    # the answer has come: what stands there may be of something else that was said before it
    at_rest(page)
    expect(page.locator("#say")).not_to_be_empty()
    assert load_shoot(served.root / "shoot.toml").second_disk == ""
    there = tmp_path / "BACKUP"
    there.mkdir()
    page.locator("#second-disk").fill(str(there))
    page.locator("#name-second button").click()
    told(page, "BACKUP")
    assert load_shoot(served.root / "shoot.toml").second_disk == str(there)


def test_the_last_check_leads_to_choose(served: Served, new_page: Callable[..., Page]) -> None:
    page = new_page(viewport=TABLET, quiet=True)
    open_set(page, served.url)
    page.locator("#about").click()
    page.locator("#last-check").click()
    shots = [shot.name for shot in load_shoot(served.root / "shoot.toml").shots]
    expect(page.locator("#clearing-shots > li")).to_have_count(len(shots))
    expect(page.locator("#clearing-shots > li.lacks")).to_have_count(len(shots))
    assert not [r for r in Journal.open(served.root).rows() if r.kind == "kept"]
    page.locator(".choose-next").click()
    page.wait_for_url("**/choose")
