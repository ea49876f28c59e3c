"""The call sheet on a phone: lens and exposure of every shot are there, and nothing scrolls sideways."""

from collections.abc import Callable
from dataclasses import replace

import pytest
from playwright.sync_api import Page, expect

from plateside.plan.setup import solve
from plateside.words.plan.set_up import settings_phrase
from tests.unit.plan.rooms import CHANNELS, LIGHT, LISBON
from tests.unit.plan.sheets import SHOTS, sheet

pytestmark = pytest.mark.browser
PLAIN = tuple(replace(s, title="") for s in SHOTS)


def test_a_phone_shows_all_of_it(new_page: Callable[..., Page]) -> None:
    page = new_page(viewport={"width": 390, "height": 844})
    page.set_content(sheet(PLAIN))
    for width in (360, 390, 600):
        page.set_viewport_size({"width": width, "height": 844})
        assert page.evaluate("document.documentElement.scrollWidth - innerWidth") <= 0
        for shot in PLAIN:
            said = settings_phrase(solve(LISBON, shot, CHANNELS, LIGHT))
            expect(page.locator("table.run").get_by_text(said).first).to_be_visible()
