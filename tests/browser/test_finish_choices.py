"""Finish: a lens that may be one of several is chosen, and a chart is found, used and taken away, on the page."""

from collections.abc import Callable
from pathlib import Path

import pytest
from playwright.sync_api import Page, expect

from plateside.files.journal.state import read_state
from plateside.finish.lens_facts import ON
from plateside.tasks.finish.series import finish
from tests.browser.serving import Served
from tests.shoots.charted import charted_shoot
from tests.shoots.dotted import dotted_shoot
from tests.shoots.re_lit import SHOOT
from tests.synthetic.dotted import DOTS, dotted
from tests.synthetic.lens_names import takes_several

pytestmark = pytest.mark.browser


def test_a_lens_that_may_be_one_of_several_is_chosen_by_keys_and_taken_back(
    tmp_path: Path, opened_on: Callable[[Path], Served], page: Page, axe: Callable[[Page], list[str]]
) -> None:
    of = takes_several("24-70mm f/2.8")
    root = dotted_shoot(
        tmp_path / "shoot", dotted(DOTS), None, make=of.maker, model=of.model, lens="24-70mm f/2.8"
    )
    offered = finish(root).finished[0].lens.others
    page.goto(opened_on(root).url + "finish", wait_until="domcontentloaded")
    which = page.get_by_label("Your lens")
    expect(which.locator("option")).to_have_count(1 + len(offered))
    expect(which).to_have_value(ON)
    assert axe(page) == []
    which.focus()
    page.keyboard.press("ArrowDown")
    expect(page.locator("#shot-cup [data-code='set by hand']")).to_be_visible()
    expect(which).to_have_value(offered[0])
    assert read_state(root).lens == offered[0]
    page.get_by_role("button", name="Undo").click()
    expect(which).to_have_value(ON)
    assert read_state(root).lens == ON
    page.locator("#lens").uncheck()
    expect(which).to_be_hidden()


def test_a_chart_is_found_used_and_taken_away(
    tmp_path: Path, opened_on: Callable[[Path], Served], page: Page, axe: Callable[[Page], list[str]]
) -> None:
    root = charted_shoot(tmp_path / "shoot", SHOOT)
    page.goto(opened_on(root).url + "finish", wait_until="domcontentloaded")
    page.locator("#chart summary").click()
    page.locator("#chart-frame").select_option(label="chart.dng")
    use = page.get_by_role("button", name="Use this chart")
    expect(use).to_be_enabled()
    pin = page.locator("#chart-read .pin").first
    first = pin.get_attribute("aria-label")
    pin.focus()
    page.keyboard.press("Shift+ArrowLeft")
    expect(pin).not_to_have_attribute("aria-label", first or "")
    # corners that were moved are read before they count
    expect(use).to_be_disabled()
    page.get_by_role("button", name="Read the chart here").click()
    expect(use).to_be_enabled()
    assert axe(page) == []
    use.click()
    expect(page.locator("#charts li")).to_have_count(1)
    (corners,) = read_state(root).charts.values()
    assert len(corners) == 8
    page.get_by_role("button", name="Undo").click()
    expect(page.locator("#charts li")).to_have_count(0)
    assert read_state(root).charts == {}
