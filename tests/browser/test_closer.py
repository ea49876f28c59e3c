"""Looking closely on set: pixel for pixel, what is laid over the frame, gone by one press, closed by Back."""

import io
from collections.abc import Callable
from pathlib import Path

import numpy as np
import pytest
import typst
from PIL import Image
from playwright.sync_api import Locator, Page, expect

from plateside.files.journal.journal import Journal
from plateside.files.settings.load import load_shoot
from tests.browser.resting import at_rest
from tests.browser.serving import Served
from tests.browser.set_page import TABLET, UPRIGHT, judge, open_set, put_frame, wait_word

pytestmark = pytest.mark.browser
WIDE, HIGH = 2400, 1600
PHONE, LAPTOP = {"width": 390, "height": 844}, {"width": 1440, "height": 900}
FACTS = {
    "frame": "", "shot": "three-bowls", "lead": "Too few pixels for print.",
    "crops": [{"channel": "print", "box": [0, 0, 1, 1], "width_px": 2400, "height_px": 1600, "whole": False}],
    "lacks": ["Too few pixels for print: 2,400 of 3,000 px: shoot this one portrait."],
    "test_frame": "", "test_over": [0, 0, 1, 1], "test_words": "", "roll_deg": 1.5, "roll_by": "set card",
}  # fmt: skip


