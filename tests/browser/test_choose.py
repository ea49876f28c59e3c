"""Choose as she uses it: by keys and touch, seen by a second page, drawn before any script, pictures by the strip.

Over 400 lines: the pages of one stage share one server and one set of small pictures, started once for this file.
"""

import io
import re
import shutil
from collections.abc import Callable
from pathlib import Path
from typing import Any

import numpy as np
import pytest
from PIL import Image
from playwright.sync_api import Page, expect

from plateside.demo.data import copy_demo
from plateside.files.journal.journal import Journal
from plateside.files.thumbnails import thumbnail_path
from plateside.tasks.choose.strips import make_strips
from tests.browser.resting import at_rest
from tests.browser.serving import Served, copy_shoot, until

pytestmark = pytest.mark.browser

FRAMES = 100
SHOTS = ("three-bowls", "one-bowl")


_grey = io.BytesIO()
Image.new("RGB", (300, 200), (128, 128, 128)).save(_grey, "JPEG")
GREY = _grey.getvalue()
"""Stands for a frame's large picture: there is no frame to make it from."""


def grey_ones(page: Page) -> None:
    page.route(
        re.compile(r"/frames/\w+/(view|full)\.jpg"),
        lambda route: route.fulfill(status=200, body=GREY, content_type="image/jpeg"),
    )


def rows(served: Served, kind: str) -> list[dict[str, Any]]:
    return [dict(r.data) for r in Journal.open(served.root).rows() if r.kind == kind]


def frames(served: Served) -> list[str]:
    return [str(r["frame"]) for r in rows(served, "frame landed")]


def card(page: Page, frame: str) -> Any:
    return page.locator(f'button.frame[data-frame="{frame}"]')


