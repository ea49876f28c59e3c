"""The grey card marked on the set page: by touch, by keys, refused where it is none, taken back."""

from collections.abc import Callable
from pathlib import Path

import numpy as np
import pytest
from numpy.typing import NDArray
from playwright.sync_api import Page, expect

from plateside.files.journal.journal import Journal
from tests.browser.resting import at_rest
from tests.browser.serving import Served, until
from tests.browser.set_page import TABLET, judge, kinds, last, open_set, put_frame, wait_word
from tests.web.requests import get

pytestmark = pytest.mark.browser
CARD = (0.60, 0.20, 0.80, 0.50)
"""Where it lies in the frame."""
AT = (0.70, 0.35)


def frame_with_card(seed: int) -> NDArray[np.uint8]:
    """A white cloth on a brown table, and a grey card a third of a stop dark (sRGB 105: 0.14 linear, IEC 61966-2-1)."""
    picture = np.empty((400, 600, 3), np.uint8)
    picture[:] = (120, 80, 50)
    picture[40:200, 60:240] = 225
    x0, y0, x1, y1 = (round(v * n) for v, n in zip(CARD, (600, 400, 600, 400), strict=True))
    picture[y0:y1, x0:x1] = 105
    return np.clip(picture + np.random.default_rng(seed).normal(0, 1.5, picture.shape), 0, 255).astype(
        np.uint8
    )


def opened(page: Page, served_once: Served, seed: int) -> str:
    """The set page with the card's box open over a new frame."""
    open_set(page, served_once.url, measured=True)
    frame = put_frame(served_once.root, f"card-{seed}.jpg", frame_with_card(seed))
    Journal.open(served_once.root).append("frame belongs", frame=frame, shot="three-bowls", guess=False)
    judge(served_once.root, frame, "good")
    wait_word(page, "Good", frame)
    # whether the card was found by itself decides what the box begins with
    at_rest(page)
    page.click("#about")
    page.get_by_role("button", name="A grey card is in this frame").click()
    expect(page.locator("#card-box")).to_be_visible()
    page.wait_for_function("() => document.querySelector('#card-box img').naturalWidth > 0")
    return frame


def touch(page: Page, across: float, down: float) -> None:
    box = page.locator("#card-box img").bounding_box()
    assert box
    page.mouse.click(box["x"] + across * box["width"], box["y"] + down * box["height"])


def within_card(root: Path, frame: str) -> bool:
    row = Journal.open(root).rows()[-1]
    x, y, w, h = row.data["box"]
    inside = CARD[0] <= x and CARD[1] <= y and x + w <= CARD[2] and y + h <= CARD[3]
    return row.kind == "grey card" and row.data["frame"] == frame and inside


def test_she_touches_the_card_and_it_is_read_and_taken_back(
    served_once: Served, new_page: Callable[..., Page], axe: Callable[[Page], list[str]]
) -> None:
    page = new_page(viewport=TABLET)
    frame = opened(page, served_once, 1)
    start = last(served_once.root)
    said = page.locator("#card-said")
    touch(page, 0.3, 0.8)
    expect(said).to_have_text(
        "That is not the grey card: it is brown or yellow. Touch the middle of the grey card."
    )
    assert kinds(served_once.root, start) == []
    touch(page, *AT)
    expect(said).to_contain_text("Grey card: 0.4 stop too dark, neutral. Marked")
    assert kinds(served_once.root, start) == ["grey card"]
    assert within_card(served_once.root, frame)
    drawn = page.locator("#card-box rect.card").bounding_box()
    picture = page.locator("#card-box img").bounding_box()
    assert drawn
    assert picture
    assert CARD[0] <= (drawn["x"] + drawn["width"] / 2 - picture["x"]) / picture["width"] <= CARD[2]
    assert axe(page) == []
    page.get_by_role("button", name="Done").click()
    # the sheet says what the frame is held against now
    expect(page.locator("#told")).to_contain_text("Against the grey card: 0.4 stop darker.")
    page.get_by_role("button", name="A grey card is in this frame").click()
    expect(said).to_contain_text("The box is read as the grey card.")
    touch(page, *AT)
    expect(said).to_contain_text("Marked")
    page.get_by_role("button", name="Take it back").click()
    expect(said).to_contain_text("Taken back.")
    assert kinds(served_once.root, start) == ["grey card", "grey card", "undo"]


def test_the_card_is_marked_by_keys_alone(served_once: Served, new_page: Callable[..., Page]) -> None:
    page = new_page(viewport=TABLET)
    frame = opened(page, served_once, 2)
    start = last(served_once.root)
    expect(page.locator(".card-pad")).to_be_focused()
    # from the middle to (0.70, 0.35); where the card was found by itself, the cross begins on it
    found = "is read as" in (page.locator("#card-said").text_content() or "")
    way = (
        ["Shift+ArrowRight", "Shift+ArrowLeft"] if found else ["Shift+ArrowRight"] * 4 + ["Shift+ArrowUp"] * 3
    )
    for key in way:
        page.keyboard.press(key)
    expect(page.locator("#card-said")).to_contain_text(
        "Cross at" if found else "Cross at 70 % across, 35 % down."
    )
    expect(page.locator(".card-pad .cross")).to_have_count(1)
    page.keyboard.press("Enter")
    until(lambda: kinds(served_once.root, start) == ["grey card"])
    assert within_card(served_once.root, frame)
    page.keyboard.press("Escape")
    expect(page.locator("#card-box")).to_be_hidden()
    expect(page.locator("#sheet")).to_be_visible()


def test_a_place_beside_the_frame_is_refused_in_a_sentence(served_once: Served) -> None:
    frame = put_frame(served_once.root, "card-3.jpg", frame_with_card(3))

    def answer(query: str) -> tuple[int, str]:
        told = get(served_once, f"/set/card/{frame}?{query}")
        return told.status, told.json["error"]

    for query in ("across=1.5&down=0.2", "across=x"):
        status, words = answer(query)
        assert status == 422
        assert words