def pattern() -> np.ndarray:
    """No two neighbourhoods alike, blocks of 2 pixels: a picture a pixel off, or made larger, is another."""
    rng = np.random.default_rng(11)
    blocks = rng.integers(30, 220, (HIGH // 2, WIDE // 2, 1)).repeat(3, axis=2)
    return np.kron(blocks, np.ones((2, 2, 1))).astype(np.uint8)


@pytest.fixture(scope="module")
def _root(shoot_once: Path) -> Path:
    root = shoot_once
    shot = load_shoot(root / "shoot.toml").shots[0].name
    test_frame = put_frame(root, "test.jpg")
    newest = put_frame(root, "newest.jpg", pattern())
    journal = Journal.open(root)
    for frame in (test_frame, newest):
        journal.append("frame belongs", frame=frame, shot=shot, guess=False)
    journal.append("shot current", shot=shot)
    judge(root, newest, "good")
    FACTS.update(frame=newest, shot=shot, test_frame=test_frame)
    return root


@pytest.fixture
def on_set(_root: Path, opened_on: Callable[[Path], Served]) -> Served:
    return opened_on(_root)


def open_closer(page: Page, url: str) -> Locator:
    # what is known of a frame has its own tests: here it is what the page makes of it
    open_set(page, url, closer=FACTS)
    wait_word(page, "Good", str(FACTS["frame"]))
    page.locator("#look").click()
    expect(page.locator("#closer")).to_be_visible()
    return page.locator("#closer")


def tool(page: Page, name: str) -> Locator:
    return page.locator(f"[data-tool={name}]")


BOX = "e => { const { x, y, width, height } = e.getBoundingClientRect(); return [x, y, width, height]; }"


@pytest.mark.parametrize("ratio", [1, 2])
def test_at_100_per_cent_one_pixel_is_one_of_the_screen(
    on_set: Served, new_page: Callable[..., Page], ratio: int
) -> None:
    page = new_page(viewport=TABLET, device_scale_factor=ratio)
    # everything is real here but the facts
    open_set(page, on_set.url, measured=True, closer=FACTS)
    wait_word(page, "Good", str(FACTS["frame"]))
    page.locator("#look").click()
    tool(page, "one").click()
    page.wait_for_function(
        "() => { const all = [...document.querySelectorAll('.tiles img')];"
        " return all.length && all.every((e) => e.complete && e.naturalWidth); }"
    )
    tool(page, "asIs").click()
    picture = np.asarray(Image.open(on_set.root / "frames" / "newest.jpg").convert("RGB"), float)
    stage, plane = (
        [round(ratio * v, 3) for v in page.locator(part).evaluate(BOX)]
        for part in ("#closer-stage", ".plane")
    )
    assert plane == [round(v) for v in plane], "on the screen's own pixels"
    assert plane[2:] == [WIDE, HIGH]
    left, top = (round(max(stage[k], plane[k])) + 20 for k in (0, 1))
    right, bottom = (round(min(stage[k] + stage[k + 2], plane[k] + plane[k + 2])) - 20 for k in (0, 1))
    expected = picture[
        top - int(plane[1]) : bottom - int(plane[1]), left - int(plane[0]) : right - int(plane[0])
    ]
    screen = np.asarray(Image.open(io.BytesIO(page.screenshot())).convert("RGB"), float)
    seen = screen[top:bottom, left:right]
    assert seen.size > 1_000_000
    off = np.abs(seen - expected).mean()
    assert off < 12, "coded twice, and nothing else"
    for axis, by in ((0, 1), (0, -1), (1, 1), (1, -1)):
        beside = np.abs(np.roll(seen, by, axis=axis) - expected).mean()
        assert beside > 2 * off, "one pixel to the side is another picture"
    # moved by keys and by dragging
    place = page.locator(".plane")
    before = place.get_attribute("style")
    page.keyboard.press("ArrowRight")
    expect(place).not_to_have_attribute("style", before or "")
    page.keyboard.press("0")
    expect(tool(page, "whole")).to_have_attribute("aria-pressed", "true")


def test_what_is_laid_over_is_off_at_first_kept_and_gone_by_one_press(
    on_set: Served, new_page: Callable[..., Page]
) -> None:
    page = new_page(viewport=LAPTOP)
    open_closer(page, on_set.url)
    over = page.locator(".plane > .over > *")
    expect(page.locator("#closer-lacks")).to_contain_text("print")
    assert over.count() == 0
    for name in ("grid", "crops", "level", "test"):
        tool(page, name).click()
        expect(tool(page, name)).to_have_attribute("aria-pressed", "true")
    expect(page.locator(".laid.test")).to_have_css("opacity", "0.5")
    expect(page.locator(".crop.lacking")).to_have_count(1)
    expect(page.locator(".line")).to_have_count(6)
    # by one press all goes, by one it is back
    page.keyboard.press("h")
    expect(page.locator(".plane > .over").first).to_be_hidden()
    page.keyboard.press("h")
    expect(page.locator(".crop")).to_be_visible()
    # Back closes it and stays on the page; what was on is kept for the shot
    at = page.url
    page.go_back()
    expect(page.locator("#closer")).to_be_hidden()
    assert page.url == at
    page.locator("#look").click()
    expect(page.locator(".crop")).to_be_visible()
    # how bright it is shown is said, and as it is by one press
    dark = page.locator("#closer-note").text_content()
    tool(page, "asIs").click()
    expect(page.locator("#closer-note")).not_to_have_text(dark or "")
    assert page.locator("#closer").evaluate("e => getComputedStyle(e).getPropertyValue('--look')") == "1.000"


def test_a_layout_is_laid_over_and_turned_to_another_page(
    on_set: Served, new_page: Callable[..., Page], tmp_path: Path
) -> None:
    source = tmp_path / "cover.typ"
    source.write_text("#set page(width: 90pt, height: 60pt)\nOne\n#pagebreak()\nTwo")
    made = typst.compile(str(source), format="pdf")
    assert isinstance(made, bytes)
    page = new_page(viewport=TABLET)
    open_closer(page, on_set.url)
    with page.expect_file_chooser() as chooser:
        tool(page, "layout").click()
    chooser.value.set_files({"name": "cover.pdf", "mimeType": "application/pdf", "buffer": made})
    laid = page.locator(".laid.layout")
    expect(laid).to_be_visible()
    first = laid.get_attribute("src")
    weak = float(laid.evaluate("e => e.style.opacity"))
    tool(page, "layout").click()
    page.wait_for_function(
        "weak => Number(document.querySelector('.laid.layout').style.opacity) > weak", arg=weak
    )
    page.get_by_role("button", name="Page after").click()
    expect(laid).not_to_have_attribute("src", first or "")
    page.get_by_role("button", name="Take it away").click()
    expect(laid).to_have_count(0)


def test_nothing_is_cut_or_covered_at_any_size(
    on_set: Served, new_page: Callable[..., Page], axe: Callable[[Page], list[str]]
) -> None:
    page = new_page(viewport=PHONE, screen=PHONE)
    open_closer(page, on_set.url)
    for name in ("grid", "crops", "level"):
        tool(page, name).click()
    page.evaluate("document.querySelector('#say').textContent = 'Copied to the second disk, all of them.'")
    for size in (PHONE, UPRIGHT, TABLET, LAPTOP):
        page.set_viewport_size(size)  # type: ignore[arg-type]
        at_rest(page)
        nothing_is_cut(page, size)
        assert axe(page) == []


def nothing_is_cut(page: Page, size: dict[str, int]) -> None:
    boxes = [
        page.locator(part).bounding_box()
        for part in ("#closer-head", "#say", ".closer-panes", ".closer-told", "#closer-tools")
    ]
    for box, below in zip(boxes, [*boxes[1:], None], strict=True):
        assert box, size
        assert box["x"] >= 0, size
        assert box["x"] + box["width"] <= size["width"] + 1, size
        assert box["y"] + box["height"] <= (below["y"] if below else size["height"]) + 1, size
    assert boxes[2] is not None
    assert boxes[2]["height"] > 0.3 * size["height"], "the picture first"
    for button in page.locator("#closer button").all():
        box = button.bounding_box()
        assert box
        assert min(box["width"], box["height"]) >= 44, size
        assert button.evaluate("e => e.scrollWidth <= e.clientWidth + 1"), size