def colour(n: int) -> tuple[int, int, int]:
    """A colour of its own for each frame: far from the next one's."""
    return 40 + 50 * (n % 5), 40 + 50 * (n // 5 % 5), 40 + 50 * (n // 25 % 5)


def coloured_shoot(root: Path) -> Path:
    """A hundred frames of two shots, each of one colour, small pictures made and joined; every fifth upright."""
    root.mkdir()
    copy_demo(root)
    rows: list[tuple[str, dict[str, object]]] = []
    for n in range(FRAMES):
        frame = f"{n:032x}"
        path = thumbnail_path(root, frame, "thumb")
        path.parent.mkdir(parents=True, exist_ok=True)
        Image.new("RGB", (213, 320) if n % 5 == 4 else (320, 213), colour(n)).save(path, quality=92)
        rows.append(("frame landed", {"frame": frame, "name": f"plate-{n:03d}.jpg"}))
        # the last twenty of the first shot landed after the second's
        shot = SHOTS[0] if n < 50 or n >= 80 else SHOTS[1]
        rows.append(("frame belongs", {"frame": frame, "shot": shot, "guess": False}))
        rows.append(
            (
                "verdict",
                {
                    "frame": frame,
                    "word": ("good", "adjust", "again")[n % 3],
                    "act": "Nearer",
                    "confidence": 0.9,
                },
            )
        )
    # what the panel shows of the first: nothing need be developed
    thumbnail_path(root, f"{0:032x}", "view").write_bytes(
        thumbnail_path(root, f"{0:032x}", "thumb").read_bytes()
    )
    rows.append(("kept", {"frame": f"{1:032x}"}))
    rows.append(("select", {"shot": SHOTS[0], "frame": f"{2:032x}"}))
    Journal.open(root).append_many(rows)
    make_strips(root)
    return root


@pytest.fixture(scope="module")
def _coloured(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return coloured_shoot(tmp_path_factory.mktemp("coloured") / "coloured")


@pytest.fixture
def coloured(_coloured: Path, opened_on: Callable[[Path], Served]) -> Served:
    """For the tests that only look."""
    return opened_on(_coloured)


def shown_colours(page: Page, frames: range) -> dict[int, tuple[int, ...]]:
    """The colour in the middle of each of these cards that is on the screen now."""
    places = page.evaluate(
        """() => Object.fromEntries([...document.querySelectorAll("button.frame")].map((f) => {
             const b = f.querySelector(".picture").getBoundingClientRect();
             return [f.dataset.frame, [b.left + b.width / 2, b.top + b.height / 2]];
           }).filter(([, [, y]]) => y > 0 && y < innerHeight))"""
    )
    screen = np.asarray(Image.open(io.BytesIO(page.screenshot())).convert("RGB"))
    return {
        n: tuple(int(v) for v in screen[int(places[f"{n:032x}"][1]), int(places[f"{n:032x}"][0])])
        for n in frames
        if f"{n:032x}" in places
    }


def far(seen: dict[int, tuple[int, ...]]) -> list[int]:
    """Frames that show another colour than their own (JPEG and the strip's second packing move it a little)."""
    return [n for n, rgb in seen.items() if max(abs(a - b) for a, b in zip(rgb, colour(n), strict=True)) > 12]


# ---- drawn before any script, and taken over ---------------------------------------------------------------


def test_cards_stand_in_the_page_as_sent_and_the_script_changes_none(coloured: Served, page: Page) -> None:
    sent = page.request.get(coloured.url + "choose").text()
    labels = re.findall(r'data-frame="(\w+)" aria-label="([^"]+)"', sent)
    assert len(labels) == FRAMES
    assert dict(labels)[f"{1:032x}"] == "plate-001.jpg, adjust, kept by you"
    assert dict(labels)[f"{2:032x}"] == "plate-002.jpg, again, select"
    page.add_init_script(
        """addEventListener("DOMContentLoaded", () => {
             window.changes = [];
             const told = (m) => `${m.type} ${m.attributeName} ${m.target.className}`;
             new MutationObserver((all) => window.changes.push(...all.map(told)))
               .observe(document.getElementById("sheets"), { subtree: true, characterData: true, childList: true,
                 attributes: true, attributeFilter: ["class", "aria-label", "data-frame"] });
           });"""
    )
    page.goto(coloured.url + "choose")
    expect(page.locator("#select")).to_be_visible()
    # rows that are no whole ones move to the next block: nothing else
    changes = [
        c
        for c in page.evaluate("window.changes")
        if not c.startswith("childList null block") and "sheet" not in c
    ]
    assert changes == []
    expect(page.locator("button.frame")).to_have_count(FRAMES)


def test_every_card_shows_its_own_part_of_the_strip(coloured: Served, page: Page) -> None:
    page.set_viewport_size({"width": 1900, "height": 4200})
    page.goto(coloured.url + "choose")
    expect(page.locator("#select")).to_be_visible()
    until(lambda: len(seen := shown_colours(page, range(FRAMES))) == FRAMES and not far(seen))
    asked = page.evaluate("performance.getEntriesByType('resource').map((r) => r.name)")
    # 96 frames in three strips; the last four are too few for one and come by themselves
    assert len([a for a in asked if "/choose/strips/" in a and a.endswith(".jpg")]) == 3
    assert len({a for a in asked if "thumb" in a}) == 4


def test_a_strip_never_stands_for_frames_that_are_not_in_it(
    _coloured: Path, tmp_path: Path, opened_on: Callable[[Path], Served], page: Page
) -> None:
    root = copy_shoot(_coloured, tmp_path / "coloured")
    before = {p.name for p in (root / ".plateside" / "strips").iterdir()}
    # a small picture is gone, as if the frame's content were another: the strip that held it no longer counts
    gone = f"{5:032x}"
    thumbnail_path(root, gone, "thumb").unlink()
    told = page.request.get(opened_on(root).url + "choose").text()
    strips = set(re.findall(r"/choose/strips/(\w+\.jpg)", told))
    assert len(strips & before) == 2
    first = re.search(rf'data-frame="{6:032x}".*?</button>', told)
    assert first is not None
    assert f"/frames/{6:032x}/thumb.jpg" in first[0]
    assert " j-" not in first[0]


def test_no_strip_of_another_name_is_handed_out(coloured: Served, page: Page) -> None:
    for name in (
        "..%2f..%2fshoot.toml",
        "%2e%2e/%2e%2e/journal.jsonl",
        "a" * 31 + ".jpg",
        "g" * 32 + ".jpg",
        "A" * 32 + ".jpg",
    ):
        answer = page.request.get(coloured.url + "choose/strips/" + name)
        assert answer.status in (404, 422), name
    assert page.request.get(coloured.url + "choose/strips/" + "a" * 32 + ".jpg").status == 404


# ---- keys over rows ----------------------------------------------------------------------------------------


def test_arrows_go_to_the_row_above_and_below_and_over_to_the_next_shot(coloured: Served, page: Page) -> None:
    grey_ones(page)
    page.goto(coloured.url + "choose", wait_until="domcontentloaded")
    card(page, f"{1:032x}").focus()

    def at() -> dict[str, float]:
        found: dict[str, float] = page.evaluate("document.activeElement.getBoundingClientRect().toJSON()")
        return found

    first = at()
    page.keyboard.press("ArrowDown")
    below = at()
    assert below["left"] == pytest.approx(first["left"])
    assert below["top"] > first["top"] + first["height"] / 2
    page.keyboard.press("ArrowUp")
    expect(card(page, f"{1:032x}")).to_be_focused()
    for _ in range(30):
        page.keyboard.press("ArrowDown")
        if page.evaluate("document.activeElement.closest('section').id") == f"shot-{SHOTS[1]}":
            break
    until(lambda: page.evaluate("document.activeElement.closest('section').id") == f"shot-{SHOTS[1]}")
    assert at()["left"] == pytest.approx(first["left"])
    page.keyboard.press("ArrowUp")
    until(lambda: page.evaluate("document.activeElement.closest('section').id") == f"shot-{SHOTS[0]}")
    page.keyboard.press("Home")
    expect(card(page, f"{0:032x}")).to_be_focused()
    page.keyboard.press("End")
    expect(card(page, f"{79:032x}")).to_be_focused()


def test_rows_built_while_scrolling_keep_their_height(
    coloured: Served, new_page: Callable[..., Page]
) -> None:
    page = new_page(viewport={"width": 390, "height": 844})
    page.context.add_cookies(
        [{"name": "plateside_sheets", "value": "large.12", "domain": "127.0.0.1", "path": "/choose"}]
    )
    page.goto(coloured.url + "choose")
    expect(page.locator("#select")).to_be_visible()
    high = page.evaluate("document.documentElement.scrollHeight")
    until(
        lambda: page.evaluate(
            "scrollBy(0, 700), scrollY + innerHeight >= document.documentElement.scrollHeight - 1"
        )
    )
    expect(page.locator("button.frame")).to_have_count(FRAMES)
    assert page.evaluate("document.documentElement.scrollHeight") == pytest.approx(high, abs=2)
    # as many as fill this window, the next time
    sent = page.request.get(coloured.url + "choose").text()
    assert "large." in page.evaluate("document.cookie")
    assert sent.count('class="frame') < 20


def test_a_phone_keeps_its_pictures_in_sight_and_the_rest_at_a_press(
    coloured: Served, new_page: Callable[..., Page], axe: Callable[[Page], list[str]]
) -> None:
    page = new_page(viewport={"width": 390, "height": 844}, has_touch=True)
    page.goto(coloured.url + "choose")
    more = page.locator("#more")
    expect(more).to_have_attribute("aria-expanded", "false")
    expect(page.locator("#belongs")).to_be_hidden()
    # what one is at takes less than a fifth of the screen
    assert page.evaluate("document.getElementById('chosen').getBoundingClientRect().height") < 844 / 5
    more.tap()
    expect(page.locator("#belongs")).to_be_visible()
    expect(page.locator("#tick")).to_be_visible()
    expect(more).to_be_focused()
    assert axe(page) == []


@pytest.mark.parametrize("size", [(1440, 900), (1180, 820), (820, 1180), (390, 844)])
def test_compared_pictures_have_one_size_however_much_is_said_of_them(
    size: tuple[int, int], coloured: Served, new_page: Callable[..., Page]
) -> None:
    page = new_page(viewport={"width": size[0], "height": size[1]})
    grey_ones(page)
    page.goto(coloured.url + "choose")
    # of the second it is said that it is kept, of the third that it is the select, of the fourth neither
    for n in range(1, 4):
        card(page, f"{n:032x}").focus()
        page.keyboard.press("m")
    page.keyboard.press("Enter")
    expect(page.locator(".compare .pane")).to_have_count(3)
    at_rest(page)
    boxes = page.evaluate(
        """[...document.querySelectorAll('.compare .pane')].map((p) => p.getBoundingClientRect())
             .map((b) => [b.width, b.height, b.top])"""
    )
    assert max(b[1] for b in boxes) - min(b[1] for b in boxes) < 0.6
    assert max(b[0] for b in boxes) - min(b[0] for b in boxes) < 0.6
    if size[0] > 960:
        assert len({b[2] for b in boxes}) == 1


# ---- by keys, on two screens -------------------------------------------------------------------------------


def test_select_by_key_is_a_row_and_a_second_page_sees_it(
    served: Served, new_page: Callable[..., Page]
) -> None:
    first, second = new_page(), new_page()
    first.goto(served.url + "choose", wait_until="domcontentloaded")
    second.goto(served.url + "choose", wait_until="domcontentloaded")
    one, two, three = frames(served)[:3]
    expect(card(second, one)).to_be_visible()
    card(first, one).focus()
    first.keyboard.press("ArrowRight")
    expect(card(first, two)).to_be_focused()
    first.keyboard.press("s")
    expect(card(second, two).locator(".badge")).to_have_text("select")
    assert rows(served, "select") == [{"shot": "three-bowls", "frame": two}]
    first.keyboard.press("ArrowRight")
    first.keyboard.press("t")
    expect(card(second, three).locator(".badge")).to_have_text("alternate")
    first.keyboard.press("a")
    expect(card(second, three)).to_contain_text("again")
    expect(card(first, three).locator(".yours")).to_have_count(1)
    at_rest(second)
    # the second page undoes what the first has done; both are told
    second.locator("#undo").click()
    expect(card(first, three).locator(".yours")).to_have_count(0)
    at_rest(first)
    expect(card(first, three)).to_be_focused()
    # Ctrl+Z and Backspace are the same Undo; the letters of former versions do nothing any more
    for former in "hjcgu":
        first.keyboard.press(former)
    first.keyboard.press("Control+z")
    expect(card(first, three).locator(".badge")).to_have_count(0)
    at_rest(first)
    first.keyboard.press("Backspace")
    expect(card(second, two).locator(".badge")).to_have_count(0)
    assert [r.kind for r in Journal.open(served.root).rows() if r.kind in ("kept", "again", "undo")] == [
        "again", "undo", "undo", "undo",
    ]  # fmt: skip


def test_small_pictures_are_made_meanwhile_and_asked_for_lazily(served: Served, page: Page) -> None:
    shutil.rmtree(served.root / ".plateside" / "thumbnails")
    page.goto(served.url + "choose", wait_until="domcontentloaded")
    one = frames(served)[0]
    expect(card(page, one).locator("img")).to_have_attribute("src", f"/frames/{one}/thumb.jpg")
    assert card(page, one).locator("img").get_attribute("loading") == "lazy"
    until(lambda: card(page, one).locator("img").evaluate("i => i.naturalWidth > 0"))


def test_a_frame_moves_to_another_shot(served: Served, page: Page) -> None:
    page.goto(served.url + "choose", wait_until="domcontentloaded")
    last = frames(served)[-1]
    card(page, last).click()
    page.locator("#belongs").select_option("pour")
    expect(page.locator("#shot-pour").locator(f'[data-frame="{last}"]')).to_be_visible()
    until(lambda: rows(served, "frame belongs")[-1] == {"frame": last, "shot": "pour", "guess": False})


def test_compared_frames_zoom_and_move_in_step(served: Served, page: Page) -> None:
    page.goto(served.url + "choose", wait_until="domcontentloaded")
    one, two = frames(served)[:2]
    card(page, one).focus()
    page.keyboard.press("m")
    page.keyboard.press("ArrowRight")
    page.keyboard.press("m")
    page.keyboard.press("Enter")
    panes = page.locator(".compare .pane")
    expect(panes).to_have_count(2)
    for pane in panes.all():
        until(lambda pane=pane: pane.locator("img").evaluate("i => i.naturalWidth > 0"))
    at_rest(page)

    def places() -> list[list[float]]:
        found: list[list[float]] = page.evaluate(
            """() => [...document.querySelectorAll('.compare .pane')].map((p) => {
                 const pane = p.getBoundingClientRect(), i = p.querySelector('img').getBoundingClientRect();
                 return [i.left - pane.left, i.top - pane.top, i.width, i.height].map((v) => Math.round(v * 10) / 10);
               })"""
        )
        return found

    whole = places()
    assert whole[0] == whole[1]
    box = panes.first.bounding_box()
    assert box is not None
    page.mouse.move(box["x"] + 100, box["y"] + box["height"] / 2)
    page.mouse.wheel(0, -600)
    until(lambda: places()[0][2] > 1.5 * whole[0][2])
    at_rest(page)
    assert places()[0] == places()[1]
    before = places()
    # dragged in the second, the first follows
    other = panes.last.bounding_box()
    assert other is not None
    page.mouse.move(other["x"] + 200, other["y"] + 200)
    page.mouse.down()
    page.mouse.move(other["x"] + 140, other["y"] + 180, steps=4)
    page.mouse.up()
    at_rest(page)
    moved = places()
    assert moved[0] == moved[1]
    assert moved[0][0] == pytest.approx(before[0][0] - 60, abs=0.2)
    page.keyboard.press("ArrowRight")
    at_rest(page)
    assert places()[0][0] < moved[0][0]
    page.keyboard.press("0")
    until(lambda: places() == whole)
    page.locator(".compare figure.one").last.focus()
    page.keyboard.press("k")
    expect(page.locator(".compare figure.one").last).to_contain_text("kept by you")
    until(lambda: rows(served, "kept") == [{"frame": two}])
    page.keyboard.press("Escape")
    expect(page.locator(".compare")).to_have_count(0)


def test_what_the_tool_would_take_grows_old_when_a_frame_moves(
    served: Served, page: Page, axe: Callable[[Page], list[str]]
) -> None:
    page.goto(served.url + "choose")
    page.get_by_role("button", name="Suggest selects").click()
    of = {
        shot: page.locator(f'.proposal[data-shot="{shot}"]') for shot in ("three-bowls", "one-bowl", "pour")
    }
    expect(of["three-bowls"]).to_contain_text("Plateside suggests")
    expect(of["one-bowl"]).to_contain_text("Plateside suggests")
    # a shot without a frame says so once
    expect(page.get_by_text("No frame of this shot yet.")).to_have_count(
        page.locator(".proposal").count() - 2
    )
    assert axe(page) == []
    page.locator("#belongs").select_option("pour")
    expect(of["three-bowls"]).to_have_text(re.compile("Something changed here .* Ask again"))
    expect(of["pour"]).to_have_text(re.compile("Something changed here .* Ask again"))
    expect(of["one-bowl"]).to_contain_text("Plateside suggests")
    page.get_by_role("button", name="Suggest selects").click()
    expect(of["three-bowls"]).to_contain_text("Plateside suggests")
    expect(of["pour"].get_by_role("button", name="Take")).to_be_visible()
