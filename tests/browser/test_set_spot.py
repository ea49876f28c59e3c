"""The spot that a verdict asks to be looked at: the photograph's own pixels, the place asked for in the middle."""

from collections.abc import Callable

import numpy as np
import pytest
from PIL import Image
from playwright.sync_api import Page

from plateside.files.journal.journal import Journal
from plateside.files.thumbnails import thumbnail_path
from tests.browser.serving import Served
from tests.browser.set_page import TABLET, judge, open_set, put_frame, wait_word

pytestmark = pytest.mark.browser


def test_the_spot_asked_for_is_enlarged_until_it_is_kept(
    served: Served, new_page: Callable[..., Page]
) -> None:
    page = new_page(viewport=TABLET)
    open_set(page, served.url)
    pixels = np.random.default_rng(3).integers(30, 90, (1600, 2400, 3), dtype=np.uint8)
    frame = put_frame(served.root, "soft-soup.jpg", pixels)
    Image.fromarray(pixels).save(thumbnail_path(served.root, frame, "full"), "JPEG")
    look = {"code": "look at hero", "kind": "focus", "at": [0.7, 0.4], "way": "soft"}
    Journal.open(served.root).append("verdict", frame=frame, word="good", act="", change=look, confidence=0.5)
    wait_word(page, "Good", frame)
    page.wait_for_selector(".spot:not([hidden])")
    box = page.evaluate(
        """() => { const box = document.querySelector(".spot"), image = box.querySelector("img"),
          pixel = 1 / devicePixelRatio;
          return { across: (box.clientWidth / 2 - image.offsetLeft) / (image.naturalWidth * pixel),
            down: (box.clientHeight / 2 - image.offsetTop) / (image.naturalHeight * pixel),
            scale: image.clientWidth / (image.naturalWidth * pixel) }; }"""
    )
    # a pixel of the photograph is a pixel of the screen, and what is asked for is in the middle
    assert box["scale"] == pytest.approx(1, abs=0.01)
    assert (box["across"], box["down"]) == pytest.approx((0.7, 0.4), abs=0.01)
    page.click("[data-press=keep]")
    page.wait_for_selector(".spot", state="hidden")
    sure = put_frame(served.root, "sure.jpg")
    judge(served.root, sure, "adjust")
    wait_word(page, "Adjust", sure)
    assert page.locator(".spot").is_hidden()
