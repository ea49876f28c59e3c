"""Plan by a light that she read: the day, cards and sheets follow it, nothing is written down, what is none is told."""

from collections.abc import Callable
from pathlib import Path

import pytest
from playwright.sync_api import Page, expect

from plateside.demo.data import copy_demo
from tests.browser.serving import PATIENT_MS, Served

pytestmark = pytest.mark.browser
WORKED_MS = PATIENT_MS


def test_a_light_that_was_read_stands_in_the_place_of_the_predicted(
    tmp_path: Path,
    new_page: Callable[..., Page],
    axe: Callable[[Page], list[str]],
    opened_on: Callable[[Path], Served],
) -> None:
    root = tmp_path / "shoot"
    root.mkdir()
    copy_demo(root)
    before = [(root / name).read_bytes() for name in ("studio.toml", "shoot.toml")]
    server = opened_on(root)
    # a refused value is an answer of 422, which the browser notes
    page = new_page(quiet=True)
    page.goto(server.url + "plan#shot-three-bowls")
    headline = page.locator("#shot-three-bowls .headline")
    expect(headline).to_be_visible(timeout=WORKED_MS)
    predicted = headline.inner_text()
    light, field = page.locator("#read-lx"), page.locator(".field:has(#read-lx)")
    light.fill("a lot")
    light.press("Tab")
    expect(field).to_contain_text("Write the light as a number of lux, from 0.01 to 200000.")
    assert axe(page) == []
    light.fill("200")
    light.press("Tab")
    expect(headline).not_to_have_text(predicted, timeout=WORKED_MS)
    expect(field).not_to_contain_text("Write the light")
    assert "200 lx" in page.request.get(server.url + "plan/card/three-bowls").text()
    page.reload()
    expect(light).to_have_value("200")
    light.fill("")
    light.press("Tab")
    expect(headline).to_have_text(predicted, use_inner_text=True, timeout=WORKED_MS)
    assert [(root / name).read_bytes() for name in ("studio.toml", "shoot.toml")] == before
