"""Finish and Deliver as she uses them: by keys and touch, seen by a second page, stopped, reloaded, refused."""

import http.client
import json
from collections.abc import Callable
from typing import Any

import pytest
from playwright.sync_api import Page, expect

from plateside.files.journal.journal import Journal
from tests.browser.resting import at_rest, held
from tests.browser.serving import PATIENT_MS, Served, until

pytestmark = pytest.mark.browser


def rows(served: Served, kind: str) -> list[dict[str, Any]]:
    return [dict(r.data) for r in Journal.open(served.root).rows() if r.kind == kind]


def frames(served: Served) -> list[str]:
    return [str(r["frame"]) for r in rows(served, "frame landed")]


def card(page: Page, frame: str) -> Any:
    return page.locator(f'button.frame[data-frame="{frame}"]')


# ---- finish and deliver ------------------------------------------------------------------------------------


def finish(page: Page, served: Served) -> None:
    """Heroes chosen, the set made from the page as JPEG."""
    for shot, frame in (("three-bowls", frames(served)[0]), ("one-bowl", frames(served)[3])):
        Journal.open(served.root).append("select", shot=shot, frame=frame)
    page.goto(served.url + "finish")
    page.locator("#kind").select_option("jpeg")
    page.get_by_role("button", name="Make the series").click()
    expect(page.locator(".finished .divided")).to_have_count(2)
    at_rest(page)  # what was made is drawn anew when all of it is told


def test_the_whole_way_from_finish_to_delivery(
    served: Served, page: Page, axe: Callable[[Page], list[str]]
) -> None:
    finish(page, served)
    assert (served.root / "finished" / "one-bowl.jpg").is_file()
    expect(page.locator("#run .came")).to_contain_text("2 made")
    # the divider, by keys
    divider = page.get_by_role("slider").first
    divider.focus()
    page.keyboard.press("ArrowRight")
    page.keyboard.press("Shift+ArrowRight")
    assert divider.get_attribute("aria-valuenow") == "62"
    page.keyboard.press("Home")
    assert (
        page.locator(".divided img.before").first.evaluate("i => i.style.clipPath")
        == "inset(0px 100% 0px 0px)"
    )
    # before and after lie on each other
    shapes = page.locator(".divided").first.evaluate(
        """(d) => [...d.querySelectorAll('img')].map((i) => i.getBoundingClientRect())
             .map((b) => [b.left, b.top, b.width, b.height])"""
    )
    assert shapes[0] == shapes[1]
    assert axe(page) == []

    page.goto(served.url + "deliver")
    crop = page.locator("#shot-three-bowls .crop")
    expect(page.locator("#shot-three-bowls .dish")).to_be_visible()
    width = crop.evaluate("c => parseFloat(c.style.width)")
    crop.focus()
    for _ in range(5):
        page.keyboard.press("-")
    page.keyboard.press("ArrowRight")
    at_rest(
        page
    )  # a moment after the last press the crop is saved: once, or more often where the presses took long
    made = until(lambda: rows(served, "crop"))[-1]
    assert (made["shot"], made["channel"]) == ("three-bowls", "page-wide")
    assert made["box"][2] < width / 100
    # the channel's shape is kept: 16 to 9, in a picture of 3 to 2
    assert made["box"][2] * 1200 / (made["box"][3] * 800) == pytest.approx(16 / 9, rel=1e-3)
    page.reload()
    expect(page.locator("#shot-three-bowls .places")).to_contain_text("your crop")
    at_rest(page)
    left = page.locator("#shot-three-bowls .crop").evaluate("c => parseFloat(c.style.left)")
    assert left == pytest.approx(100 * made["box"][0], abs=0.01)

    # words: counted as they are typed, checked by the server, saved
    alt = page.locator("#alt_text-three-bowls")
    alt.fill("A photo of " + "soup " * 30)
    expect(page.locator("#alt_text-three-bowls-count")).to_have_text("160 of 125 characters")
    for code in ("needless", "long"):
        expect(page.locator(f"#remarks-three-bowls [data-code='{code}']")).to_be_visible()
    alt.fill("Three green soups in bowls on a blue board.")
    expect(page.locator("#remarks-three-bowls li")).to_have_count(0)
    alt.blur()
    until(lambda: rows(served, "words") and rows(served, "words")[-1]["text"].startswith("Three green"))

    page.get_by_role("button", name="Make the delivery").click()
    expect(page.locator("#run .came")).to_contain_text("crops, ")
    expect(page.locator("#listed summary").first).to_contain_text("page-wide")
    assert axe(page) == []
    manifest = json.loads((served.root / "delivery" / "manifest.json").read_text(encoding="utf-8"))
    first = manifest["pictures"][0]["file"]
    status, headers, _ = get(served, f"/deliver/files/{first}")
    assert (status, headers["content-type"]) == (200, "image/jpeg")
    with page.context.expect_page() as found:
        page.locator("#page").get_by_role("link", name="Look at the whole page").click()
    opened = found.value
    opened.wait_for_load_state()
    until(lambda: opened.locator("img").first.evaluate("i => i.naturalWidth > 0"))
    assert "Three green soups" in opened.content()
    assert "sandbox" in get(served, "/deliver/files/preview.html")[1]["content-security-policy"]
    opened.close()
    page.get_by_role("button", name="Check every file").click()
    expect(page.locator("#verify .came")).to_contain_text("there and unchanged")
    refused(served)


def get(served: Served, path: str) -> tuple[int, dict[str, str], bytes]:
    """A request as written: no client tidies the path."""
    link = http.client.HTTPConnection("127.0.0.1", served.port, timeout=PATIENT_MS / 1000)
    link.putrequest("GET", path, skip_accept_encoding=True)
    link.putheader("Cookie", served.cookie)
    link.endheaders()
    answer = link.getresponse()
    body = answer.read()
    link.close()
    return answer.status, {k.lower(): v for k, v in answer.getheaders()}, body


def refused(served: Served) -> None:
    (served.root / "delivery" / "out.txt").symlink_to(served.root / "shoot.toml")
    for path in (
        "../shoot.toml", "%2e%2e/shoot.toml", "..%2fshoot.toml", "page-wide/..%2f..%2fjournal.jsonl", "/etc/passwd",
        "%2fetc%2fpasswd", "..%5cshoot.toml", "out.txt", "%00", ".", "page-wide", "..%2f.plateside%2fserve.json",
    ):  # fmt: skip
        for room in ("deliver", "finish"):
            status, _headers, body = get(served, f"/{room}/files/{path}")
            assert status in (400, 404, 422), (room, path, status)
            assert b"format = 1" not in body
            assert b"root:" not in body


def test_finishing_is_stopped_and_goes_on(served: Served, page: Page) -> None:
    for shot, frame in (("three-bowls", frames(served)[0]), ("one-bowl", frames(served)[3])):
        Journal.open(served.root).append("select", shot=shot, frame=frame)
    page.goto(served.url + "finish")
    with held(page, "**/finish/run"):
        page.get_by_role("button", name="Make the series").click()
        page.get_by_role("button", name="Stop").click()
    expect(page.locator("#run .came")).to_contain_text("Stopped")
    button = page.get_by_role("button", name="Make the series")
    # begun, and only then left: a request that is on its way is dropped with its page
    with page.expect_response("**/finish/run"):
        button.click()
    # a page loaded meanwhile finds the work under way
    page.reload()
    expect(page.locator(".finished .divided")).to_have_count(2)
    assert {p.name for p in (served.root / "finished").glob("*.tif")} == {"three-bowls.tif", "one-bowl.tif"}
